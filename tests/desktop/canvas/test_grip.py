"""What a hand takes hold of: numbers only, no window."""

from __future__ import annotations

from hoofbook.desktop.canvas.grip import GRIP, Gesture, Hold, Outcome, mark_at, moved, place_names, pressed, released

POINTS = {"toe_ground": (100.0, 200.0), "heel_ground": (140.0, 200.0)}


def play(points, press, moves, release, *, placing=False, gesture=None):
    gesture = pressed(gesture or Gesture(), points, press, placing=placing)
    outcomes = []
    for at in moves:
        gesture, outcome = moved(gesture, at)
        outcomes.append(outcome)
    gesture, outcome = released(gesture, release)
    return gesture, [*outcomes, outcome]


def test_the_nearest_mark_within_the_grip_is_taken():
    assert mark_at(POINTS, 118, 200) == "toe_ground"
    assert mark_at(POINTS, 122, 200) == "heel_ground"
    assert mark_at(POINTS, 100, 200 + GRIP - 0.1) == "toe_ground"
    assert mark_at(POINTS, 100, 200 + GRIP + 0.1) == ""
    assert mark_at(POINTS, 121, 200, first="toe_ground") == "toe_ground"


def test_a_drag_moves_a_mark_and_keeps_the_distance_of_the_hand():
    gesture, outcomes = play(POINTS, (103, 201), [(113, 201), (123, 221)], (133, 231))
    assert outcomes == [Outcome.MARK_MOVES, Outcome.MARK_MOVES, Outcome.MARK_PUT]
    assert gesture.at == (130, 230)


def test_a_click_picks_up_and_the_next_click_puts_down():
    gesture, outcomes = play(POINTS, (100, 200), [], (100, 200))
    assert outcomes == [Outcome.PICK] and gesture.hold is Hold.CARRIED
    gesture, outcome = moved(gesture, (150, 260))
    assert outcome is Outcome.MARK_MOVES and gesture.at == (150, 260)
    gesture, outcomes = play(POINTS, (151, 261), [], (151, 261), gesture=gesture)
    assert outcomes == [Outcome.MARK_PUT] and gesture.at == (151, 261)


def test_a_trembling_hand_still_clicks():
    _, outcomes = play({}, (300, 300), [(302, 301)], (303, 299), placing=True)
    assert outcomes == [Outcome.NONE, Outcome.CLICK]


def test_dragging_an_empty_place_moves_the_picture():
    _, outcomes = play(POINTS, (300, 300), [(320, 300)], (330, 300), placing=True)
    assert outcomes == [Outcome.PICTURE_MOVES, Outcome.NONE]


def test_a_mark_can_be_placed_close_to_another_but_a_drag_there_moves_the_old_one():
    """15 px from a ring: a click places the next mark, a drag takes hold of the ring."""
    _, outcomes = play(POINTS, (100, 215), [], (100, 215), placing=True)
    assert outcomes == [Outcome.CLICK]
    gesture, outcomes = play(POINTS, (100, 215), [(100, 225)], (100, 235), placing=True)
    assert outcomes[-1] is Outcome.MARK_PUT and gesture.name == "toe_ground" and gesture.at == (100, 220)


def test_names_cover_neither_each_other_nor_the_edge():
    points = {"a": (20.0, 20.0), "b": (60.0, 22.0), "c": (380.0, 100.0), "d": (200.0, 290.0)}
    sizes = dict.fromkeys(points, (90.0, 20.0))
    places = place_names(points, sizes, (400.0, 300.0))
    boxes = [(*places[name], 90.0, 20.0) for name in points]
    for i, (x, y, w, h) in enumerate(boxes):
        assert x >= 0 and x + w <= 400 and y >= 0 and y + h <= 300
        for ox, oy, ow, oh in boxes[i + 1 :]:
            assert x + w <= ox or ox + ow <= x or y + h <= oy or oy + oh <= y
