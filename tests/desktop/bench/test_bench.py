"""The Bench as a person works it: real clicks and keys on the real widgets, counted."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from hoofbook.desktop.bench.place import BenchPlace
from hoofbook.terms.marks import Mark, Marking, MarkState
from tests.desktop.bench.stand_in import BenchFromMemory, make_state, side_photo, sole_set

LEFT = Qt.MouseButton.LeftButton
NEEDED = ("toe_ground", "toe_hairline", "heel_ground", "heel_hairline")


class Person:
    """Clicks and presses keys on the canvas, and counts them."""

    def __init__(self, place: BenchPlace, qtbot) -> None:
        self.place = place
        self.canvas = place.canvas
        self.qtbot = qtbot
        self.clicks = 0
        self.presses = 0

    def click(self, x: float, y: float) -> None:
        self.clicks += 1
        QTest.mouseClick(self.canvas, LEFT, pos=self.spot(x, y))

    def press(self, *keys: Qt.Key, modifier: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        for key in keys:
            self.presses += 1
            QTest.keyClick(self.canvas, key, modifier)

    def spot(self, x: float, y: float) -> QPoint:
        return self.canvas.screen_point(x, y).toPoint()

    def settle(self) -> None:
        """Wait until all that runs in the background has arrived."""
        self.qtbot.waitUntil(lambda: not self.place._state.background.busy, timeout=8000)


@pytest.fixture
def open_bench(qtbot, tmp_path):
    made = []

    def make(photos, **options) -> tuple[Person, BenchFromMemory]:
        bench = BenchFromMemory(photos)
        place = BenchPlace(make_state(bench, **options))
        made.append(place)
        qtbot.addWidget(place)
        place.resize(1190, 830)
        place.show()
        place.show_horse("larkspur")
        person = Person(place, qtbot)
        person.settle()
        assert person.canvas.pyramid is not None and person.canvas.pyramid.sharpness == 1.0
        return person, bench

    yield make
    for place in made:
        place._state.background.close()


def ghost() -> Marking:
    return Marking({name: Mark(300.0 + 120 * i, 450, MarkState.PROPOSED) for i, name in enumerate(NEEDED)})


def test_one_side_photo_from_nothing_takes_four_clicks_and_enter(open_bench, tmp_path):
    photos = {"side": side_photo(tmp_path), "next": side_photo(tmp_path, "next")}
    person, bench = open_bench(photos)
    for x, y in ((330, 650), (420, 500), (700, 650), (780, 520)):
        person.click(x, y)
    person.press(Qt.Key.Key_Return)
    person.settle()
    assert person.clicks <= 4 and person.presses <= 1
    photo, kept = bench.passes[-1]
    assert photo == "side" and tuple(kept.confirmed) == NEEDED
    assert kept.marks["toe_ground"].x == pytest.approx(330, abs=1.5)
    assert kept.marks["toe_ground"].zoom == pytest.approx(person.canvas.frame.scale, rel=0.01)
    assert person.place.desk.photo == "next"


def test_confirming_the_proposals_of_the_last_visit_takes_five_keys(open_bench, tmp_path):
    photos = {"side": side_photo(tmp_path, ghost=ghost()), "next": side_photo(tmp_path, "next")}
    person, bench = open_bench(photos)
    assert person.place.desk.open_count == 4
    assert bench.passes == []
    person.press(*[Qt.Key.Key_Return] * 5)
    person.settle()
    assert person.presses <= 5 and person.clicks == 0
    assert tuple(bench.passes[-1][1].confirmed) == NEEDED
    assert person.place.desk.photo == "next"


def test_a_sole_set_of_three_takes_thirteen_clicks_and_thirty_keys(open_bench, tmp_path):
    """Six wall-edge marks, six sole-edge marks and the frog's point, in three photos."""
    person, bench = open_bench(sole_set(tmp_path))
    for i in range(13):
        person.click(340 + 40 * i, 300 + 25 * (i % 5))
    person.settle()
    person.press(Qt.Key.Key_Return)
    for _photo in (2, 3):
        person.settle()
        while person.place.desk.current:
            person.press(Qt.Key.Key_Return)
        if person.place.desk.photo != "three":
            person.press(Qt.Key.Key_Return)
    person.place.leave()
    person.settle()
    assert person.clicks <= 13 and person.presses <= 30
    last = dict(bench.passes)
    assert {key: len(marking.confirmed) for key, marking in last.items()} == {"one": 13, "two": 13, "three": 13}


