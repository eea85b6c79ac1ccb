"""How well a reading repeats: own repeatability from retakes, what placing adds, and whether two people agree.

A *group* is one foot at one visit read more than once in one measure. Retakes (card and foot put down and
photographed again) tell the whole; blind second passes over the same photo tell only how marks are placed. The two are
never pooled. Sources: Bland and Altman (1986, 1999), Shrout and Fleiss (1979), ISO 5725-2:2019 (within-group standard
deviation), Smyth (2004) for the shrinkage. All values in the measure's own unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from hoofbook.progress.trend import interval, mean_of, normal_quantile, t_quantile
from hoofbook.terms.refusal import Refusal

ALL_CODES = ("too_few_repeats", "groups_differ_in_size")
ENOUGH_SETS = 5  # retake sets below which the default stands alone
PRIOR_FREEDOM = 4.0  # the default counts as much as four own repeats: half the weight once the own have four
OWN_FREEDOM = 30.0  # own degrees of freedom from which the default hardly matters (under 12 %)

Groups = Sequence[Sequence[float]]


class Standing(StrEnum):
    """Whose figure it is."""

    ASSUMED = "assumed"
    PARTLY_OWN = "partly own"
    OWN = "own"


@dataclass(frozen=True, slots=True)
class Within:
    """Spread of repeats: `sd` with its 95 % interval, its degrees of freedom, in how many groups, how many readings.

    `coefficient` is the repeatability coefficient: two single readings of an unchanged foot differ by less in 95 of
    100 cases (sqrt(2) times the t quantile times sd, 1.96 where repeats are many).
    """

    sd: float
    low: float
    high: float
    degrees_of_freedom: float
    groups: int
    readings: int

    @property
    def coefficient(self) -> float:
        return t_quantile(self.degrees_of_freedom, 0.975) * math.sqrt(2.0) * self.sd


def within(groups: Groups) -> Within | Refusal:
    """Pooled standard deviation within groups of two or more (ISO 5725-2, 7.4.5; groups may differ in size)."""
    used = [group for group in groups if len(group) > 1]
    freedom = sum(len(group) - 1 for group in used)
    if freedom < 1:
        return Refusal("too_few_repeats", {"found": len(used), "needed": 1})
    total = math.fsum(_squares(group) for group in used)
    sd = math.sqrt(total / freedom)
    from scipy.special import chdtri

    # sum of squares over variance is chi-squared: chdtri gives the quantile of the upper tail
    low, high = (math.sqrt(total / float(chdtri(freedom, tail))) for tail in (0.025, 0.975))
    return Within(sd, low, high, float(freedom), len(used), sum(len(group) for group in used))


def _squares(group: Sequence[float]) -> float:
    middle = math.fsum(group) / len(group)
    return math.fsum((value - middle) ** 2 for value in group)


@dataclass(frozen=True, slots=True)
class Shrunk:
    """The spread that counts: a default that gives way to the own figure as repeats come in."""

    sd: float
    degrees_of_freedom: float
    standing: Standing
    sets: int
    own: Within | None

    @property
    def coefficient(self) -> float:
        return t_quantile(self.degrees_of_freedom, 0.975) * math.sqrt(2.0) * self.sd


def shrunk(default: float, groups: Groups) -> Shrunk:
    """`default` (a standard deviation) until there are `ENOUGH_SETS` groups; then both by their degrees of freedom.

    Pooled variance = (d0 s0**2 + d s**2) / (d0 + d) with d0 = `PRIOR_FREEDOM`: Smyth (2004), equation for the
    moderated variance. A default is an opinion, so it counts as few repeats.
    """
    own = within(groups)
    if isinstance(own, Refusal):
        return Shrunk(default, math.inf, Standing.ASSUMED, 0, None)
    if own.groups < ENOUGH_SETS:
        return Shrunk(default, math.inf, Standing.ASSUMED, own.groups, own)
    freedom = PRIOR_FREEDOM + own.degrees_of_freedom
    variance = (PRIOR_FREEDOM * default**2 + own.degrees_of_freedom * own.sd**2) / freedom
    standing = Standing.OWN if own.degrees_of_freedom >= OWN_FREEDOM else Standing.PARTLY_OWN
    return Shrunk(math.sqrt(variance), freedom, standing, own.groups, own)


@dataclass(frozen=True, slots=True)
class Limits:
    """Bland and Altman: differences first less second against their means.

    `bias` with its 95 % interval, `sd` of the differences, limits of agreement `lower`..`upper` (1.96 sd) and the
    half-width `limit_half` of the 95 % interval of either limit (standard error sqrt(3 sd**2 / n)).
    """

    points: tuple[tuple[float, float], ...]
    bias: float
    bias_low: float
    bias_high: float
    sd: float
    lower: float
    upper: float
    limit_half: float


def limits_of_agreement(pairs: Sequence[tuple[float, float]]) -> Limits | Refusal:
    """Of pairs (first, second); three at least."""
    if len(pairs) < 3:
        return Refusal("too_few_repeats", {"found": len(pairs), "needed": 3})
    differences = mean_of([one - other for one, other in pairs])
    reach = normal_quantile(0.975) * differences.sd
    half = t_quantile(differences.degrees_of_freedom, 0.975) * math.sqrt(3.0 * differences.sd**2 / len(pairs))
    return Limits(
        tuple(((one + other) / 2.0, one - other) for one, other in pairs),
        differences.value,
        differences.low,
        differences.high,
        differences.sd,
        differences.value - reach,
        differences.value + reach,
        half,
    )


@dataclass(frozen=True, slots=True)
class MeasurementError:
    """Of pairs: standard error of measurement (sd of the differences over sqrt 2) and the smallest detectable change
    at 95 % for one person (1.96 sqrt 2 times it)."""

    sem: float
    detectable: float


def measurement_error(pairs: Sequence[tuple[float, float]]) -> MeasurementError | Refusal:
    """The first and second reading may differ on the whole (practice, tiredness): that bias is not counted."""
    if len(pairs) < 3:
        return Refusal("too_few_repeats", {"found": len(pairs), "needed": 3})
    sem = math.sqrt(0.5) * mean_of([one - other for one, other in pairs]).sd
    return MeasurementError(sem, normal_quantile(0.975) * math.sqrt(2.0) * sem)


class IccForm(StrEnum):
    """Shrout and Fleiss (1979): which model, and whether a single reading or the mean of k is meant."""

    ONE_SINGLE = "ICC(1,1)"
    TWO_SINGLE = "ICC(2,1)"
    THREE_SINGLE = "ICC(3,1)"
    ONE_MEAN = "ICC(1,k)"
    TWO_MEAN = "ICC(2,k)"
    THREE_MEAN = "ICC(3,k)"


@dataclass(frozen=True, slots=True)
class Icc:
    """Intraclass correlation of one form with its 95 % interval (by the F distribution; none for the second model)."""

    form: IccForm
    value: float
    low: float | None = None
    high: float | None = None


def intraclass(table: Groups, form: IccForm) -> Icc | Refusal:
    """`table`: one row a foot, one column a take or person, all rows equally long; two rows and columns at least."""
    rows, columns = len(table), len(table[0]) if table else 0
    if rows < 2 or columns < 2:
        return Refusal("too_few_repeats", {"found": min(rows, columns), "needed": 2})
    if any(len(row) != columns for row in table):
        return Refusal("groups_differ_in_size", {})
    between, error, column, inside = _mean_squares(table)
    k, n = columns, rows
    single = {
        IccForm.ONE_SINGLE: (between - inside) / (between + (k - 1) * inside),
        IccForm.TWO_SINGLE: (between - error) / (between + (k - 1) * error + k * (column - error) / n),
        IccForm.THREE_SINGLE: (between - error) / (between + (k - 1) * error),
        IccForm.ONE_MEAN: (between - inside) / between,
        IccForm.TWO_MEAN: (between - error) / (between + (column - error) / n),
        IccForm.THREE_MEAN: (between - error) / between,
    }
    low, high = _icc_interval(form, between, inside, error, (n, k))
    return Icc(form, single[form], low, high)


def _mean_squares(table: Groups) -> tuple[float, float, float, float]:
    """Between feet, residual, between columns, within feet (mean squares of the two-way table)."""
    n, k = len(table), len(table[0])
    grand = math.fsum(math.fsum(row) for row in table) / (n * k)
    row_means = [math.fsum(row) / k for row in table]
    column_means = [math.fsum(row[j] for row in table) / n for j in range(k)]
    rows = k * math.fsum((mean - grand) ** 2 for mean in row_means)
    columns = n * math.fsum((mean - grand) ** 2 for mean in column_means)
    total = math.fsum((value - grand) ** 2 for row in table for value in row)
    inside = total - rows
    rest = inside - columns
    return rows / (n - 1), rest / ((n - 1) * (k - 1)), columns / (k - 1), inside / (n * (k - 1))


def _icc_interval(
    form: IccForm, between: float, inside: float, error: float, size: tuple[int, int]
) -> tuple[float | None, float | None]:
    """Shrout and Fleiss (1979), the intervals of the first and third model."""
    from scipy.special import fdtri

    n, k = size
    if form in (IccForm.TWO_SINGLE, IccForm.TWO_MEAN):
        return None, None
    first = form in (IccForm.ONE_SINGLE, IccForm.ONE_MEAN)
    freedom = n * (k - 1) if first else (n - 1) * (k - 1)
    ratio = between / (inside if first else error) if (inside if first else error) > 0 else math.inf
    low = ratio / float(fdtri(n - 1, freedom, 0.975))
    high = ratio * float(fdtri(freedom, n - 1, 0.975))
    if form in (IccForm.ONE_MEAN, IccForm.THREE_MEAN):
        return 1.0 - 1.0 / low, 1.0 - 1.0 / high
    return (low - 1.0) / (low + k - 1.0), (high - 1.0) / (high + k - 1.0)


@dataclass(frozen=True, slots=True)
class PersonEffect:
    """How much one person reads more than another on the same photos: mean difference, its 95 % interval, pairs."""

    difference: float
    low: float
    high: float
    pairs: int


def person_effect(pairs: Sequence[tuple[float, float]]) -> PersonEffect | Refusal:
    """Pairs (one person's value, the other's) of the same photos; three at least."""
    if len(pairs) < 3:
        return Refusal("too_few_repeats", {"found": len(pairs), "needed": 3})
    mean = mean_of([one - other for one, other in pairs])
    return PersonEffect(mean.value, mean.low, mean.high, len(pairs))


def detectable_change(sd: float, readings: int = 1) -> float:
    """Smallest change that two visits can show at 95 % where each is the mean of `readings`: 1.96 sqrt(2) sd/sqrt n."""
    return normal_quantile(0.975) * math.sqrt(2.0) * sd / math.sqrt(readings)


def from_summary(mean: float, se: float, count: int) -> tuple[float, float]:
    """95 % interval of a mean difference from a paper's mean, standard error and number (Student's t)."""
    return interval(mean, se, count - 1)
