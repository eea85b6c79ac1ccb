"""The photo check on arrival: what a picture, its tags and its card say before anybody has marked anything.

Nothing is deleted for a fault: the photo stays, with a lower grade and the reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging.facts import PhotoFacts
from hoofbook.terms.card import CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.terms.views import Grade, Moment, View

LEAST_PX_PER_MM = 3.0  # corners are found down to 2; lengths are asked for from 3 on
FEW_CORNERS = 12
BLURRED_EDGE_PX = 5.0  # 10-90 % width of an edge on the card
NEAREST_SIDE_MM = 800.0
SHRUNK_SIDE_PX = 2048
WIDE_LENS_35MM = 20.0
DATE_HOURS = 12
DARK_LEVEL, BRIGHT_LEVEL = 12, 250
CLIPPED_SHARE = 0.35
ALL_CODES = (
    "card_not_found",
    "card_few_corners",
    "card_too_small",
    "card_blurred",
    "photo_mirrored",
    "photo_blurred",
    "photo_dark",
    "photo_burnt",
    "photo_too_near",
    "photo_shrunk",
    "photo_edited",
    "photo_cropped",
    "photo_zoomed",
    "too_few_pixels",
    "photo_without_date",
    "date_far_from_visit",
    "foot_tag_differs",
    "moment_tag_differs",
)
_NO_MEASURE = ("photo_mirrored",)
_NO_SCALE = ("card_not_found", "card_too_small", "card_blurred", "card_few_corners")
_EDITED = ("photo_shrunk", "photo_edited", "photo_cropped", "photo_zoomed")
_MEASURED = (View.LATERAL, View.DORSAL, View.PALMAR, View.PLANTAR, View.SOLAR, None)
_STANDING = (View.LATERAL, View.DORSAL, View.PALMAR, View.PLANTAR)
_ASPECTS = (4 / 3, 3 / 2, 16 / 9, 1.0, 5 / 4)  # what cameras and phones make by themselves


@dataclass(frozen=True, slots=True)
class Arrival:
    """What the check found. The suggestions come from tags and the card's face; None = the photo does not say."""

    grade: Grade
    remarks: tuple[Remark, ...]
    edited: bool
    suggested_foot: Foot | None = None
    suggested_moment: Moment | None = None
    suggested_view: View | None = None


def check_arrival(
    facts: PhotoFacts,
    seen: CardSighting | Refusal,
    grey: NDArray[np.uint8],
    *,
    view: View | None = None,
    foot: Foot | None = None,
    moment: Moment | None = None,
    visit_day: date | None = None,
) -> Arrival:
    """Checks one photo as it comes in: tags and size, light, the card, and how it is to be filed."""
    sighting = seen if isinstance(seen, CardSighting) else None
    suggested = view or (suggest_view(sighting) if sighting else None)
    remarks = [
        *_card_remarks(seen, suggested),
        *_tag_remarks(facts),
        *_light_remarks(grey),
        *(_nearness(facts, sighting, suggested) if sighting else ()),
        *_date_remarks(facts, visit_day),
        *(_filing_remarks(sighting, foot, moment) if sighting else ()),
    ]
    codes = [remark.code for remark in remarks]
    return Arrival(
        grade=_grade(codes),
        remarks=tuple(remarks),
        edited=any(code in _EDITED for code in codes),
        suggested_foot=sighting.foot if sighting else None,
        suggested_moment=sighting.moment if sighting else None,
        suggested_view=suggested,
    )


def _grade(codes: list[str]) -> Grade:
    if any(code in _NO_MEASURE for code in codes):
        return Grade.PICTURE_ONLY
    return Grade.ANGLES_AND_RATIOS if any(code in _NO_SCALE for code in codes) else Grade.FULL


def _card_remarks(seen: CardSighting | Refusal, view: View | None) -> Iterator[Remark]:
    if isinstance(seen, Refusal):
        if view in _MEASURED:
            yield Remark(seen.code, seen.facts)
        return
    if len(seen.corners) < FEW_CORNERS:
        yield _remark("card_few_corners", corners=len(seen.corners))
    if px_per_mm(seen) < LEAST_PX_PER_MM:
        yield _remark("too_few_pixels", px_per_mm=px_per_mm(seen))
    if seen.edge_width_px > BLURRED_EDGE_PX:
        yield _remark("photo_blurred", edge=seen.edge_width_px)


def px_per_mm(sighting: CardSighting) -> float:
    """Scale at the card: spread of its corners in px over their spread in mm."""
    card = np.array([corner.card_mm for corner in sighting.corners])
    photo = np.array([corner.photo_px for corner in sighting.corners])
    return float(np.linalg.norm(photo - photo.mean(0)) / np.linalg.norm(card - card.mean(0)))


