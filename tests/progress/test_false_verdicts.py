"""A small seeded simulation: horses without any change are told one in at most 5 of 100 lives, by the program's own
verdicts. The rule's sources: alpha spending (Lan and DeMets 1983) over planned looks, stepwise over goals (Holm 1979).
The same lives, ten thousand of each kind and asked after each visit, are `python -m tests.benchmarks false_verdicts`.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom

from hoofbook.progress.change import judge_goals
from hoofbook.terms.verdict import Verdict
from tests.benchmarks.false_verdicts import CHANGE, NO_CHANGE, Scenario, one_life, some_lives

LIVES = 250
BOUNDED = [scenario for scenario in NO_CHANGE if scenario.bounded]


@pytest.mark.parametrize("scenario", BOUNDED, ids=lambda scenario: scenario.name)
def test_false_verdicts_stay_rare(scenario: Scenario) -> None:
    random = np.random.default_rng((20250114, NO_CHANGE.index(scenario)))
    ever = increase = 0
    for _ in range(LIVES):
        told = {look.verdict for found in judge_goals(one_life(scenario, random)) for look in found.looks}
        ever += any(verdict.is_change for verdict in told)
        increase += Verdict.INCREASE_SHOWN in told
    assert ever <= binom.ppf(0.999, LIVES, 0.05)
    assert increase <= binom.ppf(0.999, LIVES, 0.025)


def test_a_likeness_that_nobody_foresaw_would_be_seen_here() -> None:
    """That the simulation can fail: neighbours far more alike than assumed are told changes that are none."""
    random = np.random.default_rng(20250114)
    alike = Scenario("likeness of neighbours 0.8", likeness=0.8)
    told = [judge_goals(one_life(alike, random)) for _ in range(LIVES)]
    false = sum(any(look.verdict.is_change for found in life for look in found.looks) for life in told)
    assert false > binom.ppf(0.999, LIVES, 0.05)


@pytest.mark.parametrize("scenario", CHANGE, ids=lambda scenario: scenario.name)
def test_a_true_change_is_found(scenario: Scenario) -> None:
    random = np.random.default_rng(20250114)
    lives = [judge_goals(one_life(scenario, random)) for _ in range(40)]
    assert sum(all(look.verdict is Verdict.INCREASE_SHOWN for look in found.looks[2:]) for found, *_ in lives) >= 35
    assert all(found.looks[-1].verdict is Verdict.INCREASE_SHOWN for life in lives for found in life)


def test_asked_after_each_visit_the_same_is_told() -> None:
    scenario, seed = CHANGE[2], (3,)
    told = some_lives((scenario, 12, seed))
    random = np.random.default_rng(seed)
    at_the_end = [judge_goals(one_life(scenario, random)) for _ in range(12)]
    looks = [[look for found in life for look in found.looks if look.verdict.is_change] for life in at_the_end]
    assert told.ever == sum(map(bool, looks)) == 12
    assert dict(told.goals_at) == {
        reading: sum(look.reading == reading for life in looks for look in life) for reading in told.goals_at
    }
