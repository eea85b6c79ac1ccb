"""Landmarks: their names per view, in marking order, and the frozen set that a canvas edits.

A position is in frame *photo*: pixels of the upright picture, centre of the top left pixel (0, 0), x right, y down.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType

from hoofbook.terms.views import View


class MarkState(StrEnum):
    """Confirmed marks count; proposed ones are shown broken and count nowhere; unseen is an answer too."""

    CONFIRMED = "confirmed"
    PROPOSED = "proposed"
    UNSEEN = "unseen"


@dataclass(frozen=True, slots=True)
class Mark:
    """One landmark in one photo. `zoom` is screen px per photo px when placed (0 = not known)."""

    x: float
    y: float
    state: MarkState = MarkState.CONFIRMED
    zoom: float = 0.0
    depth_mm: float | None = None  # told distance from the mid plane towards the camera
    depth_u_mm: float | None = None


@dataclass(frozen=True, slots=True)
class MarkKind:
    """A landmark of a view. `edge` marks sit on a sharp edge, others on a hairline or a surface."""

    name: str
    required: bool = True
    edge: bool = True


_LATERAL = (
    MarkKind("toe_ground"),
    MarkKind("toe_hairline", edge=False),
    MarkKind("heel_ground"),
    MarkKind("heel_hairline", edge=False),
    MarkKind("dorsal_wall_mid", required=False),
    MarkKind("crack_hairline", required=False, edge=False),
    MarkKind("crack_top", required=False, edge=False),
    MarkKind("pastern_upper", required=False, edge=False),
    MarkKind("pastern_lower", required=False, edge=False),
    MarkKind("ground_a", required=False),
    MarkKind("ground_b", required=False),
    MarkKind("shoe_toe", required=False),
    MarkKind("shoe_heel", required=False),
)
_FRONT = (
    MarkKind("medial_ground"),
    MarkKind("lateral_ground"),
    MarkKind("medial_hairline", edge=False),
    MarkKind("lateral_hairline", edge=False),
    MarkKind("ground_a", required=False),
    MarkKind("ground_b", required=False),
)
_SOLAR = (
    MarkKind("toe_tip"),
    MarkKind("heel_medial"),
    MarkKind("heel_lateral"),
    MarkKind("widest_medial"),
    MarkKind("widest_lateral"),
    MarkKind("frog_apex", edge=False),
    MarkKind("frog_base_medial", required=False),
    MarkKind("frog_base_lateral", required=False),
)
_ALONG_SOLE = (
    MarkKind("edge_medial"),
    MarkKind("edge_lateral"),
    MarkKind("sole_deepest"),
)

MARK_KINDS: Mapping[View, tuple[MarkKind, ...]] = MappingProxyType(
    {
        View.LATERAL: _LATERAL,
        View.DORSAL: _FRONT,
        View.PALMAR: _FRONT,
        View.PLANTAR: _FRONT,
        View.SOLAR: _SOLAR,
        View.ALONG_SOLE: _ALONG_SOLE,
        View.WHOLE: (),
    }
)
NUMBERED_KINDS: Mapping[View, tuple[str, ...]] = MappingProxyType(
    {View.SOLAR: ("rim", "sole_edge", "sole"), View.ALONG_SOLE: ("profile",)}
)
_NUMBERED = re.compile(r"^(rim|sole_edge|sole|profile)_(\d\d)$")


def is_mark_name(view: View, name: str) -> bool:
    """True where `name` may stand in a photo of `view` (numbered marks: 01 to 99)."""
    if any(kind.name == name for kind in MARK_KINDS[view]):
        return True
    found = _NUMBERED.match(name)
    return bool(found) and found is not None and found.group(1) in NUMBERED_KINDS.get(view, ())


def mark_group(name: str) -> str:
    """`rim_07` -> `rim`; a name without a number is its own group."""
    found = _NUMBERED.match(name)
    return found.group(1) if found else name


def is_edge(view: View, name: str) -> bool:
    """True where the landmark is a sharp edge (smaller placing error than a hairline or a surface)."""
    group = mark_group(name)
    if group in ("rim", "sole_edge"):
        return True
    return any(kind.name == name and kind.edge for kind in MARK_KINDS[view])


@dataclass(frozen=True, slots=True)
class Marking:
    """All marks of one photo, frozen; every edit makes a new one (undo keeps the old)."""

    marks: Mapping[str, Mark] = field(default_factory=lambda: MappingProxyType({}))

    def with_mark(self, name: str, mark: Mark) -> Marking:
        return Marking(MappingProxyType({**self.marks, name: mark}))

    def without(self, name: str) -> Marking:
        return Marking(MappingProxyType({k: v for k, v in self.marks.items() if k != name}))

    def moved(self, name: str, x: float, y: float, zoom: float = 0.0) -> Marking:
        """The mark put at a new place; a proposed mark that a person moves is thereby confirmed."""
        return self.with_mark(name, replace(self.marks[name], x=x, y=y, zoom=zoom, state=MarkState.CONFIRMED))

    @property
    def confirmed(self) -> dict[str, Mark]:
        """The marks that count."""
        return {k: v for k, v in self.marks.items() if v.state is MarkState.CONFIRMED}

    def __iter__(self) -> Iterator[str]:
        return iter(self.marks)

    def __len__(self) -> int:
        return len(self.marks)

    def __contains__(self, name: object) -> bool:
        return name in self.marks
