"""Measures as a vet reads them: page 1's figures, the table of all, and the line of each change with its limit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from hoofbook.progress.beside import HandBeside
from hoofbook.progress.change import Progress, as_wanted
from hoofbook.progress.series import Reading
from hoofbook.terms.feet import Foot, Place
from hoofbook.terms.quantity import COVERAGE, MEASURES, Definition, Unit
from hoofbook.terms.shown import Table
from hoofbook.terms.verdict import Verdict
from hoofbook.terms.views import Moment
from hoofbook.wording import hand_beside, numbers, verdicts
from hoofbook.wording.cautions import EXTERNAL_ONLY
from hoofbook.wording.dates import day_month_year, weeks_between
from hoofbook.wording.places import definition_name, foot_name, foot_short, measure_name, moment_name

MEASURE_HEADS = ("Measure", "Foot", "First", "Newest", "Visits", "Change, 95 % interval", "Could see", "Said")
NOT_MEASURED = "not measured"
NO_GOAL = "listed without verdict"
NO_MEASURES = "Nothing was measured on these feet."
MEASURES_NOTE = (
    "First and newest reading of each line, ± half of its 95 % interval; Visits counts the readings on it. The change "
    "is that of the line fitted through all of them, from its first to its last day; Could see is the smallest change "
    "that would have shown. A verdict is given only where a goal is set, at planned readings."
)
WITHOUT_SPREAD = "A value without ± was written down by hand with nothing said of how exact it is."
_AT_APEX = ("sole_concavity_at_frog_apex", "whole_sole_concavity_at_frog_apex")


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure of page 1: its name, what it is (small, below), a value and note per foot, a line per change."""

    label: str
    under: str
    values: tuple[tuple[str, str], ...]
    changes: tuple[str, ...]


def vet_measure_name(measure: str, definition: Definition) -> tuple[str, str]:
    """Name, and what must be said with it: `External sole concavity`, `(not sole thickness), at the frog apex ...`"""
    where = definition_name(definition)
    if "concavity" in measure:
        name, caution = f"External {measure_name(measure).lower()}", EXTERNAL_ONLY.partition(" (")[2]
        at = "at the frog apex" if measure in _AT_APEX else ""
        return name, ", ".join(part for part in (f"({caution}", at, where) if part)
    name = measure_name(measure).replace(", inside", ", medial").replace(", outside", ", lateral")
    return name, where


def one_line_name(measure: str, definition: Definition) -> str:
    return " ".join(part for part in vet_measure_name(measure, definition) if part)


def measures_note(lines: Sequence[Progress]) -> str:
    """What the columns mean; a value that stands without ± is told apart from one that is exact."""
    bare = any(reading.u is None for line in lines for reading in line.series.readings)
    return f"{MEASURES_NOTE} {WITHOUT_SPREAD}" if bare else MEASURES_NOTE


def value_words(reading: Reading) -> str:
    """`4.8 mm ± 0.6`"""
    return numbers.measured(reading.value, _half(reading), MEASURES[reading.measure])


def _half(reading: Reading) -> float | None:
    return None if reading.u is None else COVERAGE * reading.u


def figure_row(
    measure: str,
    definition: Definition,
    lines: Sequence[tuple[Foot, Progress]],
    beside: Sequence[Reading],
    newest: date,
    *,
    gauges: Sequence[HandBeside] = (),
) -> FigureRow:
    """A figure with one value per foot; `beside` are readings by another definition and `gauges` what was read by hand
    at the same visit, told below the name."""
    label, under = vet_measure_name(measure, definition)
    moments = {progress.series.moment for _, progress in lines if progress.series.readings}
    said = [under, *(moment_name(moment).lower() for moment in moments if moment is not Moment.AFTER_TRIM)]
    if beside:
        by = definition_name(beside[0].definition)
        values = ", ".join(f"{foot_short(item.foot)} {value_words(item)}" for item in beside if item.foot)
        said.append(f"({by}: {values})")
    if gauges:
        told = ", ".join(
            f"{foot_short(each.hand.foot)} {hand_beside.gauge_value(each)}, {hand_beside.difference(each)}"
            for each in gauges
            if each.hand.foot
        )
        said.append(f"({definition_name(Definition.HAND_GAUGE)}: {told})")
    return FigureRow(
        label,
        " ".join(part for part in said if part),
        tuple(_figure(progress, newest) for _, progress in lines),
        _changes(lines),
    )


def _changes(lines: Sequence[tuple[Foot, Progress]]) -> tuple[str, ...]:
    """A line per foot with a change; where no goal is set that is said once."""
    several = [(foot, progress) for foot, progress in lines if len(progress.series.readings) > 1]
    if several and all(progress.next_look is None for _, progress in several):
        return (NO_GOAL,)
    return tuple(change_line(foot, progress) for foot, progress in several)


def _figure(progress: Progress, newest: date) -> tuple[str, str]:
    if not progress.series.readings:
        return NOT_MEASURED, ""
    last = progress.series.readings[-1]
    return value_words(last), "" if last.day == newest else day_month_year(last.day)


