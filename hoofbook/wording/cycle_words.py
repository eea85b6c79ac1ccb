"""Sentences of the place Cycle by cycle: the one at its head, missing readings, the difference of a pair."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date

from hoofbook.progress.change import Progress, as_wanted
from hoofbook.progress.gaps import Gap
from hoofbook.progress.series import Reading, Series
from hoofbook.terms.feet import Pair
from hoofbook.terms.quantity import COVERAGE, MEASURES
from hoofbook.terms.verdict import Verdict
from hoofbook.wording import verdicts
from hoofbook.wording.chart_frame import MISSED
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.numbers import amount, limit, span
from hoofbook.wording.places import foot_name, measure_in_sentence
from hoofbook.wording.refusals import sentence as refusal_sentence

NOT_A_GOAL = "No goal is set for this measure. Were it one:"
DIFFERENCE = "The difference now"


def head_sentence(progress: Progress) -> str:
    """`Increase shown, as wanted: between 2.7 and 4.9 mm more over 37 weeks; next verdict at reading 13.`"""
    parts = [_first(progress)]
    look = progress.looks[-1] if progress.looks else None
    if look is not None and not progress.at_look:
        words = verdicts.verdict_words(look.verdict, as_wanted(look.verdict, progress.wanted))
        if look.verdict is Verdict.NO_CHANGE_SHOWN:
            words += f" ({verdicts.smallest(look.smallest_change, verdicts.unit_of(progress.series))})"
        parts.append(f"at reading {look.reading}, {day_month_year(look.day)}, it was {words}")
    if progress.next_look:
        parts.append(f"next verdict at reading {progress.next_look}")
    words = "; ".join(part for part in parts if part)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _first(progress: Progress) -> str:
    between = _small(verdicts.between(progress).rstrip("."))
    if progress.verdict is not None:
        words = verdicts.verdict_words(progress.verdict, progress.as_wanted)
        if progress.verdict is Verdict.NO_CHANGE_SHOWN and progress.looks:
            unit = verdicts.unit_of(progress.series)
            words += f" ({verdicts.smallest(progress.looks[-1].smallest_change, unit)})"
        if progress.refusal is not None:
            return f"{words}: {_small(refusal_sentence(progress.refusal).rstrip('.'))}"
        return f"{words}: {between}" if between else words
    if progress.refusal is not None:
        return refusal_sentence(progress.refusal).rstrip(".")
    if progress.next_look is None:
        return f"no goal is set, so no verdict: {between}" if between else "no goal is set, so no verdict"
    return f"no verdict at this reading: {between}" if between else "no verdict yet"


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]


def smallest_shown(progress: Progress) -> str:
    """`The smallest change that could have been shown: 1.6 mm.`; empty where there is no interval yet."""
    if progress.smallest_change_shown is None:
        return ""
    size = limit(progress.smallest_change_shown, verdicts.unit_of(progress.series))
    return f"The smallest change that could have been shown: {size}."


def gap_rows(series: Series, found: Iterable[Gap], since: Sequence[date]) -> tuple[tuple[str, str], ...]:
    """Missed visits and long pauses of a series as rows of What could fool us: the days, and what is not known."""
    day_words = verdicts.day_words_of(series)
    rows = [(_gap_days(gap, day_words), _gap_words(gap)) for gap in found]
    rows += [(day_words(day), f"{MISSED}, after the newest reading") for day in since]
    return tuple(rows)


def _gap_days(gap: Gap, day_words: Callable[[date], str]) -> str:
    days = gap.missed or (gap.after, gap.before)
    return day_words(days[0]) if len(days) == 1 else f"{day_words(days[0])} to {day_words(days[-1])}"


def _gap_words(gap: Gap) -> str:
    words = []
    if gap.missed:
        count = len(gap.missed)
        words.append(f"no comparable reading of this at {'this visit' if count == 1 else f'these {count} visits'}")
    if gap.usual is not None:
        words.append(f"{gap.days} days between readings, usually {gap.usual}")
    return f"{'; '.join(words)}: the line is broken there"


def difference_now(reading: Reading, pair: Pair) -> tuple[str, ...]:
    """Whether the newest difference of a pair is larger than its own ±: never a verdict, and no class of any kind."""
    unit = MEASURES[reading.measure]
    what = f"{day_month_year(reading.day)}: {measure_in_sentence(reading.measure)}, {foot_name(pair).lower()}"
    if not reading.u:
        return (
            f"{what}, {amount(reading.value, unit, signed=True)}. Without a known ± nobody can say if that is real.",
        )
    half = COVERAGE * reading.u
    ends = span(reading.value - half, reading.value + half, unit)
    size = amount(abs(reading.value), unit, like=half)
    if abs(reading.value) > half:
        more, other = (pair.foot, pair.less) if reading.value > 0 else (pair.less, pair.foot)
        low, high = sorted((abs(reading.value) - half, abs(reading.value) + half))
        said = f"the {foot_name(more).lower()} reads {size} more than the {foot_name(other).lower()}"
        return (
            f"{day_month_year(reading.day)}: {said}, {span(low, high, unit)}. "
            "That difference is larger than its own ±, so it is real on that day.",
        )
    return (
        f"{what}, {amount(reading.value, unit, like=half, signed=True)}, {ends}. "
        "That is not larger than its own ±: the two feet may be alike in this.",
    )
