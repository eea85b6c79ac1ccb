"""Subjects to rows and back, by field name: one conversion for every subject, none written by hand."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar, cast
from uuid import UUID

from sqlalchemy import Column, Select, Table, inspect, select

from hoofbook.records import nested
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


@once
def select_of(kind: type[Any]) -> Select[Any]:
    """The statement that reads whole subjects of one class; `from_row` takes its rows."""
    table_of(kind)
    return select(*columns_of(kind).values())


def from_row(kind: type[Kept], row: Sequence[Any]) -> Kept:
    return kind(*row)


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
