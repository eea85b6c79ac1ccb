"""Before taking more readings: would a change of a named size be shown, and what would it take?

The chance is that of the verdict rule itself (`looks`): the slope of the planned days is normal about its true value,
its variance is estimated on n - 2 degrees of freedom, so without a stated u its t is noncentral (Johnson and Welch
1940); the floor that the stated u sets is integrated with it. Readings are taken as independent of their neighbours,
while the rule guards against a likeness: where they are alike, small changes are shown a little more often than said.
Repeats shrink only what each reading has of its own; the scatter between visits stays.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from hoofbook.progress.agreement import Standing
from hoofbook.progress.change import Progress
from hoofbook.progress.neighbours import neighbour_factors
from hoofbook.progress.pair import default_scatter
from hoofbook.progress.plan import chance_at, planned_after, round_start
from hoofbook.progress.series import Reading, own_u
from hoofbook.progress.trend import normal_quantile, t_quantile
from hoofbook.terms.refusal import Refusal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ALL_CODES = ("chance_needs_a_size", "chance_needs_a_reading")
ENOUGH = 0.80
MOST_REPEATS = 12  # more nobody takes at a visit
USUAL_GAP = 42  # days, until the horse's own visits tell (common practice, no source)
OWN_SCATTER_FROM = 7  # readings from which a series' own scatter is taken for itself
PER = 30  # days of the rate that a person names
_POINTS = 240


@dataclass(frozen=True, slots=True)
class Scatter:
    """What moves like readings of one foot about, in the measure's unit (one sd).

    `own` is what one reading has of its own with `repeats` repeats a visit (0 where no u was stated), `between` the
    scatter between visits that no stated u explains. `assumed` names what is a default.
    """

    own: float
    between: float
    repeats: int
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chance:
    """How probably a change would be shown at a planned reading.

    `change` from the first tested reading to that one and `likely_change`, the size shown with a chance of `ENOUGH`,
    are in the measure's unit; `chance` counts verdicts in the right direction only; `day` follows the gap between the
    visits so far; `repeats` are readings of one visit averaged.
    """

    reading: int
    more_visits: int
    repeats: int
    change: float
    chance: float
    likely_change: float
    day: date


@dataclass(frozen=True, slots=True)
class Outlook:
    """The chances at the planned readings to come with the repeats as now.

    `enough` is the first of them with a chance of `ENOUGH` (None where none of this round has it), `with_repeats` the
    fewest repeats a visit that give it at the next planned reading (None where `MOST_REPEATS` do not).
    """

    chances: tuple[Chance, ...]
    enough: Chance | None
    with_repeats: Chance | None
    scatter: Scatter


def outlook(
    progress: Progress,
    *,
    change: float | None = None,
    per_30_days: float | None = None,
    goals_unshown: int | None = None,
    tau: float | None = None,
) -> Outlook | Refusal:
    """What it takes to show a change that grows steadily: to `change` in total by the reading asked about, or by
    `per_30_days`, in the measure's unit.

    `goals_unshown` as it stands now where not given. `tau` is the scatter between visits from the book's own feet.
    """
    size = change if change is not None else per_30_days
    if size is None or not math.isfinite(size) or size == 0:
        return Refusal("chance_needs_a_size", MappingProxyType({}), progress.series.measure)
    if not progress.tested:
        return Refusal("chance_needs_a_reading", MappingProxyType({}), progress.series.measure)
    scatter = scatter_of(progress, tau)
    goals = progress.goals_unshown if goals_unshown is None else goals_unshown
    asked = _Asked(progress.tested, scatter, goals, change, per_30_days)
    readings = [planned_after(len(progress.tested))]
    while round_start(following := planned_after(readings[-1])) == round_start(readings[0]):
        readings.append(following)
    chances = tuple(asked.at(reading, scatter.repeats) for reading in readings)
    enough = next((found for found in chances if found.chance >= ENOUGH), None)
    repeats = range(1, MOST_REPEATS + 1) if scatter.own > 0 else [scatter.repeats]
    tried = (asked.at(readings[0], each) for each in repeats)
    return Outlook(chances, enough, next((found for found in tried if found.chance >= ENOUGH), None), scatter)


def chance_of_showing(
    progress: Progress,
    reading: int,
    *,
    change: float,
    repeats: int | None = None,
    goals_unshown: int | None = None,
    tau: float | None = None,
) -> Chance:
    """The chance at one planned reading that is still to come; `change` in total by then, and one reading had."""
    scatter = scatter_of(progress, tau)
    goals = progress.goals_unshown if goals_unshown is None else goals_unshown
    return _Asked(progress.tested, scatter, goals, change, None).at(reading, repeats or scatter.repeats)


def scatter_of(progress: Progress, tau: float | None = None) -> Scatter:
    """From the current readings' own u and the scatter found with their line; before `OWN_SCATTER_FROM` readings
    never less than `tau` or, where None, the book's own, or the default of the measure."""
    current = progress.current or progress.tested
    own = own_u(current)
    stated = all(share > 0 for share in own) and bool(own)
    one = math.sqrt(math.fsum(share * share for share in own) / len(own)) if stated else 0.0
    repeats = max(1, round(math.fsum(reading.repeats for reading in current) / max(1, len(current))))
    found = progress.tau if progress.trend is not None else None
    if found is not None and len(current) >= OWN_SCATTER_FROM:
        return Scatter(one, found, repeats, ())
    own_takes = progress.series.own
    if tau is None and own_takes is not None and own_takes.standing is not Standing.ASSUMED:
        tau = own_takes.tau
    least = default_scatter(progress.series.measure) if tau is None else tau
    between = max(least, found or 0.0)
    return Scatter(one, between, repeats, ("between_visit_scatter",) if tau is None and between == least else ())


