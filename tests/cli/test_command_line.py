"""The command line as a person types it: exit codes, one clear sentence, and nothing heavy before it is needed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("numpy", "scipy", "cv2", "PIL", "sqlalchemy", "PySide6", "msgspec", "alembic", "typst", "pydicom", "bagit")
FACTS = [1.2, 1.8, 2.1, 3.0, 3.6, 4.2, 5.0]
DAYS = ["2025-01-14", "2025-02-25", "2025-04-16", "2025-05-27", "2025-07-08", "2025-08-19", "2025-09-30"]
HEAD = "horse,foot,measure,definition,date,moment,days_since_trim,value,unit,u,goal,wanted"


def run(*arguments: str, home: Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "HOOFBOOK_HOME": str(home)}
    environment.pop("DISPLAY", None)
    environment.pop("QT_QPA_PLATFORM", None)
    return subprocess.run(
        [sys.executable, "-m", "hoofbook", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environment,
        cwd=cwd,
        check=False,
    )


def test_help_and_version_import_nothing_heavy(tmp_path: Path) -> None:
    code = (
        "import sys, contextlib\nfrom hoofbook.__main__ import main\n"
        "with contextlib.suppress(SystemExit): main(['--help'])\n"
        "with contextlib.suppress(SystemExit): main(['--version'])\n"
        f"print('HEAVY', [name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, encoding="utf-8", check=True)
    assert done.stdout.splitlines()[-1] == "HEAVY []"
    assert "measure" in done.stdout and "Hoofbook 0" in done.stdout


def test_no_display_is_said_and_is_no_traceback(tmp_path: Path) -> None:
    done = run(home=tmp_path)
    assert done.returncode == 2
    assert "No window was opened" in done.stderr and "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ("measure", "missing.json"),
        ("progress", "missing.csv"),
        ("progress", "."),
        ("compare", ".", "--horse", "Larkspur", "--foot", "LF", "--out", "x.png"),
        ("paper", "vet", ".", "--horse", "Larkspur", "--out", "x.pdf"),
        ("paper", "letter", ".", "--horse", "Larkspur", "--out", "x.pdf"),
        ("nothing",),
    ],
)
def test_a_wrong_request_ends_with_two_and_one_sentence(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    done = run(*arguments, home=tmp_path / "home", cwd=tmp_path)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()
    assert done.stdout == ""


def readings_file(folder: Path, values: list[float]) -> Path:
    rows = [
        f"Larkspur,LF,sole_concavity_at_frog_apex,hand_gauge,{day},after trim,42,{value},mm,,yes,more"
        for day, value in zip(DAYS, values, strict=True)
    ]
    path = folder / "readings.csv"
    path.write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
    return path


def test_progress_of_a_readings_file_tells_the_increase(tmp_path: Path) -> None:
    done = run("progress", str(readings_file(tmp_path, FACTS)), "--json", home=tmp_path)
    assert done.returncode == 0, done.stderr
    series = json.loads(done.stdout)["series"][0]
    assert (series["verdict"], series["as_wanted"], len(series["readings"])) == ("increase shown", True, 7)
    assert series["looks"][-1]["reading"] == 7


def test_other_values_give_another_sentence(tmp_path: Path) -> None:
    done = run("progress", str(readings_file(tmp_path, [2.0, 1.9, 2.1, 2.0, 2.2, 1.9, 2.1])), home=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "no change shown (smallest we could see:" in done.stdout


def test_the_guide_for_sole_photos_is_written_on_one_page(tmp_path: Path) -> None:
    out = tmp_path / "guide.pdf"
    done = run("card", "--guide", "--paper", "letter", "--out", str(out), home=tmp_path / "home")
    assert done.returncode == 0 and done.stdout == f"Guide for sole photos: {out.resolve()}\n"
    pages = subprocess.run(["pdfinfo", str(out)], capture_output=True, text=True, check=True).stdout
    assert "Pages:           1" in pages
    refused = run("card", "--guide", "--out", str(out / "guide.pdf"), home=tmp_path / "home")
    assert refused.returncode == 2 and refused.stdout == "" and refused.stderr.count("\n") == 1
