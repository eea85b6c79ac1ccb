"""Opening: for looking, after a crash, damaged, foreign, newer, older, in use elsewhere."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from hoofbook.housekeeping import files
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records import migrating, opening
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.in_use import FILE_NAME, read_sign
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Horse
from tests.housekeeping.accounts import without_rights
from tests.records import examples
from tests.records.examples import NOON


@pytest.fixture
def folder(tmp_path: Path, clock: FixedClock) -> Path:
    """A closed book with one horse, in a folder whose name needs care in an address."""
    place = tmp_path / "Müller's 100% book #1"
    with Book.make(place, clock=clock, person="Ann") as book, book.writing() as writer:
        writer.add(examples.horse())
    return place


def opened(folder: Path, clock: FixedClock, **more: object) -> Book:
    return Book.open(folder, clock=clock, person="Ann", **more)  # type: ignore[arg-type]


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_closed_book_is_one_database_file(folder: Path) -> None:
    assert sorted(path.name for path in folder.iterdir()) == ["backups", DATABASE, "photos", "previews"]
    with closing(sqlite3.connect(folder / DATABASE)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone()[0] == "delete"
        assert connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def test_how_the_database_is_kept(folder: Path, clock: FixedClock) -> None:
    with opened(folder, clock) as book, book._connected() as connection:
        found = {
            name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one()
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    # SQLite documentation, pragma "synchronous": 3 is EXTRA
    assert found == {"journal_mode": "delete", "synchronous": 3, "foreign_keys": 1, "busy_timeout": 5000}


def test_a_book_that_cannot_be_written_opens_for_looking(folder: Path, clock: FixedClock) -> None:
    before = tree(folder)
    with opened(folder, clock, writable=lambda file: False) as book:
        assert book.read_only
        assert [horse.name for horse in book.every(Horse)] == ["Larkspur"]
        assert len(book.horse_lines()) == 1
        assert not (folder / FILE_NAME).exists()
        with pytest.raises(Refused, match=r"^folder_read_only$"), book.writing():
            pass
    assert tree(folder) == before


def test_writability_is_tried_not_read_from_permissions(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = folder / DATABASE
    assert opening.can_write(file)
    monkeypatch.setattr(files, "is_writable_folder", lambda folder: False)
    assert not opening.can_write(file)
    assert not opening.can_write(folder / "none.sqlite")


@pytest.mark.skipif(os.name == "nt", reason="Windows folders have no such permission")
@pytest.mark.parametrize("mode", [(0o555, 0o444), (0o555, 0o644), (0o777, 0o444)])
def test_without_permission_to_write(folder: Path, clock: FixedClock, mode: tuple[int, int]) -> None:
    """The folder, the file or both may not be written by this account."""
    with tempfile.TemporaryDirectory() as reachable:
        place = Path(reachable) / "book"
        shutil.copytree(folder, place)
        Path(reachable).chmod(0o755)
        (place / DATABASE).chmod(mode[1])
        place.chmod(mode[0])
        before = tree(place)
        with without_rights(), opened(place, clock) as book:
            assert book.read_only
            assert [horse.name for horse in book.every(Horse)] == ["Larkspur"]
            with pytest.raises(Refused, match="folder_read_only"), book.writing():
                pass
        assert tree(place) == before
        place.chmod(0o755)


def test_where_the_file_system_gives_no_locks(folder: Path, clock: FixedClock, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "_opens", lambda file: False)
    with opened(folder, clock, writable=lambda file: False) as book:
        assert len(book.every(Horse)) == 1


def cut_short(folder: Path) -> None:
    """Leaves what a crash in the middle of a transaction leaves: pages half written, and the journal."""
    file = folder / DATABASE
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size=1")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("UPDATE horse SET note = hex(zeroblob(200000))")  # spills into the file before any commit
        for name in (DATABASE, f"{DATABASE}-journal"):
            shutil.copyfile(folder / name, folder / f"saved-{name}")
        connection.execute("ROLLBACK")
    for name in (DATABASE, f"{DATABASE}-journal"):
        (folder / f"saved-{name}").replace(folder / name)


@pytest.mark.parametrize("writable", [True, False])
def test_a_transaction_that_a_crash_cut_short_is_undone(folder: Path, clock: FixedClock, writable: bool) -> None:
    whole = (folder / DATABASE).read_bytes()
    cut_short(folder)
    assert (folder / DATABASE).read_bytes() != whole
    before = tree(folder)
    with opened(folder, clock, writable=lambda file: writable) as book:
        assert [horse.note for horse in book.every(Horse)] == [""]
    if not writable:
        assert tree(folder) == before


def test_missing_foreign_and_damaged(tmp_path: Path, folder: Path, clock: FixedClock) -> None:
    with pytest.raises(Refused, match=r"^book_missing$"):
        opened(tmp_path / "nowhere", clock)
    file = folder / DATABASE
    whole = file.read_bytes()
    for writable in (True, False):
        for bad in (b"", b"not a database" * 100, whole[: len(whole) // 2], whole[:50]):
            file.write_bytes(bad)
            with pytest.raises(Refused, match=r"^book_damaged$"):
                opened(folder, clock, writable=lambda file: writable)  # noqa: B023
            assert file.read_bytes() == bad
        file.unlink()
        with closing(sqlite3.connect(file)) as connection:
            connection.execute("CREATE TABLE recipe (name TEXT)")
        with pytest.raises(Refused, match=r"^not_a_book$"):
            opened(folder, clock, writable=lambda file: writable)  # noqa: B023
        file.write_bytes(whole)
    file.write_bytes(whole[:4096] + b"\xff" * (len(whole) - 4096))
    with pytest.raises(Refused, match=r"^book_damaged$"), opened(folder, clock) as book:
        book.every(Horse)


def test_a_book_of_a_newer_version_is_left_alone(folder: Path, clock: FixedClock) -> None:
    with closing(sqlite3.connect(folder / DATABASE)) as connection, connection:
        connection.execute("UPDATE schema_version SET version_num = '0999'")
    before = tree(folder)
    for writable in (True, False):
        with pytest.raises(Refused, match=r"^book_newer$") as caught:
            opened(folder, clock, writable=lambda file: writable)  # noqa: B023
        assert caught.value.refusal.facts["found"] == "0999"
    assert tree(folder) == before


def test_making_over_a_book_is_refused_and_making_breaks_off_clean(
    folder: Path, tmp_path: Path, clock: FixedClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(Refused, match=r"^book_exists$"):
        Book.make(folder, clock=clock, person="Ann")
    monkeypatch.setattr(files, "place", lambda temp, target: (_ for _ in ()).throw(KeyboardInterrupt))
    with pytest.raises(KeyboardInterrupt):
        Book.make(tmp_path / "new", clock=clock, person="Ann")
    assert [path.name for path in (tmp_path / "new").rglob("*") if path.is_file()] == []


# -- earlier versions ------------------------------------------------------------------------------------------------

STEP = """
from alembic import op
import sqlalchemy as sa
revision = "{number}"
down_revision = "{before}"
def upgrade():
    with op.batch_alter_table("horse") as batch:
        batch.add_column(sa.Column("chip_{number}", sa.Text(), nullable=False, server_default=""))
    {more}
