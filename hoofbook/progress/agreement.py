"""How well a reading repeats: own repeatability from retakes, what placing adds, and whether two people agree.

A *group* is one foot at one visit read more than once in one measure. Retakes (card and foot put down and
photographed again) tell the whole; blind second passes over the same photo tell only how marks are placed. The two are
never pooled. Sources: Bland and Altman (1986, 1999), Shrout and Fleiss (1979), ISO 5725-2:2019 (within-group standard
deviation), McGraw and Wong (1996) for one interval, Smyth (2004) for the shrinkage. All values in the measure's own
unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from hoofbook.progress.trend import Mean, mean_of, normal_quantile, t_quantile
from hoofbook.terms.refusal import Refusal

ALL_CODES = ("too_few_repeats", "groups_differ_in_size", "nothing_to_tell_apart")
ENOUGH_SETS = 5  # retake sets below which the default stands alone
PRIOR_FREEDOM = 4.0  # what a default is worth: four degrees of freedom say "between 0.6 and 2.9 times this" (95 %)
OWN_FREEDOM = 30.0  # own degrees of freedom from which the default hardly matters (under 12 %)
_ROUNDING = 1e-12

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
    """The spread that counts: a default that gives way to the own figure as repeats come in.

    `sd` is of a whole single reading, `tau` what of it the stated uncertainties of the readings do not explain;
    `sets` are the own groups, `own` their spread (None without any), also while it does not count yet.
    """

    sd: float
    tau: float
    degrees_of_freedom: float
    standing: Standing
    sets: int
    own: Within | None

    @property
    def factor(self) -> float:
        """Of a 95 % interval: Student's t, 1.96 while all is assumed."""
        return t_quantile(self.degrees_of_freedom, 0.975)

    @property
    def coefficient(self) -> float:
        """Two single readings of an unchanged foot differ by less than this in 95 of 100 cases."""
        return self.factor * math.sqrt(2.0) * self.sd


def shrunk(default: float, groups: Groups, stated: float = 0.0, *, sets: int | None = None) -> Shrunk:
    """`default` alone until there are `ENOUGH_SETS` groups; then both, weighted by their degrees of freedom.

    Where several groups come from one set (the marks of one photo), `sets` says how many there are.

    `default` is a standard deviation beside the stated uncertainties, `stated` the root mean square of what of those
    can differ inside a group; repeats show both together. Pooled variance = (d0 s0**2 + d s**2) / (d0 + d) with
    s0**2 = default**2 + stated**2 and d0 = `PRIOR_FREEDOM` (the moderated variance of Smyth 2004): exact where the
    truth is spread about the default as d0 says. What is left beyond `stated` is never less than nought: repeats do
    not make a reading better than its parts allow.
    """
    own = within(groups)
    assumed = math.hypot(default, stated)
    if isinstance(own, Refusal):
        return Shrunk(assumed, default, math.inf, Standing.ASSUMED, 0, None)
    sets = own.groups if sets is None else sets
    if sets < ENOUGH_SETS:
        return Shrunk(assumed, default, math.inf, Standing.ASSUMED, sets, own)
    freedom = PRIOR_FREEDOM + own.degrees_of_freedom
    variance = (PRIOR_FREEDOM * assumed**2 + own.degrees_of_freedom * own.sd**2) / freedom
    standing = Standing.OWN if own.degrees_of_freedom >= OWN_FREEDOM else Standing.PARTLY_OWN
    tau = math.sqrt(max(0.0, variance - stated**2))
    return Shrunk(math.sqrt(variance), tau, freedom, standing, sets, own)


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


def _mean_difference(pairs: Sequence[tuple[float, float]]) -> Mean | Refusal:
    """First less second over all pairs; three at least."""
    if len(pairs) < 3:
        return Refusal("too_few_repeats", {"found": len(pairs), "needed": 3})
    return mean_of([one - other for one, other in pairs])


def limits_of_agreement(pairs: Sequence[tuple[float, float]]) -> Limits | Refusal:
    """Of pairs (first, second); three at least."""
    differences = _mean_difference(pairs)
    if isinstance(differences, Refusal):
        return differences
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
    """Standard error of measurement of a single reading, and the smallest change that two such can show at 95 %."""

    sem: float
    detectable: float


def measurement_error(groups: Groups) -> MeasurementError | Refusal:
    """From repeats of people or feet; a first reading that is always more (practice, tiredness) counts as error."""
    found = within(groups)
    return found if isinstance(found, Refusal) else MeasurementError(found.sd, detectable_change(found.sd))


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
    """Intraclass correlation of one form with its 95 % interval (None where repeats do not differ at all, or
    feet do not)."""

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
    squares = _mean_squares(table)
    single = _single(squares, form)
    if single is None:
        return Refusal("nothing_to_tell_apart", {})
    ends = _single_interval(squares, form, single)
    if form in (IccForm.ONE_MEAN, IccForm.TWO_MEAN, IccForm.THREE_MEAN):
        return Icc(form, *(_of_mean(end, columns) for end in (single, *ends)))
    return Icc(form, single, *ends)


def _of_mean(single: float, count: int) -> float:
    """Spearman (1910) and Brown (1910): the same model for the mean of `count`. No reading tells feet apart worse
    than by -1 / (count - 1); there a mean tells nothing at all."""
    below = 1.0 + (count - 1) * single
    return count * single / below if below > 0 else -math.inf


