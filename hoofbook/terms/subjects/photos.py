"""Photos, what was seen of the card in them, the passes of marks, and the measures computed from those."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from hoofbook.terms.card import CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Remark
from hoofbook.terms.views import CardPlane, CardStand, Moment, View

CoverBox = tuple[float, float, float, float]
"""Left, top, right, bottom as shares (0 to 1) of the upright photo."""


@dataclass(frozen=True, slots=True)
class Photo:
    """One original photo in the archive and where it is filed.

    `sha256` names the unchanged original bytes; `width`, `height` are of the upright picture in px. `taken_at` is UTC;
    `local_time` the photo's own clock as written in it (ISO, no zone) and `utc_offset_minutes` its zone where told.
    `focal_35mm` is the EXIF 35 mm equivalent. `foot_checked` is true where a tag or toe direction agreed. `set_aside`
    takes a photo out of lists and series; it is never deleted. `retake` says that card and foot were put down and the
    photo taken once more, so its readings tell the repeatability; `from_inside` that the lens stood on the inside.
    `covered` are parts that nobody shall see (a face, a number plate): the original keeps them, nothing made from it
    does. `shows_blood` keeps it out of what an owner gets unless it is asked for.
    """

    key: UUID
    horse: UUID
    sha256: str
    suffix: str
    width: int
    height: int
    visit: UUID | None = None
    foot: Foot | None = None
    view: View | None = None
    moment: Moment | None = None
    set_name: str = ""
    given_name: str = ""
    taken_at: datetime | None = None
    local_time: str = ""
    utc_offset_minutes: int | None = None
    focal_35mm: float | None = None
    camera: str = ""
    software: str = ""
    card_plane: CardPlane = CardPlane.UNSURE
    card_stands_on: CardStand = CardStand.UNKNOWN
    shod: bool = False
    foot_checked: bool = False
    picture_only: bool = False
    set_aside: bool = False
    retake: bool = False
    from_inside: bool = False
    covered: tuple[CoverBox, ...] = ()
    shows_blood: bool = False
    remarks: tuple[Remark, ...] = ()
    note: str = ""
    added_at: datetime | None = None
    revision: int = 1


@dataclass(frozen=True, slots=True)
class Sighting:
    """What the card search saw in one photo (`card` None: nothing). Never changed: a new one is added."""

    key: UUID
    photo: UUID
    detector: str
    card: CardSighting | None
    seen_at: datetime


@dataclass(frozen=True, slots=True)
class MarkingPass:
    """All marks of one photo as one person left them. Append-only: the newest pass counts, older ones stay."""

    key: UUID
    photo: UUID
    marked_by: str
    marked_at: datetime
    marking: Marking
    placing_px: float | None = None  # told spread of placing; None = defaults
    ruler_a: tuple[float, float] | None = None
    ruler_b: tuple[float, float] | None = None
    ruler_mm: float | None = None
    foot_width_mm: float | None = None
    foot_width_u_mm: float | None = None
    card_size_mm: tuple[float, float] | None = None
    blind: bool = False


@dataclass(frozen=True, slots=True)
class MeasureKept:
    """A computed measure as it was when computed, kept so that lists need no pixels; made anew when marks change."""

    key: UUID
    horse: UUID
    visit: UUID | None
    foot: Foot
    moment: Moment
    quantity: Quantity
    passes: tuple[UUID, ...]
    computed_at: datetime
