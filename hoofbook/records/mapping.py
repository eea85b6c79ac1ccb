"""Subjects to rows and back, by field name: one conversion for every subject, none written by hand."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from typing import Any, Generic, TypeVar, cast
from uuid import UUID

from sqlalchemy import Column, ColumnElement, Dialect, Select, Table, inspect, select, type_coerce
from sqlalchemy.types import NullType

from hoofbook.records import nested
from hoofbook.records.columns import Back
from hoofbook.records.tables import TABLES
from hoofbook.terms.subjects import MeasureKept

Kept = TypeVar("Kept")
Made = TypeVar("Made", bound=Callable[..., Any])

REVISION = "revision"


def once(make: Made) -> Made:
    """`functools.cache` that keeps the types of what it wraps (classes count as unhashable for mypy)."""
    return cast(Made, cache(make))


def table_of(kind: type[Any]) -> Table:
    """The table that keeps subjects of this class. TypeError where it is no subject of the book."""
    if kind not in TABLES:
        raise TypeError(f"{kind.__name__} is no subject of the book")
    table = TABLES[kind].__table__
    assert isinstance(table, Table)
    return table


@once
def fields_of(kind: type[Any]) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(kind))


@once
def columns_of(kind: type[Any]) -> Mapping[str, Column[Any]]:
    """Column by field name, in the order of the fields."""
    attributes = inspect(TABLES[kind]).columns
    return {name: attributes[name] for name in fields_of(kind)}


class Shape(Generic[Kept]):
    """How rows of some columns become values of one frozen class with slots, many at once and fast.

    The statement fetches what the database holds; the column types' own ways back are applied column by column.
    Frozen classes are slow to fill, so a twin without the lock is filled and then declared to be what it is; both
    have the same slots, hence the same layout (Python checks that).
    """

    def __init__(self, kind: type[Kept], columns: Sequence[ColumnElement[Any]]) -> None:
        self.kind = kind
        self._types = [column.type for column in columns]
        self._twin: Any = dataclasses.make_dataclass(f"{kind.__name__}Twin", fields_of(kind), slots=True)
        self._backs: dict[str, list[tuple[int, Back]]] = {}
        self.select: Select[*tuple[Any, ...]] = select(*(type_coerce(column, NullType()) for column in columns))

    def values(self, rows: Sequence[Sequence[Any]], dialect: Dialect) -> tuple[Kept, ...]:
        """Rows of `select` as values, in their order. LookupError or ValueError where one is none of ours."""
        columns: list[Iterable[Any]] = list(zip(*rows, strict=True))
        if not columns:
            return ()
        if dialect.name not in self._backs:
            self._backs[dialect.name] = self._ways_back(dialect)
        for place, back in self._backs[dialect.name]:
            columns[place] = map(back, columns[place])
        made = tuple(map(self._twin, *columns))
        for value in made:
            value.__class__ = self.kind
        return made

    def _ways_back(self, dialect: Dialect) -> list[tuple[int, Back]]:
        found = [kind.dialect_impl(dialect).result_processor(dialect, None) for kind in self._types]
        return [(place, back) for place, back in enumerate(found) if back is not None]


@once
def shape_of(kind: type[Kept]) -> Shape[Kept]:
    """How whole subjects of one class are read."""
    table_of(kind)
    return Shape(kind, tuple(columns_of(kind).values()))


def to_row(subject: Any) -> dict[str, Any]:
    """Values by column name, with what a table repeats for searching. TypeError for what is no subject."""
    kind = type(subject)
    table_of(kind)
    row = {column.name: getattr(subject, name) for name, column in columns_of(kind).items()}
    repeat = _REPEATED.get(kind)
    return row if repeat is None else {**row, **repeat(subject)}


def has_revision(kind: type[Any]) -> bool:
    """True for what may be changed; the others are only ever added."""
    return REVISION in fields_of(kind)


def as_text(value: object) -> str:
    """A field's value as the list of corrections keeps it; nothing told is the empty text."""
    if value is None:
        return ""
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, str):
        return value
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    return nested.to_text(value) or ""


def whole_as_text(subject: Any) -> str:
    """All fields of a subject as one JSON object, for the list of corrections."""
    return nested.to_text({name: _readable(getattr(subject, name)) for name in fields_of(type(subject))}) or ""


def _readable(value: object) -> object:
    return value.isoformat() if isinstance(value, date) else value


def _repeat_measure(measure: MeasureKept) -> dict[str, Any]:
    return {"measure": measure.quantity.name, "definition": measure.quantity.definition}


_REPEATED: Mapping[type[Any], Callable[[Any], dict[str, Any]]] = {MeasureKept: _repeat_measure}
