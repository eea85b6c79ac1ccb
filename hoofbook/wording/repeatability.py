"""How well readings repeat, in words: what is assumed, what is the book's own, what passes made without looking say."""

from __future__ import annotations

from hoofbook.progress.agreement import (
    ENOUGH_SETS,
    PRIOR_FREEDOM,
    Icc,
    Limits,
    MeasurementError,
    PersonEffect,
    Shrunk,
    Standing,
    Within,
)
from hoofbook.progress.placing import MarkSort
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import MEASURES, Definition, Unit
from hoofbook.terms.views import View
from hoofbook.wording import numbers
from hoofbook.wording.places import foot_name, measure_with_definition, view_name

TITLE = "How well your readings repeat"
AGREEMENT_TITLE = "First take against second take"
PLACING_TITLE = "How well marks are placed again"
HEAD = (
    "Two single readings of an unchanged foot differ by less than this in 95 of 100 cases (1.96 × √2 × the spread of "
    "one reading; Student's t in place of 1.96 while second takes are few)."
)
WHY = (
    "A second take tells it: lift the card, put the foot down, then photograph the same foot once more, and say so in "
    "the Photo tray. Two frames of one stance, or marking one photo twice, do not count: they leave out what moves "
    "between takes."
)
NONE_YET = (
    f"This book has no second take yet, so every limit below is assumed. Your own figures come in from the fifth on; "
    f"the assumed one then still counts as much as {PRIOR_FREEDOM:.0f} second takes, and less with each further one."
)
SAME_DAY = (
    "A second take of the same day holds all that moves between two takes, not what a sole sheds or a horse stands "
    "differently from visit to visit: verdicts rest on the scatter of the visits themselves. Your own figure stands "
    "where two readings alone are compared."
)
BLIND_WHY = (
    "Marking a photo again without seeing the first marks tells how you place them, and only that: it changes no value "
    "and is never pooled with second takes. From five photos on, your own spread takes the place of the assumed one in "
    "the ± of what is marked from then on."
)
BLIND_NONE = "No photo has been marked again without looking yet. Five photos are enough for a first figure."
BLIND_OTHERS = "So far only photos that somebody else had marked first were marked again: that is another question."
PEOPLE_WHY = (
    "How much the first reads more than the second, with its 95 % interval; what differing people and everything else "
    "in marking add to one reading; and how well both agree on single readings (ICC(2,1), Shrout and Fleiss 1979: the "
    "share of the spread that lies between feet)."
)
ICC_WORDS = "{icc} (Shrout and Fleiss 1979): the share of the spread that lies between feet and not in the measuring."
ICC_BELOW = "{icc} (Shrout and Fleiss 1979): these takes differ more than the feet do."
RETAKE = {"first": "first take", "second": "second take: card lifted, foot put down"}
_SORTS = {MarkSort.EDGE: "Marks on a sharp edge", MarkSort.HAIRLINE: "Marks on the hairline and the sole"}


def row(measure: str, definition: Definition, found: Shrunk) -> tuple[str, str]:
    """`Toe angle | 1.9° between two readings (assumed)`; `... (partly your own, 7 second takes)`"""
    unit = MEASURES.get(measure, Unit.MM)
    limit = numbers.limit(found.coefficient, unit)
    words = f"{limit} between two readings ({standing_words(found, unit)})"
    return measure_with_definition(measure, definition), words


def standing_words(found: Shrunk, unit: Unit) -> str:
    """Whose figure it is; while it is assumed, what the few second takes say so far."""
    if found.standing is not Standing.ASSUMED:
        whose = "your own" if found.standing is Standing.OWN else "partly your own"
        return f"{whose}, {found.sets} second takes"
    if found.own is None:
        return "assumed"
    takes = "second take" if found.sets == 1 else "second takes"
    so_far = f"{found.sets} of {ENOUGH_SETS} {takes}"
    return f"assumed; your own so far {numbers.limit(found.own.coefficient, unit)}, {so_far}"


