"""A small seeded simulation: horses without any change are told one in at most 5 of 100 lives, by the program's own
verdicts. The rule's source: alpha spending (Lan and DeMets 1983) over planned looks, Bonferroni over goals."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import binom

from hoofbook.progress.change import Followed, judge_goals
from hoofbook.progress.series import Series
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.views import Moment

from .lives import APEX, reading

LIVES, VISITS = 250, 25
FEET = (Foot.LF, Foot.RF)


def noise(random: np.random.Generator, kind: str, count: int) -> np.ndarray:
    if kind == "t4":
        return random.standard_t(4, count) / np.sqrt(2)
    if kind == "neighbours":
        found = np.empty(count)
        found[0] = random.normal()
        for i in range(1, count):
            found[i] = 0.3 * found[i - 1] + np.sqrt(1 - 0.09) * random.normal()
        return found
    return random.normal(size=count)


def ever_shown(random: np.random.Generator, kind: str, scatter: float, step: float = 0.0) -> bool:
    gaps = random.integers(28, 70, VISITS) if kind == "uneven" else np.full(VISITS, 42)
    days = [date(2020, 1, 1) + timedelta(days=int(d)) for d in np.cumsum(gaps)]
    sd = float(np.hypot(0.5, scatter))
    goals = []
    for foot in FEET:
        values = 3 + sd * noise(random, kind, VISITS) + step * sd * np.arange(VISITS)
        readings = tuple(reading(d, float(v), 0.5, foot=foot) for d, v in zip(days, values, strict=True))
        series = Series(APEX, Definition.FROM_SOLE_EDGE, Moment.AFTER_TRIM, readings, (), foot)
        goals.append(Followed(series, Wanted.MORE))
    return any(look.verdict.is_change for found in judge_goals(goals) for look in found.looks)


@pytest.mark.parametrize(
    ("kind", "scatter"),
    [("even", 0.0), ("even", 0.5), ("even", 1.0), ("uneven", 0.5), ("t4", 0.5), ("neighbours", 0.5)],
)
def test_false_verdicts_stay_rare(kind: str, scatter: float) -> None:
    random = np.random.default_rng(20250114)
    false = sum(ever_shown(random, kind, scatter) for _ in range(LIVES))
    assert false <= binom.ppf(0.999, LIVES, 0.05)


def test_a_true_change_is_found() -> None:
    random = np.random.default_rng(20250114)
    assert sum(ever_shown(random, "even", 0.5, step=0.5) for _ in range(40)) >= 38
