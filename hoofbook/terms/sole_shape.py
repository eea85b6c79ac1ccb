"""The shape of a sole as a map of depths, and the shifts between pictures it is found from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class ShiftField:
    """Where every pixel of picture one lies in picture two, all (rows, columns) in px of the pictures.

    `across` to the right, `down` downwards; `unsure` is how far going there and back again misses the start.
    """

    across: Map
    down: Map
    unsure: Map


@dataclass(frozen=True, slots=True, eq=False)
class SoleShape:
    """Depths of the sole from the plane of its edge, in mm, positive into the foot; arrays are read-only.

    `depth` and `u` (its standard uncertainty, mm) are (rows, columns): rows go towards the toe, columns to the right
    of the toe as the lens sees it, one cell every `step` mm; the centre of cell [0, 0] lies at `first` = (towards
    toe, to the right) in mm from `frog_apex` = (0, 0). NaN where nothing was measured. `inside` marks the cells of the
    sole that were asked for: within the sole edge and off the frog. `completeness` is the share of those measured.
    `toward_lateral` is 1 where columns run to the outside of the foot, -1 to the inside, 0 where it is not known.
    `from_wall` and `u_from_wall` are the depths of the same places from the plane of the wall's ground edge; None where
    that was not marked.
    """

    depth: Map
    u: Map
    inside: NDArray[np.bool_]
    step: float
    first: tuple[float, float]
    completeness: float
    toward_lateral: int = 0
    from_wall: Map | None = None
    u_from_wall: Map | None = None

    def __post_init__(self) -> None:
        for array in (self.depth, self.u, self.inside, self.from_wall, self.u_from_wall):
            if array is not None:
                array.setflags(write=False)

    def at(self, toe: float, right: float) -> tuple[float, float] | None:
        """Depth and its u at the cell nearest to a place in mm from the frog apex; None where there is none."""
        row, column = round((toe - self.first[0]) / self.step), round((right - self.first[1]) / self.step)
        rows, columns = self.depth.shape
        if not (0 <= row < rows and 0 <= column < columns) or not np.isfinite(self.depth[row, column]):
            return None
        return float(self.depth[row, column]), float(self.u[row, column])
