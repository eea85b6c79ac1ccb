"""Values that live inside one column: marks, card sightings, quantities, remarks, as JSON text.

Numbers come back exactly (shortest text that reads back to the same double). JSON has no infinity, so it is written
as the text "inf"; NaN is refused, because it is nobody's measure. Keys are field names; mappings come back frozen.
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Callable, Mapping
from enum import Enum
from functools import cache
from types import MappingProxyType
from typing import Any, get_origin
from uuid import UUID

from hoofbook.terms.marks import Marking
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Remark


def to_text(value: object) -> str | None:
    """JSON text of a nested value; None stays None. ValueError for NaN, TypeError for what no subject may hold."""
    if value is None:
        return None
    return json.dumps(_plain(value), ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def from_text(kind: Any, text: str | None) -> Any:
    """The value of type `kind` that `to_text` wrote. ValueError where the text is not such a value."""
    return reader(kind)(text)


@cache
def reader(kind: Any) -> Callable[[str | None], Any]:
    """A function from JSON text (or None) to a value of type `kind`, made once per type."""
    import msgspec

    # only a Quantity may hold "inf"; elsewhere text must stay text (a fact "12" is not the number 12)
    decode = msgspec.json.Decoder(kind, strict=kind is not Quantity).decode
    freeze = _FREEZERS.get(kind, _as_it_is)
    nothing: Mapping[str | None, Any] = {None: None, "[]": ()} if get_origin(kind) is tuple else {None: None}

    def read(text: str | None) -> Any:
        return nothing[text] if text in nothing else freeze(decode(str(text)))

    return read


def _as_it_is(value: Any) -> Any:
    return value


def _plain(value: object) -> object:
    if dataclasses.is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(inner) for inner in value]
    return _plain_single(value)


def _plain_single(value: object) -> str | int | float | None:
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, float):
        return _plain_number(float(value))
    if value is None or isinstance(value, str | int):
        return value
    raise TypeError(f"a row cannot hold {type(value).__name__}")


def _plain_number(value: float) -> float | str:
    if math.isnan(value):
        raise ValueError("NaN is no value")
    return value if math.isfinite(value) else ("inf" if value > 0 else "-inf")


def _frozen_marking(marking: Marking) -> Marking:
    return Marking(MappingProxyType(dict(marking.marks)))


def _frozen_remarks(remarks: tuple[Remark, ...]) -> tuple[Remark, ...]:
    return tuple(Remark(remark.code, MappingProxyType(dict(remark.facts))) for remark in remarks)


_FREEZERS: Mapping[Any, Callable[[Any], Any]] = {Marking: _frozen_marking, tuple[Remark, ...]: _frozen_remarks}
