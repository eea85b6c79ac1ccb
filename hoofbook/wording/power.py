"""What it takes to show a change: how sure a planned reading would be, how many visits or photos it needs."""

from __future__ import annotations

from hoofbook.progress.power import ENOUGH, MOST_REPEATS, Chance, Outlook
from hoofbook.terms.quantity import Unit
from hoofbook.wording import numbers
from hoofbook.wording.dates import month

_SETS = ("concavity",)  # measures of several photos together: there a whole set is repeated


def chance_sentence(chance: Chance, unit: Unit, *, inches: bool = False) -> str:
    """`A change of 2.0 mm by reading 13 would be shown with a chance of 84 %.`"""
    size = numbers.limit(abs(chance.change), unit, inches=inches)
    return f"A change of {size} by reading {chance.reading} would be shown with a chance of {percent(chance.chance)}."


def outlook_sentences(outlook: Outlook, measure: str, unit: Unit, *, inches: bool = False) -> tuple[str, ...]:
    """The next planned reading, the first that is sure enough, and what more photos a visit would do."""
    first = outlook.chances[0]
    said = [chance_sentence(first, unit, inches=inches)]
    if first.chance < ENOUGH:
        said += [_enough(outlook, unit, inches), _repeats(outlook, measure)]
    said.append(_rests_on(outlook, unit, inches))
    return tuple(said)


def percent(share: float) -> str:
    """`84 %`; never 0 or 100, for nothing here is certain."""
    if share < 0.01:
        return "less than 1 %"
    return "more than 99 %" if share > 0.99 else f"{100 * share:.0f} %"


def _enough(outlook: Outlook, unit: Unit, inches: bool) -> str:
    found = outlook.enough
    if found is None:
        last = outlook.chances[-1]
        smallest = numbers.limit(last.likely_change, unit, inches=inches)
        return (
            f"No planned reading up to {last.reading} reaches {percent(ENOUGH)}; at reading {last.reading} that takes "
            f"a change of {smallest}."
        )
    visits = "1 more visit" if found.more_visits == 1 else f"{found.more_visits} more visits"
    about = f"{month(found.day)} {found.day.year}"
    return (
        f"{percent(ENOUGH)} is reached at reading {found.reading}, after {visits} (about {about}, at the visits' own "
        "pace)."
    )


def _repeats(outlook: Outlook, measure: str) -> str:
    noun = "sets of photos" if any(part in measure for part in _SETS) else "photos"
    reading, found = outlook.chances[0].reading, outlook.with_repeats
    if found is not None:
        return f"With {found.repeats} {noun} a visit from now on, reading {reading} would do."
    if outlook.scatter.own == 0:
        return f"No ± is known of a single reading, so it cannot be said what more {noun} a visit would do."
    return f"More {noun} a visit (up to {MOST_REPEATS}) would not make reading {reading} enough."


def _rests_on(outlook: Outlook, unit: Unit, inches: bool) -> str:
    if outlook.scatter.between == 0:
        return "This rests on readings that so far scatter no more than their ± says."
    between = numbers.limit(outlook.scatter.between, unit, inches=inches)
    assumed = " (assumed until this foot has readings enough)" if outlook.scatter.assumed else ""
    return f"This rests on a scatter between visits of {between}{assumed}."
