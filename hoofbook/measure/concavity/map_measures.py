"""Sole concavity read off a map of the whole sole, from the sole edge.

`mean_sole_concavity` and `concavity_volume` are over the cells measured of the sole (within its edge, off the frog):
volume = sum of depth times the area of a cell, holes taken as deep as the mean. `greatest_sole_concavity` is the
greatest mean over a disc, so that one noisy cell does not make it. At the frog apex a disc in front of it counts, since
the sole ends where the frog begins. Errors of neighbouring cells come mostly from the same lenses and the same plane:
the u of a mean is taken as the mean u of its cells, never less.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from hoofbook.measure.concavity.measures import APEX, MEASURE
from hoofbook.terms.quantity import MEASURES, Definition, Part, Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.views import View

METHOD = "sole surface 1"
ALL_CODES = ("frog_apex_not_seen",)
DISC_MM = 2.5  # radius
LEAST_OF_DISC = 0.3

Flags = NDArray[np.bool_]


def map_quantities(sole: SoleShape, photos: tuple[str, ...]) -> tuple[tuple[Quantity, ...], tuple[Refusal, ...]]:
    """Quantities in mm and mm3 of one map; refused by name where the map has a hole at the frog apex."""
    quantities, refusals = [], []
    there = sole.inside & np.isfinite(sole.depth)
    apex = _disc(sole, 0.0, 0.0) & np.isfinite(sole.depth)
    if apex.sum() >= LEAST_OF_DISC * _disc(sole, 0.0, 0.0).sum():
        quantities.append(_quantity(MEASURE, _mean(sole.depth, apex), _mean(sole.u, apex), photos))
    else:
        refusals.append(Refusal("frog_apex_not_seen", {"mark": APEX}, MEASURE))
    value, u = _greatest(sole, there)
    quantities.append(_quantity("greatest_sole_concavity", value, u, photos))
    mean, spread = _mean(sole.depth, there), _mean(sole.u, there)
    quantities.append(_quantity("mean_sole_concavity", mean, spread, photos))
    area = float(sole.inside.sum()) * sole.step**2
    quantities.append(_quantity("concavity_volume", mean * area, spread * area, photos))
    return tuple(quantities), tuple(refusals)


def _quantity(name: str, value: float, u: float, photos: tuple[str, ...]) -> Quantity:
    parts = (Part(f"surface of {' '.join(photos)}", u),)
    return Quantity(
        name,
        value,
        MEASURES[name],
        parts,
        Definition.FROM_SOLE_EDGE,
        view=View.SOLAR.value,
        photos=photos,
        method=METHOD,
    )


def _mean(values: NDArray[np.float32], where: Flags) -> float:
    return float(np.mean(values[where], dtype=np.float64))


def _disc(sole: SoleShape, toe: float, right: float) -> Flags:
    """Cells within `DISC_MM` of a place in mm from the frog apex, toward the toe of it."""
    rows, columns = np.indices(sole.depth.shape)
    away = sole.first[0] + sole.step * rows - toe
    aside = sole.first[1] + sole.step * columns - right
    return np.asarray((away**2 + aside**2 <= DISC_MM**2) & (away >= -sole.step / 2))


def _greatest(sole: SoleShape, there: Flags) -> tuple[float, float]:
    """Greatest mean over a disc, with the mean u of that disc."""
    reach = round(DISC_MM / sole.step)
    across, down = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    disc = (across**2 + down**2 <= reach**2).astype(float)
    count = ndimage.convolve(there.astype(float), disc, mode="constant")
    depth = ndimage.convolve(np.where(there, sole.depth, 0.0).astype(float), disc, mode="constant")
    u = ndimage.convolve(np.where(there, sole.u, 0.0).astype(float), disc, mode="constant")
    whole = there & (count >= 0.8 * disc.sum())
    if not whole.any():
        whole = there
    mean = np.where(whole, depth / np.maximum(count, 1.0), -np.inf)
    at = np.unravel_index(int(np.argmax(mean)), mean.shape)
    return float(mean[at]), float(u[at] / count[at])
