"""The place Cycle by cycle: one measure of one foot over the visits, and whether it changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from hoofbook.casework.how_measured import pair_guides
from hoofbook.casework.missed_visits import Missing, missing_visits
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import Followable, HorseReadings, read_readings
from hoofbook.casework.typed_number import unit_of
from hoofbook.casework.within_cycle import OwnLimit, read_within
from hoofbook.progress.change import Progress
from hoofbook.progress.series import Series
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot, Pair, Place, place_of
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.shown import EmptyPlace, Pick, Section, Table, VerdictChip
from hoofbook.terms.views import Moment
from hoofbook.wording import charts, cycle_words, cycles, verdicts
from hoofbook.wording.cautions import CHART
from hoofbook.wording.places import foot_name

MORE = "more"  # the option of `CycleSheet.measures` that asks for `all_measures`
DrawChart = Callable[[float, float, float, bool, bool], Drawing]
_FIRST = (
    ("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("sole_concavity_at_frog_apex", Definition.FROM_WALL_EDGE),
    ("whole_sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("toe_angle", Definition.ONE),
    ("heel_angle", Definition.ONE),
    ("toe_length", Definition.ONE),
    ("heel_height", Definition.ONE),
)
_SHOWN = (_FIRST[0], *_FIRST[2:])


@dataclass(frozen=True, slots=True)
class CycleSheet:
    """`chart` draws itself for a width, height, text size, with or without the readings before trim, and with the
    values from 0 or close up."""

    foot: str
    measure: str
    definition: str
    feet: Pick
    measures: Pick
    title: str = ""
    sentence: str = ""
    chip: VerdictChip | None = None
    headline: str = ""
    headline_unit: str = ""
    interval: str = ""
    chart: DrawChart | None = None
    point_keys: Mapping[str, tuple[str, str]] | None = None
    how_decided: Section | None = None
    fool: Section | None = None
    other_foot: Section | None = None
    within_cycle: Section | None = None
    each_cycle: Table | None = None
    limit: OwnLimit | None = None
    asks_size: str | None = None  # unit of the field that asks what a change would take; None = nothing to ask of
    two_readings: bool = False  # two readings of one foot: could their difference be noise?
    table: Table | None = None
    spreadsheet: str = ""
    caution: str = CHART
    empty: EmptyPlace | None = None
    all_measures: Pick | None = None


def read_cycle(open_book: OpenBook, horse: str, foot: str = "", measure: str = "", definition: str = "") -> CycleSheet:
    """The sheet of a foot and measure; the horse's first goal where none is named."""
    readings = read_readings(open_book, uuid(horse))
    chosen = _chosen(readings, foot, measure, definition)
    if chosen is None:
        empty = EmptyPlace(*cycles.NO_READINGS, action="bench")
        return CycleSheet(foot, "", "", _feet(readings, None), Pick("measure", "", (), ()), empty=empty)
    return _sheet(open_book, readings, chosen)


def _sheet(open_book: OpenBook, readings: HorseReadings, chosen: Followable) -> CycleSheet:
    place, name, by = chosen
    progress = readings.progress(*chosen)
    headline = verdicts.headline(progress)
    few, every = _measures(readings, place, name, by)
    before = readings.series(place, name, _before_definition(readings, chosen), Moment.BEFORE_TRIM)
    missing = missing_visits(readings, place, progress.series)
    within = read_within(open_book, readings, chosen)
    return CycleSheet(
        foot=place.value,
        measure=name,
        definition=by.value,
        feet=_feet(readings, place),
        measures=few,
        all_measures=every,
        title=headline.title,
        sentence=cycle_words.head_sentence(progress),
        chip=verdicts.chip(progress),
        headline=headline.change,
        headline_unit=headline.unit.strip(),
        interval=headline.under,
        chart=_chart(readings, place, progress, before, missing),
        point_keys=_points(progress.series, before),
        how_decided=Section(cycles.HOW_DECIDED, _decided(readings, progress)),
        fool=Section(cycles.COULD_FOOL, rows=_fool_rows(progress, missing)),
        other_foot=_partner(readings, chosen),
        within_cycle=within.section,
        each_cycle=within.each,
        limit=within.limit,
        asks_size=unit_of(name) if progress.tested else None,
        two_readings=isinstance(place, Foot) and len(progress.series.readings) > 1,
        table=cycles.reading_table(progress.series, before, readings.history.events, missing.visits),
        spreadsheet=cycles.spreadsheet(progress.series, before),
        empty=None if progress.series.readings else EmptyPlace(*cycles.NO_READINGS, action="bench"),
    )


def _fool_rows(progress: Progress, missing: Missing) -> tuple[tuple[str, str], ...]:
    rows = verdicts.could_fool_us(progress) + cycle_words.gap_rows(progress.series, missing.gaps, missing.since)
    return rows + cycles.left_out(progress.series)


