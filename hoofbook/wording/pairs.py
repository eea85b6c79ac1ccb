"""Words of the place Then and now: what stands in the picture, and whether two photos may be compared."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.progress.change import PairChange
from hoofbook.progress.likeness import Point, RankedPair
from hoofbook.progress.series import Reading
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import COVERAGE, MEASURES, Unit
from hoofbook.terms.views import Moment, View
from hoofbook.wording.dates import day_month, day_month_year, weeks_between, weeks_text
from hoofbook.wording.numbers import amount, measured, span
from hoofbook.wording.places import foot_name, measure_in_sentence, measure_with_definition, moment_name, view_name

SAME_DAY = "Same day: this shows the trim, not progress"
NOT_TO_SCALE = "Not to scale: a card is missing in one of the photos"
WAYS = {
    "card plane": "laid over each other by the card: moved, turned and scaled only",
    "hairline": "laid over each other by the hairline: moved, turned and scaled only",
    "none": "shown side by side, not to scale",
}
NO_PAIR = (
    "Nothing to compare yet",
    "Two photos of the same foot and view, each with the scale card, are laid over each other here.",
    "Photos in",
)
LAYOUTS = ("side by side", "curtain", "fade")


def other_moments(then: Moment, now: Moment) -> str:
    """The banner that cannot be removed for two photos of different moments."""
    return f"Not the same moment: {then.value} against {now.value}. The difference is the trim and the cycle."


def pair_title(foot: Foot, view: View, *, from_inside: bool = False) -> str:
    return f"{foot_name(foot)}, {view_name(view, from_inside=from_inside).lower()}"


def pair_subtitle(moment: Moment | None, shod: tuple[bool, bool], then: date, now: date) -> str:
    """`after trim, bare · 37 weeks apart`; `shod` of the earlier and the later photo."""
    states = ["shod" if each else "bare" for each in shod]
    state = states[1] if states[0] == states[1] else f"{states[0]} then, {states[1]} now"
    words = f"{moment_name(moment).lower()}, {state}" if moment else ""
    apart = weeks_between(then, now)
    return " · ".join(word for word in (words, apart if then == now else f"{apart} apart") if word)


def caption(
    day: date, foot: Foot, view: View, moment: Moment | None, value: str, *, from_inside: bool = False
) -> tuple[str, ...]:
    """What is burnt into the picture: day, then foot, view and moment, then one value with its ±."""
    seen = view_name(view, from_inside=from_inside).lower()
    place = " · ".join([foot_name(foot).lower(), seen, *([moment.value] if moment else [])])
    return tuple(line for line in (day_month_year(day), place, value) if line)


def value_words(reading: Reading) -> str:
    """`sole concavity 4.8 mm ± 0.6`"""
    unit = MEASURES[reading.measure]
    half = None if reading.u is None else COVERAGE * reading.u
    return f"{measure_in_sentence(reading.measure)} {measured(reading.value, half, unit)}"


def reading_text(reading: Reading) -> str:
    half = None if reading.u is None else COVERAGE * reading.u
    return measured(reading.value, half, MEASURES[reading.measure])


def change_sentence(change: PairChange, unit: Unit) -> str:
    """`These two readings alone differ by 3.4 mm, 1.0 to 5.8 mm.`"""
    half = (change.high - change.low) / 2
    return (
        f"These two readings alone differ by {amount(change.change, unit, like=half, signed=True)}, "
        f"{span(change.low, change.high, unit)}."
    )


def number_label(reading: Reading) -> str:
    return measure_with_definition(reading.measure, reading.definition)


def decided_words(reading: int) -> str:
    return f"decided over all visits, at reading {reading}"


def visit_caption(day: date, moment: Moment | None = None) -> str:
    """`30 Sep`, or `30 Sep · after trim` where a strip holds several moments."""
    return " · ".join([day_month(day), *([moment.value] if moment else [])])


def same_moment(moment: Moment, shod: bool) -> str:
    return f"same moment: {moment.value}, {'shod' if shod else 'bare'}"


DIFFERENT_STATE = "one is shod, the other bare: heel heights and the sole cannot be compared"
STRAIGHT = "both seen nearly square on"
SLANTED = "one of them is turned by more than 8° or tilted by more than 12°: shapes look different"
ONLY_MOVED = "moved, turned and scaled only, nothing bent"
DISTANCE_ALIKE = "taken from about the same distance"
DISTANCE_OTHER = "taken from different distances: near parts look larger in the nearer one"
OTHER_DAY_OF_CYCLE = "not the same number of days after the trim: part of the difference is growth"
TURNED_OTHERWISE = "not turned or tilted alike: shapes look a little different"
CARD_ELSEWHERE = "the card did not stand in the same place in both"
LIGHT_ALIKE = "light alike, by the white of the card"
LIGHT_OTHER = "another light, by the white of the card: colours and depth look different"
SHOWN_IN_PICTURE = "Written into the picture"
SCALE_BY_HAIRLINE = "no card: scale by the hairline"
NOT_LAID = "shown whole, not to scale"
PHOTO_NOT_TO_SCALE = "not to scale: no card"
_ALIKE = {
    Point.DAY_OF_CYCLE: "same days after the trim",
    Point.DISTANCE: "same distance",
    Point.LIGHT: "same light",
}
_UNLIKE = {
    Point.MOMENT: "another moment",
    Point.STATE: "one shod, one bare",
    Point.SCALE: "not both to scale",
    Point.DAY_OF_CYCLE: "other days after the trim",
    Point.TURN: "turned otherwise",
    Point.TILT: "tilted otherwise",
    Point.DISTANCE: "another distance",
    Point.CARD_PLANE: "card in another place",
    Point.LIGHT: "another light",
}
_NAMES = {
    Point.TURN: "turn",
    Point.TILT: "tilt",
    Point.DISTANCE: "distance",
    Point.LIGHT: "light",
    Point.DAY_OF_CYCLE: "days after the trim",
    Point.MOMENT: "moment",
}


def days_of_pair(then: date, now: date) -> str:
    """`14 Jan – 30 Sep 2025`, with both years where they differ."""
    first = day_month(then) if then.year == now.year else day_month_year(then)
    return f"{first} – {day_month_year(now)}"


def why_pair(pair: RankedPair) -> str:
    """`37 weeks apart: same moment, both straight on, same distance, same light`, then what is unlike or not known."""
    good = [f"same moment ({pair.now.moment.value})"] if pair.alike(Point.MOMENT) and pair.now.moment else []
    turned = [pair.alike(point) for point in (Point.TURN, Point.TILT)]
    if turned == [True, True]:
        good.append("both straight on" if pair.straight else "turned alike")
    good += [words for point, words in _ALIKE.items() if pair.alike(point)]
    bad = [_UNLIKE[said.point] for said in pair.said if said.alike is False]
    if pair.straight is False:
        bad.append("not both straight on")
    unknown = [_NAMES[said.point] for said in pair.said if said.alike is None]
    apart = weeks_text(pair.days / 7)
    parts = [
        ", ".join(good),
        f"but {', '.join(bad)}" if bad else "",
        f"not known: {', '.join(unknown)}" if unknown else "",
    ]
    head = apart if pair.days == 0 else f"{apart} apart"
    return f"{head}: {'; '.join(part for part in parts if part)}"


def pair_said(days: tuple[str, str], why: str, pairs: int) -> str:
    """What the command line says of a pair: `14 Jan – 30 Sep 2025, fairest of 21 pairs. 37 weeks apart: same ...`

    `days` are ISO; `pairs` 0 where a person named a day.
    """
    then, now = (date.fromisoformat(day) for day in days)
    chosen = f", fairest of {pairs} pairs" if pairs > 1 else ""
    return f"{days_of_pair(then, now)}{chosen}. {why[:1].upper()}{why[1:]}."


# three or more visits


def row_subtitle(count: int, first: date, last: date) -> str:
    """`7 visits · 37 weeks`"""
    return f"{count} visits · {weeks_between(first, last)}"


def ways_of_row(ways: Sequence[str]) -> str:
    """How the photos were laid together; an empty one was not."""
    found = [way for way in ("card plane", "hairline") if way in ways]
    if not found:
        return WAYS["none"]
    by = {"card plane": "the card", "hairline": "the hairline"}
    if len(found) == 2:
        some = sum(way == "hairline" for way in ways)
        words = f"the card, {'one' if some == 1 else some} by the hairline"
    else:
        words = by[found[0]]
    return f"laid over each other by {words}: moved, turned and scaled only"


def many_moments(moments: Sequence[Moment]) -> str:
    """The banner that cannot be removed for photos of several moments."""
    names = ", ".join(moment.value for moment in moments)
    return f"Not the same moment: {names}. The difference is the trim and the cycle."


def left_out_of_year(day: date, why: str) -> str:
    """`16 Apr 2025 is not shown. Neither the card ...`"""
    return f"{day_month_year(day)} is not laid over the others. {why}"


def making_frame(done: int, count: int) -> str:
    return f"Picture {done} of {count}" if done else "Opening the photos"
