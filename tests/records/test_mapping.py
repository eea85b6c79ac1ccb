"""Every subject against its table: fields, types, nullability, and a round trip of generated values."""

from __future__ import annotations

import dataclasses
import math
import pickle
import types
import typing
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from enum import StrEnum
from types import MappingProxyType
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Integer, Text, create_engine, insert, select

from hoofbook.records import nested
from hoofbook.records.columns import BOOKKEEPING, Base, Day, Key, Nested, Number, UtcTime, Words, YesNo
from hoofbook.records.mapping import columns_of, shape_of, table_of, to_row
from hoofbook.records.tables import TABLES
from hoofbook.terms import subjects
from hoofbook.terms.card import CardSighting
from hoofbook.terms.marks import Marking
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Remark

KINDS = sorted(TABLES, key=lambda kind: kind.__name__)
COLUMN_OF = {str: Text, int: Integer, float: Number, bool: YesNo, date: Day, datetime: UtcTime, UUID: Key}


def hints(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def bare(hint: Any) -> tuple[Any, bool]:
    """A type without None, and whether None was allowed."""
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        inner = [part for part in typing.get_args(hint) if part is not type(None)]
        if len(inner) == 1:
            return inner[0], True
    return hint, False


def test_every_subject_of_the_terms_has_a_table() -> None:
    named = {getattr(subjects, name) for name in subjects.__all__}
    with_key = {kind for kind in named if dataclasses.is_dataclass(kind)}
    assert set(TABLES) == with_key


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_columns_fit_the_fields(kind: type) -> None:
    columns = columns_of(kind)
    for name, hint in hints(kind).items():
        inner, optional = bare(hint)
        column = columns[name]
        assert column.nullable is optional, name
        if isinstance(inner, type) and issubclass(inner, StrEnum):
            assert isinstance(column.type, Words), name
            assert column.type.enum_class is inner, name
            assert list(column.type.enums) == [word.value for word in inner], name
        elif inner in COLUMN_OF:
            assert isinstance(column.type, COLUMN_OF[inner]), name
        else:
            assert isinstance(column.type, Nested), name
            assert column.type.kind == inner, name
    extra = set(table_of(kind).c.keys()) - {column.name for column in columns.values()} - set(BOOKKEEPING)
    assert extra == ({"measure", "definition"} if kind is subjects.MeasureKept else set())


# -- generated values ------------------------------------------------------------------------------------------------

finite = st.floats(allow_nan=False, allow_infinity=False)
words = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=12)
whole = st.integers(-(2**40), 2**40)
facts = st.dictionaries(words, st.one_of(words, finite, whole, st.booleans(), st.none()), max_size=3)
moments = st.datetimes(datetime(1980, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC))


def values(hint: Any) -> st.SearchStrategy[Any]:
    inner, optional = bare(hint)
    strategy = _values(inner)
    return st.one_of(st.none(), strategy) if optional else strategy


def _values(kind: Any) -> st.SearchStrategy[Any]:
    single = {
        str: words,
        int: whole,
        float: finite,
        bool: st.booleans(),
        date: st.dates(date(1900, 1, 1), date(2200, 1, 1)),
        datetime: moments,
        UUID: st.uuids(),
    }
    if kind in single:
        return single[kind]
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return st.sampled_from(kind)
    if typing.get_origin(kind) is tuple:
        inner = typing.get_args(kind)
        if inner[-1] is Ellipsis:
            return st.lists(values(inner[0]), max_size=3).map(tuple)
        return st.tuples(*(values(part) for part in inner))
    if typing.get_origin(kind) is Mapping or kind is Mapping:
        key, value = typing.get_args(kind)
        inner = facts if "None" in str(value) else st.dictionaries(_values(key), values(value), max_size=4)
        return inner.map(MappingProxyType)
    if dataclasses.is_dataclass(kind):
        return subject_values(typing.cast(type, kind))
    raise AssertionError(f"no strategy for {kind}")


def subject_values(kind: type) -> st.SearchStrategy[Any]:
    fields = {name: values(hint) for name, hint in hints(kind).items()}
    special: dict[type, dict[str, st.SearchStrategy[Any]]] = {
        Quantity: {"degrees_of_freedom": st.one_of(st.just(math.inf), st.floats(1, 1e6))},
        subjects.Photo: {
            "sha256": st.from_regex(r"\A[0-9a-f]{64}\Z"),
            "width": st.integers(1, 30000),
            "height": st.integers(1, 30000),
        },
        subjects.VetImage: {"sha256": st.from_regex(r"\A[0-9a-f]{64}\Z")},
    }
    fields.update(special.get(kind, {}))
    if "revision" in fields:
        fields["revision"] = st.integers(1, 10**6)
    return st.builds(kind, **fields)


@pytest.fixture(scope="module")
def connection() -> Iterator[Connection]:
    engine = create_engine("sqlite://")  # references are not enforced here: only values are tried
    Base.metadata.create_all(engine)
    with engine.connect() as opened:
        yield opened
    engine.dispose()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_values_come_back_as_they_went_in(connection: Connection, kind: type, data: st.DataObject) -> None:
    subject = data.draw(subject_values(kind))
    table = table_of(kind)
    stamp = {"changed_at": datetime(2026, 1, 1, tzinfo=UTC), "changed_by": "somebody"}
    transaction = connection.begin()
    try:
        connection.execute(insert(table).values({**stamp, **to_row(subject)}))
        shape = shape_of(kind)
        (back,) = shape.values(connection.execute(shape.select).all(), connection.dialect)
    finally:
        transaction.rollback()
    assert type(back) is kind
    assert back == subject
    with pytest.raises(dataclasses.FrozenInstanceError):
        back.key = subject.key
    if not _has_mapping(kind):
        assert pickle.loads(pickle.dumps(back)) == subject
    for name, value in dataclasses.asdict(back).items() if not _has_mapping(kind) else ():
        assert type(value) is type(dataclasses.asdict(subject)[name]), name


def _has_mapping(kind: type) -> bool:
    return kind in (subjects.Photo, subjects.MarkingPass)


NESTED = (Marking, CardSighting, Quantity, tuple[Remark, ...])


@pytest.mark.parametrize("kind", NESTED, ids=str)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_nested_numbers_are_exact(kind: Any, data: st.DataObject) -> None:
    value = data.draw(values(kind))
    text = nested.to_text(value)
    back = nested.from_text(kind, text)
    assert back == value
    assert nested.to_text(back) == text  # also tells -0.0 from 0.0 and 1 from 1.0


def test_mappings_come_back_frozen() -> None:
    back = nested.from_text(Marking, '{"marks":{"rim_01":{"x":1,"y":2}}}')
    with pytest.raises(TypeError):
        back.marks["rim_02"] = None
    (remark,) = nested.from_text(tuple[Remark, ...], '[{"code":"a","facts":{"b":"12"}}]')
    assert remark.facts["b"] == "12"
    with pytest.raises(TypeError):
        remark.facts["b"] = 1


def test_nan_is_refused_everywhere(connection: Connection) -> None:
    with pytest.raises(ValueError, match="NaN"):
        nested.to_text((math.nan, 1.0))
    for bad in (math.nan, math.inf):
        with pytest.raises(Exception, match="finite"):
            connection.execute(select(table_of(subjects.Horse)).where(table_of(subjects.Horse).c.height_cm == bad))
    connection.rollback()


def test_a_moment_without_its_zone_is_refused(connection: Connection) -> None:
    table = table_of(subjects.Photo)
    with pytest.raises(Exception, match="zone"):
        connection.execute(select(table).where(table.c.taken_at == datetime(2026, 1, 1)))
    connection.rollback()
