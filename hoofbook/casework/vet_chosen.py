"""Which photos a Vet case shows: four on page 1, and all there are in its full size."""

from __future__ import annotations

from hoofbook.casework.photo_days import one_per_visit
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.terms.feet import Foot
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment, View

ON_PAGE_1, IN_FULL = 4, 60
_VIEWS = (View.LATERAL, View.SOLAR, View.DORSAL, View.PALMAR, View.PLANTAR, View.ALONG_SOLE, View.WHOLE)


def chosen_photos(facts: CaseFacts) -> tuple[Photo, ...]:
    """At most four: the newest good photo per view and foot, view by view, left beside right; where those are fewer,
    earlier ones of the same feet and views beside them, the first first."""
    newest = [photo for view in _VIEWS for foot in facts.feet if (photo := _newest(facts, foot, view)) is not None]
    found = newest[:ON_PAGE_1]
    earlier = [_earlier(facts, photo) for photo in found]
    while len(found) < ON_PAGE_1 and any(earlier):
        for line in earlier:
            if line and len(found) < ON_PAGE_1:
                found.append(line.pop(0))
    return tuple(found) if len(newest) > 1 else tuple(sorted(found, key=facts.day_of))


def _earlier(facts: CaseFacts, newest: Photo) -> list[Photo]:
    """Earlier photos like this one, one a visit: the first, then those nearest before the newest."""
    like = [
        photo
        for photo in facts.photos
        if (photo.foot, photo.view, photo.moment) == (newest.foot, newest.view, newest.moment)
        and photo.visit != newest.visit
        and not photo.remarks
    ]
    line = one_per_visit(like, facts.readings.history.visits)
    return [*line[:1], *reversed(line[1:])]


def newest_photos(facts: CaseFacts) -> tuple[Photo, ...]:
    """The newest good photo of every view and foot."""
    every = (_newest(facts, foot, view) for foot in facts.feet for view in _VIEWS)
    return tuple(photo for photo in every if photo is not None)


def _newest(facts: CaseFacts, foot: Foot, view: View) -> Photo | None:
    """The newest photo of this foot and view, after the trim where there is one; the middle one of a set."""
    own = [photo for photo in facts.photos if photo.foot is foot and photo.view is view]
    good = [photo for photo in own if not photo.picture_only and not photo.remarks] or own
    after = [photo for photo in good if photo.moment is Moment.AFTER_TRIM] or good
    if not after:
        return None
    newest = max(after, key=lambda photo: (facts.day_of(photo), photo.local_time))
    same = [p for p in after if p.set_name and (p.visit, p.set_name) == (newest.visit, newest.set_name)]
    same.sort(key=lambda photo: (photo.local_time, photo.given_name))
    return same[len(same) // 2] if same else newest


def all_photos(facts: CaseFacts) -> tuple[Photo, ...]:
    """Every photo of the chosen feet, newest first, the newest of each view among them however many there are."""
    newest = newest_photos(facts)
    others = sorted(facts.photos, key=lambda photo: (facts.day_of(photo), photo.local_time), reverse=True)
    chosen = tuple({photo.key: photo for photo in (*newest, *others)}.values())[:IN_FULL]
    return tuple(
        sorted(chosen, key=lambda photo: (facts.day_of(photo), photo.local_time, photo.given_name), reverse=True)
    )
