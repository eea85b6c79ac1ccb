"""The difference of two maps: registered by the frog apex, coloured only outside a band for all cells at once."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from scipy import ndimage

from hoofbook.imaging.map_files import as_csv, as_ply, from_bytes, to_bytes
from hoofbook.imaging.relief import change_picture, depth_picture, lamp_picture
from hoofbook.measure.concavity.map_change import depth_range, map_change, section_across, section_along
from hoofbook.terms.sole_shape import SoleShape
from tests.benchmarks.no_change_maps import map_of

from .rephotographed import Sole

U = 0.15


def sole(random: np.random.Generator | None = None, deeper: float = 0.0, shift: int = 0) -> SoleShape:
    """A bowl of 60 x 100 mm; errors of sd U that resemble each other over 2 mm, as matching leaves them."""
    rows, columns = np.mgrid[0:121, 0:201]
    away = np.hypot((rows - 60) / 60, (columns - 100) / 100)
    inside = away < 1
    depth = 5 * (1 - away**2) + deeper
    if random is not None:
        noise = ndimage.gaussian_filter(random.normal(size=depth.shape), 3.0)
        depth = depth + U * noise / noise.std()
    first = (-30.0 + 0.5 * shift, -50.0)
    if shift:
        depth, inside = np.roll(depth, -shift, axis=0), np.roll(inside, -shift, axis=0)
    shown = np.where(inside, depth, np.nan).astype(np.float32)
    return SoleShape(shown, np.where(inside, U, np.nan).astype(np.float32), inside, 0.5, first, 1.0, 1)


def test_no_change_stays_wholly_grey() -> None:
    """At most 5 in 100 by the band's own confidence; a hundred seeded pairs may show ten (binomial, 1 in 100)."""
    random = np.random.default_rng(41)
    shown = sum(bool(map_change(sole(random), sole(random)).beyond.any()) for _ in range(100))
    assert shown <= 10


SURFACE = Sole.drawn(7)


@pytest.fixture(scope="module")
def maps() -> list[SoleShape]:
    return [map_of(SURFACE, seed) for seed in range(5)]


def test_a_sole_photographed_again_shows_no_change(maps: list[SoleShape]) -> None:
    """Five sets of one textured sole from new places in new light, marks placed anew: ten pairs, of which one in twenty
    may be coloured; the benchmark `no_change_maps` has a hundred independent ones."""
    changes = [map_change(then, now) for then, now in combinations(maps, 2)]
    assert all(np.isfinite(change.change).mean() > 0.3 for change in changes)
    assert sum(bool(change.beyond.any()) for change in changes) <= 1
    true = SURFACE.hoof.concavity
    for one in maps:
        read = one.at(0.0, 0.0)
        assert read is not None and abs(read[0] - true) <= 2.6 * read[1]


def test_a_sole_photographed_again_and_deeper_does(maps: list[SoleShape]) -> None:
    """The same sole, 1 mm hollower at the frog apex, in the same way: the band is not so wide that it hides this."""
    hoof = replace(SURFACE.hoof, concavity=SURFACE.hoof.concavity + 1.0)
    change = map_change(maps[0], map_of(SURFACE.again(hoof), 9))
    assert change.beyond.any()
    assert np.all(change.change[change.beyond] > 0)


def test_a_deeper_sole_is_shown_and_where() -> None:
    random = np.random.default_rng(5)
    change = map_change(sole(random), sole(random, deeper=2.0))
    assert change.share > 0.99
    assert np.nanmedian(change.change) == pytest.approx(2.0, abs=0.05)
    assert np.all(change.change[change.beyond] > 0)


def test_the_frog_apex_registers_the_maps_and_not_their_corner() -> None:
    change = map_change(sole(shift=7), sole())
    assert np.nanmax(np.abs(change.change)) < 1e-3


def test_sections_run_through_the_place_asked() -> None:
    bowl = sole()
    along, across = section_along(bowl, 0.0), section_across(bowl, 0.0)
    assert along.depth[along.along.index(0.0)] == pytest.approx(5.0, abs=1e-5)
    assert across.depth[across.along.index(25.0)] == pytest.approx(5 * (1 - 0.25), abs=1e-4)
    assert depth_range((bowl,)) == (0.0, 5.0)
    assert bowl.at(0.0, 25.0) == pytest.approx((3.75, U), abs=1e-4)
    assert bowl.at(200.0, 0.0) is None


def test_pictures_have_the_toe_up_and_holes_clear() -> None:
    bowl = sole()
    picture = depth_picture(bowl.depth, 0.0, 5.0, 2)
    assert picture.shape == (242, 402, 4)
    assert picture[0, 0, 3] == 0 and picture[121, 201, 3] == 255
    # cividis: light in the middle, dark at the rim
    assert int(picture[121, 205, :3].sum()) > int(picture[121, 12, :3].sum())
    from_left, from_right = lamp_picture(bowl.depth, 180.0, 1), lamp_picture(bowl.depth, 0.0, 1)
    # a hollow is lit on the far side from the lamp
    assert from_left[60, 150, 0] > from_left[60, 50, 0]
    assert from_right[60, 50, 0] > from_right[60, 150, 0]
    change = map_change(sole(), sole(deeper=2.0))
    orange = change_picture(change.change, change.beyond, 4.0, 1)[60, 100]
    assert orange[2] > orange[0]


def test_files_hold_the_map_and_nothing_is_lost() -> None:
    bowl = sole(np.random.default_rng(1))
    walled = replace(bowl, from_wall=bowl.depth + np.float32(1.5), u_from_wall=bowl.u * np.float32(1.1))
    again = from_bytes(to_bytes(walled))
    assert again is not None and again.from_wall is not None and again.u_from_wall is not None
    assert np.array_equal(again.from_wall, walled.from_wall, equal_nan=True)
    assert np.array_equal(again.u_from_wall, walled.u_from_wall, equal_nan=True)
    back = from_bytes(to_bytes(bowl))
    assert back is not None and back.from_wall is None
    assert back is not None
    assert np.array_equal(back.depth, bowl.depth, equal_nan=True)
    assert (back.step, back.first, back.toward_lateral) == (bowl.step, bowl.first, bowl.toward_lateral)
    assert from_bytes(b"no map") is None
    rows = as_csv(bowl).splitlines()
    assert len(rows) == 1 + int(np.isfinite(bowl.depth).sum())
    mesh = as_ply(bowl).decode("ascii").splitlines()
    vertices = int(next(line.split()[2] for line in mesh if line.startswith("element vertex")))
    faces = int(next(line.split()[2] for line in mesh if line.startswith("element face")))
    body = mesh[mesh.index("end_header") + 1 :]
    assert len(body) == vertices + faces
    assert vertices == len(rows) - 1
    assert max(int(number) for line in body[vertices:] for number in line.split()[1:]) < vertices
