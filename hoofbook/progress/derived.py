"""Measures that follow from two others: a typed one that contradicts its own parts is refused."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Fact, Refusal

ALL_CODES = ("difference_contradicts_parts",)

# name: first part, second part, and how far rounding of three typed figures can carry it (to 0.1 deg, to 0.5 mm)
_DIFFERENCES: Mapping[str, tuple[str, str, float]] = MappingProxyType(
    {"toe_heel_angle_difference": ("toe_angle", "heel_angle", 0.15 + 1e-9)}
)
_RATIOS: Mapping[str, tuple[str, str, float]] = MappingProxyType(
    {
        "height_ratio": ("toe_height", "heel_height", 0.05),
        "length_ratio": ("toe_length", "heel_length", 0.05),
        "frog_ratio": ("frog_width", "frog_length", 0.01),
    }
)


def derived(name: str, first: float, second: float) -> float:
    """The measure `name` from its two parts."""
    return first - second if name in _DIFFERENCES else first / second


def contradictions(readings: Iterable[Reading]) -> tuple[tuple[Reading, Refusal], ...]:
    """Readings whose value is not what the parts read at the same visit and moment give, beyond rounding.

    Parts and value are held together by one definition; where a part was read twice, one of the two may give it.
    """
    visits: dict[tuple[object, ...], dict[str, list[Reading]]] = defaultdict(lambda: defaultdict(list))
    for reading in readings:
        visits[_where(reading)][reading.measure].append(reading)
    found = []
    for there in visits.values():
        for name, (first, second, rounding) in {**_DIFFERENCES, **_RATIOS}.items():
            if not {name, first, second} <= there.keys():
                continue
            follows = [derived(name, one.value, other.value) for one in there[first] for other in there[second]]
            for stored in there[name]:
                off, nearest = min((abs(stored.value - value), value) for value in follows)
                if off > rounding:
                    found.append((stored, _contradiction(stored, nearest, first, second)))
    return tuple(found)


def parts_of(name: str) -> tuple[str, str]:
    """The two measures from which `name` follows; KeyError for one that stands for itself."""
    return {**_DIFFERENCES, **_RATIOS}[name][:2]


def _where(reading: Reading) -> tuple[object, ...]:
    """Visit, foot, moment and way of reading. A measure typed without a definition of its own was read by hand."""
    plain = reading.method == HAND and reading.definition is Definition.ONE
    definition = Definition.HAND_GAUGE if plain else reading.definition
    return reading.visit or reading.day, reading.foot, reading.moment, reading.method, definition


def _contradiction(stored: Reading, follows: float, first: str, second: str) -> Refusal:
    facts: dict[str, Fact] = {"stored": stored.value, "follows": follows, "first": first, "second": second}
    facts["day"] = stored.day.isoformat()
    return Refusal("difference_contradicts_parts", MappingProxyType(facts), stored.measure)
