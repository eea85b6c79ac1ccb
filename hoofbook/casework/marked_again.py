"""What passes made without looking come to in measures: how far two passes, or two people, are apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.own_placing import Again, every_again
from hoofbook.casework.shots import Group, is_set, measure_shots, read_group
from hoofbook.terms.quantity import Definition, Quantity
from hoofbook.terms.subjects import MarkingPass

if TYPE_CHECKING:
    from hoofbook.records.book import Book


@dataclass(frozen=True, slots=True)
class BlindPair:
    """One photo's measure from the marks that counted and from a pass made without looking, and who placed each."""

    measure: str
    definition: Definition
    photo: UUID
    first: float
    again: float
    people: tuple[str, str]

    @property
    def key(self) -> tuple[str, Definition]:
        return self.measure, self.definition

    @property
    def one_person(self) -> bool:
        return self.people[0] == self.people[1]


_known: WeakKeyDictionary[Book, dict[tuple[UUID, UUID, int], tuple[BlindPair, ...]]] = WeakKeyDictionary()


def blind_pairs(open_book: OpenBook) -> tuple[BlindPair, ...]:
    """Measures of every single photo marked again without looking, from both passes (sets are measured together, so
    one photo of them has no measure of its own)."""
    known = _known.setdefault(open_book.book, {})  # passes never change: two of them are measured once
    found: list[BlindPair] = []
    for each in every_again(open_book):
        if is_set(each.photo):
            continue
        key = (each.first.key, each.again.key, each.photo.revision)
        if key not in known:
            known[key] = tuple(_pair(read_group(open_book, each.photo), each))
        found += known[key]
    return tuple(found)


def both_measured(group: Group, each: Again) -> Iterable[tuple[Quantity, Quantity]]:
    """Each measure from the first pass and from the one made without looking."""
    before, after = (
        measure_shots(replace(group, passes=_with(group, each.photo.key, one)).shots())
        for one in (each.first, each.again)
    )
    for quantity in before.quantities:
        same = after.quantity(quantity.name, quantity.definition.value)
        if same is not None:
            yield quantity, same


def _with(group: Group, photo: UUID, marks: MarkingPass) -> Mapping[UUID, MarkingPass]:
    return MappingProxyType({**group.passes, photo: marks})


def _pair(group: Group, each: Again) -> Sequence[BlindPair]:
    people = (each.first.marked_by, each.again.marked_by)
    return [
        BlindPair(first.name, first.definition, each.photo.key, first.value, again.value, people)
        for first, again in both_measured(group, each)
    ]
