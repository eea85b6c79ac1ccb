"""The place Then and now: two photos of one foot and view at one millimetre scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from hoofbook.casework.best_pairs import likeness_of, listed, proposable, rank
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pair_choice import (
    chosen_foot_and_view,
    chosen_pair,
    comparable_photos,
    foot_and_view_picks,
)
from hoofbook.casework.pair_facts import (
    PairNumber,
    checks_of,
    frame_of,
    numbers_of,
)
from hoofbook.casework.pair_looks import Looks
from hoofbook.casework.pair_picture import export_pair
from hoofbook.casework.pair_sheet import BestPair, PairSheet, PairSide, with_measures
from hoofbook.casework.pair_sides import measures_of, side_of
from hoofbook.casework.photo_days import day_of, one_per_visit
from hoofbook.casework.readings import HorseReadings, read_readings
from hoofbook.casework.tiles import tile_of
from hoofbook.progress.change import Progress
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment
from hoofbook.wording.pairs import (
    NO_PAIR,
    NOT_TO_SCALE,
    SAME_DAY,
    WAYS,
    decided_words,
    other_moments,
    pair_subtitle,
    pair_title,
    visit_caption,
    why_pair,
)
from hoofbook.wording.verdicts import chip

if TYPE_CHECKING:
    from hoofbook.measure.comparison import Alignment

__all__ = ["BestPair", "PairSheet", "PairSide", "export_pair", "read_pair", "with_measures"]


def read_pair(
    open_book: OpenBook, horse: str, foot: str = "", view: str = "", *, then: str = "", now: str = ""
) -> PairSheet:
    """The pair to show: as named by photo keys, else the fairest pair of that foot and view (`progress.likeness`)."""
    key = uuid(horse)
    photos = comparable_photos(open_book, key)
    readings = read_readings(open_book, key)
    chosen_foot, chosen_view = chosen_foot_and_view(photos, readings, foot, view)
    feet, views = foot_and_view_picks(photos, chosen_foot, chosen_view)
    sheet = PairSheet(horse, feet, views)
    own = [photo for photo in photos if (photo.foot, photo.view) == (chosen_foot, chosen_view)]
    visits = readings.history.visits
    strip = one_per_visit(own, visits)
    looks = Looks(open_book, key)
    ranked = proposable(rank(looks, readings, strip), strip)
    pair = chosen_pair(own, strip, then, now, visits, ranked=ranked)
    if pair is None or chosen_foot is None or chosen_view is None:
        return replace(sheet, empty=EmptyPlace(*NO_PAIR, action="photos_in"))
    sheet = _filled(open_book, replace(sheet, best=listed(ranked), pairs=len(ranked)), readings, pair, looks)
    many = len({photo.moment for photo in strip}) > 1
    tiles = tuple(
        tile_of(
            open_book,
            photo,
            caption=visit_caption(day_of(photo, visits), photo.moment if many else None),
            marks=looks.passes.get(photo.key),
        )
        for photo in strip
    )
    return replace(
        sheet, strip=tiles, like_now=tuple(str(photo.key) for photo in strip if photo.moment is pair[1].moment)
    )


def _filled(
    open_book: OpenBook, sheet: PairSheet, readings: HorseReadings, pair: tuple[Photo, Photo], looks: Looks
) -> PairSheet:
    from hoofbook.measure.comparison import align

    then, now = pair
    looked = [looks.at(photo) for photo in pair]
    found = align(looked[0].shot, looked[1].shot, then_set=looked[0].together, now_set=looked[1].together)
    alignment = None if isinstance(found, Refusal) or found.way == "none" or found.px_per_mm_now is None else found
    assert then.foot is not None and then.view is not None
    numbers = [number for number in numbers_of(readings, pair) if alignment is not None or not _is_length(number)]
    progress = _goal_shown(readings, then.foot, numbers)
    days = (day_of(then, readings.history.visits), day_of(now, readings.history.visits))
    likeness = likeness_of(looks, readings, pair)
    sides = [
        side_of(open_book, photo, readings, looks, getattr(alignment, name, None))
        for photo, name in ((then, "then_to_mm"), (now, "now_to_mm"))
    ]
    sheet = replace(
        sheet,
        title=pair_title(then.foot, then.view, from_inside=then.from_inside),
        subtitle=pair_subtitle(now.moment, (then.shod, now.shod), *days),
        then=sides[0],
        now=sides[1],
        way=WAYS[alignment.way if alignment else "none"],
        to_scale=alignment is not None,
        banner=_banner(pair, days, alignment),
        checks=checks_of(pair, likeness, alignment is not None),
        numbers=tuple(number.texts for number in numbers),
        noise_of=_noise_of(numbers, pair),
        chip=chip(progress) if progress else None,
        chip_note=decided_words(progress.looks[-1].reading) if progress and progress.looks else "",
        frame_mm=frame_of(pair, [look.shot for look in looked], alignment),
        drawings=(looked[0].drawing, looked[1].drawing),
        why=why_pair(likeness),
        measures=measures_of(readings, pair, sides),
    )
    return with_measures(sheet, tuple(sheet.measures.chosen.split(",")))


def _is_length(number: PairNumber) -> bool:
    return MEASURES[number.followable[1]] in (Unit.MM, Unit.MM3)


def _goal_shown(readings: HorseReadings, foot: Foot, numbers: Sequence[PairNumber]) -> Progress | None:
    """How the foot's first goal stands, where its measure is among the numbers of the pair."""
    goal = next((item for item in readings.goals.items() if item[0][0] is foot), None)
    shown = goal is not None and any(number.followable == goal[0] for number in numbers)
    return goal[1][1] if goal and shown else None


def _noise_of(numbers: Sequence[PairNumber], pair: tuple[Photo, Photo]) -> tuple[str, str, str] | None:
    if not numbers or any(photo.moment is not Moment.AFTER_TRIM for photo in pair):
        return None
    place, measure, definition = numbers[0].followable
    return place.value, measure, definition.value


def _banner(pair: tuple[Photo, Photo], days: tuple[date, date], alignment: Alignment | None) -> str:
    then, now = pair
    if days[0] == days[1]:
        return SAME_DAY
    if then.moment and now.moment and then.moment is not now.moment:
        return other_moments(then.moment, now.moment)
    return "" if alignment else NOT_TO_SCALE
