"""The whole sole from three photos: against the rendered truth, and its pieces against OpenCV and known formulas."""

from __future__ import annotations

import math

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoofbook.imaging.shifts import likeness, shift_fields
from hoofbook.measure.concavity.map_measures import for_series, is_of_map, map_quantities
from hoofbook.measure.concavity.surface import meeting
from hoofbook.terms.quantity import MEASURES
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.sole_shape import SoleShape

from .dense_truth import compared, measured
from .test_sample_sets import SETS, truths


@pytest.mark.parametrize("name", sorted(SETS))
def test_the_whole_sole_lies_where_it_was_rendered(name: str) -> None:
    found = compared(name, placed=False)
    assert np.median(np.abs(found.errors)) < 0.15
    assert found.sole.completeness > 0.85
    assert found.covered().mean() >= 0.75
    # no interval of 99 % (2.576 sd, normal) may miss by more than its own width
    assert np.all(np.abs(found.errors) <= 3 * 2.575829 * found.sole.u[found.cells])


@pytest.mark.parametrize("name", ["larkspur/visit-1/lf-sole-after", "larkspur/visit-5/rf-sole-after"])
def test_marks_as_a_person_places_them_widen_the_interval_and_it_still_holds(name: str) -> None:
    found = compared(name, placed=True)
    assert found.covered().mean() >= 0.75
    assert found.sole.completeness > 0.85


@pytest.mark.parametrize("name", ["larkspur/visit-7/lf-sole-after", "checks/wall-longer/lf-sole-after"])
def test_depths_from_the_wall_edge_are_those_of_the_rendered_wall(name: str) -> None:
    """Both definitions of one map, and their measures: the longer wall differs in this one alone."""
    found = compared(name, placed=True)
    sole = found.sole
    assert sole.from_wall is not None and sole.u_from_wall is not None
    errors = (sole.from_wall - found.true_from_wall)[found.cells]
    assert np.mean(np.abs(errors) <= 1.959964 * sole.u_from_wall[found.cells]) >= 0.75
    quantities, _ = map_quantities(sole, ("a", "b", "c"))
    names = [(q.name, q.definition.value) for q in quantities]
    assert len(names) == len(set(names)) == 8
    for by, true in (("from_sole_edge", found.true), ("from_wall_edge", found.true_from_wall)):
        mean = next(q for q in quantities if (q.name, q.definition) == ("mean_sole_concavity", by))
        assert mean.low <= float(true[found.cells].mean()) <= mean.high
        volume = next(q for q in quantities if (q.name, q.definition) == ("concavity_volume", by))
        area = float(sole.inside.sum()) * sole.step**2
        assert volume.value == pytest.approx(mean.value * area)


def test_readings_off_a_map_have_series_of_their_own() -> None:
    quantities, _ = map_quantities(cap(100.0, 10.0), ("a",))
    kept = [for_series(quantity) for quantity in quantities]
    assert all(is_of_map(quantity) and quantity.name in MEASURES for quantity in kept)
    marked = {"sole_concavity_at_frog_apex", "greatest_sole_concavity", "mean_sole_concavity"}
    assert not marked & {quantity.name for quantity in kept}
    assert [(q.value, q.u, q.unit) for q in kept] == [(q.value, q.u, q.unit) for q in quantities]


def test_mean_concavity_is_that_of_the_rendered_sole() -> None:
    found = compared("larkspur/visit-7/lf-sole-after", placed=False)
    quantities, _ = map_quantities(found.sole, ("a", "b", "c"))
    mean = next(q for q in quantities if q.name == "mean_sole_concavity")
    assert mean.value == pytest.approx(float(found.true[found.cells].mean()), abs=0.1)
    assert mean.low <= float(found.true[found.cells].mean()) <= mean.high


def test_the_apex_is_read_within_its_interval() -> None:
    name = "larkspur/visit-7/rf-sole-after"
    found = compared(name, placed=False)
    apex = next(q for q in map_quantities(found.sole, ("a",))[0] if q.name == "sole_concavity_at_frog_apex")
    true = truths(SETS[name])[0]["measures"]["sole_concavity_at_frog_apex_from_sole_edge"]
    assert apex.low <= true <= apex.high


