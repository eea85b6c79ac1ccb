"""The same photos marked once more by chance: what a measure would have come to with every mark placed anew.

Each source of error gets one standard normal number per draw, seeded by its name: a draw is the same whenever it is
looked at, what two photos share (print, lens, how a person reads a hairline) moves both alike, and marks move by their
own spread of placing. Measuring the moved marks again is propagation of distributions (JCGM 101:2008) for placing; what
else the reading states is added by its signed shares (JCGM 100:2008, 5.1.2).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from hashlib import sha256
from math import fsum, sqrt

import numpy as np
from numpy.typing import NDArray

from hoofbook.measure.concavity.gathering import spread_px
from hoofbook.measure.scene import WAYS, placing_shares
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Shot
from hoofbook.terms.quantity import Part

MOST_DRAWS = 1000
Shares = Mapping[tuple[str, str], Sequence[tuple[str, float]]]
"""By photo key and mark: sources of its placing error (without their way) and their spreads in px."""


@lru_cache(maxsize=4096)
def normals(source: str) -> NDArray[np.float64]:
    """`MOST_DRAWS` standard normal numbers of one source, the same ones each time."""
    seed = int.from_bytes(sha256(source.encode("utf-8")).digest()[:8], "little")
    return np.random.default_rng(seed).standard_normal(MOST_DRAWS)


def shares_of(shots: Sequence[Shot], *, widened: float = 1.0) -> Shares:
    """Sources and spreads (px) of every confirmed mark, by photo key and mark. Sets have no share of the person.

    `widened` is the factor on every mark's spread that the misfit of a set asked for.
    """
    found: dict[tuple[str, str], tuple[tuple[str, float], ...]] = {}
    for shot in shots:
        for name in shot.marking.confirmed:
            if len(shots) > 1:
                own = spread_px(shot, name) * widened
                found[shot.key, name] = ((f"photo {shot.key} mark {name}", own),)
            else:
                found[shot.key, name] = tuple(share for share in placing_shares(shot, name) if share[1] > 0)
    return found


def moved(shot: Shot, shares: Shares, draw: int) -> Shot:
    """The photo with each of its confirmed marks moved as draw `draw` has it; marks that do not count stay."""
    marking: Marking = shot.marking
    for name, mark in shot.marking.confirmed.items():
        by = [
            sum(spread * float(normals(f"{source} {way}")[draw]) for source, spread in shares[shot.key, name])
            for way in WAYS
        ]
        marking = marking.with_mark(name, replace(mark, x=mark.x + by[0], y=mark.y + by[1]))
    return replace(shot, marking=marking)


def placing_sources(shares: Shares) -> frozenset[str]:
    """Names of the sources that moving the marks accounts for, as parts name them."""
    return frozenset(f"{source} {way}" for of_mark in shares.values() for source, _ in of_mark for way in WAYS)


def other_errors(parts: Iterable[Part], placing: frozenset[str], draw: int) -> float:
    """What all other sources of a reading add in this draw, in the measure's unit."""
    return sum(part.u * float(normals(part.source)[draw]) for part in parts if part.source not in placing)


def placing_u(parts: Iterable[Part], placing: frozenset[str]) -> float:
    """Standard uncertainty of a reading that comes from placing its marks (root of the sum of squares)."""
    return sqrt(fsum(part.u * part.u for part in parts if part.source in placing))
