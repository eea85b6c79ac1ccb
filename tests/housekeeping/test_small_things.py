"""Clock, shipped things, log, and crash reports without the owner's data."""

from __future__ import annotations

import logging
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from hoofbook.housekeeping import crash, files, log, shipped
from hoofbook.housekeeping.clock import FixedClock, SystemClock
from hoofbook.terms.refusal import Refused

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def test_clocks_speak_utc() -> None:
    now = SystemClock().now()
    assert now.utcoffset() == timedelta(0)
    assert abs(now - datetime.now(UTC)) < timedelta(seconds=5)
    clock = FixedClock(datetime.fromisoformat("2026-03-02T14:00:00+02:00"))
    assert clock.now() == NOON
    assert clock.now().utcoffset() == timedelta(0)
    clock.advance(timedelta(days=1))
    assert clock.now() == NOON + timedelta(days=1)
    with pytest.raises(ValueError, match="zone"):
        FixedClock(datetime(2026, 3, 2))


def test_shipped_things_are_found_in_the_package_first_then_in_the_checkout(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = tmp_path / "_shipped", tmp_path
    (second / "resources" / "icons").mkdir(parents=True)
    (second / "sample_cases" / "larkspur").mkdir(parents=True)
    monkeypatch.setattr(shipped, "_PLACES", (first, second))
    assert shipped.resource("icons") == second / "resources" / "icons"
    assert shipped.sample_case("larkspur") == second / "sample_cases" / "larkspur"
    assert shipped.sample_case() == second / "sample_cases"
    (first / "resources" / "icons").mkdir(parents=True)
    assert shipped.resource("icons") == first / "resources" / "icons"
    with pytest.raises(Refused, match="shipped_missing"):
        shipped.resource("none.toml")


def test_the_log_is_written_in_utc_and_let_go(tmp_path: Path) -> None:
    place = log.start(tmp_path / "log")
    assert place is not None
    log.logger("records").info("opened")
    log.start(tmp_path / "log")
    log.logger().info("again")
    log.stop()
    log.logger().info("not written")
    lines = place.read_text(encoding="utf-8").splitlines()
    assert [line.split(" ", 1)[1] for line in lines] == ["INFO hoofbook.records opened", "INFO hoofbook again"]
    written = datetime.strptime(lines[0].split(" ")[0], "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
    assert abs(written - datetime.now(UTC)) < timedelta(minutes=1)
    logging.getLogger("hoofbook").setLevel(logging.NOTSET)


def test_a_log_that_cannot_be_written_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "log").write_bytes(b"a file where the folder should be")
    assert log.start(tmp_path / "log") is None


def fault() -> Exception:
    secret = "-".join(["Cass", "Owner"])
    try:
        try:
            raise FileNotFoundError(2, "No such file", f"/{secret}/a.jpg")
        except OSError as error:
            raise KeyError(secret) from error
    except KeyError as error:
        return error


def test_a_crash_report_says_where_and_nothing_of_whom(tmp_path: Path) -> None:
    place = crash.write_report(fault(), tmp_path, FixedClock(NOON))
    assert place is not None
    text = place.read_text(encoding="utf-8")
    assert "builtins.KeyError" in text
    assert "builtins.FileNotFoundError" in text
    assert "tests/housekeeping/test_small_things.py" in text
    assert "in fault" in text
    assert "2026-03-02 12:00:00 UTC" in text
    for private in ("Cass-Owner", str(tmp_path), str(Path(__file__).parent)):
        assert private not in text
    assert place.name == "crash-20260302-120000-000000.txt"


def test_a_report_that_cannot_be_written_hides_nothing(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    assert crash.write_report(fault(), tmp_path / "file") is None


def test_faults_in_every_thread_are_reported(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path))
    shown: list[type[BaseException] | None] = []
    monkeypatch.setattr(sys, "excepthook", lambda kind, error, trace: shown.append(kind))
    monkeypatch.setattr(threading, "excepthook", lambda given: shown.append(given.exc_type))
    told: list[Path | None] = []
    crash.install(told.append)
    with pytest.MonkeyPatch.context() as quiet:
        quiet.setattr(logging.getLogger("hoofbook"), "disabled", True)
        quiet.setattr(logging.getLogger("hoofbook.crash"), "disabled", True)
        error = fault()
        sys.excepthook(type(error), error, error.__traceback__)
        thread = threading.Thread(target=[].pop)
        thread.start()
        thread.join()
        sys.excepthook(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert shown == [KeyError, IndexError, KeyboardInterrupt]
    assert len(told) == 2
    assert all(place is not None and place.is_file() for place in told)


@pytest.mark.parametrize(
    ("module", "forbidden"),
    [
        ("hoofbook.housekeeping.crash", ("numpy", "platformdirs", "logging.handlers", "sqlalchemy")),
        ("hoofbook.housekeeping.settings", ("numpy", "platformdirs", "sqlalchemy")),
        ("hoofbook.records", ("sqlalchemy", "alembic", "msgspec", "sqlite3")),
        ("hoofbook.records.archive", ("sqlalchemy", "alembic", "numpy")),
        ("hoofbook.records.keys", ("sqlalchemy", "uuid_utils")),
        ("hoofbook.records.book", ("alembic", "numpy", "mako")),
    ],
)
def test_what_is_imported_when(module: str, forbidden: tuple[str, ...]) -> None:
    code = f"import sys, {module}; print(*[name for name in {forbidden!r} if name in sys.modules])"
    root = Path(files.__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root)
    assert done.stdout.split() == []