def test_the_line_of_a_waiting_mark_alone_is_shown_and_goes_with_it(open_bench, tmp_path):
    person, _ = open_bench(sole_set(tmp_path))
    for i in range(13):
        person.click(340 + 40 * i, 300 + 25 * (i % 5))
    assert person.canvas.guide.points == (), "the first photo has nothing to go by"
    person.settle()
    person.press(Qt.Key.Key_Return)
    person.qtbot.waitUntil(lambda: len(person.canvas.guide.points) == 2, timeout=8000)
    first = person.place.desk.current
    assert person.place.desk.state_of(first) is MarkState.PROPOSED
    mark = person.place.desk.markings["one"].marks[first]
    assert person.canvas.guide.points == ((mark.x - 80, mark.y), (mark.x + 80, mark.y))
    picture = person.canvas.grab().toImage()
    middle = person.spot(mark.x - 60, mark.y)
    dark = [picture.pixelColor(middle.x(), middle.y() + d).lightness() for d in range(-3, 4)]
    core = min(range(2, 5), key=lambda at: dark[at])
    assert dark[core] < 130 and max(dark[:core]) > 170 < max(dark[core + 1 :]), "thin and dark between white edges"
    person.press(Qt.Key.Key_Return)
    person.settle()
    second = person.place.desk.current
    assert second != first and person.canvas.guide.points[0][1] == person.place.desk.markings["one"].marks[second].y
    person.place.desk.choose(first)
    assert person.canvas.guide.points == (), "a placed mark has no line"


def test_where_the_photos_of_a_set_were_taken_stands_in_the_panel(open_bench, tmp_path):
    person, _ = open_bench({**sole_set(tmp_path), "side": side_photo(tmp_path)})
    places = person.place.page.panel.places
    person.click(400, 400)
    person.qtbot.waitUntil(lambda: places.words.text() == "Good enough: three photos.", timeout=8000)
    assert not places.isHidden()
    person.place.show_photo("side")
    person.settle()
    assert places.isHidden()


def test_proposals_are_looked_for_once_more_when_four_marks_are_confirmed(open_bench, tmp_path):
    person, bench = open_bench(sole_set(tmp_path))
    for i in range(13):
        person.click(340 + 40 * i, 300 + 25 * (i % 5))
    person.press(Qt.Key.Key_Return)
    person.settle()
    assert bench.proposed.count("two") == 1
    for _ in range(3):
        person.press(Qt.Key.Key_Return)
    person.settle()
    assert bench.proposed.count("two") == 1
    person.press(Qt.Key.Key_Return)
    person.qtbot.waitUntil(lambda: bench.proposed.count("two") == 2, timeout=8000)
    while person.place.desk.current:
        person.press(Qt.Key.Key_Return)
        person.settle()
    assert bench.proposed.count("two") == 2


def test_a_mark_that_does_not_fit_is_named_and_a_click_leads_to_it(open_bench, tmp_path):
    person, _ = open_bench(sole_set(tmp_path))
    for i in range(13):
        person.click(340 + 40 * i, 760 if i == 7 else 300 + 25 * (i % 5))
    person.qtbot.waitUntil(lambda: len(person.place.page.panel.far.rows) > 0, timeout=8000)
    rows = person.place.page.panel.far.rows
    assert [row.far.mark for row in rows] == ["sole_edge_02"]
    assert rows[0].isVisible() and rows[0].accessibleName() == "sole_edge_02 is 41 px off: look again"
    person.press(Qt.Key.Key_Return)
    person.qtbot.waitUntil(lambda: len(person.place.page.panel.far.rows) > 0, timeout=8000)
    assert person.place.desk.photo == "two"
    row = person.place.page.panel.far.rows[0]
    QTest.mouseClick(row, LEFT)
    person.settle()
    assert (person.place.desk.photo, person.place.desk.current) == ("one", "sole_edge_02")
    start, to = person.spot(340 + 40 * 7, 760), person.spot(340 + 40 * 7, 350)
    QTest.mouseClick(person.canvas, LEFT, pos=start)
    QTest.mouseClick(person.canvas, LEFT, pos=to)
    person.qtbot.waitUntil(lambda: not person.place.page.panel.far.rows, timeout=8000)
    assert not person.place.page.panel.far.isVisible(), "a mark that fits says nothing"


