"""Words and ready values of the place Cycle by cycle beside the chart itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise

from hoofbook.progress.series import Reading, Series
from hoofbook.terms.quantity import COVERAGE, MEASURES, Definition, Unit
from hoofbook.terms.shown import Table
from hoofbook.terms.subjects import Event, EventKind, FootWork, SolePared, SoleState, Visit
from hoofbook.wording.chart_frame import MISSED
from hoofbook.wording.charts import ChartEvent, Cycle
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.numbers import measured
from hoofbook.wording.places import foot_short, measure_name, measure_with_definition
from hoofbook.wording.refusals import sentence
from hoofbook.wording.verdicts import day_words_of

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
SPREADSHEET_HEADS = (
    "Day",
    "Foot",
    "Measure",
    "Moment",
    "Value",
    "±",
    "Unit",
    "Days since trim",
    "Shod",
    "Sole pared",
    "Sole",
    "Marked by",
    "Not compared because",
)
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


def reading_table(series: Series, before: Series, events: Sequence[Event] = (), missed: Sequence[date] = ()) -> Table:
    """All readings as rows, oldest first, those of the other moment named as such; between them what the day book has
    and the visits without a reading."""
    lines = [
        (reading.day, reading.moment.value, _row(reading), reading.key, "")
        for reading in (*series.readings, *before.readings)
    ]
    lines += [
        (event.day, "", (day_month_year(event.day), _day_book(event), *("",) * 4), "", "event") for event in events
    ]
    lines += [(day, "", (day_month_year(day), MISSED, *("",) * 4), "", "event") for day in missed]
    lines.sort(key=lambda line: line[:2])
    emphasis = {place: line[4] for place, line in enumerate(lines) if line[4]}
    return Table(TABLE_HEADS, tuple(line[2] for line in lines), tuple(line[3] for line in lines), emphasis)


def _day_book(event: Event) -> str:
    where = f", {event.foot.value}" if event.foot else ""
    return f"Day book: {event.kind.value}{where}. {event.words}".strip()


def spreadsheet(series: Series, before: Series) -> str:
    """The readings as tab-separated lines for a spreadsheet: plain numbers with a point, days as 2025-09-30.

    `±` is half of the 95 % interval, empty where none is known. Those left out of the line stand last, with the reason.
    """
    shown = sorted((*series.readings, *before.readings), key=lambda reading: (reading.day, reading.moment))
    lines: list[tuple[str, ...]] = [SPREADSHEET_HEADS]
    lines += [_cells(reading, "") for reading in shown]
    told = {reading.key for reading in shown}
    out = {reading.key: (reading, why) for reading, why in (*series.left_out, *before.left_out)}
    said: dict[tuple[object, ...], str] = {}  # hundreds may be left out for the same reason
    for key, (reading, why) in out.items():
        if key not in told:
            reason = (why.code, *why.facts.items())
            said[reason] = said.get(reason) or sentence(why)
            lines.append(_cells(reading, said[reason]))
    return "".join("\t".join(_cell(cell) for cell in line) + "\n" for line in lines)


def _cells(reading: Reading, left_out_because: str) -> tuple[str, ...]:
    unit = MEASURES[reading.measure]
    place = foot_short(reading.foot) if reading.foot else ""
    return (
        reading.day.isoformat(),
        place,
        measure_with_definition(reading.measure, reading.definition),
        reading.moment.value,
        f"{reading.value:.6g}",
        "" if not reading.u else f"{COVERAGE * reading.u:.3g}",
        unit.value if unit is not Unit.RATIO else "",
        "" if reading.days_since_trim is None else str(reading.days_since_trim),
        "shod" if reading.shod else "bare",
        "" if reading.sole_pared is SolePared.NOT_SAID else reading.sole_pared.value,
        "" if reading.sole_state is SoleState.NOT_LOOKED else reading.sole_state.value,
        reading.person,
        left_out_because,
    )


def _cell(words: str) -> str:
    """One cell: no tab or line break inside, and nothing a spreadsheet would take for a formula."""
    plain = " ".join(words.split())
    if plain[:1] not in ("=", "+", "-", "@"):
        return plain
    is_number = plain.replace(".", "", 1).lstrip("-").replace("e", "", 1).replace("-", "", 1).isdigit()
    return plain if is_number else f"'{plain}"


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


def left_out(series: Series) -> tuple[tuple[str, str], ...]:
    """Readings that do not stand on the line: the reason once, with the days it holds for.

    Those of another moment were never meant to: they go without saying.
    """
    reasons: dict[str, list[str]] = {}
    day_words = day_words_of(series)
    for reading, refusal in series.left_out:
        if refusal.code == "another_moment":
            continue
        same = replace(refusal, facts={name: fact for name, fact in refusal.facts.items() if name != "day"})
        reasons.setdefault(sentence(same), []).append(day_words(reading.day))
    return tuple((days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}", why) for why, days in reasons.items())
