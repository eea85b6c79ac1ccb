"""The whole sole in the window: made on asking, looked at in three ways, compared and saved."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from hoofbook.casework.cycle_by_cycle import read_cycle
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.readings import read_readings
from hoofbook.casework.sole_map import keep_map, make_map, read_sole_map
from hoofbook.casework.sole_shape import DenseResult
from hoofbook.desktop.background import Background
from hoofbook.desktop.sole_map.place import SoleMapPlace
from hoofbook.desktop.state import AppState
from hoofbook.desktop.theme import Theme
from hoofbook.housekeeping.settings import Settings
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def place(opened_sample: OpenBook, qtbot: QtBot) -> SoleMapPlace:
    background = Background()
    state = AppState(background, Theme(), Settings(), opened_sample)
    widget = SoleMapPlace(state)
    widget.background = background  # type: ignore[attr-defined]
    qtbot.addWidget(widget, before_close_func=lambda _w: background.close())
    widget.resize(1200, 860)
    widget.show()
    widget.show_horse(str(opened_sample.horse_named("Larkspur").key), foot="LF")
    qtbot.waitUntil(lambda: widget.sheet is not None, timeout=20_000)
    return widget


def make(opened: OpenBook, horse: str, foot: str, chosen: str = "", against: str = "") -> None:
    sheet = read_sole_map(opened, horse, foot, chosen, against)
    for job in (sheet.job, sheet.other_job):
        if job is None:
            continue
        work = make_map(job)
        try:
            while True:
                next(work)
        except StopIteration as done:
            assert isinstance(done.value, DenseResult)
            keep_map(opened, job, done.value)


def test_the_map_is_made_on_asking_and_read_with_pointer_and_keys(
    place: SoleMapPlace, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert place.make.isVisible() and not place.canvas.isVisible()
    qtbot.mouseClick(place.make, LEFT)
    assert place.stop.isVisible() and place.progress.isVisible()
    qtbot.waitUntil(place.canvas.isVisible, timeout=60_000)
    place.canvas.setFocus()
    before = place.canvas.at
    qtbot.keyClick(place.canvas, Qt.Key.Key_Up)
    assert place.canvas.at == (before[0] + 1.0, before[1])
    assert "in front of the frog apex" in place.said.text()
    qtbot.mouseClick(place.canvas, LEFT, pos=QPoint(place.canvas.width() // 3, place.canvas.height() // 2))
    assert place.canvas.at != before
    lamp = place.canvas.lamp
    qtbot.mouseClick(place.views.cell("lamp"), LEFT)
    qtbot.mouseMove(place.canvas, QPoint(place.canvas.width() - 40, place.canvas.height() - 40))
    qtbot.waitUntil(lambda: place.canvas.lamp != lamp, timeout=2_000)
    for button, ending in ((place.save_picture, "png"), (place.save_grid, "csv"), (place.save_mesh, "ply")):
        target = tmp_path / f"sole.{ending}"
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_a, name=str(target): (name, ""))
        qtbot.mouseClick(button, LEFT)
        qtbot.waitUntil(target.exists, timeout=10_000)


def test_stopping_leaves_the_place_as_it_was(place: SoleMapPlace, qtbot: QtBot) -> None:
    qtbot.mouseClick(place.make, LEFT)
    time.sleep(0.3)
    qtbot.mouseClick(place.stop, LEFT)
    assert place.make.isVisible() and not place.progress.isVisible()
    qtbot.waitUntil(lambda: not place._state.background.busy, timeout=10_000)


def test_first_and_last_visit_differ_and_the_other_foot_does_not(opened_sample: OpenBook) -> None:
    """The left fore truly gained 3.8 mm at the frog apex from visit 1 to 7, the right fore 0.1 mm."""
    horse = str(opened_sample.horse_named("Larkspur").key)
    for foot, gained in (("LF", 3.8), ("RF", 0.1)):
        make(opened_sample, horse, foot)
        sheet = read_sole_map(opened_sample, horse, foot)
        assert sheet.job is None and sheet.other_job is None
        assert sheet.change is not None and sheet.now is not None and sheet.then is not None
        one, other = sheet.then.at(6.0, 0.0), sheet.now.at(6.0, 0.0)
        assert one is not None and other is not None
        assert other[0] - one[0] == pytest.approx(gained, abs=0.6)
        assert bool(sheet.change.beyond.any()) is (gained > 1)
        assert ("no difference shown" in sheet.change_words) is (gained < 1)
        readings = read_readings(opened_sample, opened_sample.horse_named("Larkspur").key)
        for by in (Definition.FROM_SOLE_EDGE, Definition.FROM_WALL_EDGE):
            whole = readings.series(Foot(foot), "whole_sole_concavity_at_frog_apex", by).readings
            assert len(whole) == 2
            change = whole[1].value - whole[0].value
            true = true_apex(foot, 7, by) - true_apex(foot, 1, by)
            assert change == pytest.approx(true, abs=0.3), (foot, by)


def true_apex(foot: str, visit: int, by: Definition) -> float:
    """Depth at the frog apex as it was rendered, from the truth file beside the photos."""
    file = sample_case("larkspur") / f"visit-{visit}" / f"{foot.lower()}-sole-after-1.truth.json"
    measures = json.loads(file.read_text(encoding="utf-8"))["measures"]
    return float(measures[f"sole_concavity_at_frog_apex_{by.value}"])


def test_all_visits_are_measured_one_after_the_other_and_followed(place: SoleMapPlace, qtbot: QtBot) -> None:
    """The right fore has four sets: one press measures them, and they stand on a line of their own."""
    book = place._state.open_book
    assert book is not None
    place.show_horse(str(book.horse_named("Larkspur").key), foot="RF")
    qtbot.waitUntil(lambda: place.sheet is not None and place.sheet.feet.chosen == "RF", timeout=20_000)
    assert place.make_all.isVisible() and place.make_all.text() == "Measure all 4 visits"
    qtbot.mouseClick(place.make_all, LEFT)
    assert not place.make_all.isVisible() and place.stop.isVisible()
    qtbot.waitUntil(lambda: "visit 2 of 4" in place.progress.text(), timeout=60_000)
    qtbot.waitUntil(place.canvas.isVisible, timeout=120_000)
    assert not place.make.isVisible() and not place.make_all.isVisible()
    sheet = read_cycle(
        book, str(book.horse_named("Larkspur").key), foot="RF", measure="whole_sole_concavity_at_frog_apex",
        definition="from_sole_edge",
    )  # fmt: skip
    assert sheet.table is not None
    assert len([row for row in sheet.table.rows if " mm ± " in row[2]]) == 4
    assert sheet.measure == "whole_sole_concavity_at_frog_apex"


def test_a_horse_without_sole_sets_is_told_what_to_do(opened_sample: OpenBook) -> None:
    from hoofbook.casework.horses import HorseForm, add_horse

    sheet = read_sole_map(opened_sample, add_horse(opened_sample, HorseForm("Bramble")))
    assert sheet.empty is not None and "three sole photos" in sheet.empty.words.lower()


def test_what_a_set_lacks_is_said_and_drawn_and_a_click_leads_to_the_bench(
    opened_sample: OpenBook, qtbot: QtBot
) -> None:
    """Left with two places of the sole edge, the newest set says so; where its photos were taken is told all the same.

    The angles between its photos are those of the rendered cameras (30 and 28 degrees, sample_cases truth).
    """
    from hoofbook.casework.bench import save_pass
    from hoofbook.terms.marks import Marking

    sheet = read_sole_map(opened_sample, str(opened_sample.horse_named("Larkspur").key), "LF")
    assert sheet.job is not None and sheet.missing == ()
    for shot in sheet.job.shots:
        kept = {n: m for n, m in shot.marking.marks.items() if not n.startswith("sole_edge") or n[-2:] in ("01", "02")}
        save_pass(opened_sample, shot.key, Marking(kept))
    background = Background()
    state = AppState(background, Theme(), Settings(), opened_sample)
    asked: list[tuple[str, dict[str, str]]] = []
    state.signals.go.connect(lambda place, where: asked.append((place, where)))
    widget = SoleMapPlace(state)
    qtbot.addWidget(widget, before_close_func=lambda _w: background.close())
    widget.resize(960, 540)
    widget.show()
    widget.show_horse(str(opened_sample.horse_named("Larkspur").key), foot="LF")
    qtbot.waitUntil(lambda: widget.sheet is not None, timeout=20_000)
    assert not widget.make.isVisible() and widget.to_bench.isVisible()
    assert "The sole edge needs three places or more (2 so far)" in widget.not_made.text()
    assert widget.places.words.text().startswith("Good enough: three photos, 30° and 28° apart")
    assert widget.places.drawing.isVisible() and widget.places.drawing.drawing is not None
    qtbot.mouseClick(widget.to_bench, LEFT)
    assert asked == [("bench", {"photo": sheet.job.shots[0].key})]
