"""Words of the place Photo tray."""

from __future__ import annotations

from datetime import datetime
from types import MappingProxyType

from hoofbook.terms.views import CardPlane, CardStand

NO_PHOTOS = (
    "No photos yet",
    "Drop photos from the phone here. Tags, clock and card sort them; you confirm foot, view and moment.",
    "Photos in",
)
STATES = MappingProxyType(
    {"filed": "", "to sort": "to sort", "already here": "already in the book", "refused": "not taken in"}
)
PICK_LABELS = MappingProxyType(
    {
        "visit": "Visit",
        "foot": "Foot",
        "view": "View",
        "moment": "Moment",
        "seen_from": "Side view from",
        "in_set": "Sole photo",
        "card_plane": "Card stood",
        "card_stands_on": "Card's lower edge on",
        "take": "Take",
    }
)
_PLANES = {
    CardPlane.MID_LINE: "in the mid-line",
    CardPlane.NEAR_WALL: "at the near wall",
    CardPlane.BEARING_PLANE: "in the plane of the ground edge",
    CardPlane.UNSURE: "unsure",
}
_STANDS = {CardStand.FLOOR: "the floor", CardStand.FOOT: "the foot", CardStand.UNKNOWN: "not known"}

IN_SET = MappingProxyType({"together": "one of a set", "alone": "on its own"})
SEEN_FROM = MappingProxyType({"outside": "the outside", "inside": "the inside"})


def card_plane_name(plane: CardPlane) -> str:
    return _PLANES[plane]


def card_stand_name(stand: CardStand) -> str:
    return _STANDS[stand]


def taken_words(local_time: str) -> str:
    """When the photo says it was taken, by its own clock; empty where it does not say."""
    from hoofbook.wording.dates import day_month_year

    try:
        when = datetime.fromisoformat(local_time)
    except ValueError:
        return ""
    return f"{day_month_year(when.date())}, {when:%H:%M}"
