"""Which measures a Vet case shows, each as one line with how it stands: goals first, then the usual ones."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.casework.readings import HorseReadings, followed_place
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.progress.beside import HandBeside, beside, hand_readings
from hoofbook.progress.change import Progress, judge
from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import Moment
from hoofbook.wording.vet_numbers import FigureRow, change_line, figure_heads, figure_row

Measure = tuple[str, Definition]
FIGURES = 3
_USUAL: tuple[Measure, ...] = (
    ("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("sole_concavity_at_frog_apex", Definition.HAND_GAUGE),
    ("toe_angle", Definition.ONE),
    ("heel_height", Definition.ONE),
    ("heel_angle", Definition.ONE),
    ("toe_length", Definition.ONE),
    ("toe_heel_angle_difference", Definition.ONE),
    ("foot_length", Definition.ONE),
    ("foot_width", Definition.ONE),
    ("medial_wall_height", Definition.ONE),
    ("lateral_wall_height", Definition.ONE),
    ("new_horn_length", Definition.ONE),
    ("groove_depth", Definition.ONE),
    ("whole_sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
)
_MOMENTS = (
    Moment.AFTER_TRIM,
    Moment.FINISHED,
    Moment.AS_ARRIVED,
    Moment.BEFORE_TRIM,
    Moment.BETWEEN_VISITS,
)
_OTHER = {Definition.FROM_SOLE_EDGE: Definition.FROM_WALL_EDGE, Definition.FROM_WALL_EDGE: Definition.FROM_SOLE_EDGE}


def line_of(readings: HorseReadings, foot: Place, measure: str, definition: Definition) -> Progress:
    """After trim, as goals are judged; where nothing was read then, at the first other moment that has readings."""
    progress = readings.progress(foot, measure, definition)
    if progress.series.readings or (foot, measure, definition) in readings.goals:
        return progress
    others = (readings.series(foot, measure, definition, moment) for moment in _MOMENTS[1:])
    return next((judge(series) for series in others if series.readings), progress)


def goal_measures(facts: CaseFacts) -> tuple[Measure, ...]:
    """What is followed on the chosen feet, each measure once."""
    keys = [(key[1], key[2]) for key in facts.readings.goals if _is_chosen(facts, key[0])]
    return tuple(dict.fromkeys(keys))


def _is_chosen(facts: CaseFacts, place: Place) -> bool:
    return place.foot in facts.feet if isinstance(place, Pair) else place in facts.feet


def goal_lines(facts: CaseFacts) -> tuple[Progress, ...]:
    """The goals of the chosen feet with readings, as they stand."""
    found = (
        progress
        for goal, progress in facts.readings.goals.values()
        if _is_chosen(facts, followed_place(goal)) and progress.series.readings
    )
    return tuple(found)


def figures(facts: CaseFacts) -> tuple[tuple[str, ...], tuple[FigureRow, ...]]:
    """Heads and rows of page 1: three measures, what is followed first. Empty where nothing was measured."""
    asked = dict.fromkeys((*goal_measures(facts), *(item for item in _USUAL if item[1] is not Definition.HAND_GAUGE)))
    measures = [item for item in asked if _was_read(facts, item)][:FIGURES]
    rows, days = [], set[date]()
    for measure, definition in measures:
        lines = [(foot, line_of(facts.readings, foot, measure, definition)) for foot in facts.feet]
        days |= {reading.day for _, progress in lines for reading in progress.series.readings}
        progresses = [progress for _, progress in lines]
        others, gauges = _by_other_definition(facts, progresses), _gauges(facts, progresses)
        row = figure_row(measure, definition, lines, others, facts.newest_day, gauges=gauges)
        rows.append(_with_pairs(facts, row, measure, definition))
    if not rows:
        return (), ()
    return figure_heads(facts.feet, min(days, default=None), max(days, default=None)), tuple(rows)


def _was_read(facts: CaseFacts, item: Measure) -> bool:
    return any(line_of(facts.readings, foot, *item).series.readings for foot in facts.feet)


def _with_pairs(facts: CaseFacts, row: FigureRow, measure: str, definition: Definition) -> FigureRow:
    """The differences of a pair that are followed stand below the changes of its feet."""
    own = [
        change_line(place, progress)
        for (place, name, by), (_, progress) in facts.readings.goals.items()
        if isinstance(place, Pair) and (name, by) == (measure, definition) and _is_chosen(facts, place)
    ]
    return FigureRow(row.label, row.under, row.values, (*row.changes, *own))


def _by_other_definition(facts: CaseFacts, lines: Sequence[Progress]) -> list[Reading]:
    """The newest readings of the same places from the other edge, where there is one."""
    found = []
    for progress in lines:
        last = progress.series.readings[-1] if progress.series.readings else None
        other = _OTHER.get(last.definition) if last else None
        if last is None or other is None or not isinstance(last.foot, Foot):
            continue
        same = [
            reading
            for reading in facts.readings.of(last.foot, last.measure)
            if (reading.visit, reading.moment, reading.definition, reading.method)
            == (last.visit, last.moment, other, last.method)
        ]
        found += same[:1]
    return found


def _gauges(facts: CaseFacts, lines: Sequence[Progress]) -> list[HandBeside]:
    """What a hand gauge read where these lines end, beside them."""
    found = []
    for progress in lines:
        last = progress.series.readings[-1] if progress.series.readings else None
        if last is not None and last.method != HAND and isinstance(last.foot, Foot):
            near = hand_readings(facts.readings.of(last.foot, last.measure), last)
            found += [each for hand in near if (each := _beside_photos(facts, hand)) is not None]
    return found


def _beside_photos(facts: CaseFacts, hand: Reading) -> HandBeside | None:
    """A number read by hand beside those from photos of its foot, visit and moment."""
    assert isinstance(hand.foot, Foot)
    same = [
        reading
        for reading in facts.readings.of(hand.foot, hand.measure)
        if reading.method != HAND and hand in hand_readings((hand,), reading)
    ]
    return beside(hand, same)


def gauge_of(facts: CaseFacts, progress: Progress) -> HandBeside | None:
    """For a line read by hand gauge: its newest number beside that from the photos of the same day."""
    readings = progress.series.readings
    is_gauge = progress.series.definition is Definition.HAND_GAUGE
    return _beside_photos(facts, readings[-1]) if is_gauge and readings and readings[-1].foot in facts.feet else None


def table_lines(facts: CaseFacts, *, every: bool) -> tuple[Progress, ...]:
    """The measures table, left above right: what is followed and the usual ones; `every` = all of them, each moment."""
    if every:
        return tuple(progress for progress in _every_line(facts) if progress.series.readings)
    lines = []
    for measure, definition in dict.fromkeys((*goal_measures(facts), *_USUAL)):
        lines += [line_of(facts.readings, foot, measure, definition) for foot in facts.feet]
        lines += [
            progress
            for (place, name, by), (_, progress) in facts.readings.goals.items()
            if isinstance(place, Pair) and (name, by) == (measure, definition) and _is_chosen(facts, place)
        ]
    return tuple(progress for progress in lines if progress.series.readings)


def _every_line(facts: CaseFacts) -> list[Progress]:
    readings = facts.readings
    lines = []
    for moment in _MOMENTS:
        had = dict.fromkeys(item for foot in facts.feet for item in readings.measures_of(foot, moment))
        ordered = [item for item in _USUAL if item in had] + [item for item in had if item not in _USUAL]
        for item in ordered:
            for foot in facts.feet:
                after = moment is Moment.AFTER_TRIM
                lines.append(readings.progress(foot, *item) if after else judge(readings.series(foot, *item, moment)))
    return lines