def limits_words(measure: str, definition: Definition, limits: Limits) -> str:
    """Bias and limits of agreement, each with its interval."""
    unit = MEASURES.get(measure, Unit.MM)
    half = limits.bias_high - limits.bias
    bias = f"{numbers.change(limits.bias, half, unit)} ({numbers.span(limits.bias_low, limits.bias_high, unit)})"
    reach = numbers.span(limits.lower, limits.upper, unit)
    return (
        f"{measure_with_definition(measure, definition)}, first less second take: {bias} on the mean of "
        f"{len(limits.points)}; 95 of 100 differences lie between {reach}, each end known to "
        f"{numbers.limit(limits.limit_half, unit)} (Bland and Altman 1986)."
    )


def error_words(measure: str, error: MeasurementError) -> str:
    """Standard error of measurement and smallest detectable change."""
    unit = MEASURES.get(measure, Unit.MM)
    return (
        f"One reading is off by {numbers.limit(error.sem, unit)} (standard error of measurement); between two single "
        f"readings nothing below {numbers.limit(error.detectable, unit)} can be told from none (95 %)."
    )


def icc_words(found: Icc) -> str:
    return (ICC_BELOW if found.value < 0 else ICC_WORDS).format(icc=_icc(found))


def sort_row(sort: MarkSort, found: Shrunk) -> tuple[str, str]:
    """`Marks on a sharp edge | 1.2 px each way (partly your own, 6 photos)`"""
    whose = {Standing.ASSUMED: "assumed", Standing.PARTLY_OWN: "partly your own", Standing.OWN: "your own"}
    words = f"{found.sd:.1f} points of a 12-megapixel photo each way ({whose[found.standing]}"
    if found.own is None:
        return _SORTS[sort], f"{words})"
    so_far = f"; your own so far {found.own.sd:.1f}" if found.standing is Standing.ASSUMED else ""
    return _SORTS[sort], f"{words}, {_photos(found.sets)}{so_far})"


def placing_row(measure: str, definition: Definition, spread: Within) -> tuple[str, str]:
    """`Toe angle | 0.6° between two passes (4 photos)`"""
    unit = MEASURES.get(measure, Unit.MM)
    limit = numbers.limit(spread.coefficient, unit)
    return measure_with_definition(measure, definition), f"{limit} between two passes ({_photos(spread.groups)})"


def people_title(one: str, other: str) -> str:
    return f"{_person(one)} and {_person(other)} on the same photos"


def person_row(measure: str, definition: Definition, effect: PersonEffect, icc: Icc | None) -> tuple[str, str]:
    """`Toe angle | +0.8° (0.5 to 1.1°, 8 photos); spread by who marked 0.6°, the rest 0.2°; ICC(2,1) 0.97 (...)`"""
    unit = MEASURES.get(measure, Unit.MM)
    reach = numbers.span(effect.low, effect.high, unit)
    size = numbers.change(effect.difference, (effect.high - effect.low) / 2, unit)
    people, rest = numbers.limit(effect.person_sd, unit), numbers.limit(effect.rest_sd, unit)
    agree = f"; {_icc(icc)}" if icc is not None else ""
    words = f"{size} ({reach}, {_photos(effect.pairs)}); spread by who marked {people}, by the rest {rest}{agree}"
    return measure_with_definition(measure, definition), words


def few_of_two(photos: int) -> str:
    """Too few photos to say how far two people are apart."""
    return f"Both marked {_photos(photos)}: from three on it can be said how far they are apart."


def _icc(found: Icc) -> str:
    if found.value < 0:
        return f"{found.form.value} below 0"
    reach = "" if found.low is None or found.high is None else f" ({max(found.low, 0.0):.2f} to {found.high:.2f})"
    return f"{found.form.value} {found.value:.2f}{reach}"


def ask_for_take(foot: Foot, view: View, sets: int) -> str:
    """Why a second take, of which foot, and how."""
    return (
        f"One more photo would help: a second take of the {foot_name(foot).lower()}, {view_name(view).lower()}. Lift "
        f"the card, let the foot down, then photograph it again and tick “second take” here. Until {ENOUGH_SETS} feet "
        f"were taken twice ({sets} so far), the limits of your readings are assumed."
    )


def _person(name: str) -> str:
    return name or "somebody without a name"


def _photos(count: int) -> str:
    return "1 photo" if count == 1 else f"{count} photos"
