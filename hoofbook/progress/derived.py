"""Measures that follow from two others: a typed one that contradicts its own parts is refused."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from hoofbook.progress.series import Reading
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
    """Readings whose value is not what the parts read at the same visit and moment give, beyond rounding."""
    visits: dict[tuple[object, ...], dict[str, Reading]] = defaultdict(dict)
    for reading in readings:
        visits[reading.visit or reading.day, reading.foot, reading.moment, reading.method][reading.measure] = reading
    found = []
    for there in visits.values():
        for name, (first, second, rounding) in {**_DIFFERENCES, **_RATIOS}.items():
            if not {name, first, second} <= there.keys():
                continue
            stored, follows = there[name], derived(name, there[first].value, there[second].value)
            if abs(stored.value - follows) > rounding:
                facts: dict[str, Fact] = {"stored": stored.value, "follows": follows, "first": first, "second": second}
                facts["day"] = stored.day.isoformat()
                found.append((stored, Refusal("difference_contradicts_parts", MappingProxyType(facts), name)))
    return tuple(found)
