"""What of a book was done more than once: feet photographed again, photos marked again without looking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Select, Subquery, and_, bindparam, case, func, select

from hoofbook.records.mapping import columns_of, once, shape_of
from hoofbook.records.tables import MarkingPassTable, PhotoTable
from hoofbook.terms.subjects import MarkingPass, MeasureKept, Photo

Selection = Select[*tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class TakenAgain:
    """Every foot and visit with a retake: its photos by time, all its kept measures, and who made each pass by key."""

    photos: tuple[Photo, ...]
    measures: tuple[MeasureKept, ...]
    people: Mapping[UUID, str]


@dataclass(frozen=True, slots=True)
class MarkedAgain:
    """Photos that carry a pass made without looking, by key, and all their passes, oldest first."""

    photos: Mapping[UUID, Photo]
    passes: tuple[MarkingPass, ...]


@once
def _retaken() -> Subquery:
    """Visit and foot of every retake."""
    told = PhotoTable.visit.is_not(None) & PhotoTable.foot.is_not(None)
    chosen = select(PhotoTable.visit.label("visit"), PhotoTable.foot.label("foot"))
    return chosen.where(PhotoTable.retake, PhotoTable.set_aside.is_(False), told).distinct().subquery()


@once
def photos_of_takes() -> Selection:
    columns, retaken = columns_of(Photo), _retaken()
    same = and_(columns["visit"] == retaken.c.visit, columns["foot"] == retaken.c.foot)
    statement = shape_of(Photo).select.join(retaken, same).where(columns["set_aside"].is_(False))
    return statement.order_by(columns["taken_at"], columns["local_time"], columns["given_name"], columns["key"])


@once
def measures_of_takes() -> Selection:
    columns, retaken = columns_of(MeasureKept), _retaken()
    same = and_(columns["visit"] == retaken.c.visit, columns["foot"] == retaken.c.foot)
    return shape_of(MeasureKept).select.join(retaken, same).order_by(columns["computed_at"], columns["key"])


@once
def people_of_takes() -> Selection:
    retaken = _retaken()
    same = and_(PhotoTable.visit == retaken.c.visit, PhotoTable.foot == retaken.c.foot)
    chosen = select(MarkingPassTable.key, MarkingPassTable.marked_by)
    return chosen.join(PhotoTable, PhotoTable.key == MarkingPassTable.photo).join(retaken, same)


@once
def _blind() -> Selection:
    return select(MarkingPassTable.photo).where(MarkingPassTable.blind)


@once
def photos_marked_again() -> Selection:
    columns = columns_of(Photo)
    return shape_of(Photo).select.where(columns["key"].in_(_blind()), columns["set_aside"].is_(False))


@once
def passes_of_marked_again() -> Selection:
    columns = columns_of(MarkingPass)
    chosen = shape_of(MarkingPass).select.where(columns["photo"].in_(_blind()))
    return chosen.order_by(columns["marked_at"], columns["key"])


@once
def photos_with_marks() -> Selection:
    """Photo keys with how often the person named `person` marked each again without looking, by key."""
    again = func.sum(case((MarkingPassTable.blind & (MarkingPassTable.marked_by == bindparam("person")), 1), else_=0))
    first = func.sum(case((MarkingPassTable.blind, 0), else_=1))
    return (
        select(PhotoTable.key, again)
        .join(MarkingPassTable, MarkingPassTable.photo == PhotoTable.key)
        .where(PhotoTable.set_aside.is_(False), PhotoTable.picture_only.is_(False))
        .group_by(PhotoTable.key)
        .having(first > 0)
        .order_by(PhotoTable.key)
    )
