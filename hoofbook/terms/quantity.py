"""A measured value with its uncertainty and where that uncertainty comes from (JCGM 100).

`parts` are signed standard uncertainties by source; two quantities that share a source are correlated through it,
so sums, differences and means add parts by source first and square afterwards (see `hoofbook.measure.uncertainty`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

COVERAGE = 1.959963984540054  # standard normal quantile at 0.975: half of a 95 % interval over its standard deviation


class Unit(StrEnum):
    MM = "mm"
    DEG = "deg"
    RATIO = "ratio"
    MM3 = "mm3"


class Definition(StrEnum):
    """Which rim plane a sole measure is taken from, or by what it was taken; empty where there is only one."""

    ONE = ""
    FROM_SOLE_EDGE = "from_sole_edge"
    FROM_WALL_EDGE = "from_wall_edge"
    HAND_GAUGE = "hand_gauge"
    ALONG_SOLE = "along_sole"


MEASURES: Mapping[str, Unit] = MappingProxyType(
    {
        "toe_angle": Unit.DEG,
        "heel_angle": Unit.DEG,
        "toe_heel_angle_difference": Unit.DEG,
        "toe_length": Unit.MM,
        "heel_length": Unit.MM,
        "toe_height": Unit.MM,
        "heel_height": Unit.MM,
        "height_ratio": Unit.RATIO,
        "length_ratio": Unit.RATIO,
        "coronary_band_angle": Unit.DEG,
        "bearing_length": Unit.MM,
        "upper_wall_angle": Unit.DEG,
        "lower_wall_angle": Unit.DEG,
        "hoof_pastern_axis": Unit.DEG,
        "medial_wall_height": Unit.MM,
        "lateral_wall_height": Unit.MM,
        "medial_wall_angle": Unit.DEG,
        "lateral_wall_angle": Unit.DEG,
        "foot_length": Unit.MM,
        "foot_width": Unit.MM,
        "length_before_widest": Unit.MM,
        "length_behind_widest": Unit.MM,
        "frog_length": Unit.MM,
        "frog_width": Unit.MM,
        "frog_ratio": Unit.RATIO,
        "heel_separation": Unit.MM,
        "sole_concavity_at_frog_apex": Unit.MM,
        "greatest_sole_concavity": Unit.MM,
        "mean_sole_concavity": Unit.MM,
        "concavity_volume": Unit.MM3,
        "whole_sole_concavity_at_frog_apex": Unit.MM,
        "whole_sole_greatest_concavity": Unit.MM,
        "whole_sole_mean_concavity": Unit.MM,
        "wall_above_sole": Unit.MM,
        "groove_depth": Unit.MM,
        "new_horn_length": Unit.MM,
    }
)


@dataclass(frozen=True, slots=True)
class Part:
    """One source of uncertainty ("card 3f2a print", "photo 9c mark heel_ground") and its signed standard share."""

    source: str
    u: float


@dataclass(frozen=True, slots=True)
class Quantity:
    """One measured value. `u` is its standard uncertainty; `low`..`high` the 95 % interval.

    `photos` are keys of the photos it came from; `method` names the code's version of the definition; `assumed`
    lists sources whose size is a default and not the person's own figure.
    """

    name: str
    value: float
    unit: Unit
    parts: tuple[Part, ...]
    definition: Definition = Definition.ONE
    degrees_of_freedom: float = math.inf
    view: str = ""
    photos: tuple[str, ...] = ()
    method: str = ""
    assumed: tuple[str, ...] = field(default=())

    @property
    def u(self) -> float:
        """Standard uncertainty: root of the sum of squared parts (sources are independent of each other)."""
        return math.sqrt(sum(part.u * part.u for part in self.parts))

    @property
    def coverage_factor(self) -> float:
        """Factor of the 95 % interval: 1.96 for known spreads, Student's t where they were estimated."""
        if math.isinf(self.degrees_of_freedom):
            return COVERAGE
        from scipy.special import stdtrit

        return float(stdtrit(self.degrees_of_freedom, 0.975))

    @property
    def expanded(self) -> float:
        return self.coverage_factor * self.u

    @property
    def low(self) -> float:
        return self.value - self.expanded

    @property
    def high(self) -> float:
        return self.value + self.expanded
