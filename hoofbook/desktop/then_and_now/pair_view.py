"""Where two photos lie in one view: pure numbers.

Frame *shared*: millimetres that both photos share after move, turn and scale (x right, y down). Frame *picture* of the
pair's view: the same millimetres from the upper left corner of the sensible window, as `canvas.frame` wants them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from hoofbook.desktop.canvas.frame import ViewFrame
from hoofbook.terms.drawing import Arc, Band, Drawing, Line, Primitive, Spot, Text
from hoofbook.terms.shown import Pick

ToMm = tuple[tuple[float, float, float], tuple[float, float, float]]


class Way(StrEnum):
    """How the two are shown."""

    CURTAIN = "curtain"
    SIDE_BY_SIDE = "side by side"
    FADE = "fade"
    FLIP = "flip"
    ROW = "row"
    YEAR = "year"

    @property
    def of_two(self) -> bool:
        """Whether it shows a pair; else several visits."""
        return self not in (Way.ROW, Way.YEAR)


@dataclass(frozen=True, slots=True)
class Window:
    """The sensible part of frame shared: left, top, right, bottom in mm."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def size(self) -> tuple[float, float]:
        return max(self.right - self.left, 1.0), max(self.bottom - self.top, 1.0)


def to_screen(to_mm: ToMm, window: Window, frame: ViewFrame) -> ToMm:
    """2 x 3 matrix from the outer corner of a photo's first pixel (px) to screen px."""
    (a, b, c), (d, e, f) = to_mm
    s = frame.scale
    c, f = c - (a + b) / 2 - window.left, f - (d + e) / 2 - window.top
    return (a * s, b * s, c * s + frame.left), (d * s, e * s, f * s + frame.top)


def in_window(drawing: Drawing, to_mm: ToMm, window: Window) -> Drawing:
    """A drawing in frame photo moved to frame picture of the pair, as `drawing_painter` expects it.

    The painter adds half a pixel to what it takes for photo coordinates, so half a unit is taken off here.
    """
    (a, _, _), (d, _, _) = to_mm
    grown, turned = math.hypot(a, d), math.degrees(math.atan2(d, a))

    def moved(point: tuple[float, float]) -> tuple[float, float]:
        (a, b, c), (d, e, f) = to_mm
        x, y = point
        return a * x + b * y + c - window.left - 0.5, d * x + e * y + f - window.top - 0.5

    def one(what: Primitive) -> Primitive:
        if isinstance(what, Line | Band):
            return replace(what, points=tuple(moved(point) for point in what.points))
        if isinstance(what, Arc):
            return replace(what, centre=moved(what.centre), radius=what.radius * grown, start=what.start - turned)
        if isinstance(what, Spot):
            return replace(what, centre=moved(what.centre), radius=what.radius * grown)
        assert isinstance(what, Text)
        return replace(what, at=moved(what.at))

    return replace(drawing, primitives=tuple(one(what) for what in drawing.primitives))


def newest_two(before: Sequence[str], wished: Sequence[str]) -> tuple[str, ...]:
    """Of what is wished the two that were chosen last; `wished` comes in no order of choosing."""
    ordered = [key for key in before if key in wished] + [key for key in wished if key not in before]
    return tuple(ordered[-2:])


def still_there(chosen: tuple[str, ...] | None, pick: Pick) -> tuple[str, ...] | None:
    """What a person chose, where this view has any of it; None = as proposed. Nothing chosen stays nothing."""
    if not chosen:
        return chosen
    return tuple(key for key in chosen if key in pick.options) or None


def visits_between(keys: Sequence[str], then: str, now: str, most: int) -> list[str]:
    """The two visits and, evenly chosen, as many of those between them as make `most`; in the order of `keys`."""
    ends = sorted(keys.index(key) for key in {then, now} if key in keys)
    if len(ends) < 2:
        return [key for key in keys if key in (then, now)]
    between = keys[ends[0] + 1 : ends[1]]
    count = min(most - 2, len(between))
    picked = {between[round((place + 1) * (len(between) + 1) / (count + 1)) - 1] for place in range(count)}
    return [key for key in keys if key in {then, now} | picked]


def strip_between(before: float, after: float, height: int, reach: int) -> tuple[int, int, int, int]:
    """Left, top, width, height of what a moved curtain changes: from the old place to the new, with its handle."""
    left = math.floor(min(before, after)) - reach
    return left, 0, math.ceil(max(before, after)) + reach - left, height
