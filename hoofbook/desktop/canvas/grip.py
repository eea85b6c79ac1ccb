"""What the pointer takes hold of and what comes of it: pure functions of numbers, no window.

A press, some moves and a release make a gesture. A mark may be dragged, or picked up with one click and put down with
the next; an empty place may be dragged (the picture moves) or clicked (the next mark is placed there).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

GRIP = 24.0  # px round a mark within which a press takes hold of it
CLOSE_GRIP = 11.0  # the same while a mark waits to be placed, so that two marks may lie near each other
SLACK = 4.0  # px a hand may tremble between press and release of a click

Points = Mapping[str, tuple[float, float]]


class Hold(StrEnum):
    """What the pointer is doing."""

    NOTHING = "nothing"
    PRESSED_MARK = "pressed mark"
    PRESSED_PICTURE = "pressed picture"
    DRAGGED_MARK = "dragged mark"
    DRAGGED_PICTURE = "dragged picture"
    CARRIED = "carried"  # picked up by a click, follows the pointer until the next click


class Outcome(StrEnum):
    """What a step of a gesture means to whoever edits the marks."""

    NONE = "none"
    PICK = "pick"
    MARK_MOVES = "mark moves"
    MARK_PUT = "mark put"
    PICTURE_MOVES = "picture moves"
    CLICK = "click"


@dataclass(frozen=True, slots=True)
class Gesture:
    """`start` and `last` in frame screen; `offset` from the pointer to the held mark's centre."""

    hold: Hold = Hold.NOTHING
    name: str = ""
    start: tuple[float, float] = (0.0, 0.0)
    last: tuple[float, float] = (0.0, 0.0)
    offset: tuple[float, float] = (0.0, 0.0)

    @property
    def at(self) -> tuple[float, float]:
        """Screen place of the held mark's centre."""
        return self.last[0] + self.offset[0], self.last[1] + self.offset[1]

    @property
    def holds_mark(self) -> bool:
        return self.hold in (Hold.DRAGGED_MARK, Hold.CARRIED)


def mark_at(points: Points, x: float, y: float, *, reach: float = GRIP, first: str = "") -> str:
    """Name of the nearest mark within `reach` of the screen point, "" for none; `first` wins a tie within 4 px."""
    best, best_distance = "", reach
    for name, (mark_x, mark_y) in points.items():
        distance = ((mark_x - x) ** 2 + (mark_y - y) ** 2) ** 0.5 - (4.0 if name == first else 0.0)
        if distance < best_distance:
            best, best_distance = name, distance
    return best


def pressed(gesture: Gesture, points: Points, at: tuple[float, float], *, placing: bool, first: str = "") -> Gesture:
    """The gesture after the button went down at `at`; a carried mark stays carried until the release puts it down."""
    if gesture.hold is Hold.CARRIED:
        return Gesture(Hold.CARRIED, gesture.name, at, at, gesture.offset)
    name = mark_at(points, *at, first=first)
    if name and placing and not mark_at({name: points[name]}, *at, reach=CLOSE_GRIP):
        # far enough from its centre that a click means the next mark, near enough that a drag means this one
        return Gesture(Hold.PRESSED_PICTURE, name, at, at, _offset(points[name], at))
    if name:
        return Gesture(Hold.PRESSED_MARK, name, at, at, _offset(points[name], at))
    return Gesture(Hold.PRESSED_PICTURE, "", at, at)


def moved(gesture: Gesture, at: tuple[float, float]) -> tuple[Gesture, Outcome]:
    """The gesture after the pointer moved, and what it does meanwhile."""
    hold = gesture.hold
    far = abs(at[0] - gesture.start[0]) > SLACK or abs(at[1] - gesture.start[1]) > SLACK
    if hold in (Hold.PRESSED_MARK, Hold.PRESSED_PICTURE) and not far:
        return gesture, Outcome.NONE
    if hold is Hold.PRESSED_MARK or (hold is Hold.PRESSED_PICTURE and gesture.name):
        hold = Hold.DRAGGED_MARK
    elif hold is Hold.PRESSED_PICTURE:
        hold = Hold.DRAGGED_PICTURE
    after = Gesture(hold, gesture.name, gesture.start, at, gesture.offset)
    if hold in (Hold.DRAGGED_MARK, Hold.CARRIED):
        return after, Outcome.MARK_MOVES
    return after, Outcome.PICTURE_MOVES if hold is Hold.DRAGGED_PICTURE else Outcome.NONE


def released(gesture: Gesture, at: tuple[float, float]) -> tuple[Gesture, Outcome]:
    """The gesture after the button came up; `Outcome.PICK` leaves the mark carried."""
    after = Gesture(gesture.hold, gesture.name, gesture.start, at, gesture.offset)
    if gesture.hold is Hold.PRESSED_MARK:
        return Gesture(Hold.CARRIED, gesture.name, at, at, gesture.offset), Outcome.PICK
    if gesture.hold in (Hold.DRAGGED_MARK, Hold.CARRIED):
        return after, Outcome.MARK_PUT
    if gesture.hold is Hold.PRESSED_PICTURE:
        return after, Outcome.CLICK
    return Gesture(), Outcome.NONE


def _offset(point: tuple[float, float], at: tuple[float, float]) -> tuple[float, float]:
    return point[0] - at[0], point[1] - at[1]


Box = tuple[float, float, float, float]  # left, top, width, height


def place_names(
    points: Points, sizes: Mapping[str, tuple[float, float]], room: tuple[float, float], gap: float = 14.0
) -> dict[str, tuple[float, float]]:
    """Top left corners for the names beside their rings: right, left, above or below, whatever covers least.

    `sizes` holds width and height of each name to be shown; covered are other names, rings, and the room's edge.
    """
    rings = {name: (x - 12, y - 12, 24.0, 24.0) for name, (x, y) in points.items()}
    taken: list[Box] = []
    places: dict[str, tuple[float, float]] = {}
    for name, (wide, high) in sizes.items():
        x, y = points[name]
        corners = [
            (x + gap, y - high / 2),
            (x - gap - wide, y - high / 2),
            (x - wide / 2, y - gap - high),
            (x - wide / 2, y + gap),
            (x + gap, y - gap - high),
            (x - gap - wide, y + gap),
        ]
        others = [ring for other, ring in rings.items() if other != name] + taken
        cost = [_cost((left, top, wide, high), others, room) + 0.01 * i for i, (left, top) in enumerate(corners)]
        best = corners[cost.index(min(cost))]
        places[name] = best
        taken.append((*best, wide, high))
    return places


def _cost(box: Box, others: list[Box], room: tuple[float, float]) -> float:
    inside = _overlap(box, (0.0, 0.0, *room))
    return 3 * (box[2] * box[3] - inside) + sum(_overlap(box, other) for other in others)


def _overlap(a: Box, b: Box) -> float:
    wide = min(a[0] + a[2], b[0] + b[2]) - max(a[0], b[0])
    high = min(a[1] + a[3], b[1] + b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0
