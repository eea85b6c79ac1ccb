"""Sums, differences, ratios and means of quantities that keep what they share (JCGM 100:2008, 5.1 and 5.2).

Two quantities are correlated exactly through the sources both name, so parts are added by source, signed, before
anything is squared: what two photos share cancels in their difference, and a quantity minus itself is 0 with u = 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from hoofbook.terms.quantity import Definition, Part, Quantity, Unit

METHOD = "uncertainty 1"
REMAINDER_SHARE = 1e-2  # parts below this share of u are kept as one


def combine(
    name: str,
    value: float,
    unit: Unit,
    terms: Sequence[tuple[float, Quantity]],
    *,
    definition: Definition | None = None,
    view: str = "",
    method: str = "",
) -> Quantity:
    """A quantity with the errors of sum(coefficient * quantity); `value` is told, for it may come from a product.

    Degrees of freedom by Welch and Satterthwaite (JCGM 100, G.4) over the terms; photos and assumed sources joined.
    """
    parts: dict[str, float] = {}
    for coefficient, quantity in terms:
        for part in quantity.parts:
            parts[part.source] = parts.get(part.source, 0.0) + coefficient * part.u
    quantities = [quantity for _, quantity in terms]
    kept = tuple(Part(source, u) for source, u in parts.items() if u != 0.0)
    first = quantities[0].definition if quantities else Definition.ONE
    one = first if all(q.definition is first for q in quantities) else Definition.ONE
    return Quantity(
        name=name,
        value=value,
        unit=unit,
        parts=kept,
        definition=one if definition is None else definition,
        degrees_of_freedom=_degrees(kept, terms),
        view=view or _common(q.view for q in quantities),
        photos=_joined(q.photos for q in quantities),
        method=method or _common(q.method for q in quantities),
        assumed=tuple(s for s in _joined(q.assumed for q in quantities) if parts.get(s, 0.0) != 0.0),
    )


def difference(a: Quantity, b: Quantity, name: str = "") -> Quantity:
    """a - b. Raises ValueError where the units differ."""
    _same_unit((a, b))
    return combine(name or a.name, a.value - b.value, a.unit, [(1.0, a), (-1.0, b)])


def total(quantities: Sequence[Quantity], name: str = "") -> Quantity:
    """Their sum. Raises ValueError where units differ or there is none."""
    _same_unit(quantities)
    value = math.fsum(q.value for q in quantities)
    return combine(name or quantities[0].name, value, quantities[0].unit, [(1.0, q) for q in quantities])


def mean(quantities: Sequence[Quantity], name: str = "") -> Quantity:
    """Their plain mean. Raises ValueError where units differ or there is none."""
    _same_unit(quantities)
    share = 1.0 / len(quantities)
    value = math.fsum(q.value for q in quantities) * share
    return combine(name or quantities[0].name, value, quantities[0].unit, [(share, q) for q in quantities])


def ratio(a: Quantity, b: Quantity, name: str) -> Quantity:
    """a / b, first order. Raises ValueError where units differ and ZeroDivisionError where b is 0."""
    _same_unit((a, b))
    value = a.value / b.value
    return combine(name, value, Unit.RATIO, [(1.0 / b.value, a), (-value / b.value, b)])


def covariance(a: Quantity, b: Quantity) -> float:
    """What two quantities share: the sum over common sources of the products of their parts."""
    of_b = {part.source: part.u for part in b.parts}
    return math.fsum(part.u * of_b.get(part.source, 0.0) for part in a.parts)


def signed_parts(sources: Sequence[str], shares: Sequence[float], remainder: str) -> tuple[Part, ...]:
    """Parts by source (each named once); those too small to matter are put together, in squares, as `remainder`."""
    least = REMAINDER_SHARE * math.hypot(*shares)
    kept, rest = [], 0.0
    for source, u in zip(sources, shares, strict=True):
        if u > least or u < -least:
            kept.append(Part(source, u))
        else:
            rest += u * u
    if rest > 0.0:
        kept.append(Part(remainder, math.sqrt(rest)))
    return tuple(kept)


def assumed_sources(parts: Sequence[Part], defaults: Mapping[str, bool]) -> tuple[str, ...]:
    """Sources whose size is a default of ours and which carry at least a tenth of u."""
    least = 0.1 * math.hypot(*(part.u for part in parts))
    return tuple(p.source for p in parts if abs(p.u) >= least and defaults.get(p.source, False))


def _same_unit(quantities: Sequence[Quantity]) -> None:
    if len({q.unit for q in quantities}) != 1:
        raise ValueError("quantities of one unit are needed")


def _degrees(parts: Sequence[Part], terms: Sequence[tuple[float, Quantity]]) -> float:
    weak = [(c * q.u, q.degrees_of_freedom) for c, q in terms if math.isfinite(q.degrees_of_freedom)]
    below = math.fsum(u**4 / degrees for u, degrees in weak if degrees > 0.0)
    whole = math.fsum(part.u * part.u for part in parts)
    return whole * whole / below if below > 0.0 and whole > 0.0 else math.inf


def _common(texts: Iterable[str]) -> str:
    found = list(dict.fromkeys(texts))
    return found[0] if len(found) == 1 else " + ".join(text for text in found if text)


def _joined(groups: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for group in groups for text in group))
