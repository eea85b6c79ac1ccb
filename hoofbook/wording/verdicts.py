"""What is said of a change: verdict, interval between verdicts, difference of two readings, what could fool us."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from hoofbook.progress.change import NEIGHBOUR_CORRELATION, PLANNED_READINGS, Look, PairChange, Progress, as_wanted
from hoofbook.progress.series import DAYS_SINCE_TRIM_APART, MOMENTS_IN_THE_CYCLE, Reading, Series, flags
from hoofbook.terms.quantity import COVERAGE, MEASURES, Unit
from hoofbook.terms.refusal import Remark
from hoofbook.terms.shown import Tone, VerdictChip
from hoofbook.terms.verdict import Verdict
from hoofbook.wording import numbers
from hoofbook.wording.dates import day_month, day_month_year, weeks_text
from hoofbook.wording.places import definition_name, foot_name, measure_in_sentence, moment_name
from hoofbook.wording.refusals import sentence as refusal_sentence

UP, DOWN = "▲", "▼"
FLAG_WORDS = {
    "sole_pared_to_live_sole": "sole pared to live sole",
    "sole_opened_by_vet": "sole opened by the vet",
    "sole_wet": "wet, sole held",
    "sole_state_differs": "sole still {state}",
    "card_plane_unsure": "place of the card unsure",
    "another_person": "marked by {person}",
    "interval_differs": "{days} days since the trim before, usually {usual}",
}
ASSUMED_WORDS = {
    "neighbour_correlation": f"likeness of neighbouring visits taken as {NEIGHBOUR_CORRELATION} (assumed)",
    "between_visit_scatter": "scatter between visits taken as {tau} (assumed)",
}


@dataclass(frozen=True, slots=True)
class Headline:
    """The verdict in large: `increase shown, as wanted`, `+3.8`, ` mm`, `2.7 to 4.9 mm, over 37 weeks`."""

    title: str
    words: str
    sign: str
    tone: Tone
    change: str
    unit: str
    under: str
    sentence: str


def unit_of(series: Series) -> Unit:
    return MEASURES.get(series.measure, Unit.MM)


def verdict_words(verdict: Verdict, wish: bool | None = None) -> str:
    """`increase shown, as wanted`"""
    if wish is None:
        return verdict.value
    return f"{verdict.value}, {'as wanted' if wish else 'against what was wanted'}"


def tone_of(wish: bool | None) -> Tone:
    if wish is None:
        return Tone.CALM
    return Tone.WANTED if wish else Tone.AGAINST


def sign_of(verdict: Verdict | None) -> str:
    return {Verdict.INCREASE_SHOWN: UP, Verdict.DECREASE_SHOWN: DOWN}.get(verdict, "") if verdict else ""


def title(series: Series) -> str:
    """`Left fore, sole concavity`"""
    words = measure_in_sentence(series.measure)
    return f"{foot_name(series.foot)}, {words}" if series.foot else words[:1].upper() + words[1:]


def next_verdict(progress: Progress) -> str:
    return f"Next verdict at reading {progress.next_look}." if progress.next_look else ""


def smallest(value: float, unit: Unit, *, inches: bool = False) -> str:
    """`smallest we could see: 1.6 mm`"""
    return f"smallest we could see: {numbers.limit(value, unit, inches=inches)}"


def chip(progress: Progress, *, inches: bool = False) -> VerdictChip | None:
    """The verdict as a chip; between planned readings the interval stands in its place. None without a goal."""
    if progress.next_look is None:
        return None
    words, sign, tone = _in_its_place(progress, inches)
    return VerdictChip(words, full_sentence(progress, inches=inches), tone, sign, _detail(progress, inches))


def _in_its_place(progress: Progress, inches: bool) -> tuple[str, str, Tone]:
    """Words, sign and tone where the verdict stands."""
    if progress.verdict is not None:
        words = verdict_words(progress.verdict, progress.as_wanted)
        return words, sign_of(progress.verdict), tone_of(progress.as_wanted)
    if progress.low is not None and progress.high is not None:
        return _reach(progress.low, progress.high, unit_of(progress.series), inches).lower(), "", Tone.CALM
    return f"verdict at reading {progress.next_look}", "", Tone.CALM


def _detail(progress: Progress, inches: bool) -> tuple[str, ...]:
    unit = unit_of(progress.series)
    lines = []
    look = progress.looks[-1] if progress.looks else None
    if look is not None and progress.at_look:
        if look.verdict is Verdict.NO_CHANGE_SHOWN:
            lines.append(_capital(smallest(look.smallest_change, unit, inches=inches)) + ".")
        else:
            half = (look.high - look.low) / 2
            lines.append(f"{numbers.change(look.change, half, unit, inches=inches)} in {weeks_text(look.weeks)}.")
    elif progress.refusal is not None:
        lines.append(refusal_sentence(progress.refusal))
    elif progress.change is not None:
        lines.append(f"Over {weeks_text(progress.weeks or 0.0)}.")
    if look is not None and not progress.at_look:
        lines.append(_last_said(progress, look, inches))
    lines.append(next_verdict(progress))
    return tuple(line for line in lines if line)


def _last_said(progress: Progress, look: Look, inches: bool) -> str:
    """`Reading 4, 27 May 2025: no change shown (smallest we could see: 5.3 mm).`"""
    words = verdict_words(look.verdict, as_wanted(look.verdict, progress.wanted))
    if look.verdict is Verdict.NO_CHANGE_SHOWN:
        words += f" ({smallest(look.smallest_change, unit_of(progress.series), inches=inches)})"
    return f"Reading {look.reading}, {day_month_year(look.day)}: {words}."


def headline(progress: Progress, *, inches: bool = False) -> Headline:
    """What the place Cycle by cycle says first."""
    unit = unit_of(progress.series)
    words, sign, tone = _in_its_place(progress, inches)
    if progress.next_look is None:
        words = "no goal set, so no verdict"
    if progress.at_look and progress.verdict is Verdict.NO_CHANGE_SHOWN:
        words += f" ({smallest(progress.looks[-1].smallest_change, unit, inches=inches)})"
    change = after = under = ""
    if progress.change is not None and progress.low is not None and progress.high is not None:
        half = (progress.high - progress.low) / 2
        after = numbers.unit_sign(unit, inches=inches)
        change = numbers.change(progress.change, half, unit, inches=inches).removesuffix(after)
        reach = numbers.span(progress.low, progress.high, unit, inches=inches).removesuffix(after)
        under = f"{reach}, over {weeks_text(progress.weeks or 0.0)}"
    spoken = full_sentence(progress, inches=inches)
    return Headline(title(progress.series), words, sign, tone, change, after, under, spoken)


def full_sentence(progress: Progress, *, inches: bool = False) -> str:
    """Everything in sentences: foot, measure, moment, verdict or interval, last and next verdict."""
    series = progress.series
    where = [title(series), definition_name(series.definition), moment_name(series.moment).lower()]
    said = [f"{', '.join(word for word in where if word)}: {_said(progress, inches)}"]
    if progress.refusal is not None:
        said.append(refusal_sentence(progress.refusal))
    if progress.change is not None:
        said.append(between(progress, inches=inches))
    elif not series.readings:
        said.append("There is no reading yet.")
    look = progress.looks[-1] if progress.looks else None
    if look is not None and not progress.at_look:
        said.append(_last_said(progress, look, inches))
    said.append(next_verdict(progress))
    return " ".join(words for words in said if words)


def _said(progress: Progress, inches: bool) -> str:
    if progress.verdict is None:
        return "no verdict at this reading." if progress.next_look else "no goal, so no verdict."
    words = verdict_words(progress.verdict, progress.as_wanted)
    if progress.verdict is Verdict.NO_CHANGE_SHOWN and progress.looks:
        words += f" ({smallest(progress.looks[-1].smallest_change, unit_of(progress.series), inches=inches)})"
    if progress.verdict.is_change and progress.change is not None:
        half = ((progress.high or 0.0) - (progress.low or 0.0)) / 2
        words += f", {numbers.change(progress.change, half, unit_of(progress.series), inches=inches)}"
    return words + "."


def between(progress: Progress, *, inches: bool = False) -> str:
    """`Between 1.1 and 5.7 mm more over 37 weeks.`"""
    if progress.low is None or progress.high is None:
        return ""
    reach = _reach(progress.low, progress.high, unit_of(progress.series), inches)
    return f"{reach} over {weeks_text(progress.weeks or 0.0)}."


def interval_sentence(progress: Progress, *, inches: bool = False) -> str:
    """`Between 1.1 and 5.7 mm more over 37 weeks. Next verdict at reading 7.`"""
    words = (between(progress, inches=inches), next_verdict(progress))
    return " ".join(word for word in words if word)


def _reach(low: float, high: float, unit: Unit, inches: bool) -> str:
    if low >= 0 or high <= 0:
        first, last = (low, high) if low >= 0 else (-high, -low)
        way = "more" if low >= 0 else "less"
        return f"Between {numbers.span(first, last, unit, inches=inches, joined='and')} {way}"
    half = (high - low) / 2
    less, more = (numbers.change(end, half, unit, inches=inches).lstrip(f"+{numbers.MINUS}") for end in (low, high))
    return f"Between {less} less and {more} more"


def pair_sentence(pair: PairChange, unit: Unit, *, inches: bool = False) -> str:
    """`+1.0 mm ± 2.6 from 14 Jan 2025 to 25 Feb 2025 (6 weeks): an interval of two readings, not a verdict.`"""
    half = (pair.high - pair.low) / 2
    change = numbers.change(pair.change, half, unit, inches=inches)
    spread = numbers.limit(half, unit, inches=inches).removesuffix(numbers.unit_sign(unit, inches=inches))
    days = f"from {day_month_year(pair.then)} to {day_month_year(pair.now)}"
    weeks = weeks_text((pair.now - pair.then).days / 7)
    scatter = scatter_words(pair, unit, inches=inches)
    with_scatter = f", with a scatter of {scatter}" if scatter else ""
    return f"{change} ± {spread} {days} ({weeks}): two readings{with_scatter}, so an interval and no verdict."


def scatter_words(pair: PairChange, unit: Unit, *, inches: bool = False) -> str:
    """`0.8 mm assumed`, `0.5 mm from 7 second takes of this book`; empty where it was told."""
    scatter = numbers.limit(pair.tau, unit, inches=inches)
    if pair.tau_assumed:
        return f"{scatter} assumed"
    return f"{scatter} from {pair.sets} second takes of this book" if pair.sets else ""


def owner_sentence(progress: Progress, *, inches: bool = False) -> str:
    """For an owner, without ±: `about 3 mm more in 37 weeks; we can tell changes above 1.6 mm`."""
    unit = unit_of(progress.series)
    look = progress.looks[-1] if progress.looks else None
    if look is None:
        return "Too early to tell a change."
    limit = numbers.limit(look.smallest_change, unit, inches=inches)
    if not look.verdict.is_change:
        return f"By less than we can measure in {weeks_text(look.weeks)}; we can tell changes above {limit}."
    way = "more" if look.change > 0 else "less"
    size = numbers.about(abs(look.change), unit, inches=inches)
    return f"{_capital(size)} {way} in {weeks_text(look.weeks)}; we can tell changes above {limit}."


def look_caption(look: Look, unit: Unit, *, inches: bool = False) -> tuple[str, ...]:
    """One or two short lines for the chart: `reading 4: no change shown`, `(smallest we could see: 2.6 mm)`."""
    first = f"reading {look.reading}: {look.verdict.value}"
    if look.verdict is Verdict.NO_CHANGE_SHOWN:
        return first, f"({smallest(look.smallest_change, unit, inches=inches)})"
    return (first,)


def how_decided(progress: Progress) -> tuple[str, ...]:
    """Paragraphs for the side card How it was decided."""
    series = progress.series
    shod = series.readings[0].shod if series.readings else False
    like = f"Like with like: {moment_name(series.moment).lower()}, {'shod' if shod else 'bare'}"
    if series.moment in MOMENTS_IN_THE_CYCLE:
        like += f", the same days since the trim (± {DAYS_SINCE_TRIM_APART})"
    planned = ", ".join(str(n) for n in list(PLANNED_READINGS)[:-1]) + f" and {list(PLANNED_READINGS)[-1]}"
    words = [f"{like}. Only at readings {planned}, so that looking often does not make a change."]
    if progress.next_look is None:
        nothing = f"{like}. No goal is set for this measure, so it gets an interval and no verdict."
        return tuple(word for word in (nothing, beside(progress)) if word)
    if progress.looks:
        look = progress.looks[-1]
        share = 100 * (1 - progress.confidence) if progress.at_look else 0.0
        if share:
            part = (
                f"{share:.2g} %" if look.goals_unshown == 1 else f"{share:.2g} % for each of {look.goals_unshown} goals"
            )
            words.append(
                "Five horses in a hundred may be told a change that is none, once in their life; the part of this "
                f"reading is {part}."
            )
    words.append(next_verdict(progress))
    if progress.untested:
        count = len(progress.untested)
        words.append(
            f"{count} earlier {'reading is' if count == 1 else 'readings are'} shown but not tested: they came before "
            "the goal, or prompted it."
        )
    words.append(beside(progress))
    return tuple(word for word in words if word)


def beside(progress: Progress, *, inches: bool = False) -> str:
    """`Beside the line, by the median of all slopes (Theil and Sen): +3.8 mm (3.2 to 4.3 mm).`; or nothing."""
    robust = progress.robust if progress.trend is not None else None
    if robust is None or progress.weeks is None:
        return ""
    days, unit = 7 * progress.weeks, unit_of(progress.series)
    low, high = days * robust.low, days * robust.high
    change = numbers.change(days * robust.slope, (high - low) / 2, unit, inches=inches)
    reach = numbers.span(low, high, unit, inches=inches)
    return f"Beside the line, by the median of all slopes (Theil and Sen): {change} ({reach})."


def could_fool_us(progress: Progress, *, inches: bool = False) -> tuple[tuple[str, str], ...]:
    """Rows of the side card What could fool us: the day, and what was otherwise on it; last what is assumed."""
    rows = []
    day_words = day_words_of(progress.series)
    found = flags(progress.series)
    for reading in progress.series.readings:
        rows += [(day_words(reading.day), _flag(remark)) for remark in found.get(reading.key, ())]
    for code in progress.assumed:
        tau = numbers.limit(progress.tau or 0.0, unit_of(progress.series), inches=inches)
        rows.append(("Assumed", ASSUMED_WORDS[code].replace("{tau}", tau)))
    if progress.pair is not None and progress.pair.sets and not progress.pair.tau_assumed:
        scatter = scatter_words(progress.pair, unit_of(progress.series), inches=inches)
        rows.append(("Your own", f"scatter between takes taken as {scatter}"))
    return tuple(rows)


def day_words_of(series: Series) -> Callable[[date], str]:
    """How days of this series are written where room is short: with their year only where it has two."""
    return day_month_year if len({day.year for day in series.days}) > 1 else day_month


def _flag(remark: Remark) -> str:
    from hoofbook.wording.fill import fill

    return fill(FLAG_WORDS[remark.code], remark.facts)


def reading_words(reading: Reading, unit: Unit, *, inches: bool = False) -> str:
    """What a pointer on a dot is told: `30 Sep 2025, after trim: 4.8 mm ± 0.6`."""
    half = None if reading.u is None else COVERAGE * reading.u
    value = numbers.measured(reading.value, half, unit, inches=inches)
    return f"{day_month_year(reading.day)}, {moment_name(reading.moment).lower()}: {value}"


def looked_at(measures: int, goals: int) -> str:
    """How many were looked at, since many looks make chance finds: `12 measures were looked at; 2 are goals.`"""
    one = "1 measure was" if measures == 1 else f"{measures} measures were"
    return f"{one} looked at; {goals or 'none'} {'is a goal' if goals == 1 else 'are goals'}."


def price_of_a_goal(goals_now: int) -> str:
    """What one more goal costs the others."""
    more = goals_now + 1
    if more <= 1:
        return ""
    return (
        f"With {more} goals the same chance of a false verdict is shared by {more}: each then needs a somewhat larger "
        "change before it is shown."
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
