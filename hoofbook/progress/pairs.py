"""Left against right: the difference of a measure between the two feet of a pair, as readings of their own.

A difference of two feet at one visit shares what the two photos share (card print, lens, person): signed parts of one
source are subtracted before they are squared, so a common error does not widen it (JCGM 100:2008, 5.2).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from hoofbook.progress.series import Reading, comparable, one_per_visit
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import Part
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects.visits import SolePared
from hoofbook.terms.views import CardPlane

ALL_CODES = ("partner_not_read",)
_PARED = (SolePared.NOT_SAID, SolePared.NONE, SolePared.LOOSE, SolePared.TO_LIVE, SolePared.BY_VET)


def pair_readings(
    readings: Iterable[Reading], pair: Pair
) -> tuple[tuple[Reading, ...], tuple[tuple[Reading, Refusal], ...]]:
    """Differences `pair.foot` less `pair.less`, one per visit, measure, definition and moment, oldest first.

    Both feet must be alike in all that `comparable` asks but the foot. Second comes what has no counterpart at its
    visit (`partner_not_read`) or is unlike it, as a reading of the pair with the reason (value of the one foot).
    """
    there: dict[tuple[object, ...], dict[Foot, Reading]] = defaultdict(dict)
    for reading in one_per_visit(r for r in readings if r.foot in (pair.foot, pair.less)):
        where = (reading.visit or reading.day, reading.measure, reading.definition, reading.moment, reading.method)
        if isinstance(reading.foot, Foot):
            there[where][reading.foot] = reading
    found: list[Reading] = []
    left: list[tuple[Reading, Refusal]] = []
    for feet in there.values():
        if len(feet) < 2:
            alone = next(iter(feet.values()))
            facts = MappingProxyType({"day": alone.day.isoformat()})
            left.append((replace(alone, foot=pair), Refusal("partner_not_read", facts, alone.measure)))
            continue
        one, other = feet[pair.foot], feet[pair.less]
        refusal = comparable(one, replace(other, foot=one.foot))
        if refusal is None:
            found.append(_difference(pair, one, other))
        else:
            left.append((replace(one, foot=pair), refusal))
    return tuple(found), tuple(left)


def _difference(pair: Pair, one: Reading, other: Reading) -> Reading:
    parts: tuple[Part, ...] = ()
    u: float | None = None
    if one.parts and other.parts:
        shares: dict[str, float] = defaultdict(float)
        for reading, sign in ((one, 1.0), (other, -1.0)):
            for part in reading.parts:
                shares[part.source] += sign * part.u
        parts = tuple(Part(source, share) for source, share in shares.items())
        u = math.sqrt(math.fsum(share * share for share in shares.values()))
    elif one.u is not None and other.u is not None:
        u = math.hypot(one.u, other.u)
    both = (one, other)
    return replace(
        one,
        foot=pair,
        value=one.value - other.value,
        u=u,
        parts=parts,
        repeats=min(one.repeats, other.repeats),
        key=f"{one.key} less {other.key}",
        photos=one.photos + other.photos,
        sole_wet=any(reading.sole_wet for reading in both),
        sole_pared=max((reading.sole_pared for reading in both), key=_PARED.index),
        card_plane=CardPlane.UNSURE if any(r.card_plane is CardPlane.UNSURE for r in both) else one.card_plane,
        person=one.person if one.person == other.person else " and ".join(sorted({one.person, other.person} - {""})),
    )
