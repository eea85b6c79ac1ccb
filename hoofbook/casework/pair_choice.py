"""Which two photos Then and now shows: the named ones, else the fairest pair there is of the goal's foot."""

from __future__ import annotations

from collections.abc import Sequence
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.readings import HorseReadings
from hoofbook.progress.likeness import RankedPair
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Pick
from hoofbook.terms.subjects import Photo, Visit
from hoofbook.terms.views import Moment, View
from hoofbook.wording.places import foot_name, view_name


def comparable_photos(open_book: OpenBook, horse: UUID) -> list[Photo]:
    """Photos of one horse that show one foot from one side."""
    return [photo for photo in open_book.book.photos(horse) if photo.foot and photo.view not in (None, View.WHOLE)]


def chosen_foot_and_view(
    photos: Sequence[Photo], readings: HorseReadings, foot: str, view: str
) -> tuple[Foot | None, View | None]:
    goal = next(iter(readings.goals), None)
    feet = [photo.foot for photo in photos]
    followed = goal[0] if goal else None
    goal_foot: Foot | None = followed.foot if isinstance(followed, Pair) else followed
    chosen: Foot | None = Foot(foot) if foot else (goal_foot or next(iter(feet), None))
    if view:
        return chosen, View(view)
    views = {photo.view for photo in photos if photo.foot is chosen}
    wished = View.SOLAR if goal and goal_foot is chosen and "concavity" in goal[1] else View.LATERAL
    return chosen, wished if wished in views else next(iter(sorted(v for v in views if v)), None)


def foot_and_view_picks(photos: Sequence[Photo], foot: Foot | None, view: View | None) -> tuple[Pick, Pick]:
    feet = [item for item in Foot if any(photo.foot is item for photo in photos)]
    views = [item for item in View if any(photo.foot is foot and photo.view is item for photo in photos)]
    return (
        Pick("foot", "Foot", tuple(feet), tuple(foot_name(item) for item in feet), foot.value if foot else ""),
        Pick("view", "View", tuple(views), tuple(view_name(item) for item in views), view.value if view else ""),
    )


def chosen_pair(
    own: Sequence[Photo],
    strip: Sequence[Photo],
    then: str,
    now: str,
    visits: Sequence[Visit],
    *,
    ranked: Sequence[RankedPair] = (),
) -> tuple[Photo, Photo] | None:
    """The two named by their keys; what is not named is filled up from the fairest of `ranked`, else with the first
    and last photo after trim. The earlier day comes first, however they were named: a picture read from left to right
    would turn a change round. Refused: `pair_missing` for a key that is not among `own`."""
    named = {str(photo.key): photo for photo in own}
    if (then and then not in named) or (now and now not in named):
        raise Refused(Refusal("pair_missing", {}))
    for pair in ranked:
        if not (then and now) and then in ("", pair.then.key) and now in ("", pair.now.key):
            return named[pair.then.key], named[pair.now.key]
    like = [photo for photo in strip if photo.moment is Moment.AFTER_TRIM]
    like = like if len(like) > 1 else list(strip)
    if len(like) < 2 and not (then and now):
        return None
    first = named.get(then) or like[0]
    last = named.get(now) or like[-1]
    if first is last:
        return None
    return (last, first) if day_of(last, visits) < day_of(first, visits) else (first, last)