@dataclass(frozen=True, slots=True)
class _MeanSquares:
    """Of a two-way table of `n` feet and `k` columns: between feet, rest, between columns, within feet."""

    n: int
    k: int
    between: float
    rest: float
    columns: float
    inside: float


def _mean_squares(table: Groups) -> _MeanSquares:
    n, k = len(table), len(table[0])
    grand = math.fsum(math.fsum(row) for row in table) / (n * k)
    row_means = [math.fsum(row) / k for row in table]
    column_means = [math.fsum(row[j] for row in table) / n for j in range(k)]
    cells = [(i, j) for i in range(n) for j in range(k)]
    rest = math.fsum((table[i][j] - row_means[i] - column_means[j] + grand) ** 2 for i, j in cells)
    columns = n * math.fsum((mean - grand) ** 2 for mean in column_means)
    rows = k * math.fsum((mean - grand) ** 2 for mean in row_means)
    dust = (_ROUNDING * max(abs(table[i][j]) for i, j in cells)) ** 2  # what sums of equal values leave behind
    rows, rest, columns = (total if total > dust else 0.0 for total in (rows, rest, columns))
    return _MeanSquares(
        n, k, rows / (n - 1), rest / ((n - 1) * (k - 1)), columns / (k - 1), (rest + columns) / (n * (k - 1))
    )


def _single(squares: _MeanSquares, form: IccForm) -> float | None:
    """The coefficient of a single reading under the model of `form`; None where nothing differs."""
    n, k, between, rest = squares.n, squares.k, squares.between, squares.rest
    if form in (IccForm.ONE_SINGLE, IccForm.ONE_MEAN):
        above, below = between - squares.inside, between + (k - 1) * squares.inside
    elif form in (IccForm.TWO_SINGLE, IccForm.TWO_MEAN):
        above, below = between - rest, between + (k - 1) * rest + k * (squares.columns - rest) / n
    else:
        above, below = between - rest, between + (k - 1) * rest
    return above / below if below > 0 else None


def _single_interval(squares: _MeanSquares, form: IccForm, single: float) -> tuple[float, float] | tuple[()]:
    """Shrout and Fleiss (1979), 95 %: models one and three by F, model two with Satterthwaite's degrees of freedom
    (McGraw and Wong 1996, table 7)."""
    n, k = squares.n, squares.k
    if form in (IccForm.TWO_SINGLE, IccForm.TWO_MEAN):
        return _second_interval(squares, single) if min(squares.rest, squares.between) > 0 else ()
    first = form in (IccForm.ONE_SINGLE, IccForm.ONE_MEAN)
    error, freedom = (squares.inside, n * (k - 1)) if first else (squares.rest, (n - 1) * (k - 1))
    if error <= 0:
        return ()
    low = squares.between / error / _f_quantile(n - 1, freedom)
    high = squares.between / error * _f_quantile(freedom, n - 1)
    return (low - 1.0) / (low + k - 1.0), (high - 1.0) / (high + k - 1.0)


def _second_interval(squares: _MeanSquares, single: float) -> tuple[float, float]:
    n, k, between, rest, columns = squares.n, squares.k, squares.between, squares.rest, squares.columns
    ratio, both = columns / rest, n * (1.0 + (k - 1) * single) - k * single
    above = (k - 1) * (n - 1) * (k * single * ratio + both) ** 2
    freedom = above / ((n - 1) * (k * single * ratio) ** 2 + both**2)
    spread = k * columns + (k * n - k - n) * rest
    far, near = _f_quantile(n - 1, freedom), _f_quantile(freedom, n - 1)
    low = n * (between / far - rest) / (spread + n * between / far)  # far may be infinite
    high = n * (near * between - rest) / (spread + n * near * between)
    return low, high


def _f_quantile(above: float, below: float) -> float:
    """97.5 % point of the F distribution."""
    from scipy.special import fdtri

    return float(fdtri(above, below, 0.975))


@dataclass(frozen=True, slots=True)
class PersonEffect:
    """How much one person reads more than another on the same photos: mean difference and its 95 % interval.

    `person_sd` is what differing people add to a single reading (square root of the variance part of people in the
    two-way table, nought where it comes out below), `rest_sd` what is left between two readings of one photo.
    """

    difference: float
    low: float
    high: float
    pairs: int
    person_sd: float
    rest_sd: float


def person_effect(pairs: Sequence[tuple[float, float]]) -> PersonEffect | Refusal:
    """Pairs (one person's value, the other's) of the same photos; three at least."""
    mean = _mean_difference(pairs)
    if isinstance(mean, Refusal):
        return mean
    squares = _mean_squares(pairs)
    people = max(0.0, (squares.columns - squares.rest) / squares.n)
    return PersonEffect(mean.value, mean.low, mean.high, len(pairs), math.sqrt(people), math.sqrt(squares.rest))


def detectable_change(sd: float, readings: int = 1) -> float:
    """Smallest change that two visits can show at 95 % where each is the mean of `readings`: 1.96 sqrt(2) sd/sqrt n."""
    return normal_quantile(0.975) * math.sqrt(2.0) * sd / math.sqrt(readings)