def test_proposals_are_never_kept_unseen(open_bench, tmp_path):
    person, bench = open_bench({"side": side_photo(tmp_path, ghost=ghost())})
    person.press(Qt.Key.Key_Return)
    person.place.leave()
    person.settle()
    assert list(bench.passes[-1][1].marks) == ["toe_ground"]


def test_keys_alone_place_a_mark_at_the_crosshair(open_bench, tmp_path):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    person.press(Qt.Key.Key_Space)
    assert person.canvas.crosshair is not None
    assert len(person.place.desk.visible()) == 0, "nothing is placed before the crosshair was seen"
    start = person.canvas.crosshair
    person.press(Qt.Key.Key_Right, Qt.Key.Key_Right)
    person.press(Qt.Key.Key_Down, modifier=Qt.KeyboardModifier.ShiftModifier)
    assert person.canvas.crosshair == (start[0] + 2, start[1] + 10)
    person.press(Qt.Key.Key_Return)
    mark = person.place.desk.visible().marks["toe_ground"]
    assert (mark.x, mark.y) == (start[0] + 2, start[1] + 10)
    assert person.place.desk.current == "toe_hairline"


def test_arrows_move_one_pixel_shift_ten_and_undo_takes_them_back(open_bench, tmp_path):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    person.click(330, 650)
    person.press(Qt.Key.Key_Backspace)
    desk = person.place.desk
    before = desk.visible().marks["toe_ground"]
    person.press(Qt.Key.Key_Right)
    person.press(Qt.Key.Key_Up, modifier=Qt.KeyboardModifier.ShiftModifier)
    after = desk.visible().marks["toe_ground"]
    assert (after.x - before.x, after.y - before.y) == (1, -10)
    person.place.undo()
    assert desk.visible().marks["toe_ground"].x == before.x
    person.place.undo()
    assert len(desk.visible()) == 0
    person.place.redo()
    person.place.redo()
    assert desk.visible().marks["toe_ground"] == after


def test_drag_and_click_click_move_a_mark_and_can_be_undone(open_bench, tmp_path):
    person, _ = open_bench({"side": side_photo(tmp_path, ghost=ghost())})
    desk, canvas = person.place.desk, person.canvas
    start, end = person.spot(300, 450), person.spot(360, 600)
    QTest.mousePress(canvas, LEFT, pos=start)
    QTest.mouseMove(canvas, end)
    QTest.mouseRelease(canvas, LEFT, pos=end)
    moved = desk.visible().marks["toe_ground"]
    assert (moved.x, moved.y) == pytest.approx((360, 600), abs=1.5) and moved.state is MarkState.CONFIRMED
    person.place.undo()
    assert desk.state_of("toe_ground") is MarkState.PROPOSED
    person.click(300, 450)
    QTest.mouseMove(canvas, end)
    person.click(360, 600)
    assert desk.visible().marks["toe_ground"].x == pytest.approx(360, abs=1.5)


def test_zero_says_it_cannot_be_seen_and_goes_on(open_bench, tmp_path):
    person, bench = open_bench({"side": side_photo(tmp_path, ghost=ghost())})
    person.press(Qt.Key.Key_0)
    assert person.place.desk.current == "toe_hairline"
    person.place.leave()
    person.settle()
    assert bench.passes[-1][1].marks["toe_ground"].state is MarkState.UNSEEN


