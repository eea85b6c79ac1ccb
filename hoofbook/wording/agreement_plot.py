"""First take against second take as a Drawing: differences over means, with bias and limits (Bland and Altman 1986).

Coordinates are points of the given width and height, x right by the mean of both takes, y down; the difference 0 is
always in sight and the scale reaches equally far above and below it.
"""

from __future__ import annotations

import math

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
    """Dots are the feet taken twice; the lines bias and limits of agreement, each in the band of its 95 % interval."""
    unit, size = MEASURES.get(measure, Unit.MM), text_size
    sign = numbers.unit_sign(unit)
    means = [mean for mean, _ in limits.points]
    reach = max(
        abs(limits.lower) + limits.limit_half,
        abs(limits.upper) + limits.limit_half,
        *(abs(difference) for _, difference in limits.points),
    )
    tall = height - 4.6 * size
    low, high, step = scale(-reach, reach, False, tall, size)
    first, last, apart = scale(min(means), max(means), False, width / 3, size)
    ticks = [low + k * step for k in range(round((high - low) / step) + 1)]
    said = [numbers.figure(value, _places(step), signed=True) for value in ticks]
    right_words = [numbers.change(value, half, unit) for value, half in _lines(limits)]
    room = max(text_width(words, size) for words in (*right_words, UPPER, BIAS, LOWER)) + 1.2 * size
    left = max(text_width(words, size) for words in said) + 0.9 * size
    plot = Box(left, 2.0 * size, width - room, 2.0 * size + tall)

    def x(mean: float) -> float:
        return plot.left + 1.2 * size + (mean - first) / (last - first) * (plot.right - plot.left - 2.4 * size)

    def y(difference: float) -> float:
        return plot.bottom - (difference - low) / (high - low) * (plot.bottom - plot.top)

    marks: list[Primitive] = [Text((0.0, 1.0 * size), f"{UP}{f',{sign}' if sign else ''}", size, Role.SOFT_INK)]
    for value, words in zip(ticks, said, strict=True):
        marks.append(Line(((plot.left, y(value)), (plot.right, y(value))), Role.LINE, 1.6 if value == 0 else 1.0))
        at = (plot.left - 0.5 * size, y(value) + 0.35 * size)
        marks.append(Text(at, words, size, Role.SOFT_INK, Anchor.END))
    for (value, half), words, name in zip(_lines(limits), right_words, (UPPER, BIAS, LOWER), strict=True):
        top, foot = y(value + half), y(value - half)
        marks.append(Band(((plot.left, top), (plot.right, top), (plot.right, foot), (plot.left, foot))))
        marks.append(Line(((plot.left, y(value)), (plot.right, y(value))), Role.CALM, 1.8, dashed=name is not BIAS))
        marks += _named((plot.right + 0.6 * size, y(value)), words, name, size)
    marks += [Spot((x(mean), y(difference)), 4.5, Role.INK) for mean, difference in limits.points]
    for mean in _some(first, last, apart):
        at = (x(mean), plot.bottom + 1.3 * size)
        marks.append(Text(at, numbers.figure(mean, _places(apart)), size, Role.SOFT_INK, Anchor.MIDDLE))
    across = f"{ACROSS}{f',{sign}' if sign else ''}"
    marks.append(Text(((plot.left + plot.right) / 2, height - 0.4 * size), across, size, Role.SOFT_INK, Anchor.MIDDLE))
    return Drawing(width, height, tuple(marks), _alt(measure, definition, limits, unit))


def _lines(limits: Limits) -> tuple[tuple[float, float], ...]:
    """Upper limit, bias, lower limit: value and half of its 95 % interval."""
    half = limits.limit_half
    return (limits.upper, half), (limits.bias, limits.bias_high - limits.bias), (limits.lower, half)


def _places(step: float) -> int:
    return max(0, -math.floor(math.log10(step) + 1e-9))


def _some(first: float, last: float, step: float) -> list[float]:
    """Three values or fewer: both ends and the middle tick."""
    count = round((last - first) / step)
    return [first + k * step for k in sorted({0, count // 2, count})]


def _named(at: tuple[float, float], words: str, name: str, size: float) -> list[Text]:
    above = (at[0], at[1] - 0.15 * size)
    return [
        Text(above, words, size, Role.INK, bold=True),
        Text((at[0], at[1] + 1.0 * size), name, size, Role.SOFT_INK),
    ]


def _alt(measure: str, definition: Definition, limits: Limits, unit: Unit) -> str:
    half = max(limits.upper - limits.lower, 1e-9) / 10
    points = "; ".join(
        f"{numbers.amount(mean, unit, like=half)}: {numbers.amount(difference, unit, like=half, signed=True)}"
        for mean, difference in limits.points
    )
    return f"{limits_words(measure, definition, limits)} Mean and difference of each foot: {points}."