def suggest_view(sighting: CardSighting) -> View | None:
    """Sole, where the card fills the picture as it only does from near by; side, where it stands upright and small.

    None where neither is clear: the person says.
    """
    card = np.array([corner.card_mm for corner in sighting.corners])
    photo = np.array([corner.photo_px for corner in sighting.corners])
    centred = photo - photo.mean(0)
    axes, *_ = np.linalg.lstsq(card - card.mean(0), centred, rcond=None)
    along = axes[0] / np.linalg.norm(axes[0])
    width, height = sighting.photo_size
    upright = along[0] > _UPRIGHT and axes[1][1] > 0
    if upright and width > height:
        return View.LATERAL
    return View.SOLAR if not upright or height > width else None


_UPRIGHT = 0.94  # cosine of 20 degrees


def _tag_remarks(facts: PhotoFacts) -> Iterator[Remark]:
    noted = facts.exif_size
    actual = {facts.width, facts.height}
    longest = max(facts.width, facts.height)
    odd = min(abs(longest / min(facts.width, facts.height) - aspect) for aspect in _ASPECTS) > _ASPECT_ROOM
    signs = (not facts.has_lens_tags, longest <= SHRUNK_SIDE_PX, _edits(facts.software), odd)
    if noted is not None and set(noted) != actual and facts.has_lens_tags:
        yield _remark("photo_cropped")
    elif sum(signs) >= _SIGNS_OF_SHRINKING and not facts.has_lens_tags:
        yield _remark("photo_shrunk", width=facts.width, height=facts.height)
    elif _edits(facts.software) or facts.custom_rendered == 1 or (odd and facts.has_lens_tags):
        yield _remark("photo_edited", software=facts.software)
    if facts.digital_zoom is not None and facts.digital_zoom > _ZOOMED:
        yield _remark("photo_zoomed", zoom=facts.digital_zoom)


_ASPECT_ROOM = 0.02
_SIGNS_OF_SHRINKING = 2
_ZOOMED = 1.05
_EDITOR_WORDS = ("edit", "photoshop", "lightroom", "gimp", "snap", "paint", "crop", "express", "retouch", "darktable")


def _edits(software: str) -> bool:
    """True where the Software tag names a program that changes pictures (a phone's own version number does not)."""
    return any(word in software.lower() for word in _EDITOR_WORDS)


def _light_remarks(grey: NDArray[np.uint8]) -> Iterator[Remark]:
    small = grey[::8, ::8]
    if float((small <= DARK_LEVEL).mean()) > CLIPPED_SHARE:
        yield _remark("photo_dark")
    if float((small >= BRIGHT_LEVEL).mean()) > CLIPPED_SHARE:
        yield _remark("photo_burnt")


def _nearness(facts: PhotoFacts, sighting: CardSighting, view: View | None) -> Iterator[Remark]:
    """Side views from too near: by the distance that the lens and the card's size imply."""
    if view not in _STANDING or facts.focal_35mm is None:
        return
    focal_px = facts.focal_35mm * float(np.hypot(facts.width, facts.height)) / DIAGONAL_35MM
    distance = focal_px / px_per_mm(sighting)
    if distance < NEAREST_SIDE_MM * _NEARNESS_ROOM or facts.focal_35mm < WIDE_LENS_35MM:
        yield _remark("photo_too_near", distance=distance)


DIAGONAL_35MM = 43.27  # mm, diagonal of the 36 x 24 mm frame: Exif defines the 35 mm equivalent by it
_NEARNESS_ROOM = 0.95  # the card may stand nearer than the foot, and the lens is known to a few per cent


def _date_remarks(facts: PhotoFacts, visit_day: date | None) -> Iterator[Remark]:
    if not facts.local_time:
        yield _remark("photo_without_date")
        return
    if visit_day is None:
        return
    taken = datetime.fromisoformat(facts.local_time)
    start = datetime.combine(visit_day, datetime.min.time())
    room = timedelta(hours=DATE_HOURS)
    if not start - room <= taken <= start + timedelta(days=1) + room:
        yield _remark("date_far_from_visit", taken=taken.date().isoformat(), visit=visit_day.isoformat())


def _filing_remarks(sighting: CardSighting, foot: Foot | None, moment: Moment | None) -> Iterator[Remark]:
    if foot is not None and sighting.foot is not None and sighting.foot is not foot:
        yield _remark("foot_tag_differs", tag=sighting.foot.value, filed=foot.value)
    seen = sighting.moment
    after = (Moment.AFTER_TRIM, Moment.FINISHED)
    if moment is None or seen is None:
        return
    contradicts = (seen is Moment.AFTER_TRIM) is not (moment in after)
    if contradicts and (sighting.face is CardFace.BACK or moment in (Moment.BEFORE_TRIM, *after)):
        yield _remark("moment_tag_differs", tag=seen.value, filed=moment.value)


def _remark(code: str, **facts: str | float | int | bool | None) -> Remark:
    return Remark(code, MappingProxyType(facts))
