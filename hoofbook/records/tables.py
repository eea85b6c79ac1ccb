"""One table per subject of the book; attributes carry the names of the subject's fields.

`TABLES` says which table keeps which subject. Nothing is ever deleted along with something else (RESTRICT).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import CheckConstraint, Column, Index, Integer, String, Table, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from hoofbook.records.columns import REVISION, Base, Nested, one_of, refers
from hoofbook.records.journal_tables import (
    EventTable,
    HandMeasureTable,
    MeasuredAnewTable,
    PaperMadeTable,
    PaperSentTable,
    VetImageTable,
    VetValueTable,
)
from hoofbook.terms import subjects
from hoofbook.terms.card import CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.quantity import Definition, Quantity
from hoofbook.terms.refusal import Remark
from hoofbook.terms.subjects import CoverBox
from hoofbook.terms.views import CardPlane, CardStand, Moment, View

Subject = TypeVar("Subject")


class PersonTable(Base):
    __tablename__ = "person"
    name: Mapped[str]
    role: Mapped[subjects.PersonRole] = mapped_column(one_of(subjects.PersonRole, "role"))
    phone: Mapped[str]
    note: Mapped[str]
    consent_keep: Mapped[date | None]
    consent_vet: Mapped[date | None]
    consent_teaching: Mapped[date | None]
    consent_publish: Mapped[date | None]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"),)


class YardTable(Base):
    __tablename__ = "yard"
    name: Mapped[str]
    note: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"),)


class HorseTable(Base):
    __tablename__ = "horse"
    name: Mapped[str]
    status: Mapped[subjects.HorseStatus] = mapped_column(one_of(subjects.HorseStatus, "status"))
    sex: Mapped[str]
    born: Mapped[int | None]
    breed: Mapped[str]
    colour: Mapped[str]
    markings: Mapped[str]
    height_cm: Mapped[float | None]
    weight_kg: Mapped[float | None]
    work: Mapped[str]
    keeping: Mapped[str]
    handling: Mapped[str]
    identity: Mapped[str]
    note: Mapped[str]
    owner: Mapped[UUID | None] = refers("person", "owner_id", index=True)
    payer: Mapped[UUID | None] = refers("person", "payer_id", index=True)
    contact: Mapped[UUID | None] = refers("person", "contact_id", index=True)
    vet: Mapped[UUID | None] = refers("person", "vet_id", index=True)
    yard: Mapped[UUID | None] = refers("yard", "yard_id", index=True)
    interval_weeks: Mapped[int]
    next_due: Mapped[date | None]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"), Index(None, "next_due"))


class FootRecordTable(Base):
    __tablename__ = "foot"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    horn: Mapped[str]
    shape: Mapped[str]
    usual_shoe: Mapped[str]
    lasting_marks: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (UniqueConstraint("horse_id", "foot"), CheckConstraint(REVISION, name="revision"))


class GoalTable(Base):
    __tablename__ = "goal"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    measure: Mapped[str]
    definition: Mapped[Definition] = mapped_column(one_of(Definition, "definition"))
    wanted: Mapped[subjects.Wanted] = mapped_column(one_of(subjects.Wanted, "wanted"))
    set_on: Mapped[date]
    note: Mapped[str]
    prompted_by: Mapped[UUID | None] = refers("visit", "prompted_by_id", index=True)
    ended_on: Mapped[date | None]
    less: Mapped[Foot | None] = mapped_column(one_of(Foot, "less"))
    revision: Mapped[int]
    __table_args__ = (Index(None, "horse_id", "foot"), CheckConstraint(REVISION, name="revision"))


class LimitTable(Base):
    __tablename__ = "foot_limit"
    horse: Mapped[UUID] = refers("horse", "horse_id", index=True)
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    measure: Mapped[str]
    definition: Mapped[Definition] = mapped_column(one_of(Definition, "definition"))
    value: Mapped[float]
    set_on: Mapped[date]
    note: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"),)


class VisitTable(Base):
    __tablename__ = "visit"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    day: Mapped[date]
    kind: Mapped[subjects.VisitKind] = mapped_column(one_of(subjects.VisitKind, "kind"))
    since_last: Mapped[str]
    ground: Mapped[str]
    weather: Mapped[str]
    stance: Mapped[str]
    walked_off: Mapped[str]
    advice: Mapped[str]
    watch_next: Mapped[str]
    note: Mapped[str]
    interval_weeks: Mapped[int | None]
    next_due: Mapped[date | None]
    finished: Mapped[bool]
    revision: Mapped[int]
    __table_args__ = (Index(None, "horse_id", "day"), CheckConstraint(REVISION, name="revision"))


class FootWorkTable(Base):
    __tablename__ = "foot_work"
    visit: Mapped[UUID] = refers("visit", "visit_id")
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    shoe_on_arrival: Mapped[str]
    landing: Mapped[str]
    pulse: Mapped[str]
    sole_before: Mapped[subjects.SoleState] = mapped_column(one_of(subjects.SoleState, "sole_before"))
    sole_after: Mapped[subjects.SoleState] = mapped_column(one_of(subjects.SoleState, "sole_after"))
    sole_wet: Mapped[bool]
    work: Mapped[subjects.Work | None] = mapped_column(one_of(subjects.Work, "work"))
    shoeing: Mapped[subjects.Shoeing | None] = mapped_column(one_of(subjects.Shoeing, "shoeing"))
    sole_pared: Mapped[subjects.SolePared] = mapped_column(one_of(subjects.SolePared, "sole_pared"))
    shoe: Mapped[str]
    shoe_wear: Mapped[str]
    nails: Mapped[tuple[str, ...]] = mapped_column(Nested(tuple[str, ...]))
    pad: Mapped[str]
    packing: Mapped[str]
    adhesive: Mapped[str]
    reason: Mapped[str]
    note: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (UniqueConstraint("visit_id", "foot"), CheckConstraint(REVISION, name="revision"))


class FindingTable(Base):
    __tablename__ = "finding"
    visit: Mapped[UUID] = refers("visit", "visit_id", index=True)
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    term: Mapped[str]
    place: Mapped[str]
    size_mm: Mapped[float | None]
    severity: Mapped[str]
    grade_scale: Mapped[str]
    note: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"),)


class PhotoTable(Base):
    __tablename__ = "photo"
    horse: Mapped[UUID] = refers("horse", "horse_id", index=True)
    sha256: Mapped[str] = mapped_column(index=True)
    suffix: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    visit: Mapped[UUID | None] = refers("visit", "visit_id", index=True)
    foot: Mapped[Foot | None] = mapped_column(one_of(Foot, "foot"))
    view: Mapped[View | None] = mapped_column(one_of(View, "view"))
    moment: Mapped[Moment | None] = mapped_column(one_of(Moment, "moment"))
    set_name: Mapped[str]
    given_name: Mapped[str]
    taken_at: Mapped[datetime | None]
    local_time: Mapped[str]
    utc_offset_minutes: Mapped[int | None]
    focal_35mm: Mapped[float | None]
    camera: Mapped[str]
    software: Mapped[str]
    card_plane: Mapped[CardPlane] = mapped_column(one_of(CardPlane, "card_plane"))
    card_stands_on: Mapped[CardStand] = mapped_column(one_of(CardStand, "card_stands_on"))
    shod: Mapped[bool]
    foot_checked: Mapped[bool]
    picture_only: Mapped[bool]
    set_aside: Mapped[bool]
    retake: Mapped[bool]
    from_inside: Mapped[bool]
    covered: Mapped[tuple[CoverBox, ...]] = mapped_column(Nested(tuple[CoverBox, ...]))
    shows_blood: Mapped[bool]
    remarks: Mapped[tuple[Remark, ...]] = mapped_column(Nested(tuple[Remark, ...]))
    note: Mapped[str]
    added_at: Mapped[datetime | None]
    revision: Mapped[int]
    __table_args__ = (
        CheckConstraint(REVISION, name="revision"),
        CheckConstraint("length(sha256) = 64", name="sha256"),
        CheckConstraint("width >= 1 AND height >= 1", name="size"),
    )


class SightingTable(Base):
    __tablename__ = "sighting"
    photo: Mapped[UUID] = refers("photo", "photo_id", index=True)
    detector: Mapped[str]
    card: Mapped[CardSighting | None] = mapped_column(Nested(CardSighting))
    seen_at: Mapped[datetime]


class MarkingPassTable(Base):
    __tablename__ = "marking_pass"
    photo: Mapped[UUID] = refers("photo", "photo_id", index=True)
    marked_by: Mapped[str]
    marked_at: Mapped[datetime]
    marking: Mapped[Marking] = mapped_column(Nested(Marking))
    placing_px: Mapped[float | None]
    ruler_a: Mapped[tuple[float, float] | None] = mapped_column(Nested(tuple[float, float]))
    ruler_b: Mapped[tuple[float, float] | None] = mapped_column(Nested(tuple[float, float]))
    ruler_mm: Mapped[float | None]
    foot_width_mm: Mapped[float | None]
    foot_width_u_mm: Mapped[float | None]
    card_size_mm: Mapped[tuple[float, float] | None] = mapped_column(Nested(tuple[float, float]))
    blind: Mapped[bool]


class MeasureKeptTable(Base):
    """`measure` and `definition` repeat what is in `quantity`, for questions over the whole book."""

    __tablename__ = "measure"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    visit: Mapped[UUID | None] = refers("visit", "visit_id", index=True)
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    moment: Mapped[Moment] = mapped_column(one_of(Moment, "moment"))
    quantity: Mapped[Quantity] = mapped_column(Nested(Quantity))
    passes: Mapped[tuple[UUID, ...]] = mapped_column(Nested(tuple[UUID, ...]))
    computed_at: Mapped[datetime]
    measure: Mapped[str]
    definition: Mapped[Definition] = mapped_column(one_of(Definition, "definition"))
    __table_args__ = (Index(None, "horse_id", "measure"),)


class MeasurePhotoTable(Base):
    """Which photos a kept measure was computed from."""

    __tablename__ = "measure_photo"
    measure: Mapped[UUID] = refers("measure", "measure_id", index=True)
    photo: Mapped[UUID] = refers("photo", "photo_id", index=True)


class CorrectionTable(Base):
    __tablename__ = "correction"
    subject: Mapped[str]
    subject_key: Mapped[UUID]
    field_name: Mapped[str]
    old: Mapped[str]
    new: Mapped[str]
    __table_args__ = (Index(None, "subject_key"),)


class BookTable(Base):
    """One row: which book this is, and how many times it was written to, so that two copies can be told apart."""

    __tablename__ = "book"
    made_at: Mapped[datetime]
    writes: Mapped[int] = mapped_column(Integer)


VERSION = Table("schema_version", Base.metadata, Column("version_num", String(32), primary_key=True))
"""The number of the last step of `hoofbook/records/steps` that made or changed these tables."""

TABLES: Mapping[type[Any], type[Base]] = MappingProxyType(
    {
        subjects.Person: PersonTable,
        subjects.Yard: YardTable,
        subjects.Horse: HorseTable,
        subjects.FootRecord: FootRecordTable,
        subjects.Goal: GoalTable,
        subjects.Limit: LimitTable,
        subjects.Visit: VisitTable,
        subjects.FootWork: FootWorkTable,
        subjects.Finding: FindingTable,
        subjects.Photo: PhotoTable,
        subjects.Sighting: SightingTable,
        subjects.MarkingPass: MarkingPassTable,
        subjects.MeasureKept: MeasureKeptTable,
        subjects.Event: EventTable,
        subjects.HandMeasure: HandMeasureTable,
        subjects.VetValue: VetValueTable,
        subjects.VetImage: VetImageTable,
        subjects.PaperMade: PaperMadeTable,
        subjects.PaperSent: PaperSentTable,
        subjects.MeasuredAnew: MeasuredAnewTable,
        subjects.Correction: CorrectionTable,
    }
)
