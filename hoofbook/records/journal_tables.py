"""Tables of what happened between and around visits, of what came from a vet, and of papers made.

Beside `tables`, which says which table keeps which subject.
"""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from sqlalchemy import CheckConstraint, Index
from sqlalchemy.orm import Mapped, mapped_column

from hoofbook.records.columns import REVISION, Base, Nested, one_of, refers
from hoofbook.terms import subjects
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import Moment


class EventTable(Base):
    __tablename__ = "event"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    day: Mapped[date]
    kind: Mapped[subjects.EventKind] = mapped_column(one_of(subjects.EventKind, "kind"))
    foot: Mapped[Foot | None] = mapped_column(one_of(Foot, "foot"))
    words: Mapped[str]
    told_by: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (Index(None, "horse_id", "day"), CheckConstraint(REVISION, name="revision"))


class HandMeasureTable(Base):
    __tablename__ = "hand_measure"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    visit: Mapped[UUID | None] = refers("visit", "visit_id", index=True)
    day: Mapped[date]
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    moment: Mapped[Moment] = mapped_column(one_of(Moment, "moment"))
    measure: Mapped[str]
    definition: Mapped[Definition] = mapped_column(one_of(Definition, "definition"))
    value: Mapped[float]
    u: Mapped[float | None]
    read_by: Mapped[str]
    note: Mapped[str]
    days_since_trim: Mapped[int | None]
    revision: Mapped[int]
    __table_args__ = (Index(None, "horse_id", "day"), CheckConstraint(REVISION, name="revision"))


class VetValueTable(Base):
    __tablename__ = "vet_value"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    film_day: Mapped[date]
    name: Mapped[str]
    value: Mapped[float]
    unit: Mapped[str]
    told_by: Mapped[str]
    note: Mapped[str]
    revision: Mapped[int]
    __table_args__ = (Index(None, "horse_id", "film_day"), CheckConstraint(REVISION, name="revision"))


class VetImageTable(Base):
    __tablename__ = "vet_image"
    horse: Mapped[UUID] = refers("horse", "horse_id")
    day: Mapped[date]
    sha256: Mapped[str] = mapped_column(index=True)
    suffix: Mapped[str]
    foot: Mapped[Foot | None] = mapped_column(one_of(Foot, "foot"))
    view: Mapped[str]
    given_name: Mapped[str]
    received_from: Mapped[str]
    received_on: Mapped[date | None]
    purpose: Mapped[str]
    note: Mapped[str]
    set_aside: Mapped[bool]
    revision: Mapped[int]
    __table_args__ = (
        Index(None, "horse_id", "day"),
        CheckConstraint(REVISION, name="revision"),
        CheckConstraint("length(sha256) = 64", name="sha256"),
    )


class PaperMadeTable(Base):
    __tablename__ = "paper"
    horse: Mapped[UUID] = refers("horse", "horse_id", index=True)
    made_at: Mapped[datetime]
    kind: Mapped[str]
    made_for: Mapped[str]
    sha256: Mapped[str]
    file_name: Mapped[str]
    wording_version: Mapped[str]
    numbers: Mapped[tuple[str, ...]] = mapped_column(Nested(tuple[str, ...]))


class PaperSentTable(Base):
    __tablename__ = "paper_sent"
    paper: Mapped[UUID] = refers("paper", "paper_id", index=True)
    told_at: Mapped[datetime]
    sent_on: Mapped[date | None]


class MeasuredAnewTable(Base):
    __tablename__ = "measured_anew"
    horse: Mapped[UUID] = refers("horse", "horse_id", index=True)
    foot: Mapped[Foot] = mapped_column(one_of(Foot, "foot"))
    less: Mapped[Foot | None] = mapped_column(one_of(Foot, "less"))
    measure: Mapped[str]
    definition: Mapped[Definition] = mapped_column(one_of(Definition, "definition"))
    at: Mapped[datetime]
    old_method: Mapped[str]
    new_method: Mapped[str]
    old_words: Mapped[str]
    new_words: Mapped[str]
    seen: Mapped[bool]
    revision: Mapped[int]
    __table_args__ = (CheckConstraint(REVISION, name="revision"),)
