"""A whole subject from its JSON text, as `mapping.whole_as_text` writes it: for records that come from another book.

Text from elsewhere is believed in nothing: every field must have its type, no field may be unknown, and what a
database would take but nobody could have measured or written is refused.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping
from datetime import datetime
from enum import Enum
from typing import Any, TypeVar, get_type_hints
from uuid import UUID

import msgspec

from hoofbook.records import nested
from hoofbook.records.mapping import REVISION, once, table_of

Kept = TypeVar("Kept")
LONGEST_WORDS = 100_000
_LARGEST_NUMBER = 2**53  # whole numbers up to here are the same in JSON everywhere (RFC 8259, 6)


def whole_from_text(kind: type[Kept], text: str) -> Kept:
    """The subject that `whole_as_text` wrote; fields with a default may be missing.

    ValueError, in words that name the field, where the text is no such subject or says what cannot be.
    """
    table_of(kind)
    try:
        given: dict[str, msgspec.Raw] = msgspec.json.decode(text, type=dict[str, msgspec.Raw])
    except (msgspec.MsgspecError, UnicodeError, RecursionError) as error:
        raise ValueError(str(error)) from error
    types = _types(kind)
    unknown = sorted(set(given) - set(types))
    if unknown:
        raise ValueError(f"unknown field {unknown[0]!r}")
    values = {name: _value(name, types[name], raw) for name, raw in given.items()}
    missing = [name for name in _needed(kind) if name not in values]
    if missing:
        raise ValueError(f"{missing[0]} is missing")
    return kind(**values)


def _value(name: str, kind: Any, raw: msgspec.Raw) -> Any:
    try:
        text = bytes(raw).decode("utf-8")
        value = nested.from_text(kind, None if text == "null" else text)
        if value is None and text == "null":
            msgspec.convert(None, kind)
    except (msgspec.MsgspecError, UnicodeError, RecursionError) as error:
        raise ValueError(f"{name}: {error}") from error
    for wrong in _unsound(name, value):
        raise ValueError(f"{name}: {wrong}")
    return value


def _unsound(name: str, value: object) -> Iterator[str]:
    """What is wrong with a value of the right type, if anything is."""
    if isinstance(value, bool | Enum | UUID) or value is None:
        return
    if isinstance(value, str):
        if len(value) > LONGEST_WORDS or "\0" in value or not _is_text(value):
            yield "no text that can be kept"
    elif isinstance(value, int):
        if abs(value) > _LARGEST_NUMBER or (name == REVISION and value < 1):
            yield f"{value} is too large or too small"
    elif isinstance(value, float):
        # degrees of freedom are infinite where a spread was not estimated
        if not (value > 0 if name == "degrees_of_freedom" else math.isfinite(value)):
            yield f"{value} is no number that can be used"
    elif isinstance(value, datetime):
        if value.tzinfo is None:
            yield "a moment without its zone"
    else:
        for inner_name, inner in _inside(name, value):
            yield from _unsound(inner_name, inner)


def _is_text(value: str) -> bool:
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:  # half of a pair that stands for one sign
        return False
    return True


def _inside(name: str, value: object) -> Iterator[tuple[str, object]]:
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield name, key
            yield name, inner
    elif isinstance(value, tuple | list):
        yield from ((name, inner) for inner in value)
    elif dataclasses.is_dataclass(value):
        yield from ((field.name, getattr(value, field.name)) for field in dataclasses.fields(value))


@once
def _types(kind: type[Any]) -> Mapping[str, Any]:
    return get_type_hints(kind)


@once
def _needed(kind: type[Any]) -> tuple[str, ...]:
    missing = dataclasses.MISSING
    fields = dataclasses.fields(kind)
    return tuple(field.name for field in fields if field.default is missing and field.default_factory is missing)