"""


@pytest.fixture
def steps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program whose newest step is 0005: two steps that make the table of horses anew."""
    place = tmp_path / "steps"
    shutil.copytree(migrating.STEPS, place, ignore=shutil.ignore_patterns("__pycache__"))
    for number, before in (("0004", "0003"), ("0005", "0004")):
        (place / "versions" / f"step_{number}.py").write_text(
            STEP.format(number=number, before=before, more=""), encoding="utf-8"
        )
    monkeypatch.setattr(migrating, "STEPS", place)
    monkeypatch.setattr(migrating, "SCHEMA", "0005")
    return place


@pytest.fixture
def old(folder: Path, clock: FixedClock) -> Path:
    with opened(folder, clock) as book, book.writing() as writer:
        (horse,) = writer.every(Horse)
        visit = examples.visit(horse)
        photo = examples.photo(horse, visit=visit.key)
        writer.add_all([visit, photo, examples.marking_pass(photo)])
    return folder


def counts(file: Path) -> dict[str, int]:
    with closing(sqlite3.connect(file)) as connection:
        names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in names}


def columns(file: Path) -> set[str]:
    with closing(sqlite3.connect(file)) as connection:
        return {row[1] for row in connection.execute("PRAGMA table_info(horse)")}


def test_an_earlier_book_is_brought_up_with_every_row_and_a_backup_per_step(
    old: Path, clock: FixedClock, steps: Path
) -> None:
    before = counts(old / DATABASE)
    assert before["visit"] == before["photo"] == before["marking_pass"] == 1
    with opened(old, clock) as book:
        assert [horse.name for horse in book.every(Horse)] == ["Larkspur"]
    assert counts(old / DATABASE) == before
    assert {"chip_0004", "chip_0005"} <= columns(old / DATABASE)
    backups = sorted((old / "backups").iterdir())
    assert [path.name[:16] for path in backups] == ["before-step-0004", "before-step-0005"]
    assert "chip_0004" not in columns(backups[0])
    assert counts(backups[0]) == before
    with closing(sqlite3.connect(old / DATABASE)) as connection:
        assert connection.execute("SELECT version_num FROM schema_version").fetchall() == [("0005",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []


def test_an_earlier_book_that_cannot_be_written_is_brought_up_in_memory(
    old: Path, clock: FixedClock, steps: Path
) -> None:
    before = tree(old)
    with opened(old, clock, writable=lambda file: False) as book:
        assert [horse.name for horse in book.every(Horse)] == ["Larkspur"]
    assert tree(old) == before


@pytest.mark.parametrize(
    ("fault", "error"),
    [
        ("raise KeyError('a fault of ours')", KeyError),
        ('op.execute("DELETE FROM photo")', Refused),  # its marks would lead nowhere
    ],
)
def test_a_step_that_fails_leaves_the_book_at_the_last_whole_step(
    old: Path, clock: FixedClock, steps: Path, fault: str, error: type[Exception]
) -> None:
    before = counts(old / DATABASE)
    text = STEP.format(number="0005", before="0004", more=fault)
    (steps / "versions" / "step_0005.py").write_text(text, encoding="utf-8")
    with pytest.raises(error):
        opened(old, clock)
    assert counts(old / DATABASE) == before
    assert "chip_0004" in columns(old / DATABASE)
    assert "chip_0005" not in columns(old / DATABASE)
    with closing(sqlite3.connect(old / DATABASE)) as connection:
        assert connection.execute("SELECT version_num FROM schema_version").fetchall() == [("0004",)]


def test_no_backup_no_step(old: Path, clock: FixedClock, steps: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = (old / DATABASE).read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(Refused, match=r"^disk_full$"):
        opened(old, clock)
    assert (old / DATABASE).read_bytes() == before
    assert list((old / "backups").iterdir()) == []


# -- two machines ----------------------------------------------------------------------------------------------------


def leave_sign(folder: Path, clock: FixedClock, machine: str, minutes_ago: float) -> None:
    moment = (clock.now() - timedelta(minutes=minutes_ago)).isoformat()
    sign = {"machine": machine, "process": 1, "opened_at": moment, "renewed_at": moment, "token": "theirs"}
    (folder / FILE_NAME).write_text(json.dumps(sign), encoding="utf-8")


@pytest.mark.parametrize(("minutes", "code"), [(1, "book_in_use"), (60, "book_left_open")])
def test_a_book_that_another_machine_has_is_opened_for_looking(
    folder: Path, clock: FixedClock, minutes: int, code: str
) -> None:
    leave_sign(folder, clock, "van", minutes)
    with opened(folder, clock) as book:
        with pytest.raises(Refused, match=rf"^{code}$") as caught, book.writing():
            pass
        assert caught.value.refusal.facts["machine"] == "van"
    sign = read_sign(folder)
    assert sign is not None
    assert sign.machine == "van"
    with opened(folder, clock, take_over=True) as book, book.writing() as writer:
        writer.add(examples.horse("New"))
    assert read_sign(folder) is None


def test_the_sign_is_renewed_each_minute_and_goes_on_closing(folder: Path, clock: FixedClock) -> None:
    with opened(folder, clock) as book:
        first = read_sign(folder)
        assert first is not None
        assert first.renewed_at == NOON
        clock.advance(timedelta(seconds=30))
        book.renew_sign()
        assert read_sign(folder) == first
        clock.advance(timedelta(seconds=31))
        book.renew_sign()
        renewed = read_sign(folder)
        assert renewed is not None
        assert (renewed.opened_at, renewed.renewed_at) == (NOON, clock.now())
    assert not (folder / FILE_NAME).exists()


def test_two_windows_on_one_machine_share_the_book(folder: Path, clock: FixedClock) -> None:
    with opened(folder, clock) as one:
        with opened(folder, clock) as two, two.writing() as writer:
            writer.add(examples.horse("From two"))
        assert (folder / FILE_NAME).exists()  # the sign of the first stays
        assert len(one.every(Horse)) == 2


def test_a_sign_that_cannot_be_read_is_no_obstacle(folder: Path, clock: FixedClock) -> None:
    for text in ("", "{", "[]", '{"machine": 1}'):
        (folder / FILE_NAME).write_text(text, encoding="utf-8")
        with opened(folder, clock) as book:
            assert not book.read_only


def test_copies_beside_the_book_are_told_apart_by_their_count(folder: Path, clock: FixedClock, tmp_path: Path) -> None:
    conflict = folder / "book (conflict from van).sqlite"
    shutil.copyfile(folder / DATABASE, conflict)
    with Book.make(tmp_path / "other", clock=clock, person="Ben"):
        pass
    shutil.copyfile(tmp_path / "other" / DATABASE, folder / "strange.sqlite")
    with opened(folder, clock) as book:
        with book.writing() as writer:
            writer.add(examples.horse("Later"))
        with book.writing():
            pass  # nothing written, nothing counted
        found = {copy.file.name: (copy.same_book, copy.writes) for copy in book.other_copies()}
        assert found == {conflict.name: (True, 1), "strange.sqlite": (False, 0)}
        assert book.writes() == 2
