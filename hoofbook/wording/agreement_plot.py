"""First take against second take as a Drawing: differences over means, with bias and limits (Bland and Altman 1986).

Coordinates are points of the given width and height, x right by the mean of both takes, y down; the difference 0 is
always in sight and the scale reaches equally far above and below it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoofbook.progress.agreement import Limits
from hoofbook.terms.drawing import Anchor, Band, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.terms.quantity import MEASURES, Definition, Unit
from hoofbook.wording import numbers
from hoofbook.wording.chart_frame import scale
from hoofbook.wording.chart_room import Box, text_width
from hoofbook.wording.repeatability import limits_words

UPPER, BIAS, LOWER = "upper limit", "mean difference", "lower limit"
ACROSS, UP = "mean of both takes", "first less second take"


def agreement_plot(
    measure: str,
    definition: Definition,
    limits: Limits,
    *,
    width: float = 720.0,
    height: float = 320.0,
    text_size: float = 13.0,
) -> Drawing:
    """Dots are the feet taken twice; between the limits of agreement lies the band, and each of the three lines ends
    in the bar of its 95 % interval."""
    unit, size = MEASURES.get(measure, Unit.MM), text_size
    chart = _Chart.of(limits, unit, width, height, size)
    plot = chart.plot
    marks: list[Primitive] = [Text((0.0, 1.0 * size), _with_unit(UP, unit), size, Role.SOFT_INK)]
    marks.append(chart.band(limits.lower, limits.upper))
    for value in chart.ticks:
        marks.append(Line(((plot.left, chart.y(value)), (plot.right, chart.y(value))), Role.LINE, 1.0))
        at = (plot.left - 0.5 * size, chart.y(value) + 0.35 * size)
        words = numbers.figure(value, _places(chart.step), signed=True)
        marks.append(Text(at, words, size, Role.SOFT_INK, Anchor.END))
    marks.append(Line(((plot.left, chart.y(0.0)), (plot.right, chart.y(0.0))), Role.SOFT_INK, 1.0))
    for line in _lines(limits):
        marks += chart.line(line, numbers.change(line.value, line.half, unit))
    marks += [Spot((chart.x(mean), chart.y(apart)), 4.5, Role.INK) for mean, apart in limits.points]
    for mean in _some(*chart.across):
        at = (chart.x(mean), plot.bottom + 1.3 * size)
        words = numbers.figure(mean, _places(chart.across[2]))
        marks.append(Text(at, words, size, Role.SOFT_INK, Anchor.MIDDLE))
    middle = ((plot.left + plot.right) / 2, height - 0.5 * size)
    marks.append(Text(middle, _with_unit(ACROSS, unit), size, Role.SOFT_INK, Anchor.MIDDLE))
    return Drawing(width, height, tuple(marks), _alt(measure, definition, limits, unit))


@dataclass(frozen=True, slots=True)
class _Line:
    value: float
    half: float
    name: str


@dataclass(frozen=True, slots=True)
class _Chart:
    """The plot's box, the reach of its differences (alike both ways), their step, and the scale of the means."""

    plot: Box
    reach: float
    step: float
    across: tuple[float, float, float]
    size: float

    @classmethod
    def of(cls, limits: Limits, unit: Unit, width: float, height: float, size: float) -> _Chart:
        ends = [abs(line.value) + line.half for line in _lines(limits)]
        reach = 1.05 * max([*ends, *(abs(apart) for _, apart in limits.points), 1e-9])
        tall = height - 5.6 * size
        step = scale(-reach, reach, False, tall, size)[2]
        means = [mean for mean, _ in limits.points]
        across = scale(min(means), max(means), False, width / 3, size)
        said = [numbers.figure(-reach, _places(step), signed=True), numbers.figure(reach, _places(step), signed=True)]
        left = max(text_width(words, size) for words in said) + 0.9 * size
        beside = [numbers.change(line.value, line.half, unit) for line in _lines(limits)]
        room = max(text_width(words, size, bold=True) for words in (*beside, UPPER, BIAS, LOWER)) + 1.2 * size
        return cls(Box(left, 2.0 * size, width - room, 2.0 * size + tall), reach, step, across, size)

    @property
    def ticks(self) -> list[float]:
        most = math.floor(self.reach / self.step)
        return [k * self.step for k in range(-most, most + 1)]

    def x(self, mean: float) -> float:
        first, last, _ = self.across
        room = self.plot.right - self.plot.left - 4.4 * self.size
        return self.plot.left + 1.2 * self.size + (mean - first) / (last - first) * room

    def y(self, apart: float) -> float:
        return self.plot.bottom - (apart + self.reach) / (2 * self.reach) * (self.plot.bottom - self.plot.top)

    def band(self, low: float, high: float) -> Band:
        left, right, top, foot = self.plot.left, self.plot.right, self.y(high), self.y(low)
        return Band(((left, top), (right, top), (right, foot), (left, foot)))

    def line(self, line: _Line, words: str) -> list[Primitive]:
        """The line, the bar of its interval near its end, its value and what it is."""
        size, right, y = self.size, self.plot.right, self.y(line.value)
        bar = right - (1.6 if line.name is BIAS else 0.7) * size
        ends = (self.y(line.value - line.half), self.y(line.value + line.half))
        caps = [Line(((bar - 4, end), (bar + 4, end)), Role.CALM, 1.6) for end in ends]
        return [
            Line(((self.plot.left, y), (right, y)), Role.CALM, 1.8, dashed=line.name is not BIAS),
            Line(((bar, ends[0]), (bar, ends[1])), Role.CALM, 1.6),
            *caps,
            Text((right + 0.6 * size, y - 0.15 * size), words, size, Role.INK, bold=True),
            Text((right + 0.6 * size, y + size), line.name, size, Role.SOFT_INK),
        ]


def _lines(limits: Limits) -> tuple[_Line, _Line, _Line]:
    half = limits.limit_half
    bias = _Line(limits.bias, limits.bias_high - limits.bias, BIAS)
    return _Line(limits.upper, half, UPPER), bias, _Line(limits.lower, half, LOWER)


def _with_unit(words: str, unit: Unit) -> str:
    sign = numbers.unit_sign(unit).strip()
    return f"{words} ({sign})" if sign else words


def _places(step: float) -> int:
    return max(0, -math.floor(math.log10(step) + 1e-9))


def _some(first: float, last: float, step: float) -> list[float]:
    """Three values or fewer: both ends and the middle tick."""
    count = round((last - first) / step)
    return [first + k * step for k in sorted({0, count // 2, count})]


def _alt(measure: str, definition: Definition, limits: Limits, unit: Unit) -> str:
    half = max(limits.upper - limits.lower, 1e-9) / 10
    points = "; ".join(
        f"{numbers.amount(mean, unit, like=half)}: {numbers.amount(difference, unit, like=half, signed=True)}"
        for mean, difference in limits.points
    )
    return f"{limits_words(measure, definition, limits)} Mean and difference of each foot: {points}."
