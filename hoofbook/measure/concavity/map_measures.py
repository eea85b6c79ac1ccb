"""Sole concavity read off a map of the whole sole, from the sole edge and, where it was marked, from the wall edge.

`mean_sole_concavity` and `concavity_volume` are over the cells measured of the sole (within its edge, off the frog):
volume = sum of depth times the area of a cell, holes taken as deep as the mean. `greatest_sole_concavity` is the
greatest mean over a disc, so that one noisy cell does not make it. At the frog apex a disc in front of it counts, since
the sole ends where the frog begins. Errors of neighbouring cells come mostly from the same lenses and the same plane:
the u of a mean is taken as the mean u of its cells, never less.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from hoofbook.measure.concavity.measures import APEX, MEASURE
from hoofbook.terms.quantity import MEASURES, Definition, Part, Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import Map, SoleShape
from hoofbook.terms.views import View

METHOD = "sole surface 2"
ALL_CODES = ("frog_apex_not_seen",)
SERIES: Mapping[str, str] = MappingProxyType(
    {
        MEASURE: "whole_sole_concavity_at_frog_apex",
        "greatest_sole_concavity": "whole_sole_greatest_concavity",
        "mean_sole_concavity": "whole_sole_mean_concavity",
    }
)
"""Names under which readings off a map are kept; the volume has no marked counterpart and keeps its own."""
DISC_MM = 2.5  # radius
LEAST_OF_DISC = 0.3

Flags = NDArray[np.bool_]


def map_quantities(sole: SoleShape, photos: tuple[str, ...]) -> tuple[tuple[Quantity, ...], tuple[Refusal, ...]]:
    """Quantities in mm and mm3 of one map, those from the sole edge first; refused by name where the map has a hole at
    the frog apex."""
    quantities: list[Quantity] = []
    apex = _disc(sole, 0.0, 0.0) & np.isfinite(sole.depth)
    seen = bool(apex.sum() >= LEAST_OF_DISC * _disc(sole, 0.0, 0.0).sum())
    for definition, depth, u in _by_definition(sole):
        for name, value, spread in _read_off(sole, depth, u, apex if seen else None):
            quantities.append(
                Quantity(
                    name,
                    value,
                    MEASURES[name],
                    (Part(f"surface of {' '.join(photos)}", spread),),
                    definition,
                    view=View.SOLAR.value,
                    photos=photos,
                    method=METHOD,
                )
            )
    return tuple(quantities), () if seen else (Refusal("frog_apex_not_seen", {"mark": APEX}, MEASURE),)


def for_series(quantity: Quantity) -> Quantity:
    """The same under the name of its own series: what was read off a whole sole never stands on a line with places
    that somebody marked (a mean over the sole is another thing than a mean over the marked places)."""
    return replace(quantity, name=SERIES.get(quantity.name, quantity.name))


def is_of_map(quantity: Quantity) -> bool:
    """Whether any version of this method made it."""
    return quantity.method.startswith(METHOD.rpartition(" ")[0] + " ")


def _by_definition(sole: SoleShape) -> Iterator[tuple[Definition, Map, Map]]:
    yield Definition.FROM_SOLE_EDGE, sole.depth, sole.u
    if sole.from_wall is not None and sole.u_from_wall is not None:
        yield Definition.FROM_WALL_EDGE, sole.from_wall, sole.u_from_wall


def _read_off(sole: SoleShape, depth: Map, u: Map, apex: Flags | None) -> Iterator[tuple[str, float, float]]:
    """Name, value and standard uncertainty of everything by one definition; `apex` None = not seen."""
    there = sole.inside & np.isfinite(depth)
    if apex is not None:
        yield MEASURE, _mean(depth, apex), _mean(u, apex)
    yield "greatest_sole_concavity", *_greatest(sole.step, depth, u, there)
    mean, spread = _mean(depth, there), _mean(u, there)
    yield "mean_sole_concavity", mean, spread
    area = float(sole.inside.sum()) * sole.step**2
    yield "concavity_volume", mean * area, spread * area


def _mean(values: NDArray[np.float32], where: Flags) -> float:
    return float(np.mean(values[where], dtype=np.float64))


def _disc(sole: SoleShape, toe: float, right: float) -> Flags:
    """Cells within `DISC_MM` of a place in mm from the frog apex, toward the toe of it."""
    rows, columns = np.indices(sole.depth.shape)
    away = sole.first[0] + sole.step * rows - toe
    aside = sole.first[1] + sole.step * columns - right
    return np.asarray((away**2 + aside**2 <= DISC_MM**2) & (away >= -sole.step / 2))


def _greatest(step: float, depths: Map, spreads: Map, there: Flags) -> tuple[float, float]:
    """Greatest mean over a disc, with the mean u of that disc."""
    reach = round(DISC_MM / step)
    across, down = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = (across**2 + down**2 <= reach**2).astype(float)
    count = ndimage.convolve(there.astype(float), disc, mode="constant")
    depth = ndimage.convolve(np.where(there, depths, 0.0).astype(float), disc, mode="constant")
    u = ndimage.convolve(np.where(there, spreads, 0.0).astype(float), disc, mode="constant")
    whole = there & (count >= 0.8 * disc.sum())
    if not whole.any():
        whole = there
    mean = np.where(whole, depth / np.maximum(count, 1.0), -np.inf)
    at = np.unravel_index(int(np.argmax(mean)), mean.shape)
    return float(mean[at]), float(u[at] / count[at])
