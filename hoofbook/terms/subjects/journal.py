"""What happened between and around visits, numbers typed by hand, the vet's own values, papers made, corrections."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID

from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import Moment


class EventKind(StrEnum):
    LOST_SHOE = "lost shoe"
    CALL = "call"
    ADVICE = "advice"
    INCIDENT = "incident"
    VET_FILMS = "vet's films"
    VET_DIRECTION = "direction from vet"
    VET_ANSWER = "vet's answer"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Event:
    """An entry of the day book."""

    key: UUID
    horse: UUID
    day: date
    kind: EventKind
    foot: Foot | None = None
    words: str = ""
    told_by: str = ""
    revision: int = 1


@dataclass(frozen=True, slots=True)
class HandMeasure:
    """A number read by hand (gauge, ruler) with its own spread; never mixed with photo readings in one series.

    `days_since_trim` as it was told; None: as the visits of the book say.
    """

    key: UUID
    horse: UUID
    visit: UUID | None
    day: date
    foot: Foot
    moment: Moment
    measure: str
    definition: Definition
    value: float
    u: float | None = None
    read_by: str = ""
    note: str = ""
    days_since_trim: int | None = None
    revision: int = 1


@dataclass(frozen=True, slots=True)
class VetValue:
    """A value quoted from the vet, with the date of the film; never computed, never mixed with ours."""

    key: UUID
    horse: UUID
    foot: Foot
    film_day: date
    name: str
    value: float
    unit: str = "mm"
    told_by: str = ""
    note: str = ""
    revision: int = 1


@dataclass(frozen=True, slots=True)
class VetImage:
    """A picture or paper of the vet's (a film, a report): kept as it came, shown with its date, never measured.

    `sha256` names the unchanged bytes; `day` is the day it was taken, `received_on` the day it came; `purpose` what
    it was given for, since it is not passed on for anything else. `set_aside` takes it out of lists.
    """

    key: UUID
    horse: UUID
    day: date
    sha256: str
    suffix: str
    foot: Foot | None = None
    view: str = ""
    given_name: str = ""
    received_from: str = ""
    received_on: date | None = None
    purpose: str = ""
    note: str = ""
    set_aside: bool = False
    revision: int = 1


@dataclass(frozen=True, slots=True)
class PaperMade:
    """A picture or paper that was made: what, for whom, and its bytes by hash.

    `numbers` are the figures it tells, as they stand on it.
    """

    key: UUID
    horse: UUID
    made_at: datetime
    kind: str
    made_for: str
    sha256: str
    file_name: str
    wording_version: str = ""
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PaperSent:
    """What a person says of a paper: sent on a day, or (None) not sent after all. The newest counts."""

    key: UUID
    paper: UUID
    told_at: datetime
    sent_on: date | None = None


@dataclass(frozen=True, slots=True)
class MeasuredAnew:
    """A series read again from its stored marks by a newer method: what was said before and what is said now.

    `old_words` and `new_words` are the sentences as they were shown; `seen` once a person has read them.
    """

    key: UUID
    horse: UUID
    foot: Foot
    less: Foot | None
    measure: str
    definition: Definition
    at: datetime
    old_method: str
    new_method: str
    old_words: str
    new_words: str
    seen: bool = False
    revision: int = 1


@dataclass(frozen=True, slots=True)
class Correction:
    """One changed field of one row: the old value stays readable for ever."""

    key: UUID
    subject: str
    subject_key: UUID
    field_name: str
    old: str
    new: str
    changed_by: str
    changed_at: datetime