def figure_heads(feet: Sequence[Foot], first: date | None, last: date | None) -> tuple[str, ...]:
    """Heads of page 1's figures: the feet, then `since 14 Jan 2025 (37 weeks)`."""
    since = f"since {day_month_year(first)} ({weeks_between(first, last)})" if first and last and first < last else ""
    return ("", *(foot_name(foot) for foot in feet), since or "change")


def change_line(place: Place, progress: Progress) -> str:
    """`LF +3.8 mm (2.7 to 4.9 mm, over 37 weeks): increase shown, as wanted`; of no goal only that it has none."""
    head, where = verdicts.headline(progress), foot_short(place)
    if progress.next_look is None:
        return f"{where} {NO_GOAL}"
    if not head.change or (progress.verdict is not None and not progress.verdict.is_change):
        return f"{where} {head.words}"
    return f"{where} {head.change}{head.unit} ({head.under}): {said_so_far(progress)}"


def said_so_far(progress: Progress) -> str:
    """The verdict of this reading, else the last one given with its day, and when the next falls."""
    if progress.verdict is not None:
        return verdicts.headline(progress).words
    coming = f"verdict at reading {progress.next_look}"
    if not progress.looks:
        return coming
    look = progress.looks[-1]
    words = verdicts.verdict_words(look.verdict, as_wanted(look.verdict, progress.wanted))
    if look.verdict is Verdict.NO_CHANGE_SHOWN:
        words += f" ({verdicts.smallest(look.smallest_change, verdicts.unit_of(progress.series))})"
    return f"{words}, at reading {look.reading}, {day_month_year(look.day)}; next {coming}"


def measure_table(
    lines: Sequence[Progress], gauge_of: Callable[[Progress], HandBeside | None] = lambda _line: None
) -> Table | None:
    """One row a series, left and right of a measure beneath each other; a day stands only where it is not the usual
    one, which the heads name. None where nothing was measured. `gauge_of` tells for a line read by hand
    how its newest number stands to that from photos."""
    shown = [progress for progress in lines if progress.series.readings]
    if not shown:
        return None
    first = _usual(progress.series.readings[0].day for progress in shown if len(progress.series.readings) > 1)
    last = _usual(progress.series.readings[-1].day for progress in shown)
    heads = list(MEASURE_HEADS)
    heads[2:4] = [
        f"First, {day_month_year(first)}" if first else "First",
        f"Newest, {day_month_year(last or date.min)}",
    ]
    rows, before = [], ""
    for progress in shown:
        row = _measure_row(progress, first, last, gauge_of(progress))
        rows.append(("", *row[1:]) if row[0] == before else row)
        before = row[0]
    return Table(tuple(heads), tuple(rows))


def _usual(days: Iterable[date]) -> date | None:
    counts = Counter(days)
    return counts.most_common(1)[0][0] if counts else None


def _measure_row(
    progress: Progress, first_day: date | None, last_day: date | None, gauge: HandBeside | None
) -> tuple[str, ...]:
    series = progress.series
    first, last = series.readings[0], series.readings[-1]
    unit = verdicts.unit_of(series)
    moment = "" if series.moment is Moment.AFTER_TRIM else f", {moment_name(series.moment).lower()}"
    seen = progress.smallest_change_shown
    return (
        one_line_name(series.measure, series.definition) + moment,
        foot_short(series.foot) if series.foot else "",
        _dated(first, first_day) if first is not last else "",
        _dated(last, last_day),
        str(len(series.readings)),
        _change(progress, unit),
        numbers.limit(seen, unit) if seen else "",
        said_so_far(progress) if progress.next_look is not None else hand_beside.difference(gauge) if gauge else "",
    )


def _dated(reading: Reading, usual: date | None) -> str:
    return value_words(reading) + ("" if reading.day == usual else f", {day_month_year(reading.day)}")


def _change(progress: Progress, unit: Unit) -> str:
    if progress.change is None or progress.low is None or progress.high is None:
        return ""
    half = (progress.high - progress.low) / 2
    reach = numbers.span(progress.low, progress.high, unit).removesuffix(numbers.unit_sign(unit))
    return f"{numbers.change(progress.change, half, unit)} ({reach})"


def strip_value(reading: Reading | None) -> str:
    return value_words(reading) if reading else NOT_MEASURED


def chart_alt(progress: Progress) -> str:
    """What somebody who cannot see the chart is told: the sentence, then every reading."""
    unit = verdicts.unit_of(progress.series)
    told = [verdicts.reading_words(reading, unit) + "." for reading in progress.series.readings]
    return " ".join([verdicts.full_sentence(progress), *told])


def chart_title(progress: Progress) -> str:
    """`Left fore: External sole concavity (not sole thickness), at the frog apex, from the sole edge, after trim`"""
    series = progress.series
    name = one_line_name(series.measure, series.definition)
    foot = f"{foot_name(series.foot)}: " if series.foot else ""
    return f"{foot}{name}, {moment_name(series.moment).lower()}"
