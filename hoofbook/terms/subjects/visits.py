"""Visits, and per foot what was seen and done."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from hoofbook.terms.feet import Foot


class VisitKind(StrEnum):
    ROUTINE = "routine"
    LOST_SHOE = "lost shoe"
    SORE_CALL = "sore call"
    FIRST = "first visit"
    WITH_VET = "with vet"
    CHECK = "check only"


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit to one horse. Text fields hold the words that were picked or written."""

    key: UUID
    horse: UUID
    day: date
    kind: VisitKind = VisitKind.ROUTINE
    since_last: str = ""
    ground: str = ""
    weather: str = ""
    stance: str = ""
    walked_off: str = ""
    advice: str = ""
    watch_next: str = ""
    note: str = ""
    interval_weeks: int | None = None
    next_due: date | None = None
    finished: bool = False
    revision: int = 1


class Work(StrEnum):
    NOTHING = "nothing"
    TRIM = "trim"
    SHOES_OFF = "shoes off, left bare"
    RESET = "reset"
    NEW_NAILED = "new, nailed"
    NEW_GLUED = "new, glued"
    BOOT = "boot"
    PAD_ONLY = "pad only"
    REPAIR = "repair"
    TIGHTENED = "tightened"


class Shoeing(StrEnum):
    """How a foot goes home after the visit: the state of the coming cycle."""

    BARE = "bare"
    NAILED = "nailed"
    GLUED = "glued"


class SoleState(StrEnum):
    """What the sole looked like (words of the trade); `NOT_LOOKED` is the honest default."""

    CHALKY = "chalky, flaking"
    PACKED = "packed"
    LIVE = "live (waxy)"
    SOFT = "soft"
    BRUISED = "bruised"
    NOT_LOOKED = "not looked"


class SolePared(StrEnum):
    NONE = "none"
    LOOSE = "loose flakes only"
    TO_LIVE = "to live sole"
    BY_VET = "opened by vet"
    NOT_SAID = "not said"


@dataclass(frozen=True, slots=True)
class FootWork:
    """What was seen and done on one foot at one visit. Nail places read "O1".."O4", "I1".."I4" from the toe."""

    key: UUID
    visit: UUID
    foot: Foot
    shoe_on_arrival: str = ""
    landing: str = ""
    pulse: str = ""
    sole_before: SoleState = SoleState.NOT_LOOKED
    sole_after: SoleState = SoleState.NOT_LOOKED
    sole_wet: bool = False
    work: Work | None = None  # None = not said
    shoeing: Shoeing | None = None
    sole_pared: SolePared = SolePared.NOT_SAID
    shoe: str = ""
    shoe_wear: str = ""
    nails: tuple[str, ...] = ()
    pad: str = ""
    packing: str = ""
    adhesive: str = ""
    reason: str = ""
    note: str = ""
    revision: int = 1


@dataclass(frozen=True, slots=True)
class Finding:
    """Something seen on a foot (never a diagnosis): term, place, size, and a grade only with its scale's name."""

    key: UUID
    visit: UUID
    foot: Foot
    term: str
    place: str = ""
    size_mm: float | None = None
    severity: str = ""
    grade_scale: str = ""
    note: str = ""
    revision: int = 1