def _decided(readings: HorseReadings, progress: Progress) -> tuple[str, ...]:
    """How it was decided, the smallest change that could have been shown, and how many measures were looked at."""
    looked = sum(len(readings.measures_of(foot)) for foot in Foot)
    looked += sum(isinstance(place, Pair) for place, _, _ in readings.goals)
    said = (
        *verdicts.how_decided(progress),
        cycle_words.smallest_shown(progress),
        verdicts.looked_at(looked, len(readings.goals)),
    )
    return tuple(words for words in said if words)


def _chosen(readings: HorseReadings, foot: str, measure: str, definition: str) -> Followable | None:
    goal = next((key for key in readings.goals if not foot or key[0] == foot), None)
    place = place_of(foot) if foot else (goal[0] if goal else _first_foot(readings))
    if place is None:
        return None
    had = readings.measures_of(place)
    if measure and (measure, Definition(definition)) in had:
        return place, measure, Definition(definition)
    if goal is not None and goal[0] is place and not measure:
        return goal
    first = [item for item in _FIRST if item in had] or list(had)
    same = [item for item in first if item[0] == measure] or first
    return (place, *same[0]) if same else None


def _first_foot(readings: HorseReadings) -> Foot | None:
    return next((foot for foot in Foot if readings.measures_of(foot)), None)


def _feet(readings: HorseReadings, chosen: Place | None) -> Pick:
    """The feet that were read, then the pairs: in the direction that is followed or chosen, else left less right."""
    feet: list[Place] = [foot for foot in Foot if readings.measures_of(foot)]
    turned = {key[0] for key in readings.goals} | {chosen}
    for one, other in ((Pair.LF_LESS_RF, Pair.RF_LESS_LF), (Pair.LH_LESS_RH, Pair.RH_LESS_LH)):
        if readings.measures_of(one):
            feet += [pair for pair in (one, other) if pair in turned] or [one]
    return Pick("foot", "", tuple(feet), tuple(foot_name(foot) for foot in feet), chosen.value if chosen else "")


def _measures(readings: HorseReadings, foot: Place, measure: str, definition: Definition) -> tuple[Pick, Pick]:
    """What was read after trim on this foot: the usual ones with the chosen one, and all of them.

    Options read `measure|definition`; `MORE` asks for all.
    """
    had = readings.measures_of(foot, Moment.AFTER_TRIM)
    ordered = [item for item in _FIRST if item in had] + [item for item in had if item not in _FIRST]
    chosen = (measure, definition)
    few = [item for item in ordered if item in _SHOWN or item == chosen]
    rest = len(few) < len(ordered)
    return _pick(few, chosen, more=rest), _pick(ordered, chosen, more=False)


def _pick(items: Sequence[tuple[str, Definition]], chosen: tuple[str, Definition], *, more: bool) -> Pick:
    options = [f"{name}|{by.value}" for name, by in items]
    words = [cycles.measure_switch(name, by) for name, by in items]
    if more:
        options.append(MORE)
        words.append(cycles.MORE_MEASURES)
    return Pick("measure", "", tuple(options), tuple(words), f"{chosen[0]}|{chosen[1].value}")


def _before_definition(readings: HorseReadings, chosen: Followable) -> Definition:
    """The definition in which this measure was read before trim (a hand gauge reads from the wall edge)."""
    foot, measure, definition = chosen
    if isinstance(foot, Pair):
        return definition
    had = {reading.definition for reading in readings.of(foot, measure) if reading.moment is Moment.BEFORE_TRIM}
    return definition if definition in had or not had else sorted(had)[0]


def _chart(readings: HorseReadings, foot: Place, progress: Progress, before: Series, missing: Missing) -> DrawChart:
    history = readings.history
    shod = foot.foot if isinstance(foot, Pair) else foot
    strip = cycles.chart_cycles(history.visits, [work for work in history.works if work.foot is shod])
    events = cycles.chart_events(history.events)

    def draw(width: float, height: float, text_size: float, show_before: bool, close_up: bool = False) -> Drawing:
        return charts.cycle_chart(
            progress,
            width=width,
            height=height,
            text_size=text_size,
            before=before if show_before else None,
            cycles=strip,
            events=events,
            gaps=missing.gaps,
            missed=missing.visits,
            from_zero=not close_up,
        )

    return draw


def _points(series: Series, before: Series) -> dict[str, tuple[str, str]]:
    unit = MEASURES[series.measure]
    return {
        reading.key: (reading.photos[0] if reading.photos else "", verdicts.reading_words(reading, unit))
        for reading in (*series.readings, *before.readings)
    }


def _partner(readings: HorseReadings, chosen: Followable) -> Section | None:
    """The same measure of the other foot; of a pair the newest difference, and whether it is more than its own ±."""
    foot, measure, definition = chosen
    if isinstance(foot, Pair):
        shown = readings.series(foot, measure, definition).readings
        if not shown:
            return None
        return Section(cycle_words.DIFFERENCE, cycle_words.difference_now(shown[-1], foot) + pair_guides(measure))
    progress = readings.progress(foot.partner, measure, definition)
    if not progress.series.readings:
        return None
    chip = verdicts.chip(progress)
    words = (chip.words, *chip.detail) if chip else (verdicts.between(progress),)
    return Section(foot_name(foot.partner), tuple(word for word in words if word))
