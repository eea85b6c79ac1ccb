"""A request that could not be met, as a value: a code and the facts a sentence needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

Fact = str | float | int | bool | None


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something was not measured, read or done.

    `code` is snake_case and stable (`card_not_found`); `name` is the measure or thing refused where there is one.
    `hoofbook.wording` has one sentence per code, which ends with what to do. False in a condition.
    """

    code: str
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))
    name: str = ""

    def __bool__(self) -> bool:
        return False


@dataclass(frozen=True, slots=True)
class Remark:
    """Something true of a photo or measure that widens its ± or should be known; same codes and wording as refusals."""

    code: str
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))


class Refused(Exception):
    """Raised at the edges (files, command line) to carry a `Refusal` to the person."""

    def __init__(self, refusal: Refusal) -> None:
        super().__init__(refusal.code)
        self.refusal = refusal
