"""Stopping the measuring of a whole sole, ten times at random: at once, and nothing is left behind.

Processes are read from /proc, which knows nothing of the program; the times are seeded.
"""

from __future__ import annotations

import os
import random
import statistics
import tempfile
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QEventLoop, QObject, QTimer
from pytestqt.qtbot import QtBot

from hoofbook.casework.map_jobs import MapJob, make_map
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.sole_map import read_sole_map
from hoofbook.desktop.background import Background

AT_ONCE = 0.5


def children() -> set[int]:
    """Processes of ours, ended ones nobody waited for among them, by /proc (field 4 of stat is the parent)."""
    found = set()
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            parent = stat.read_text(encoding="ascii", errors="replace").rpartition(")")[2].split()[1]
        except OSError:  # it has ended meanwhile
            continue
        if int(parent) == os.getpid():
            found.add(int(stat.parent.name))
    return found


def files_under(*folders: Path) -> set[Path]:
    return {path for folder in folders for path in folder.rglob("*")}


def wait(seconds: float) -> None:
    loop = QEventLoop()
    QTimer.singleShot(round(seconds * 1000), loop.quit)
    loop.exec()


@pytest.fixture
def job(opened_sample: OpenBook) -> MapJob:
    sheet = read_sole_map(opened_sample, str(opened_sample.horse_named("Larkspur").key), "LF")
    assert sheet.job is not None
    return sheet.job


def test_ten_stops_leave_no_process_and_no_file_and_take_no_time(
    own_sample_book: Path,
    job: MapJob,
    qtbot: QtBot,
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    temporary = tmp_path_factory.mktemp("temporary")
    monkeypatch.setenv("TMPDIR", str(temporary))
    monkeypatch.setattr(tempfile, "tempdir", None)
    start = time.monotonic()
    for _ in make_map(job):  # also starts the one helper process that Python keeps for all children
        pass
    whole = time.monotonic() - start
    processes, files = children(), files_under(temporary, own_sample_book)
    background, owner, chance = Background(), QObject(), random.Random(7)
    took, stopped, done = [], [], []
    for number in range(10):
        running = background.long(
            owner, lambda: make_map(job), done.append, stopped=lambda: stopped.append(1), on_pixels=True
        )
        wait(0.07 * whole * (number + chance.random()))
        assert not done, "the times must lie within the work"
        assert len(children() - processes) == 1
        start = time.monotonic()
        running.cancel()
        qtbot.waitUntil(lambda count=number + 1: len(stopped) == count, timeout=5000)
        took.append(time.monotonic() - start)
        assert children() == processes
        assert files_under(temporary, own_sample_book) == files
    background.close()
    assert statistics.median(took) < AT_ONCE and max(took) < 2 * AT_ONCE, took
    assert not done and children() == processes
