"""The difference of two maps of one sole: of two shapes, not of horn (the sole sheds, the wall grows).

Both maps count from the frog apex, with the toe along the rows: that registers them, never the trimmed outline. A cell
is called different only outside a band that holds all cells at once with 95 %: as many independent looks as patches of
`PATCH_MM` fit into the sole (Bonferroni), with Student's t: the u of a cell is itself judged from its neighbourhood.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.special import stdtrit

from hoofbook.terms.sole_shape import Map, SoleShape

PATCH_MM = 4.0  # errors of cells nearer than this resemble each other
CONFIDENCE = 0.95
FREEDOM = 20.0  # about so many patches make the neighbourhood over which the noise of a cell is taken


@dataclass(frozen=True, slots=True, eq=False)
class MapChange:
    """`change` (now less then, mm, positive = deeper now) and its standard uncertainty `u`, (rows, columns) in the
    cells of the later map; NaN where either has none. `beyond` marks cells outside the simultaneous band of
    `factor` times u. `share` of the cells compared lie there."""

    change: Map
    u: Map
    beyond: NDArray[np.bool_]
    factor: float
    share: float


def map_change(then: SoleShape, now: SoleShape) -> MapChange:
    """Now less then, cell by cell."""
    before, spread = (_on(now, then, values) for values in (then.depth, then.u))
    change = np.where(now.inside, now.depth - before, np.nan)
    u = np.hypot(now.u, spread)
    known = np.isfinite(change) & np.isfinite(u)
    patches = max(1.0, float(known.sum()) * now.step**2 / PATCH_MM**2)
    factor = float(stdtrit(FREEDOM, 1.0 - (1.0 - CONFIDENCE) / 2.0 / patches))
    beyond = known & (np.abs(np.where(known, change, 0.0)) > factor * np.where(known, u, np.inf))
    share = float(beyond.sum()) / max(int(known.sum()), 1)
    return MapChange(
        np.where(known, change, np.nan).astype(np.float32),
        np.where(known, u, np.nan).astype(np.float32),
        beyond,
        factor,
        share,
    )


def _on(now: SoleShape, then: SoleShape, values: Map) -> NDArray[np.float64]:
    """Values of the earlier map at the cells of the later one (linear; NaN beside a hole)."""
    rows, columns = np.indices(now.depth.shape, dtype=np.float64)
    toe, right = now.first[0] + now.step * rows, now.first[1] + now.step * columns
    places = [(toe - then.first[0]) / then.step, (right - then.first[1]) / then.step]
    holes = ~np.isfinite(values)
    filled = ndimage.map_coordinates(np.where(holes, 0.0, values), places, order=1, cval=0.0)
    missing = ndimage.map_coordinates(holes.astype(float), places, order=1, cval=1.0)
    return np.asarray(np.where(missing > 0.01, np.nan, filled), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Section:
    """Depths along a line through the map: `along` mm from the frog apex, `depth` and `u` in mm (NaN in holes)."""

    along: tuple[float, ...]
    depth: tuple[float, ...]
    u: tuple[float, ...]


def section_along(sole: SoleShape, right: float) -> Section:
    """From heel to toe, `right` mm beside the frog apex."""
    column = round((right - sole.first[1]) / sole.step)
    column = min(max(column, 0), sole.depth.shape[1] - 1)
    return _section(sole.first[0], sole.step, sole.depth[:, column], sole.u[:, column])


def section_across(sole: SoleShape, toe: float) -> Section:
    """From side to side, `toe` mm in front of the frog apex."""
    row = round((toe - sole.first[0]) / sole.step)
    row = min(max(row, 0), sole.depth.shape[0] - 1)
    return _section(sole.first[1], sole.step, sole.depth[row], sole.u[row])


def _section(first: float, step: float, depth: Map, u: Map) -> Section:
    places = tuple(float(first + step * number) for number in range(len(depth)))
    return Section(places, tuple(float(d) for d in depth), tuple(float(each) for each in u))


def depth_range(soles: tuple[SoleShape, ...]) -> tuple[float, float]:
    """One range in whole mm for all maps of a foot, so that a colour means the same on every visit."""
    deepest = max((float(np.nanpercentile(sole.depth, 99)) for sole in soles), default=1.0)
    return 0.0, float(max(2.0, np.ceil(deepest)))
