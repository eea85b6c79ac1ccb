"""How closely one person places a mark again: the placing part of a reading, from passes made without looking.

Frame photo, px; brought to a picture of 12 megapixels so that photos of unlike size can be pooled, as the defaults
(`measure.priors`) are. Each coordinate of a mark is a group of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from hoofbook.measure import priors
from hoofbook.progress.agreement import Shrunk, Standing, shrunk
from hoofbook.terms.marks import Marking, is_edge, mark_group
from hoofbook.terms.measured import Placing
from hoofbook.terms.views import View

# a point of a line or outline that may lie anywhere along it: where it lies next time says nothing of placing
SLIDING = frozenset(
    (
        "dorsal_wall_mid",
        "ground_a",
        "ground_b",
        "pastern_lower",
        "pastern_upper",
        "toe_tip",
        "widest_lateral",
        "widest_medial",
    )
)
MarkedPhoto = tuple[View, tuple[int, int], Sequence[Marking]]
"""View and size in px of one photo, and its markings by one person, the later ones made without looking."""


class MarkSort(StrEnum):
    """What the eye has to find."""

    EDGE = "edge"
    HAIRLINE = "hairline"


@dataclass(frozen=True, slots=True)
class PlacingSpreads:
    """Spread of placing, each way alike (px in a picture of 12 megapixels), by what the eye has to find.

    `photos` were marked again. The figure of a hairline is the own part of each mark: how a person reads a hairline,
    the same each time, cannot be seen in that person's own repeats and stays as it is assumed.
    """

    photos: int
    edge: Shrunk
    hairline: Shrunk

    @property
    def own(self) -> Placing | None:
        """What measuring takes in place of its defaults; None while all is assumed."""
        if {self.edge.standing, self.hairline.standing} == {Standing.ASSUMED}:
            return None
        return Placing(self.edge.sd, self.hairline.sd)

    def by_sort(self) -> tuple[tuple[MarkSort, Shrunk], ...]:
        return (MarkSort.EDGE, self.edge), (MarkSort.HAIRLINE, self.hairline)


def placing_spreads(photos: Iterable[MarkedPhoto]) -> PlacingSpreads:
    """Of photos marked at least twice by the same person; each person's repeats lie about that person's own places."""
    groups: dict[MarkSort, list[list[float]]] = {sort: [] for sort in MarkSort}
    sets = dict.fromkeys(MarkSort, 0)
    count = 0
    for view, size, markings in photos:
        found = dict(_coordinates(view, size, markings))
        count += bool(any(found.values()))
        for sort, coordinates in found.items():
            groups[sort] += coordinates
            sets[sort] += bool(coordinates)
    defaults = {MarkSort.EDGE: priors.PLACING_EDGE_PX, MarkSort.HAIRLINE: own_part(priors.PLACING_HAIRLINE_PX)}
    edge, hairline = (shrunk(defaults[sort], groups[sort], sets=sets[sort]) for sort in MarkSort)
    return PlacingSpreads(count, edge, hairline)


def own_part(hairline: float) -> float:
    """What of a hairline's spread is each mark's own: the rest is how this person reads hairlines."""
    return hairline * math.sqrt(1.0 - priors.PLACING_PERSON_SHARE**2)


def _coordinates(
    view: View, size: tuple[int, int], markings: Sequence[Marking]
) -> Iterable[tuple[MarkSort, list[list[float]]]]:
    scale = priors.placing_scale(size)
    confirmed = [marking.confirmed for marking in markings]
    names = [name for name in confirmed[0] if mark_group(name) == name and name not in SLIDING] if confirmed else []
    found: dict[MarkSort, list[list[float]]] = {sort: [] for sort in MarkSort}
    for name in names:
        marks = [marks[name] for marks in confirmed if name in marks]
        if len(marks) > 1:
            sort = MarkSort.EDGE if is_edge(view, name) else MarkSort.HAIRLINE
            found[sort] += [[mark.x / scale for mark in marks], [mark.y / scale for mark in marks]]
    return found.items()
