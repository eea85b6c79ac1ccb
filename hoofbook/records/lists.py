"""Lists and histories: a few statements each, straight into frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import Select, func, select

from hoofbook.records.mapping import Shape, columns_of
from hoofbook.records.tables import HorseTable, PersonTable, VisitTable, YardTable
from hoofbook.terms.subjects import (
    Event,
    Finding,
    FootRecord,
    FootWork,
    Goal,
    HandMeasure,
    Horse,
    HorseStatus,
    PaperMade,
    Photo,
    VetImage,
    VetValue,
    Visit,
)


@dataclass(frozen=True, slots=True)
class HorseRow:
    """One line of the list of horses. `yard` and `owner` are names, empty where not told; `last_day` of a visit."""

    key: UUID
    name: str
    status: HorseStatus
    yard: str
    owner: str
    next_due: date | None
    last_day: date | None


@dataclass(frozen=True, slots=True)
class History:
    """Everything filed under one horse; visits, events and readings oldest first. Photos without those set aside."""

    horse: Horse
    feet: tuple[FootRecord, ...]
    goals: tuple[Goal, ...]
    visits: tuple[Visit, ...]
    works: tuple[FootWork, ...]
    findings: tuple[Finding, ...]
    photos: tuple[Photo, ...]
    events: tuple[Event, ...]
    hand_measures: tuple[HandMeasure, ...]
    vet_values: tuple[VetValue, ...]
    vet_images: tuple[VetImage, ...]
    papers: tuple[PaperMade, ...]


@cache
def horse_lines() -> tuple[Shape[HorseRow], Select[*tuple[Any, ...]]]:
    """Lines by name. The last visit comes from the index (horse, day), one look-up per horse."""
    last_day = select(func.max(VisitTable.day)).where(VisitTable.horse == HorseTable.key).scalar_subquery()
    horse = columns_of(Horse)
    yard, owner = func.coalesce(YardTable.name, ""), func.coalesce(PersonTable.name, "")
    shape = Shape(HorseRow, (horse["key"], horse["name"], horse["status"], yard, owner, horse["next_due"], last_day))
    statement = (
        shape.select.outerjoin(YardTable, YardTable.key == HorseTable.yard)
        .outerjoin(PersonTable, PersonTable.key == HorseTable.owner)
        .order_by(func.lower(HorseTable.name), HorseTable.key)
    )
    return shape, statement


@cache
def horse_names() -> Select[*tuple[Any, ...]]:
    return select(HorseTable.key, HorseTable.name)