@dataclass(frozen=True, slots=True)
class _Asked:
    """A change asked about: in total by a reading, or per `PER` days."""

    tested: tuple[Reading, ...]
    scatter: Scatter
    goals: int
    change: float | None
    per_30_days: float | None

    def at(self, reading: int, repeats: int) -> Chance:
        days, last = _days(self.tested, reading)
        before = self.tested[round_start(reading) :]
        further = self.scatter.own * math.sqrt(self.scatter.repeats / repeats)
        own = [*own_u(before), *[further] * (len(days) - len(before))]
        design = _Design.of(days, own, self.scatter.between)
        span = days[-1] - days[0]
        change = self.change if self.change is not None else (self.per_30_days or 0.0) * span / PER
        alpha = chance_at(reading, self.goals)
        return Chance(
            reading=reading,
            more_visits=reading - len(self.tested),
            repeats=repeats,
            change=change,
            chance=design.chance(abs(change) / span, alpha),
            likely_change=design.slope_with(ENOUGH, alpha) * span,
            day=last,
        )


def _days(tested: Sequence[Reading], reading: int) -> tuple[list[float], date]:
    """Days of all readings of the round up to the planned one, the first as 0, and the day of the last."""
    known = [float(r.day.toordinal()) for r in tested]
    gap = (known[-1] - known[0]) / (len(known) - 1) if len(known) > 1 and known[-1] > known[0] else float(USUAL_GAP)
    further = [known[-1] + gap * step for step in range(1, reading - len(known) + 1)]
    days = [*known, *further][round_start(reading) :]
    return [day - days[0] for day in days], tested[-1].day + timedelta(round(gap * len(further)))


@dataclass(frozen=True, slots=True)
class _Design:
    """Days and weights of a look: true and least stated standard error of the slope, factor, degrees of freedom."""

    slope_sd: float
    slope_sd_stated: float
    factor: float
    degrees_of_freedom: int

    @classmethod
    def of(cls, days: Sequence[float], own: Sequence[float], between: float) -> _Design:
        variances = [share * share + between * between for share in own]
        least = 1e-12 * max(*variances, 1e-9)
        weights = [1 / max(variance, least) for variance in variances]
        stated = 1 / math.sqrt(_spread(days, [1 / share**2 for share in own])) if all(own) else 0.0
        factor = neighbour_factors(days, weights).slope
        return cls(1 / math.sqrt(_spread(days, weights)), stated, factor, len(days) - 2)

    def chance(self, slope: float, alpha: float) -> float:
        """Chance that a slope (> 0, per day) is shown as an increase at the look's part `alpha` of false alarm."""
        from scipy.special import ndtr

        shares, errors = _estimated(self.degrees_of_freedom)
        needed = t_quantile(self.degrees_of_freedom, 1 - alpha / 2) * self.factor * errors
        floor = normal_quantile(1 - alpha / 2) * self.slope_sd_stated / self.slope_sd
        above = ndtr(slope / self.slope_sd - needed.clip(min=floor))
        return float((shares * above).sum())

    def slope_with(self, chance: float, alpha: float) -> float:
        """The slope that is shown with `chance`, by halving."""
        low, high = 0.0, self.slope_sd
        while self.chance(high, alpha) < chance:
            high *= 2
        for _ in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if self.chance(middle, alpha) < chance else (low, middle)
        return high


def _spread(days: Sequence[float], weights: Sequence[float]) -> float:
    centre = math.fsum(w * day for w, day in zip(weights, days, strict=True)) / math.fsum(weights)
    return math.fsum(w * (day - centre) ** 2 for w, day in zip(weights, days, strict=True))


@lru_cache(maxsize=64)
def _estimated(freedom: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Shares and values of the ratio of estimated to true standard error, by Gauss-Legendre over its probability."""
    import numpy as np
    from scipy.special import chdtri

    points, shares = np.polynomial.legendre.leggauss(_POINTS)
    return shares / 2, np.sqrt(chdtri(freedom, (1 - points) / 2) / freedom)