def test_live_measures_follow_the_marks_and_lead_to_how_measured(open_bench, tmp_path, qtbot):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    panel = person.place.page.panel
    assert not panel.measures.headline.isVisible()
    for x in (330, 420, 700, 780):
        person.click(x, 600 if x < 500 else 500)
    person.settle()
    qtbot.waitUntil(panel.measures.headline.isVisible)
    assert "4° ± 0.7" in panel.measures.headline.accessibleName()
    assert person.canvas.drawing is not None
    with qtbot.waitSignal(person.place._state.signals.go) as gone:
        QTest.mouseClick(panel.measures.rows[0], LEFT)
    assert gone.args == ["how_measured", {"measure": "toe_angle"}]


def test_the_same_spot_is_shown_twice_and_proposals_come_from_the_set(open_bench, tmp_path):
    person, bench = open_bench(sole_set(tmp_path))
    for i in range(3):
        person.click(400 + 90 * i, 400)
    person.press(Qt.Key.Key_PageDown)
    person.settle()
    assert bench.proposed == ["two"]
    panel = person.place.page.panel
    assert panel.same_spot.isVisible()
    there, here = panel.same_spot.marks
    assert here.x - there.x == pytest.approx(12) and here.state is MarkState.PROPOSED
    assert panel.next_brings.text() == "photo 2 should bring it to about ± 0.6"
    rows = {label: counts for label, counts, _ in panel.counts.cells}
    assert rows["ground edge of the wall"][:2] == ("3 of 6", "0 of 6")


def test_undo_brings_the_other_photo_of_the_set_back(open_bench, tmp_path):
    person, _ = open_bench(sole_set(tmp_path))
    person.click(400, 400)
    person.press(Qt.Key.Key_PageDown)
    person.settle()
    person.place.undo()
    person.settle()
    assert person.place.desk.photo == "one" and len(person.place.desk.visible()) == 0


def test_a_book_for_looking_says_so_and_keeps_nothing(open_bench, tmp_path, qtbot):
    person, bench = open_bench({"side": side_photo(tmp_path)}, read_only=True)
    person.click(400, 400)
    person.place.leave()
    person.settle()
    assert bench.passes == []
    assert len(person.place.desk.visible()) == 1


def test_card_figures_come_on_focus_and_on_click(open_bench, tmp_path):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    card = person.place.page.card
    assert not card.details_shown
    QTest.mouseClick(card, LEFT)
    assert card.details_shown
    QTest.mouseClick(card, LEFT)
    assert not card.details_shown
    person.canvas.setFocus()
    card.setFocus(Qt.FocusReason.TabFocusReason)
    assert card.details_shown


@pytest.mark.parametrize("size", [(1190, 830), (1037, 640), (960, 440), (820, 400)])
def test_the_photo_keeps_half_the_room_and_every_button_is_large_enough(open_bench, tmp_path, size):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    place = person.place
    place.resize(*size)
    QTest.qWait(20)
    share = place.canvas.width() * place.canvas.height() / (size[0] * size[1])
    assert share >= (0.5 if size[0] < 1000 else 0.45)  # beside a panel that stands open, in the drawer's rooms half
    assert place.page.panel.main.isVisible() or place.page.foot_main.isVisible()
    for button in (place.page.before, place.page.after, place.page.loupe_button):
        assert button.width() >= 36 and button.height() >= 36


def test_the_drawer_opens_by_key_and_closes_by_escape(open_bench, tmp_path):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    person.place.resize(960, 440)
    QTest.qWait(20)
    panel = person.place.page.panel
    assert not panel.isVisible()
    person.press(Qt.Key.Key_M)
    assert panel.isVisible()
    person.press(Qt.Key.Key_Escape)
    assert not panel.isVisible()


def test_remarks_follow_the_kept_marks(open_bench, tmp_path, qtbot):
    person, _ = open_bench({"side": side_photo(tmp_path)})
    remarks = person.place.page.panel.remarks
    assert remarks.text() == "The card leans a little."
    person.click(330, 650)
    person.click(420, 500)
    qtbot.waitUntil(lambda: remarks.text() == "2 marks are kept.", timeout=8000)
    assert len(person.place.desk.visible()) == 2
