"""How well readings repeat, in words and as a plot: what is assumed, what is the person's own."""

from __future__ import annotations

from hoofbook.progress.agreement import ENOUGH_SETS, Icc, Limits, PersonEffect, Shrunk, Standing, Within
from hoofbook.terms.drawing import Anchor, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.wording import numbers
from hoofbook.wording.places import measure_name

TITLE = "How well your readings repeat"
AGREEMENT_TITLE = "First take against second take"
PLACING_TITLE = "How well marks are placed again"
WHY = (
    "A second take tells it: put card and foot down, then photograph the same foot once more, and say so in the Photo "
    "tray. Two frames of one stance, or marking one photo twice, do not count: they leave out what moves between takes."
)
NONE_YET = (
    f"There is no second take in this book yet, so these figures are assumed. From {ENOUGH_SETS} on, your own come "
    "in; a default then counts as much as four own repeats, and less with every further one."
)
BLIND_WHY = (
    "Marking a photo again without seeing the first marks tells only how you place them. It never changes a measure, "
    "and it is kept apart from second takes."
)
BLIND_NONE = "No photo has been marked again without looking yet."
ICC_WORDS = (
    "{value:.2f} ({form}, Shrout and Fleiss 1979): the share of the spread between feet that is not measuring{reach}."
)
ASK = "A second take of one foot would tell how well your photos repeat: {sets} of {needed} are in the book."
RETAKE = {"first": "first take", "second": "second take: card and foot put down"}


def row(measure: str, found: Shrunk) -> tuple[str, str]:
    """`Toe angle | within 1.9° of each other (assumed)`"""
    unit = MEASURES.get(measure, Unit.MM)
    limit = numbers.limit(found.coefficient, unit)
    return measure_name(measure), f"within {limit} of each other ({standing_words(found)})"


def standing_words(found: Shrunk) -> str:
    if found.standing is Standing.ASSUMED:
        return f"assumed; {found.sets} of {ENOUGH_SETS} second takes" if found.sets else "assumed"
    whose = "your own" if found.standing is Standing.OWN else "partly your own"
    return f"{whose}, {found.sets} second takes"


HEAD = "The figures are for two readings of an unchanged foot: 95 of 100 such pairs lie within them."


def icc_words(found: Icc) -> str:
    reach = "" if found.low is None or found.high is None else f"; 95 % between {found.low:.2f} and {found.high:.2f}"
    return ICC_WORDS.format(value=found.value, form=found.form.value, reach=reach)


def limits_words(measure: str, limits: Limits) -> str:
    """`Toe angle: the second take reads 0.1° less (-0.3 to 0.5); 95 % of differences lie between -1.2 and 1.4°.`"""
    unit = MEASURES.get(measure, Unit.MM)
    bias = numbers.change(limits.bias, limits.bias_high - limits.bias, unit)
    reach = numbers.span(limits.lower, limits.upper, unit)
    return (
        f"{measure_name(measure)}, first less second take: {bias} on the mean of {len(limits.points)}; 95 of 100 "
        f"differences lie between {reach} (Bland and Altman 1986)."
    )


def person_words(measure: str, one: str, other: str, effect: PersonEffect) -> str:
    unit = MEASURES.get(measure, Unit.MM)
    reach = numbers.span(effect.low, effect.high, unit)
    size = numbers.change(effect.difference, (effect.high - effect.low) / 2, unit)
    return f"{one} less {other}, {measure_name(measure).lower()}: {size} ({reach}, {effect.pairs} photos)."


def ask_for_take(sets: int) -> str:
    return ASK.format(sets=sets, needed=ENOUGH_SETS)


def agreement_plot(measure: str, limits: Limits, *, width: float = 520.0, height: float = 260.0) -> Drawing:
    """Differences against means with the bias and both limits, each with its 95 % interval (Bland and Altman 1986)."""
    size, left, right, top, foot = 13.0, 64.0, width - 92.0, 16.0, height - 34.0
    means = [mean for mean, _ in limits.points]
    most = max(abs(limits.lower - limits.limit_half), abs(limits.upper + limits.limit_half), 1e-9)
    most = max(most, *(abs(difference) for _, difference in limits.points)) * 1.1
    low, high = min(means), max(means)
    room = (high - low) or 1.0

    def x(mean: float) -> float:
        return left + 12 + (mean - low) / room * (right - left - 24)

    def y(difference: float) -> float:
        return (top + foot) / 2 - difference / most * (foot - top) / 2

    unit = MEASURES.get(measure, Unit.MM)
    marks: list[Primitive] = [Line(((left, y(0.0)), (right, y(0.0))), Role.LINE)]
    for value, words, half in (
        (limits.upper, "upper limit", limits.limit_half),
        (limits.bias, "bias", limits.bias_high - limits.bias),
        (limits.lower, "lower limit", limits.limit_half),
    ):
        marks.append(Line(((left, y(value)), (right, y(value))), Role.SOFT_INK, 1.4, dashed=words != "bias"))
        marks.append(Line(((right + 4, y(value - half)), (right + 4, y(value + half))), Role.SOFT_INK, 1.4))
        marks.append(Text((right + 10, y(value) + 4), words, size, Role.SOFT_INK))
        marks.append(Text((left - 6, y(value) + 4), numbers.change(value, half, unit), size, Role.INK, Anchor.END))
    marks += [Spot((x(mean), y(difference)), 3.6, Role.INK) for mean, difference in limits.points]
    marks.append(Text((left, height - 8), "mean of both takes", size, Role.SOFT_INK))
    ends = f"{numbers.amount(low, unit, like=room / 10)} to {numbers.amount(high, unit, like=room / 10)}"
    marks.append(Text((right, height - 8), ends, size, Role.SOFT_INK, Anchor.END))
    return Drawing(width, height, tuple(marks), limits_words(measure, limits))


def placing_row(measure: str, spread: Within) -> tuple[str, str]:
    """`Toe angle | 0.6° between two passes in 95 of 100 (4 photos)`"""
    unit = MEASURES.get(measure, Unit.MM)
    photos = "1 photo" if spread.groups == 1 else f"{spread.groups} photos"
    return measure_name(measure), f"{numbers.limit(spread.coefficient, unit)} ({photos})"
