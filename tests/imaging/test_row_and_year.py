"""Rows of photos and the film of a year: one scale, the bar as long as it says, nothing but pixels in the file."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from hoofbook.imaging import year_gif
from hoofbook.imaging.compose import PictureSource
from hoofbook.imaging.only_pixels import only_pixels
from hoofbook.imaging.row_picture import RowPicture, row_picture
from hoofbook.imaging.year_gif import LONGEST, MOST_BYTES, gif_of, year_frames
from tests.imaging.test_compose import photo
from tests.papers import tools

FRAME = (0.0, 0.0, 100.0, 70.0)


@pytest.fixture
def sources(tmp_path: Path) -> tuple[PictureSource, ...]:
    """Four photos of the same four red dots (80 x 50 mm apart) at scales of 5 to 8 px/mm, each turned otherwise."""
    placed = ((8.0, 3.0, (-20.0, -15.0)), (6.5, -4.0, (-45.0, -30.0)), (7.0, 0.0, (-30, -20)), (5.0, 2.0, (-70, -60)))
    made = [photo(tmp_path / f"{i}.jpg", *each) for i, each in enumerate(placed)]
    return tuple(replace(source, caption=()) for source in made)


def row_of(sources: tuple[PictureSource, ...], **more: object) -> RowPicture:
    known: dict[str, object] = {"scaled": (True,) * len(sources), "scale_bar_mm": None, "size": (1600, 1000)}
    return RowPicture(sources, FRAME, **{**known, **more})  # type: ignore[arg-type]


def red_dots(picture: np.ndarray) -> np.ndarray:
    """Centres of all red dots, by connected places."""
    import cv2

    blue, green, red = (picture[..., k].astype(int) for k in range(3))
    mask = ((red > 170) & (green < 100) & (blue < 100)).astype(np.uint8)
    count, _, stats, centres = cv2.connectedComponentsWithStats(mask)
    return np.array([centres[k] for k in range(1, count) if stats[k, cv2.CC_STAT_AREA] > 20])


def distances(dots: np.ndarray) -> np.ndarray:
    """The six distances between the four dots of one photo, sorted."""
    return np.sort([np.hypot(*(a - b)) for i, a in enumerate(dots) for b in dots[i + 1 :]])


def quarters(picture: np.ndarray) -> list[np.ndarray]:
    """The dots of each of four photos, which stand two by two."""
    dots, (high, wide) = red_dots(picture), picture.shape[:2]
    right, low = dots[:, 0] > wide / 2, dots[:, 1] > high / 2
    return [dots[(right == x) & (low == y)] for y in (False, True) for x in (False, True)]


def test_all_photos_of_a_row_stand_at_one_scale(sources: tuple[PictureSource, ...]) -> None:
    picture = row_picture(row_of(sources))
    assert picture.shape[1] <= 1600 and picture.shape[0] <= 1000
    found = quarters(picture)
    assert [len(each) for each in found] == [4, 4, 4, 4]
    for each in found:
        np.testing.assert_allclose(distances(each), distances(found[0]), atol=1.0)


def test_only_photos_to_scale_carry_a_bar_as_long_as_it_says(sources: tuple[PictureSource, ...]) -> None:
    row = row_of(sources, scale_bar_mm=50.0, scaled=(True, False, True, False))
    picture = row_picture(row)
    plain = row_picture(replace(row, scale_bar_mm=None))
    px_per_mm = distances(quarters(plain)[0])[0] / 50.0  # two dots are 50 mm apart
    white = ((picture > 240).all(axis=2)) & ((plain < 200).any(axis=2))
    longest = [longest_run(line) for line in white]
    best = max(longest)
    rows = [k for k, long in enumerate(longest) if long == best]
    assert best == pytest.approx(50.0 * px_per_mm, abs=6)  # the bar's own ends are 4 px wide
    assert len(rows) == 2 * 4, "two bars, each 4 px thick"


def all_runs(line: np.ndarray) -> list[int]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], line.astype(int), [0]])))
    return list(edges[1::2] - edges[::2])


def longest_run(line: np.ndarray) -> int:
    return max(all_runs(line), default=0)


def test_a_covered_part_is_burnt_in_everywhere(sources: tuple[PictureSource, ...]) -> None:
    """All dots of one photo lie under a box: eight of its twelve dots are left."""
    hidden = replace(sources[0], covered=((0.0, 0.0, 1.0, 1.0),))
    picture = row_picture(row_of((hidden, *sources[1:3])))
    assert len(red_dots(picture)) == 8
    assert len(red_dots(next(iter(year_frames(row_of((hidden, *sources[1:3]))))))) == 0


def test_every_frame_of_the_year_has_one_size_and_the_same_millimetres(sources: tuple[PictureSource, ...]) -> None:
    frames = list(year_frames(row_of(sources)))
    assert {frame.shape for frame in frames} == {frames[0].shape}
    assert max(frames[0].shape[:2]) <= LONGEST
    first = red_dots(frames[0])
    for frame in frames[1:]:
        dots = red_dots(frame)
        nearest = [np.hypot(*(dots - dot).T).min() for dot in first]
        assert max(nearest) < 1.0, "the dots lie at the same millimetres in every frame"


def test_the_film_goes_round_two_a_second_and_holds_nothing_but_pixels(
    sources: tuple[PictureSource, ...], tmp_path: Path
) -> None:
    """By Pillow, by ExifTool, and by our own walk through the blocks of the GIF 89a specification."""
    captioned = tuple(replace(source, caption=("14 Jan 2025", "left fore")) for source in sources)
    frames = list(year_frames(row_of(captioned, scale_bar_mm=50.0, scale_bar_words="50 mm")))
    data = gif_of(frames)
    assert only_pixels(data) and data == gif_of(frames)
    with Image.open(io.BytesIO(data)) as film:
        assert (film.n_frames, film.info["loop"], film.info["duration"]) == (4, 0, 500)
        assert "comment" not in film.info
    path = tmp_path / "year.gif"
    path.write_bytes(data)
    told = tools.tool("exiftool", "-json", "-G", path)
    (tags,) = json.loads(told)
    kept = {name.split(":")[1] for name in tags if name.startswith("GIF:")}
    assert kept <= {
        "GIFVersion",
        "ImageWidth",
        "ImageHeight",
        "HasColorMap",
        "ColorResolutionDepth",
        "BitsPerPixel",
        "BackgroundColor",
        "AnimationIterations",
        "FrameCount",
        "Duration",
        "TransparentColor",
    }
    assert {name.split(":")[0] for name in tags if ":" in name} <= {"ExifTool", "File", "GIF", "Composite"}


def test_a_gif_with_anything_more_in_it_is_not_only_pixels(sources: tuple[PictureSource, ...]) -> None:
    data = gif_of(list(year_frames(row_of(sources))))
    comment = b"\x21\xfe\x05hello\x00"  # GIF 89a specification, 24: comment extension
    assert not only_pixels(data[:-1] + comment + b"\x3b")
    assert not only_pixels(data + b"more")
    assert not only_pixels(data[:-1])
    other = b"\x21\xff\x0bXMP DataXMP\x01x\x00"  # 26: application extension of another application
    assert not only_pixels(data[:-1] + other + b"\x3b")


def test_a_film_that_is_too_heavy_is_made_smaller(monkeypatch: pytest.MonkeyPatch) -> None:
    """Seven frames of the largest size, of noise, stay under 8 MB; where less room is given they are made smaller."""
    noise = list(np.random.default_rng(1).integers(0, 256, (3, 800, 1000, 3), np.uint8))
    assert 7 * MOST_BYTES <= 8_000_000
    assert len(gif_of(noise)) <= 3 * MOST_BYTES
    monkeypatch.setattr(year_gif, "MOST_BYTES", 200_000)
    data = gif_of(noise)
    assert len(data) <= 3 * 200_000
    with Image.open(io.BytesIO(data)) as film:
        assert 200 < film.width < 1000
