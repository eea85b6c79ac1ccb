"""Planes of an edge against numpy's SVD, and a spherical cap against its formula."""

from __future__ import annotations

import numpy as np
import pytest

from hoofbook.measure.concavity.planes import choose_points, depth_from, plane_through

INTO = np.array([0.0, 0.0, 1.0])


def ring(count: int, seed: int, uneven: float = 0.2) -> np.ndarray:
    random = np.random.default_rng(seed)
    angle = np.linspace(-2.2, 2.2, count)
    flat = np.stack([60.0 * np.cos(angle), 60.0 * np.sin(angle), random.normal(0.0, uneven, count)], axis=1)
    turn, _ = np.linalg.qr(np.eye(3) + 0.1 * random.normal(size=(3, 3)))
    turn = turn * np.sign(np.diag(turn))
    return flat @ turn.T + [5.0, -3.0, 400.0]


def test_the_plane_is_that_of_the_smallest_singular_vector() -> None:
    points = np.stack([ring(12, seed) for seed in range(6)])
    middles, normals = plane_through(points, INTO)
    for each, middle, normal in zip(points, middles, normals, strict=True):
        svd = np.linalg.svd(each - each.mean(axis=0))[2][2]
        assert middle == pytest.approx(each.mean(axis=0))
        assert abs(normal @ svd) == pytest.approx(1.0, abs=1e-12)
        assert normal[2] > 0.0


@pytest.mark.parametrize("seed", range(5))
def test_rolled_and_broken_points_are_left_out_by_name(seed: int) -> None:
    points = ring(12, seed)
    names = [f"rim_{number + 1:02d}" for number in range(12)]
    _, normal = plane_through(points, INTO)
    spoiled = np.array(points)
    spoiled[2] += 3.0 * normal
    spoiled[7] -= 2.0 * normal
    spoiled[8] -= 4.0 * normal
    chosen = choose_points(names, spoiled, np.full(12, 0.15), INTO)
    assert [name for name, _ in chosen.left_out] == ["rim_03", "rim_08", "rim_09"]
    assert [round(distance) for _, distance in chosen.left_out] == [3, -2, -4]
    assert chosen.rms_mm < 0.4
    whole = choose_points(names, points, np.full(12, 0.15), INTO)
    assert whole.left_out == ()


def test_a_wide_spread_leaves_nothing_out() -> None:
    points = ring(8, 3)
    points[4, 2] += 2.0
    assert choose_points([str(n) for n in range(8)], points, np.full(8, 1.5), INTO).left_out == ()


def test_a_spherical_cap_is_as_deep_as_its_chord_and_radius_say() -> None:
    """R = (c^2 / 4 + s^2) / (2 s): chord 100 mm, depth 10 mm give a radius of 130 mm (geometry)."""
    radius, chord = 130.0, 100.0
    angle = np.linspace(0.0, 2.0 * np.pi, 9)[:-1]
    edge = np.stack([chord / 2.0 * np.cos(angle), chord / 2.0 * np.sin(angle), np.zeros(8)], axis=1)
    lowest = np.sqrt(radius**2 - (chord / 2.0) ** 2)
    reach = np.linspace(0.0, 40.0, 5)
    sole = np.stack([reach, np.zeros(5), np.sqrt(radius**2 - reach**2) - lowest], axis=1)
    middle, normal = plane_through(edge, INTO)
    assert depth_from(sole, middle, normal)[0] == pytest.approx(10.0, abs=1e-9)
    assert depth_from(sole, middle, normal) == pytest.approx(sole[:, 2], abs=1e-9)


def rolled_ring(seed: int, spread: float = 0.18) -> tuple[np.ndarray, list[str]]:
    """Twelve places of a wall's edge, those at the toe rasped up by 1.05 and 1.9 mm, each found to `spread` mm."""
    random = np.random.default_rng(seed)
    angle = np.linspace(-2.6, 2.6, 12)
    points = np.stack([60.0 * np.cos(angle), 60.0 * np.sin(angle), random.normal(0.0, spread, 12)], axis=1)
    points[[4, 5, 6, 7], 2] += [1.05, 1.9, 1.9, 1.05]
    return points, [f"rim_{number + 1:02d}" for number in range(12)]


def test_a_rolled_toe_does_not_tilt_the_plane_of_the_wall() -> None:
    """Height of the plane over the frog apex, truly 0: within 1.5 times the 95 % interval that points found to 0.18 mm
    and the choice between likely planes make (the eight places that lie in one plane give 0.08 mm there)."""
    apex = np.array([8.0, 0.0, 0.0])
    misses = []
    for seed in range(60):
        points, names = rolled_ring(seed)
        chosen = choose_points(names, points, np.full(12, 0.18), INTO, worn=True)

        planes = [
            (points[[names.index(name) for name in each.kept]], each.weights) for each in (chosen, *chosen.rivals)
        ]
        value, *others = (
            float(depth_from(apex[None], *plane_through(own, INTO, np.array(weights)))[0]) for own, weights in planes
        )
        by_choice = sum(rival.chance * (other - value) ** 2 for rival, other in zip(chosen.rivals, others, strict=True))
        misses.append(abs(value) / (1.96 * np.hypot(0.08, np.sqrt(by_choice))))
    assert max(misses) < 1.5
    assert np.mean(np.array(misses) > 1.0) <= 0.05


def test_weights_of_an_even_edge_hardly_differ_and_it_has_no_rivals() -> None:
    for seed in range(20):
        points = ring(12, seed, uneven=0.15)
        chosen = choose_points([str(n) for n in range(12)], points, np.full(12, 0.15), INTO, worn=True)
        assert len(chosen.kept) == 12 and not chosen.rivals
        middle, normal = plane_through(points, INTO)
        ours = plane_through(points, INTO, np.array(chosen.weights))
        assert float(np.degrees(np.arccos(np.clip(normal @ ours[1], -1.0, 1.0)))) < 0.1
        assert abs(float((ours[0] - middle) @ normal)) < 0.08


def test_weights_count_as_often_as_they_say() -> None:
    points = ring(7, 4)
    twice = np.concatenate([points, points[:3]])
    weights = np.array([2.0, 2.0, 2.0, 1.0, 1.0, 1.0, 1.0])
    for ours, repeated in zip(plane_through(points, INTO, weights), plane_through(twice, INTO), strict=True):
        assert ours == pytest.approx(repeated, abs=1e-9)
