"""Uncertainty by JCGM 100 (first order) against JCGM 101 (Monte Carlo), and what shared sources do."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.measure import measure_shot
from hoofbook.measure.estimate import Inputs, estimate
from hoofbook.measure.lateral import side_measures, solve_side, toe_to_heel
from hoofbook.measure.projection import Array
from hoofbook.measure.solving import Solved, find_scale
from hoofbook.measure.uncertainty import combine, covariance, difference, mean, ratio, signed_parts, total
from hoofbook.terms.measured import Shot, Told
from hoofbook.terms.quantity import Part, Quantity, Unit
from tests.measure.photos import Lens
from tests.measure.test_side_view import side_shot

DRAWS = 40_000
UNWEIGHED = {"shod": True, "placing_px": None, "card_size_mm": None, "heel_half_separation": Told(30.0, 3.0)}


def quantity(name: str, value: float, unit: Unit = Unit.DEG, **parts: float) -> Quantity:
    return Quantity(name, value, unit, tuple(Part(source, u) for source, u in parts.items()))


shares = st.dictionaries(st.sampled_from("abcdef"), st.floats(-5, 5), min_size=1)


@given(st.floats(-100, 100), shares)
def test_a_quantity_minus_itself_is_nothing(value: float, parts: dict[str, float]) -> None:
    one = quantity("toe_angle", value, **parts)
    nothing = difference(one, one)
    assert nothing.value == 0.0
    assert nothing.u == 0.0
    assert mean([one, one]).u == pytest.approx(one.u)


@given(shares, shares)
def test_variances_and_covariance_agree(a: dict[str, float], b: dict[str, float]) -> None:
    """var(a - b) = var a + var b - 2 cov(a, b): JCGM 100:2008, 5.2.2."""
    qa, qb = quantity("x", 3.0, **a), quantity("x", 1.0, **b)
    expected = qa.u**2 + qb.u**2 - 2.0 * covariance(qa, qb)
    assert difference(qa, qb).u ** 2 == pytest.approx(expected, abs=1e-9)
    assert total([qa, qb]).u ** 2 == pytest.approx(qa.u**2 + qb.u**2 + 2.0 * covariance(qa, qb), abs=1e-9)


def test_a_difference_is_derived_and_never_kept() -> None:
    """A printed table once kept T - S = -2 beside T = 48.65 and S = 50.05, whose difference is -1.40."""
    apart = difference(quantity("bone_angle", 48.65, own=0.7), quantity("wall_angle", 50.05, own=0.7))
    assert apart.value == pytest.approx(-1.40)
    assert apart.u == 0.0  # the one source is shared


def test_units_are_not_mixed() -> None:
    with pytest.raises(ValueError, match="one unit"):
        difference(quantity("a", 1.0, Unit.DEG, x=1.0), quantity("b", 1.0, Unit.MM, x=1.0))


def test_ratio_against_monte_carlo() -> None:
    """JCGM 101: 40,000 draws of two lengths that share a part; within 2 %."""
    rng = np.random.default_rng(2)
    a, b = quantity("l", 85.0, Unit.MM, shared=0.8, own_a=0.6), quantity("l", 38.0, Unit.MM, shared=0.5, own_b=0.7)
    shared = rng.normal(size=DRAWS)
    drawn_a = 85.0 + 0.8 * shared + 0.6 * rng.normal(size=DRAWS)
    drawn_b = 38.0 + 0.5 * shared + 0.7 * rng.normal(size=DRAWS)
    assert ratio(a, b, "length_ratio").u == pytest.approx(float(np.std(drawn_a / drawn_b)), rel=0.02)


def test_degrees_of_freedom_by_welch_and_satterthwaite() -> None:
    """JCGM 100, G.4.1: two equal parts of 5 and infinite degrees of freedom have 4 * 5 = 20."""
    weak = replace(quantity("a", 1.0, a=1.0), degrees_of_freedom=5.0)
    assert difference(weak, quantity("a", 0.0, b=1.0)).degrees_of_freedom == pytest.approx(20.0)
    assert combine("a", 1.0, Unit.DEG, [(1.0, quantity("a", 1.0, b=1.0))]).degrees_of_freedom == math.inf


def test_small_parts_are_put_together_without_loss() -> None:
    parts = signed_parts(["a", "b", "c"], [1.0, 1e-4, -1e-4], "rest")
    assert [part.source for part in parts] == ["a", "rest"]
    assert math.fsum(p.u**2 for p in parts) == pytest.approx(1.0 + 2e-8)


@pytest.mark.parametrize(("spread", "expected"), [(0.5, 0.4933), (1.0, 0.9866)])
def test_click_error_of_an_angle(spread: float, expected: float) -> None:
    """Wall 85 mm at 50 degrees, ground 115 mm, shared toe point: worked by hand 0.4933 and 0.9866 degrees, and by Monte
    Carlo of 400,000 draws here, within 1 %."""
    places = np.array([0.0, 0.0, 85.0 * math.cos(math.radians(50)), 85.0 * math.sin(math.radians(50)), 115.0, 0.0])
    inputs = Inputs()
    for i, place in enumerate(places):
        inputs.add(float(place), (f"click {i}", spread))

    def angle(x: Array) -> Array:
        wall, ground = x[:, 2:4] - x[:, :2], x[:, 4:6] - x[:, :2]
        return np.degrees(np.arctan2(wall[:, 1], wall[:, 0]) - np.arctan2(ground[:, 1], ground[:, 0]))

    result = estimate(inputs, lambda x: (np.zeros((len(x), 0)), angle(x)[:, None]))
    stated = float(np.sqrt(np.sum(result.parts[0] ** 2)))
    drawn = angle(places + np.random.default_rng(3).normal(0, spread, (400_000, 6)))
    assert stated == pytest.approx(expected, abs=5e-5)
    assert stated == pytest.approx(float(np.std(drawn)), rel=0.01)


def solved(shot: Shot) -> Solved:
    marks = {name: (mark.x, mark.y) for name, mark in shot.marking.confirmed.items()}
    source, fit, _ = find_scale(shot)
    found = solve_side(shot, marks, toe_to_heel(marks) or 1.0, source, fit)
    assert isinstance(found, Solved)
    return found


def drawn_measures(one: Solved, draws: dict[str, Array]) -> dict[str, Array]:
    """Measures through the whole chain for normal draws of every source by name."""
    inputs = one.scene.inputs
    q = np.stack([draws.setdefault(name, _normal(name)) for name in inputs.sources], axis=1)
    seen = one.scene.points(inputs.mean + q @ inputs.factor.T)
    return side_measures({name: place[:, :2] for name, place in seen.items()}, 1.0)


def _normal(name: str) -> Array:
    return np.random.default_rng(list(name.encode())).normal(size=10_000)


def test_the_whole_chain_against_monte_carlo() -> None:
    """JCGM 101 on every input of a side photo at once, no floor to weigh (shod, shoe not marked): within 5 %."""
    shot = side_shot(Lens((150.0, 170.0, 900.0)), **UNWEIGHED)
    drawn = drawn_measures(solved(shot), {})
    for stated in measure_shot(shot).quantities:
        if stated.name in drawn:
            assert stated.u == pytest.approx(float(np.std(drawn[stated.name])), rel=0.05), stated.name


def test_the_difference_of_a_pair_against_monte_carlo() -> None:
    """Two photos of one lens, card, person and foot: what they share cancels, the rest does not; within 4 %."""
    pair = [
        side_shot(Lens(place), key=key, **UNWEIGHED)
        for key, place in (("one", (150.0, 170.0, 900.0)), ("two", (130.0, 120.0, 1050.0)))
    ]
    draws: dict[str, Array] = {}
    first, second = (drawn_measures(solved(shot), draws) for shot in pair)
    a, b = (measure_shot(shot) for shot in pair)
    shared = 0
    for name in first:
        one, two = a.quantity(name), b.quantity(name)
        if one is None or two is None:
            continue
        stated = difference(one, two)
        assert stated.u == pytest.approx(float(np.std(first[name] - second[name])), rel=0.04), name
        shared += stated.u < 0.98 * math.hypot(one.u, two.u)
    assert shared >= 4


def test_a_photo_minus_itself_is_nothing() -> None:
    for one in measure_shot(side_shot(Lens())).quantities:
        assert difference(one, one).value == 0.0
        assert difference(one, one).u == 0.0
