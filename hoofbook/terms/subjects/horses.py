"""Horses, their feet and goals, and the people and yards around them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition


class PersonRole(StrEnum):
    OWNER = "owner"
    PAYER = "payer"
    CONTACT = "contact"
    VET = "vet"
    FARRIER = "farrier"


@dataclass(frozen=True, slots=True)
class Person:
    """Anybody named in the book. Consents are what this person allowed, each with its date."""

    key: UUID
    name: str
    role: PersonRole = PersonRole.OWNER
    phone: str = ""
    note: str = ""
    consent_keep: date | None = None
    consent_vet: date | None = None
    consent_teaching: date | None = None
    consent_publish: date | None = None
    revision: int = 1


@dataclass(frozen=True, slots=True)
class Yard:
    key: UUID
    name: str
    note: str = ""
    revision: int = 1


class HorseStatus(StrEnum):
    ACTIVE = "active"
    RESTING = "resting"
    SOLD = "sold"
    MOVED = "moved"
    DIED = "died"

    @property
    def is_away(self) -> bool:
        """True for a horse that is not seen any more."""
        return self in (HorseStatus.SOLD, HorseStatus.MOVED, HorseStatus.DIED)


@dataclass(frozen=True, slots=True)
class Horse:
    """One horse. `born` is a year; heights in cm; all but the name may be unknown."""

    key: UUID
    name: str
    status: HorseStatus = HorseStatus.ACTIVE
    sex: str = ""
    born: int | None = None
    breed: str = ""
    colour: str = ""
    markings: str = ""
    height_cm: float | None = None
    weight_kg: float | None = None
    work: str = ""
    keeping: str = ""
    handling: str = ""
    identity: str = ""
    note: str = ""
    owner: UUID | None = None
    payer: UUID | None = None
    contact: UUID | None = None
    vet: UUID | None = None
    yard: UUID | None = None
    interval_weeks: int = 6
    next_due: date | None = None
    revision: int = 1


@dataclass(frozen=True, slots=True)
class FootRecord:
    """What is lasting about one foot of one horse (not what was done at a visit)."""

    key: UUID
    horse: UUID
    foot: Foot
    horn: str = ""
    shape: str = ""
    usual_shoe: str = ""
    lasting_marks: str = ""
    revision: int = 1


class Wanted(StrEnum):
    """Which way the person wants a measure to go."""

    MORE = "more"
    LESS = "less"
    KEEP = "keep"


@dataclass(frozen=True, slots=True)
class Goal:
    """A measure of one foot that the person follows. Only goals get verdicts. `set_on` starts the test.

    With `less`, what is followed is the difference of the pair: the measure of `foot` less that of its partner.
    """

    key: UUID
    horse: UUID
    foot: Foot
    measure: str
    definition: Definition
    wanted: Wanted
    set_on: date
    note: str = ""
    prompted_by: UUID | None = None  # the visit whose bad day made the goal: shown, not tested
    ended_on: date | None = None
    less: Foot | None = None
    revision: int = 1


@dataclass(frozen=True, slots=True)
class Limit:
    """A value that the person does not want a measure of this foot to pass within a cycle, in the measure's unit.

    The person's own line, never a rule: it only serves to say on which day the foot would come to it.
    """

    key: UUID
    horse: UUID
    foot: Foot
    measure: str
    definition: Definition
    value: float
    set_on: date
    note: str = ""
    revision: int = 1
