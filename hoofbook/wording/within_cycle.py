"""Words of what happens inside a cycle: growth per 30 days, what each trim changed, seasons, the person's own limit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.progress.cycle import HORIZON_DAYS, DayReached, Expected, Growth, Pooled, SeasonRate, Taken
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.terms.shown import Table
from hoofbook.wording.dates import MONTHS, day_month, day_month_year
from hoofbook.wording.numbers import amount, limit, measured, span, unit_sign
from hoofbook.wording.places import measure_name

EACH_CYCLE = "Each cycle"
EACH_HEADS = ("Cycle", "Days", "In 30 days", "At the trim")
EACH_WORDS = (
    "In 30 days: before trim less the after trim before it. At the trim: after less before; a trim, not progress."
)
SEASONS = "By the time of year, shown and never corrected for"
LIMIT_KEPT_FOR_LATER = "Kept. It takes two cycles, each read after one trim and before the next, to say when."
NO_SEASON_SPREAD = "one cycle a season: no ± yet"


def growth_rows(measure: str, pooled: Pooled, expected: Sequence[Expected]) -> tuple[tuple[str, str], ...]:
    """`in 30 days | 8.9 mm ± 1.8`, how unlike single cycles were, then what to expect in so many weeks."""
    unit = MEASURES[measure]
    half = (pooled.high - pooled.low) / 2
    rows = [
        (f"{measure_name(measure)}, in 30 days", measured(pooled.per_30_days, half, unit, signed=True)),
        ("Single cycles", f"scatter by {limit(pooled.cycle_sd, unit)} (sd) over {pooled.cycles} cycles"),
    ]
    for item in expected:
        words = f"{amount(item.value, unit, like=(item.high - item.low) / 2)} ({span(item.low, item.high, unit)})"
        rows.append((f"in {item.weeks} weeks, {day_month(item.day)}", words))
    return tuple(rows)


def season_rows(measure: str, seasons: Sequence[SeasonRate]) -> tuple[tuple[str, str], ...]:
    """`Dec to Feb | 8.1 mm ± 0.9, 3 cycles`; empty until two seasons were seen."""
    if len(seasons) < 2:
        return ()
    unit = MEASURES[measure]
    rows = [(SEASONS, "in 30 days" if seasons[0].low is not None else NO_SEASON_SPREAD)]
    for season in seasons:
        half = None if season.low is None or season.high is None else (season.high - season.low) / 2
        count = "1 cycle" if season.cycles == 1 else f"{season.cycles} cycles"
        months = f"{MONTHS[season.first_month - 1]} to {MONTHS[(season.first_month + 1) % 12]}"
        rows.append((months, f"{measured(season.per_30_days, half, unit, signed=True)}, {count}"))
    return tuple(rows)


def each_cycle(measure: str, cycles: Sequence[Growth], taken: Sequence[Taken]) -> Table | None:
    """One row per cycle, newest first: its days, its rate, and what the trim at its end changed."""
    unit = MEASURES[measure]
    by_end = {cycle.before_trim: cycle for cycle in cycles}
    trims = {trim.day: trim for trim in taken}
    days = sorted({*by_end, *trims}, reverse=True)
    return (
        Table(EACH_HEADS, tuple(_cycle_row(day, by_end.get(day), trims.get(day), unit) for day in days))
        if days
        else None
    )


def _cycle_row(day: date, cycle: Growth | None, trim: Taken | None, unit: Unit) -> tuple[str, ...]:
    when = f"{day_month(cycle.after_trim)} to {day_month_year(day)}" if cycle else f"to {day_month_year(day)}"
    rate = changed = ""
    if cycle is not None:
        rate = measured(cycle.per_30_days, (cycle.high - cycle.low) / 2, unit, signed=True)
    if trim is not None:
        half = None if trim.low is None or trim.high is None else (trim.high - trim.low) / 2
        changed = measured(-trim.change, half, unit, signed=True)
    return (when, str(cycle.days) if cycle else "", rate, changed)


def limit_figure(value: float) -> str:
    """The limit as the person wrote it: `95`, `48.5`."""
    return f"{value:g}"


def limit_sentence(measure: str, found: DayReached, today: date) -> str:
    """When the foot comes to the person's own limit: never "due", and only if it goes on as it did."""
    unit = MEASURES[measure]
    named = f"the limit you set, {limit_figure(found.value)}{unit_sign(unit)}"
    if found.earliest is None:
        return _never(named, found)
    if found.day is None or found.latest is None:
        about = f"about {day_month_year(found.day)}" if found.day else "not surely at all"
        return (
            f"If it goes on as it did, this foot comes to {named}, {about}: {_early(found)} at the earliest, and not "
            f"for certain within {HORIZON_DAYS} days."
        )
    course = "came" if found.latest < today else "comes"
    return (
        f"By its own course this foot {course} to {named}, about {day_month_year(found.day)} "
        f"({_early(found)} to {day_month_year(found.latest)}, 19 times in 20)."
    )


def _early(found: DayReached) -> str:
    assert found.earliest is not None
    at_once = found.earliest <= found.since
    return "as early as the last reading" if at_once else day_month_year(found.earliest)


def _never(named: str, found: DayReached) -> str:
    if found.passed:
        return f"At the last reading, {day_month_year(found.since)}, this foot was past {named}, already."
    return f"If it goes on as it did, this foot does not come to {named}, within {HORIZON_DAYS} days."
