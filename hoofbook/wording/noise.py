"""Words and the strip of dots of Could be noise: what two readings would have been, marked once more by chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoofbook.progress.pair import PairChange
from hoofbook.progress.series import Reading
from hoofbook.terms.drawing import Anchor, Band, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.terms.quantity import COVERAGE, MEASURES, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.wording.chart_frame import scale
from hoofbook.wording.chart_room import text_width
from hoofbook.wording.numbers import amount, change, limit, span
from hoofbook.wording.refusals import sentence
from hoofbook.wording.verdicts import reading_words, scatter_words

EXPLAINED = (
    "Each step of the slider places every mark once more, as far off as a hand may be, and lets all else that is not "
    "certain fall by chance. What both readings share moves both alike. The photos are measured anew each time."
)
INSIDE = "19 times in 20"
DRAWING = "Measuring the two photos again"
_DOT = 3.4
_ROWS = 9
_TICKS = 6


def side_words(reading: Reading) -> str:
    """`30 Sep 2025, after trim: 4.8 mm ± 0.6`"""
    return reading_words(reading, MEASURES[reading.measure])


def value_words(value: float, half: float, measure: str) -> str:
    return amount(value, MEASURES[measure], like=half)


def difference_words(value: float, half: float, measure: str) -> str:
    return change(value, half, MEASURES[measure])


def step_words(done: int, total: int) -> str:
    return f"{DRAWING}: {done} of {total}"


def measuring_alone(value: float, u: float, measure: str) -> str:
    """Whether measuring alone could make this difference: never a verdict."""
    half = COVERAGE * u
    reach = span(value - half, value + half, MEASURES[measure])
    if abs(value) > half:
        return f"By measuring alone the difference is {reach} (19 times in 20): measuring alone does not make it."
    return f"By measuring alone the difference is {reach} (19 times in 20): nought lies inside, so it may be nothing."


def with_visits(found: PairChange | Refusal, measure: str) -> str:
    """What is added by how a foot changes from visit to visit, or why the two are not compared."""
    if isinstance(found, Refusal):
        return sentence(found)
    unit = MEASURES[measure]
    scatter = scatter_words(found, unit) or limit(found.tau, unit)
    return (
        f"A foot also differs from visit to visit by itself (scatter {scatter}): with that "
        f"{span(found.low, found.high, unit)}. Two readings give an interval and no verdict."
    )


def so_far(differences: Sequence[float], stated: float, measure: str) -> str:
    """`37 times measured anew: −0.4 to 1.7 mm; 5 of them the other way round.`"""
    count = len(differences)
    if not count:
        return ""
    reach = span(min(differences), max(differences), MEASURES[measure])
    turned = sum(1 for difference in differences if difference * stated < 0)
    other = "none of them" if not turned else "1 of them" if turned == 1 else f"{turned} of them"
    times = "once" if count == 1 else f"{count} times"
    return f"Measured anew {times}: {reach}; {other} the other way round."


def strip(
    differences: Sequence[float],
    at: int,
    stated: tuple[float, float],
    measure: str,
    *,
    width: float,
    height: float,
    text_size: float,
) -> Drawing:
    """All differences so far as dots over one axis, the one shown now filled; the tint is the stated 95 % interval.

    `stated` is the difference of the two readings and its standard uncertainty by measuring alone. The axis does not
    move while dots come in.
    """
    value, u = stated
    reach = 4.5 * u or 1.0
    axis = _Axis(
        low=min(value - reach, -0.3 * reach),
        high=max(value + reach, 0.3 * reach),
        left=0.6 * text_size,
        right=width - 0.6 * text_size,
        foot=height - 1.7 * text_size,
    )
    low, high = axis.x(value - COVERAGE * u), axis.x(value + COVERAGE * u)
    marks: list[Primitive] = [
        Band(((low, 4.0), (high, 4.0), (high, axis.foot), (low, axis.foot)), Role.CALM_TINT),
        Line(((axis.left, axis.foot), (axis.right, axis.foot)), Role.LINE, 1.2),
        Line(((axis.x(0.0), 2.0), (axis.x(0.0), axis.foot)), Role.SOFT_INK, 1.4, dashed=True),
    ]
    if high - low > text_width(INSIDE, text_size):
        marks.append(Text(((low + high) / 2, 4.0 + 1.1 * text_size), INSIDE, text_size, Role.SOFT_INK, Anchor.MIDDLE))
    marks += _ticks(axis, text_size, MEASURES[measure])
    marks += _dots(differences, at, axis)
    return Drawing(width, height, tuple(marks), so_far(differences, value, measure))


@dataclass(frozen=True, slots=True)
class _Axis:
    """From values to points: `low` stands at `left`, `high` at `right`; what lies beyond stands at the end."""

    low: float
    high: float
    left: float
    right: float
    foot: float

    def x(self, value: float) -> float:
        inside = min(max(value, self.low), self.high)
        return self.left + (inside - self.low) / (self.high - self.low) * (self.right - self.left)


def _ticks(axis: _Axis, size: float, unit: Unit) -> list[Primitive]:
    start, end, step = scale(axis.low, axis.high, False, _TICKS * 2.0 * size, size)
    marks: list[Primitive] = []
    free = 0.0
    for number in range(round((end - start) / step) + 1):
        value = start + number * step
        if not axis.low <= value <= axis.high:
            continue
        words = "0" if abs(value) < step / 1e6 else change(value, 10 * step, unit)
        at, wide = axis.x(value), text_width(words, size)
        marks.append(Line(((at, axis.foot), (at, axis.foot + 4.0)), Role.LINE))
        if at - wide / 2 >= free and at + wide / 2 <= axis.right + 0.6 * size:
            marks.append(Text((at, axis.foot + 1.3 * size), words, size, Role.SOFT_INK, Anchor.MIDDLE))
            free = at + wide / 2 + 0.5 * size
    return marks


def _dots(differences: Sequence[float], at: int, axis: _Axis) -> list[Primitive]:
    """Dots stacked where they would lie on each other; full columns start again from below."""
    columns: dict[int, int] = {}
    marks: list[Primitive] = []
    now: list[Primitive] = []
    for number, difference in enumerate(differences):
        place = axis.x(difference)
        row = columns.setdefault(int(place / (2 * _DOT)), 0)
        columns[int(place / (2 * _DOT))] = row + 1
        centre = (place, axis.foot - 2 * _DOT - (row % _ROWS) * 2 * _DOT)
        if number == at:
            now = [Spot(centre, 2 * _DOT, Role.LEATHER)]
        else:
            marks.append(Spot(centre, _DOT, Role.SOFT_INK))
    return marks + now
