"""Marks, proposals, order and undo: no window."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoofbook.casework.bench import BenchPhoto, mark_lines
from hoofbook.desktop.bench.desk import MarkingDesk
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.views import View

NEEDED = ("toe_ground", "toe_hairline", "heel_ground", "heel_hairline")


def photo(key="a", *, view=View.LATERAL, marking=None, ghost=None, keys=()) -> BenchPhoto:
    return BenchPhoto(
        key, Path("a.jpg"), Path("a.jpg"), "Left fore, side", "", view.value, "LF", "after trim", keys or (key,),
        4032, 3024, mark_lines(view, in_set=len(keys) > 1), marking or Marking(), ghost or Marking(), None,
        "Card good", True, "", (), "",
    )  # fmt: skip


def proposals(names=NEEDED) -> Marking:
    return Marking({name: Mark(100.0 + i, 200.0, MarkState.PROPOSED) for i, name in enumerate(names)})


@pytest.fixture
def desk(qapp):
    desk = MarkingDesk()
    desk.take(photo())
    desk.show("a")
    return desk


def test_four_places_in_order_and_then_nothing_is_open(desk):
    for i, name in enumerate(NEEDED):
        assert desk.current == name and desk.is_placing
        assert desk.place(100 + i, 200, 1.0)
    assert desk.current == "" and not desk.is_placing
    assert list(desk.markings["a"].confirmed) == list(NEEDED)


def test_proposals_are_shown_but_counted_and_saved_nowhere(desk):
    desk.propose("a", proposals())
    assert desk.open_count == 4
    assert len(desk.visible().marks) == 4
    assert len(desk.markings["a"]) == 0 and desk.settled_set()["a"].confirmed == {}
    assert desk.confirm()
    assert list(desk.markings["a"].confirmed) == ["toe_ground"]
    assert desk.current == "toe_hairline" and desk.open_count == 3


def test_undo_of_a_yes_brings_the_broken_ring_back(desk):
    desk.propose("a", proposals())
    desk.confirm()
    desk.undo_stack.undo()
    assert desk.state_of("toe_ground") is MarkState.PROPOSED
    assert desk.current == "toe_ground"
    desk.undo_stack.redo()
    assert desk.state_of("toe_ground") is MarkState.CONFIRMED


def test_moving_a_proposal_confirms_it(desk):
    desk.propose("a", proposals())
    desk.put("heel_ground", 500, 600, 2.0)
    mark = desk.markings["a"].marks["heel_ground"]
    assert (mark.x, mark.y, mark.state, mark.zoom) == (500, 600, MarkState.CONFIRMED, 2.0)


def test_proposals_never_replace_what_a_person_placed(desk):
    desk.place(10, 20, 1.0)
    desk.propose("a", proposals())
    assert desk.visible().marks["toe_ground"].x == 10


def test_arrow_presses_in_a_row_are_one_gesture(desk):
    desk.place(10, 20, 1.0)
    desk.go_back()
    assert desk.current == "toe_ground"
    for _ in range(5):
        assert desk.nudge(1, 0, 1.0)
    assert desk.markings["a"].marks["toe_ground"].x == 15
    desk.undo_stack.undo()
    assert desk.markings["a"].marks["toe_ground"].x == 10
    desk.undo_stack.undo()
    assert "toe_ground" not in desk.markings["a"]


def test_not_seen_is_an_answer_and_goes_on(desk):
    assert desk.unseen()
    assert desk.state_of("toe_ground") is MarkState.UNSEEN
    assert desk.current == "toe_hairline"
    assert desk.markings["a"].confirmed == {}


def test_a_mark_taken_off_is_placed_anew(desk):
    for i in range(4):
        desk.place(100 + i, 200, 1.0)
    desk.choose("toe_hairline")
    assert desk.remove() and desk.is_placing
    assert desk.place(1, 2, 1.0)
    assert desk.current == "" and len(desk.markings["a"].confirmed) == 4


def test_a_mark_keeps_to_the_photo(desk):
    assert not desk.place(-20, 10, 1.0)
    desk.place(10, 10, 1.0)
    desk.put("toe_ground", 9999, -9, 1.0)
    mark = desk.markings["a"].marks["toe_ground"]
    assert (mark.x, mark.y) == (4031.5, -0.5)


def test_undo_reaches_over_photos_of_a_set(desk):
    keys = ("p", "q")
    for key in keys:
        desk.take(photo(key, view=View.SOLAR, keys=keys))
    wanted = []
    desk.photo_wanted.connect(lambda key: (wanted.append(key), desk.show(key)))
    desk.show("p")
    desk.place(5, 5, 1.0)
    desk.show("q")
    desk.place(6, 6, 1.0)
    desk.undo_stack.undo()
    desk.undo_stack.undo()
    assert wanted == ["p"] and desk.photo == "p" and desk.current == "rim_01"
    desk.undo_stack.redo()
    desk.undo_stack.redo()
    assert desk.photo == "q" and "rim_01" in desk.markings["q"]


def test_reading_a_photo_again_keeps_unsaved_marks(desk):
    desk.place(10, 20, 1.0)
    desk.take(photo())
    assert "toe_ground" in desk.markings["a"]


def test_enter_walks_through_placed_marks_and_optional_ones_wait_until_asked(desk):
    for i in range(4):
        desk.place(100 + i, 200, 1.0)
    desk.choose("toe_ground")
    seen = []
    while desk.current:
        seen.append(desk.current)
        desk.go_on()
    assert seen == list(NEEDED)
    desk.choose("dorsal_wall_mid")
    assert desk.is_placing and desk.place(7, 7, 1.0)
    assert desk.current == ""


def test_what_is_proposed_outside_the_photo_is_dropped(desk):
    desk.propose("a", Marking({"toe_ground": Mark(-4.0, 10.0, MarkState.PROPOSED)}))
    assert desk.state_of("toe_ground") is None
    desk.propose("a", Marking({"toe_ground": Mark(4.0, 10.0, MarkState.PROPOSED)}))
    assert desk.state_of("toe_ground") is MarkState.PROPOSED
