"""Inside a cycle: growth of one measure of one foot, what its trims changed, and the limit a person set for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import Followable, HorseReadings
from hoofbook.casework.typed_number import typed_number, unit_of
from hoofbook.progress.cycle import by_season, day_reached, growth, in_weeks, pooled_growth, trim_took
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import MEASURES, Definition, Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Section, Table
from hoofbook.terms.subjects import Limit
from hoofbook.wording import cycles, within_cycle

ALL_CODES = ("limit_not_a_number",)


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """The person's own limit for this measure of this foot: as written ("" = none), its unit, and what it says."""

    value: str
    unit: str
    sentence: str = ""


@dataclass(frozen=True, slots=True)
class WithinCycle:
    section: Section | None = None
    each: Table | None = None
    limit: OwnLimit | None = None


def read_within(open_book: OpenBook, readings: HorseReadings, chosen: Followable) -> WithinCycle:
    """Growth between trims, pooled and per cycle, what to expect at the next visit, and the limit where one is set.

    Nothing for the difference of a pair: both feet are trimmed apart.
    """
    foot, measure, definition = chosen
    if isinstance(foot, Pair):
        return WithinCycle()
    own = [reading for reading in readings.of(foot, measure) if reading.definition is definition]
    found = growth(own)
    pooled = pooled_growth(found)
    shown = readings.series(foot, measure, definition).readings
    limit = _limit(open_book, readings.history.horse.key, chosen)
    sentence = ""
    if limit is not None and pooled is not None and shown:
        reached = day_reached(shown[-1], pooled, limit.value)
        sentence = within_cycle.limit_sentence(measure, reached, open_book.clock.now().date())
    elif limit is not None:
        sentence = within_cycle.LIMIT_KEPT_FOR_LATER
    section = None
    if pooled is not None and shown:
        rows = within_cycle.growth_rows(measure, pooled, in_weeks(shown[-1], pooled))
        section = Section(cycles.WITHIN, rows=rows + within_cycle.season_rows(measure, by_season(found)))
    field = OwnLimit(within_cycle.limit_figure(limit.value) if limit else "", unit_of(measure), sentence)
    each = within_cycle.each_cycle(measure, found, trim_took(own))
    has_limit = MEASURES[measure] in (Unit.MM, Unit.DEG) and (section is not None or limit is not None)
    return WithinCycle(section, each, field if has_limit else None)


def _limit(open_book: OpenBook, horse: UUID, chosen: Followable) -> Limit | None:
    foot, measure, definition = chosen
    kept = open_book.book.every(Limit, horse=horse, foot=foot, measure=measure, definition=definition)
    return kept[-1] if kept else None


def set_limit(open_book: OpenBook, horse: str, foot: str, *, measure: str, definition: str, value: str) -> None:
    """Sets or changes the person's limit for a measure of a foot (mm or degrees); an empty `value` takes it away.

    Raises:
        Refused: `limit_not_a_number`.
    """
    from hoofbook.records.keys import new_key

    key, chosen = uuid(horse), (Foot(foot), measure, Definition(definition))
    kept = _limit(open_book, key, chosen)
    if not value.strip():
        if kept is not None:
            with open_book.book.writing() as writer:
                writer.remove(kept)
        return
    number = typed_number(value, measure)
    if number is None:
        facts = {"found": value.strip(), "unit": unit_of(measure)}
        raise Refused(Refusal("limit_not_a_number", facts, measure))
    day = open_book.clock.now().date()
    with open_book.book.writing() as writer:
        if kept is not None:
            writer.change(replace(kept, value=number, set_on=day))
        else:
            writer.add(Limit(new_key(), key, *chosen, number, day))
