"""Horse card, photo tray, cycle by cycle, scale card, how measured and set up, worked as a person would."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QPushButton

from hoofbook.desktop.cycle_by_cycle.place import CyclePlace
from hoofbook.desktop.horse_card.place import HorseCardPlace
from hoofbook.desktop.how_measured.place import HowMeasuredPlace
from hoofbook.desktop.photo_tray.place import PhotoTrayPlace
from hoofbook.desktop.scale_card.place import ScaleCardPlace
from hoofbook.desktop.set_up.place import SetUpPlace
from hoofbook.wording import labels
from tests.desktop.conftest import Desk

LEFT = Qt.MouseButton.LeftButton


def went(desk: Desk) -> list[tuple[str, dict[str, str]]]:
    """Collects where places ask to go, instead of going there."""
    desk.state.signals.go.disconnect(desk.window.go)
    found: list[tuple[str, dict[str, str]]] = []
    desk.state.signals.go.connect(lambda place, where: found.append((place, where)))
    return found


@pytest.fixture
def card(desk: Desk) -> HorseCardPlace:
    place = desk.go("horse_card")
    assert isinstance(place, HorseCardPlace)
    return place


def test_values_are_read_aloud_with_unit_and_spread(card: HorseCardPlace) -> None:
    name = card.panes["LF"].value.number.accessibleName()
    assert name == "Sole concavity: 4.8 mm ± 0.6, from the sole edge"
    assert card.panes["LH"].small_value.number.accessibleName() == "Toe angle: 52.3° ± 0.8"


def test_a_chip_reads_as_its_whole_sentence_and_shows_its_sign(card: HorseCardPlace) -> None:
    chip = card.panes["LF"].chip.chip
    assert chip.accessibleName().startswith("Left fore, sole concavity: increase shown, as wanted")
    assert chip.words.startswith("▲")


def test_a_foot_without_a_goal_gets_no_verdict(card: HorseCardPlace) -> None:
    assert not card.panes["LH"].chip.isVisible()


def test_the_photo_leads_to_the_bench_and_the_link_to_the_cycles(desk: Desk, card: HorseCardPlace) -> None:
    asked = went(desk)
    desk.bot.mouseClick(card.panes["LF"].photo, LEFT)
    desk.bot.keyClick(card.panes["RF"].photo, Qt.Key.Key_Return)
    desk.bot.mouseClick(card.panes["RF"].cycles, LEFT)
    desk.bot.keyClick(card.visits.rows[0], Qt.Key.Key_Return)
    assert [place for place, _ in asked] == ["bench", "bench", "cycle_by_cycle", "visit"]
    assert asked[2][1] == {"foot": "RF"} and asked[3][1] == {"visit": "v3"}


def test_a_goal_is_set_with_the_way_it_is_wanted_to_go(desk: Desk, card: HorseCardPlace) -> None:
    desk.bot.mouseClick(card.panes["LH"].set_goal, LEFT)
    desk.settle()
    dialog = card.goal_dialog
    assert not dialog.keep.isEnabled()
    desk.bot.mouseClick(dialog.measures.cell("1"), LEFT)
    desk.bot.mouseClick(dialog.wanted.cell("less"), LEFT)
    desk.bot.mouseClick(dialog.keep, LEFT)
    desk.settle()
    assert ("goal", "LH", "toe_angle", "", "less") in desk.casework.said
    assert not dialog.isVisible()


def test_the_difference_of_a_pair_is_a_goal_too(desk: Desk, card: HorseCardPlace) -> None:
    desk.bot.mouseClick(card.panes["LH"].set_goal, LEFT)
    desk.settle()
    dialog = card.goal_dialog
    desk.bot.mouseClick(dialog.measures.cell("3"), LEFT)
    desk.bot.mouseClick(dialog.wanted.cell("less"), LEFT)
    desk.bot.mouseClick(dialog.keep, LEFT)
    desk.settle()
    assert ("goal", "LH-RH", "toe_angle", "", "less") in desk.casework.said


def test_a_goal_that_is_followed_can_be_let_go(desk: Desk, card: HorseCardPlace) -> None:
    desk.bot.mouseClick(card.panes["LF"].set_goal, LEFT)
    desk.settle()
    dialog = card.goal_dialog
    stop = next(button for button in dialog.followed.findChildren(QPushButton) if "Sole concavity" in button.text())
    desk.bot.mouseClick(stop, LEFT)
    desk.settle()
    assert ("goal ended", "LF", "sole_concavity_at_frog_apex", "from_sole_edge") in desk.casework.said
    assert not dialog.isVisible()


def test_the_facts_of_a_horse_are_changed_in_its_form(desk: Desk, card: HorseCardPlace) -> None:
    desk.bot.mouseClick(card.change, LEFT)
    desk.settle()
    form = desk.window.makers.made["horse_form"]
    assert form.fields["owner"].text() == "A. K."  # type: ignore[attr-defined]
    desk.bot.keyClicks(form.fields["yard"], "Fell Gate")  # type: ignore[attr-defined]
    desk.bot.mouseClick(form.keep_it, LEFT)  # type: ignore[attr-defined]
    desk.settle()
    changed = next(said for said in desk.casework.said if said[0] == "change horse")
    assert changed[2].yard == "Fell Gate" and changed[2].name == "Larkspur"
    assert desk.window.place == "horse_card"


@pytest.fixture
def tray(desk: Desk) -> PhotoTrayPlace:
    place = desk.go("photo_tray")
    assert isinstance(place, PhotoTrayPlace)
    return place


def files(tmp_path: Path, *names: str) -> list[Path]:
    made = [tmp_path / name for name in names]
    for path in made:
        path.write_bytes(b"x")
    return made


def test_photos_in_by_the_button(
    desk: Desk, tray: PhotoTrayPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen = [str(path) for path in files(tmp_path, "a.jpg", "b.jpg")]
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: (chosen, ""))
    desk.bot.mouseClick(tray.choose, LEFT)
    desk.settle()
    desk.settle()
    assert set(tray.lines) == {"a", "b"}


def test_a_file_that_is_no_photo_says_what_to_do(desk: Desk, tray: PhotoTrayPlace, tmp_path: Path) -> None:
    tray.bring_in(files(tmp_path, "list.txt", "a.jpg"))
    desk.settle()
    desk.settle()
    refused = tray._refused.itemAt(0).widget()
    assert "Choose a JPEG" in refused.remarks.text()  # type: ignore[union-attr]
    assert set(tray.lines) == {"a"}


def test_a_photo_is_sorted_by_one_tap_each_and_the_next_one_opens(
    desk: Desk, tray: PhotoTrayPlace, tmp_path: Path
) -> None:
    tray.bring_in(files(tmp_path, "a.jpg", "b.jpg"))
    desk.settle()
    desk.settle()
    line = tray.lines["a"]
    assert line.is_unfolded and not tray.lines["b"].is_unfolded
    for field, value in (("foot", "LF"), ("view", "solar"), ("moment", "after trim"), ("visit", "v3")):
        desk.bot.mouseClick(line.rows[field].cell(value), LEFT)
        desk.settle()
    assert line.line.state == "filed" and line.head.text() == "left fore · sole · after trim · 30 Sep 2025"
    assert not line.is_unfolded and tray.lines["b"].is_unfolded


def test_sorting_is_taken_back(desk: Desk, tray: PhotoTrayPlace, tmp_path: Path) -> None:
    tray.bring_in(files(tmp_path, "a.jpg"))
    desk.settle()
    desk.settle()
    row = tray.lines["a"].rows["foot"]
    desk.bot.mouseClick(row.cell("LF"), LEFT)
    desk.settle()
    desk.bot.mouseClick(row.cell("RF"), LEFT)
    desk.settle()
    for expected in ("left fore", ""):
        desk.bot.keyClick(desk.window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        desk.settle()
        assert tray.lines["a"].line.foot == expected


def test_bringing_in_can_be_stopped_and_says_what_stays(desk: Desk, tray: PhotoTrayPlace, tmp_path: Path) -> None:
    tray.bring_in(files(tmp_path, *(f"p{i}.jpg" for i in range(60))))
    desk.bot.mouseClick(tray.progress.button, LEFT)
    desk.settle()
    desk.settle()
    assert desk.window.notice.words.text() == labels.BRINGING_STOPPED
    assert len(tray.lines) < 60 and not tray.progress.isVisible()


def test_photos_brought_in_on_a_visit_are_filed_under_it(desk: Desk, tmp_path: Path) -> None:
    desk.go("visit", visit="v3")
    desk.window.bring_in(files(tmp_path, "a.jpg"))
    desk.settle()
    assert ("take in", "a.jpg", "v3") in desk.casework.said


@pytest.fixture
def cycle(desk: Desk) -> CyclePlace:
    place = desk.go("cycle_by_cycle")
    assert isinstance(place, CyclePlace)
    return place


def test_points_are_walked_by_keys_with_their_words(desk: Desk, cycle: CyclePlace) -> None:
    chart = cycle.chart.chart
    asked = went(desk)
    chart.setFocus()
    desk.bot.keyClick(chart, Qt.Key.Key_Right)
    desk.bot.keyClick(chart, Qt.Key.Key_Right)
    assert cycle.chart.words.text() == "reading 2, 2.0 mm ± 0.7, after trim"
    desk.bot.keyClick(chart, Qt.Key.Key_End)
    assert chart.at == "r6"
    desk.bot.keyClick(chart, Qt.Key.Key_Return)
    assert asked == [("bench", {"photo": "photo-6"})]


def test_a_point_is_reached_by_pointer(desk: Desk, cycle: CyclePlace) -> None:
    chart = cycle.chart.chart
    asked = went(desk)
    place = chart.place_of("r3").toPoint()
    desk.bot.mouseMove(chart, place)
    assert chart.at == "r3"
    desk.bot.mouseClick(chart, LEFT, pos=place)
    assert asked == [("bench", {"photo": "photo-3"})]


def test_foot_and_measure_are_switched_by_keys(desk: Desk, cycle: CyclePlace) -> None:
    cell = cycle.feet.cell("LF")
    cell.setFocus()
    desk.bot.keyClick(cell, Qt.Key.Key_Right)
    desk.bot.keyClick(cycle.feet.cell("RF"), Qt.Key.Key_Space)
    desk.settle()
    assert desk.casework.said[-1] == ("cycle", "RF", "sole_concavity_at_frog_apex")
    desk.bot.mouseClick(cycle.measures.cell("toe_angle|"), LEFT)
    desk.settle()
    assert desk.casework.said[-1] == ("cycle", "RF", "toe_angle")


def test_more_measures_unfold_and_the_keyboard_stays_with_them(desk: Desk, cycle: CyclePlace) -> None:
    cell = cycle.measures.cell("more")
    cycle.measures.focus_cell(2)
    desk.bot.keyClick(cell, Qt.Key.Key_Space)
    assert [cell.value for cell in cycle.measures.cells][-1] == "heel_height|"
    assert cycle.focusWidget() in cycle.measures.cells
    desk.bot.mouseClick(cycle.measures.cell("heel_height|"), LEFT)
    desk.settle()
    assert desk.casework.said[-1] == ("cycle", "LF", "heel_height")


def test_the_other_moment_is_hidden_until_asked(desk: Desk, cycle: CyclePlace) -> None:
    def hollow() -> int:
        drawing = cycle.chart.chart.drawing
        assert drawing is not None
        return sum(getattr(part, "hollow", False) for part in drawing.primitives)

    assert hollow() == 0
    desk.bot.mouseClick(cycle.chart.before.cell("shown"), LEFT)
    assert hollow() == 7


def test_the_same_readings_as_a_table(desk: Desk, cycle: CyclePlace) -> None:
    desk.bot.mouseClick(cycle.chart.as_table, LEFT)
    assert cycle.chart.table.isVisible() and not cycle.chart.chart.isVisible()
    assert cycle.chart.table.rows[1].accessibleName() == "Day: 30 Sep, Value: 4.8 mm ± 0.6, Moment: after trim"
    desk.bot.mouseClick(cycle.chart.as_table, LEFT)
    assert cycle.chart.chart.isVisible()


def test_the_chart_is_copied_as_a_picture(desk: Desk, cycle: CyclePlace) -> None:
    desk.bot.mouseClick(cycle.chart.copy, LEFT)
    image = QGuiApplication.clipboard().image()
    assert image.width() == round(cycle.chart.chart.width() * 2)
    colours = {image.pixelColor(x, y).name() for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)}
    assert len(colours) > 3


def test_the_scale_card_is_made_where_the_person_says(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = desk.go("scale_card")
    assert isinstance(place, ScaleCardPlace)
    out = tmp_path / "card.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    desk.bot.mouseClick(place.letter, LEFT)
    desk.settle()
    assert out.read_bytes().startswith(b"%PDF") and ("card", "letter") in desk.casework.said
    assert str(out) in desk.window.notice.words.text()


def test_the_guide_is_reached_from_card_and_tray_and_made_where_the_person_says(
    desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hoofbook.desktop.photo_guide.place import PhotoGuidePlace

    for start in ("scale_card", "photo_tray"):
        desk.bot.mouseClick(desk.go(start).guide, LEFT)  # type: ignore[attr-defined]
        desk.settle()
        assert desk.window.place == "photo_guide"
    place = desk.window.makers.place("photo_guide")
    assert isinstance(place, PhotoGuidePlace) and len(place.views) == 5
    out = tmp_path / "guide.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out), ""))
    desk.bot.mouseClick(place.letter, LEFT)
    desk.settle()
    assert out.read_bytes().startswith(b"%PDF") and ("guide", "letter") in desk.casework.said
    assert str(out) in desk.window.notice.words.text()


def test_how_measured_shows_one_and_then_all(desk: Desk) -> None:
    place = desk.go("how_measured", measure="toe_angle")
    assert isinstance(place, HowMeasuredPlace)
    assert place.all.isVisible() and place.views[0].title.text() == "Toe angle"
    desk.bot.mouseClick(place.all, LEFT)
    desk.settle()
    assert not place.all.isVisible()


def test_set_up_keeps_the_name_that_was_typed(desk: Desk) -> None:
    place = desk.go("set_up")
    assert isinstance(place, SetUpPlace)
    desk.bot.keyClicks(place.person, "J. Smith")
    desk.bot.keyClick(place.person, Qt.Key.Key_Return)
    desk.settle()
    assert desk.state.settings.person == "J. Smith"
    assert ("settings", {"person": "J. Smith"}) in desk.casework.said
