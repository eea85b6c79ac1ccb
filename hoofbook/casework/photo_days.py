"""On which day a photo was taken: one rule for everything that shows, orders or names photos."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from hoofbook.terms.subjects import Photo, Visit


def day_of(photo: Photo, visits: Sequence[Visit]) -> date:
    """The day by the photo's own clock; where it tells none, that of the visit it is filed under, else when it was
    added. A messenger takes the clock out of a photo, and the day it came is then no day of the foot."""
    try:
        return datetime.fromisoformat(photo.local_time).date()
    except ValueError:
        for visit in visits:
            if visit.key == photo.visit:
                return visit.day
        return photo.added_at.date() if photo.added_at else date.min


def by_day(photos: Sequence[Photo], visits: Sequence[Visit]) -> list[Photo]:
    """Oldest first."""
    return sorted(photos, key=lambda photo: (day_of(photo, visits), photo.local_time, str(photo.key)))


def one_per_visit(photos: Sequence[Photo], visits: Sequence[Visit]) -> list[Photo]:
    """One photo a visit and moment, oldest first: the middle one of a sole set, a good photo before a faulty one."""
    groups: dict[tuple[Any, Any], list[Photo]] = {}
    for photo in photos:
        groups.setdefault((photo.visit or photo.key, photo.moment), []).append(photo)
    chosen = []
    for group in groups.values():
        good = [photo for photo in group if not photo.remarks and not photo.picture_only] or group
        good.sort(key=lambda photo: (photo.local_time, photo.given_name))
        in_set = [photo for photo in good if photo.set_name] or good
        chosen.append(in_set[len(in_set) // 2])
    return by_day(chosen, visits)