def cap(across: float, deep: float, step: float = 0.5) -> SoleShape:
    radius = (across**2 + 4 * deep**2) / (8 * deep)
    count = int(across / step) + 9
    axis = (np.arange(count) - count // 2) * step
    away = np.hypot(*np.meshgrid(axis, axis, indexing="ij"))
    depth = np.sqrt(np.maximum(radius**2 - away**2, 0.0)) - (radius - deep)
    inside = away <= across / 2
    return SoleShape(
        np.where(inside, depth, np.nan).astype(np.float32),
        np.where(inside, 0.1, np.nan).astype(np.float32),
        inside,
        step,
        (float(axis[0]), float(axis[0])),
        1.0,
    )


def test_volume_of_a_spherical_cap_is_that_of_its_formula() -> None:
    """V = pi h^2 (3 R - h) / 3; for a chord c = 100 and depth s = 10 mm the radius is (c^2/4 + s^2) / 2 s = 130 mm."""
    radius = (100.0**2 / 4 + 10.0**2) / (2 * 10.0)
    assert radius == 130.0
    quantities, _ = map_quantities(cap(100.0, 10.0), ("a",))
    volume = next(q for q in quantities if q.name == "concavity_volume")
    assert volume.value == pytest.approx(math.pi * 10.0**2 * (3 * radius - 10.0) / 3, rel=2e-3)
    greatest = next(q for q in quantities if q.name == "greatest_sole_concavity")
    assert greatest.value == pytest.approx(10.0, abs=0.03)


def test_a_hole_at_the_frog_apex_refuses_that_place_only() -> None:
    sole = cap(100.0, 10.0)
    depth = sole.depth.copy()
    middle = depth.shape[0] // 2
    depth[middle - 8 : middle + 9, middle - 8 : middle + 9] = np.nan
    quantities, refusals = map_quantities(SoleShape(depth, sole.u, sole.inside, sole.step, sole.first, 0.9), ("a",))
    assert [refusal.code for refusal in refusals] == ["frog_apex_not_seen"]
    assert {q.name for q in quantities} == {"greatest_sole_concavity", "mean_sole_concavity", "concavity_volume"}


coordinate = st.floats(-60, 60, allow_nan=False)


@given(coordinate, coordinate, st.floats(-10, 15, allow_nan=False))
@settings(max_examples=50, deadline=None)
def test_rays_meet_where_opencv_triangulates(x: float, y: float, z: float) -> None:
    """cv2.triangulatePoints (direct linear transform) on two exact views of one point."""
    point = np.array([x, y, z])
    lenses = np.array([[-150.0, 10.0, -330.0], [140.0, -20.0, -350.0]])
    views = [np.hstack([np.eye(3), -lens[:, None]]) for lens in lenses]
    seen = [(view @ np.append(point, 1.0)) for view in views]
    found = cv2.triangulatePoints(*views, *[(s[:2] / s[2])[:, None] for s in seen])
    rays = [lens + (point - lens) * share for lens, share in zip(lenses, (0.4, 1.7), strict=True)]
    met, gap = meeting(lenses[0], rays[0], lenses[1], rays[1])
    assert met == pytest.approx((found[:3] / found[3]).ravel(), abs=1e-5)
    assert gap == pytest.approx(0.0, abs=1e-9)


def test_a_known_shift_is_found_again() -> None:
    random = np.random.default_rng(7)
    grain = cv2.GaussianBlur(random.normal(0, 60, (260, 300)), (0, 0), 1.5) + 128
    one = np.clip(grain, 0, 255).astype(np.uint8)
    moved = cv2.warpAffine(grain, np.array([[1, 0, 2.4], [0, 1, -1.3]]), (300, 260), flags=cv2.INTER_CUBIC)
    two = np.clip(moved, 0, 255).astype(np.uint8)
    there, _ = shift_fields(one, two)
    inner = (slice(30, -30), slice(30, -30))
    assert np.median(there.across[inner]) == pytest.approx(2.4, abs=0.05)
    assert np.median(there.down[inner]) == pytest.approx(-1.3, abs=0.05)
    assert np.median(there.unsure[inner]) < 0.05
    assert likeness(one, one)[inner].min() > 0.999
    assert np.abs(np.median(likeness(one, two)[inner])) < 0.5


def test_a_sole_that_shows_nothing_is_refused_with_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """Flash on a wet sole burns all detail away: every photo is white inside the sole edge."""
    real = cv2.imread

    def burnt(path: str, flags: int) -> np.ndarray:
        picture = real(path, flags)
        assert picture is not None
        return np.full_like(picture, 250)

    monkeypatch.setattr(cv2, "imread", burnt)
    found = measured("larkspur/visit-7/lf-sole-after", placed=False)
    assert isinstance(found, Refusal)
    assert found.code == "sole_not_seen_enough"
