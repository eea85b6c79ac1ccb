"""Column types of the book, and the names of its constraints.

Everything is plain enough for SQLite and PostgreSQL alike; odd types are converted at the column. A list may have
thousands of rows, so on SQLite, which keeps days, moments and keys as text, the ways back are single fast calls.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import UTC, date, datetime
from enum import StrEnum
from functools import lru_cache
from typing import Any
from uuid import UUID

from sqlalchemy import Boolean, Date, Dialect, Enum, Float, ForeignKey, MetaData, Text, TypeDecorator, Uuid
from sqlalchemy.orm import DeclarativeBase, Mapped, MappedColumn, mapped_column
from sqlalchemy.types import DateTime

from hoofbook.records import nested

Back = Callable[[Any], Any]
"""From what the database holds (None too) to a value."""

_REMEMBERED = 1 << 13

REVISION = "revision >= 1"
"""What every table with a revision holds its numbers to."""

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Key(TypeDecorator[UUID]):
    """A key of a row; the same keys come again and again as references, so the last ones are remembered."""

    impl = Uuid
    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Back | None:
        return _key if dialect.name == "sqlite" else super().result_processor(dialect, coltype)


class Day(TypeDecorator[date]):
    """A day of the calendar, without a zone."""

    impl = Date
    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Back | None:
        return _day if dialect.name == "sqlite" else super().result_processor(dialect, coltype)


class UtcTime(TypeDecorator[datetime]):
    """A moment: aware UTC in and out on every database; a naive one is refused (ValueError)."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without its zone cannot be kept")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return None if value is None else value.replace(tzinfo=UTC)

    def result_processor(self, dialect: Dialect, coltype: object) -> Back | None:
        return _moment if dialect.name == "sqlite" else super().result_processor(dialect, coltype)


class YesNo(TypeDecorator[bool]):
    impl = Boolean
    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Back | None:
        if dialect.name != "sqlite":
            return super().result_processor(dialect, coltype)
        return {None: None, 0: False, 1: True}.__getitem__


class Number(TypeDecorator[float]):
    """A double; NaN and infinity are refused (ValueError), because SQLite would silently keep NaN as nothing."""

    impl = Float(53)
    cache_ok = True

    def process_bind_param(self, value: float | None, dialect: Dialect) -> float | None:
        if value is None:
            return None
        if not math.isfinite(value):
            raise ValueError("only finite numbers can be kept")
        return float(value)


class Nested(TypeDecorator[Any]):
    """A value with parts, kept as JSON text of a stated Python type."""

    impl = Text
    cache_ok = True

    def __init__(self, kind: Any) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: object, dialect: Dialect) -> str | None:
        return nested.to_text(value)

    def result_processor(self, dialect: Dialect, coltype: object) -> Back:
        return nested.reader(self.kind)


class Words(Enum):
    """The words of a list, kept as they read; LookupError on reading a word that is not in the list."""

    cache_ok = True

    def result_processor(self, dialect: Dialect, coltype: object) -> Back:
        assert self.enum_class is not None
        return {None: None, **{word.value: word for word in self.enum_class}}.__getitem__


def one_of(words: type[StrEnum], name: str) -> Words:
    """The words of a list with a CHECK constraint of that name."""
    return Words(
        words,
        name=name,
        native_enum=False,
        create_constraint=True,
        validate_strings=True,
        length=40,
        values_callable=lambda listed: [word.value for word in listed],
    )


@lru_cache(_REMEMBERED)
def _key(text: str | None) -> UUID | None:
    return None if text is None else UUID(int=int(text, 16))


@lru_cache(_REMEMBERED)
def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


@lru_cache(_REMEMBERED)
def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(f"{text}+00:00")


def refers(table: str, column: str, **options: Any) -> MappedColumn[Any]:
    """A reference to another row; what is referred to cannot be removed."""
    return mapped_column(column, ForeignKey(f"{table}.key", ondelete="RESTRICT"), **options)


class Base(DeclarativeBase):
    """Every row: its key, and who wrote its present state when."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {  # noqa: RUF012
        datetime: UtcTime,
        date: Day,
        bool: YesNo,
        float: Number,
        str: Text,
        UUID: Key,
    }

    key: Mapped[UUID] = mapped_column(primary_key=True, sort_order=-1)
    changed_at: Mapped[datetime] = mapped_column(sort_order=99)
    changed_by: Mapped[str] = mapped_column(sort_order=99)


BOOKKEEPING = ("changed_at", "changed_by")
"""Columns of every table that are no field of its subject."""
