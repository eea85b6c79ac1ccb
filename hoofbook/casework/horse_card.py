"""The place Horse card: one horse in one look."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import Followable, HorseReadings, followed_place, read_readings
from hoofbook.casework.shots import is_set
from hoofbook.casework.tiles import tile_of
from hoofbook.casework.visit import list_visits
from hoofbook.progress.change import Progress
from hoofbook.progress.series import Reading
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot, Pair, Place, place_of
from hoofbook.terms.quantity import Definition
from hoofbook.terms.shown import EmptyPlace, MeasureLine, PhotoTile, Table, VerdictChip
from hoofbook.terms.subjects import Goal, MarkingPass, Person, Photo, Visit, Wanted, Yard
from hoofbook.terms.views import Moment, View
from hoofbook.wording import charts, verdicts
from hoofbook.wording.horse_card import NO_GOAL, due_line, facts_line, second_line, tile_caption, watch_from
from hoofbook.wording.measures import reading_line
from hoofbook.wording.places import foot_name, measure_at, measure_of_place, wanted_name

GOAL_CHOICES = (
    ("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("toe_angle", Definition.ONE),
    ("heel_angle", Definition.ONE),
    ("toe_length", Definition.ONE),
    ("heel_height", Definition.ONE),
    ("toe_heel_angle_difference", Definition.ONE),
    ("foot_width", Definition.ONE),
    ("heel_separation", Definition.ONE),
    ("whole_sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("whole_sole_mean_concavity", Definition.FROM_SOLE_EDGE),
)
SPARK = (220.0, 72.0)  # points; the window scales it as a whole
_OTHER = {Definition.FROM_SOLE_EDGE: Definition.FROM_WALL_EDGE, Definition.FROM_WALL_EDGE: Definition.FROM_SOLE_EDGE}


@dataclass(frozen=True, slots=True)
class FootPane:
    """One foot: its newest photo, its goal or newest toe angle, the small chart and the verdict."""

    foot: str
    title: str
    tile: PhotoTile | None
    goal: str
    wanted: str
    value: MeasureLine | None
    second: str
    spark: Drawing | None
    chip: VerdictChip | None
    has_goal: bool
    has_map: bool = False  # sole photos of one set, so that the whole sole can be shown


@dataclass(frozen=True, slots=True)
class HorseCard:
    key: str
    name: str
    facts: str
    due: str
    due_late: bool
    watch_next: str
    watch_from: str
    feet: tuple[FootPane, ...]
    visits: Table | EmptyPlace


def read_horse_card(open_book: OpenBook, horse: str) -> HorseCard:
    """Everything the card shows, in a handful of queries."""
    kept = open_book.horse(horse)
    book, today = open_book.book, open_book.clock.now().date()
    readings = read_readings(open_book, kept.key)
    owner = book.get(Person, kept.owner).name if kept.owner else ""
    yard = book.get(Yard, kept.yard).name if kept.yard else ""
    passes = book.latest_passes(kept.key)
    watched = [visit for visit in readings.history.visits if visit.watch_next]
    last: Visit | None = watched[-1] if watched else None
    return HorseCard(
        key=horse,
        name=kept.name,
        facts=facts_line(kept, owner, yard, today),
        due=due_line(kept.next_due, kept.interval_weeks, kept.status),
        due_late=kept.next_due is not None and kept.next_due < today,
        watch_next=last.watch_next if last else "",
        watch_from=watch_from(last.day) if last else "",
        feet=tuple(_pane(open_book, readings, passes, foot) for foot in Foot),
        visits=list_visits(open_book, horse),
    )


def _pane(open_book: OpenBook, readings: HorseReadings, passes: Mapping[UUID, MarkingPass], foot: Foot) -> FootPane:
    photos = [photo for photo in readings.history.photos if photo.foot is foot]
    goal = _goal_of(readings, foot)
    view = View.SOLAR if goal and "concavity" in goal[0][1] else View.LATERAL
    photo = _newest(photos, view)
    marks = passes.get(photo.key) if photo else None
    tile = tile_of(open_book, photo, caption=tile_caption(photo), marks=marks) if photo else None
    if goal is None:
        return replace(_plain_pane(readings, foot, tile), has_map=_has_map(photos, passes))
    (place, measure, _), (wish, progress) = goal
    shown = progress.series.readings
    return FootPane(
        foot.value,
        foot_name(foot),
        tile,
        measure_of_place(measure, place),
        wanted_name(wish.wanted),
        reading_line(shown[-1]) if shown else None,
        second_line(_other_definition(readings, shown[-1])) if shown and place is foot else "",
        charts.sparkline(shown, width=SPARK[0], height=SPARK[1]) if len(shown) > 1 else None,
        verdicts.chip(progress),
        True,
        _has_map(photos, passes),
    )


def _has_map(photos: Sequence[Photo], passes: Mapping[UUID, MarkingPass]) -> bool:
    return sum(is_set(photo) and photo.key in passes for photo in photos) > 1


def _goal_of(readings: HorseReadings, foot: Foot) -> tuple[Followable, tuple[Goal, Progress]] | None:
    """The first goal of this foot; else the pair goal that counts from it."""
    own = [item for item in readings.goals.items() if item[0][0] is foot]
    pairs = [item for item in readings.goals.items() if item[0][0] is Pair.of(foot)]
    return next(iter(own + pairs), None)


def _plain_pane(readings: HorseReadings, foot: Foot, tile: PhotoTile | None) -> FootPane:
    """A foot without a goal gets a value but no verdict."""
    shown = readings.series(foot, "toe_angle", Definition.ONE).readings
    value = reading_line(shown[-1]) if shown else None
    return FootPane(foot.value, foot_name(foot), tile, NO_GOAL, "", value, "", None, None, False)


def _other_definition(readings: HorseReadings, reading: Reading) -> Reading | None:
    other = _OTHER.get(reading.definition)
    return next(
        (
            item
            for item in readings.readings
            if (item.visit, item.foot, item.measure, item.moment, item.definition)
            == (reading.visit, reading.foot, reading.measure, reading.moment, other)
            and item.method == reading.method
        ),
        None,
    )


def _newest(photos: Sequence[Photo], view: View) -> Photo | None:
    """The newest good photo after trim, of the wished view where there is one; the middle one of a set."""
    good = [photo for photo in photos if not photo.picture_only and not photo.remarks] or list(photos)
    wished = [photo for photo in good if photo.view is view] or good
    after = [photo for photo in wished if photo.moment is Moment.AFTER_TRIM] or wished
    if not after:
        return None
    newest = max(after, key=lambda photo: photo.local_time)
    same = sorted((p for p in after if (p.visit, p.set_name) == (newest.visit, newest.set_name)), key=_taken)
    return same[len(same) // 2] if newest.set_name else newest


def _taken(photo: Photo) -> tuple[str, str]:
    return (photo.local_time, photo.given_name)


def goal_choices(open_book: OpenBook, horse: str, foot: str) -> tuple[tuple[str, str, str, str], ...]:
    """What can be made a goal of this foot: foot or pair (`LF`, `LF-RF`), measure, definition, words.

    The differences from the other foot of the pair come last.
    """
    taken = {(followed_place(goal), goal.measure, goal.definition) for goal in _goals(open_book, horse)}
    places: tuple[Place, ...] = (Foot(foot), Pair.of(Foot(foot)))
    return tuple(
        (place.value, measure, definition.value, measure_at(place, measure, definition))
        for place in places
        for measure, definition in GOAL_CHOICES
        if (place, measure, definition) not in taken
    )


def open_goals(open_book: OpenBook, horse: str, foot: str) -> tuple[tuple[str, str, str, str], ...]:
    """What is followed on this foot now, with its differences from the other: as `goal_choices`."""
    return tuple(
        (place.value, goal.measure, goal.definition.value, measure_at(place, goal.measure, goal.definition))
        for goal in _goals(open_book, horse)
        if goal.foot == foot
        for place in (followed_place(goal),)
    )


def set_goal(open_book: OpenBook, horse: str, place: str, *, measure: str, definition: str, wanted: str) -> None:
    """Follows a measure of one foot, or its difference in a pair (`LF-RF`), from today on.

    An open goal of the same measure only changes what is wanted.
    """
    from hoofbook.records.keys import new_key

    key, where = uuid(horse), place_of(place)
    for goal in _goals(open_book, horse):
        if (followed_place(goal), goal.measure, goal.definition) == (where, measure, definition):
            with open_book.book.writing() as writer:
                writer.change(replace(goal, wanted=Wanted(wanted)))
            return
    day = open_book.clock.now().date()
    foot, less = (where.foot, where.less) if isinstance(where, Pair) else (where, None)
    with open_book.book.writing() as writer:
        writer.add(
            Goal(new_key(), key, foot, measure, Definition(definition), Wanted(wanted), day, less=less),
        )


def end_goal(open_book: OpenBook, horse: str, place: str, *, measure: str, definition: str) -> None:
    """Stops following; what was said stays in the book."""
    for goal in _goals(open_book, horse):
        if (followed_place(goal), goal.measure, goal.definition) == (place, measure, definition):
            with open_book.book.writing() as writer:
                writer.change(replace(goal, ended_on=open_book.clock.now().date()))


def price_of_goal(open_book: OpenBook, horse: str) -> str:
    """What one more goal costs the others, in words."""
    return verdicts.price_of_a_goal(len(_goals(open_book, horse)))


def _goals(open_book: OpenBook, horse: str) -> list[Goal]:
    return [goal for goal in open_book.book.every(Goal, horse=uuid(horse)) if goal.ended_on is None]
