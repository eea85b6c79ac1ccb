"""Words and ready values of the place Cycle by cycle beside the chart itself."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from hoofbook.progress.cycle import Expected, Pooled
from hoofbook.progress.series import Reading, Series
from hoofbook.terms.quantity import COVERAGE, MEASURES, Definition
from hoofbook.terms.shown import Table
from hoofbook.terms.subjects import Event, EventKind, FootWork, SolePared, SoleState, Visit
from hoofbook.wording.charts import ChartEvent, Cycle
from hoofbook.wording.dates import day_month, day_month_year
from hoofbook.wording.numbers import amount, measured, span
from hoofbook.wording.places import measure_name, measure_with_definition
from hoofbook.wording.refusals import sentence

NO_READINGS = (
    "No readings yet",
    "Each measured visit becomes a dot here, by date and with its ±. Only like is compared with like. "
    "Mark a photo first.",
    "To the Bench",
)
HOW_DECIDED = "How it was decided"
COULD_FOOL = "What could fool us"
WITHIN = "Within a cycle"
TABLE_HEADS = ("Visit", "Moment", "Value", "Days since trim", "Sole pared", "Sole")
MORE_MEASURES = "more"


def measure_switch(name: str, definition: Definition) -> str:
    """The measure on its switch: the definition that verdicts use goes without saying."""
    return measure_name(name) if definition is Definition.FROM_SOLE_EDGE else measure_with_definition(name, definition)


def chart_cycles(visits: Sequence[Visit], works: Sequence[FootWork]) -> tuple[Cycle, ...]:
    """How the foot went home after each visit, until the next one (the last until it is due)."""
    by_visit = {work.visit: work for work in works}
    ordered = sorted(visits, key=lambda visit: visit.day)
    ends = [(visit, following.day) for visit, following in pairwise(ordered)]
    if ordered and ordered[-1].next_due:
        ends.append((ordered[-1], ordered[-1].next_due))
    return tuple(
        Cycle(visit.day, end, work.shoeing)
        for visit, end in ends
        if (work := by_visit.get(visit.key)) is not None and work.shoeing is not None
    )


def chart_events(events: Sequence[Event]) -> tuple[ChartEvent, ...]:
    return tuple(ChartEvent(event.day, event_words(event)) for event in events)


def event_words(event: Event) -> str:
    """`RF lost shoe`, `vet's films`"""
    words = f"{event.foot.value} " if event.foot else ""
    return words + (event.kind.value if event.kind is not EventKind.NOTE else event.words[:24])


def reading_table(series: Series, before: Series) -> Table:
    """All readings as rows, oldest first; those of the other moment too, named as such."""
    readings = sorted((*series.readings, *before.readings), key=lambda reading: (reading.day, reading.moment))
    return Table(TABLE_HEADS, tuple(_row(reading) for reading in readings), tuple(r.key for r in readings))


def _row(reading: Reading) -> tuple[str, ...]:
    half = None if reading.u is None else COVERAGE * reading.u
    return (
        day_month_year(reading.day),
        reading.moment.value,
        measured(reading.value, half, MEASURES[reading.measure]),
        "" if reading.days_since_trim is None else str(reading.days_since_trim),
        "" if reading.sole_pared is SolePared.NOT_SAID else reading.sole_pared.value,
        "" if reading.sole_state is SoleState.NOT_LOOKED else reading.sole_state.value,
    )


def growth_rows(measure: str, pooled: Pooled, expected: Sequence[Expected]) -> tuple[tuple[str, str], ...]:
    """`in 30 days | 8.9 mm ± 1.8`, then what to expect in so many weeks."""
    unit = MEASURES[measure]
    half = (pooled.high - pooled.low) / 2
    rows = [(f"{measure_name(measure)}, in 30 days", measured(pooled.per_30_days, half, unit, signed=True))]
    for item in expected:
        words = f"{amount(item.value, unit, like=(item.high - item.low) / 2)} ({span(item.low, item.high, unit)})"
        rows.append((f"in {item.weeks} weeks, {day_month(item.day)}", words))
    return tuple(rows)


def left_out(series: Series) -> tuple[tuple[str, str], ...]:
    """Readings that do not stand on the line: the reason once, with the days it holds for."""
    reasons: dict[str, list[str]] = {}
    for reading, refusal in series.left_out:
        reasons.setdefault(sentence(refusal), []).append(day_month(reading.day))
    return tuple((days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}", why) for why, days in reasons.items())
