"""A photo on paper: where things lie in it, what is drawn on it, and that nothing of the file's own comes along.

Reference: dots painted at places worked out by hand (a similarity written as complex numbers), and Pillow as the
independent reader of the bytes.
"""

from __future__ import annotations

import cmath
import io
import math
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from hoofbook.imaging.paper_photo import LONGEST, paper_photo, whole_photo
from hoofbook.terms.drawing import Drawing, Line, Role
from hoofbook.terms.refusal import Refused

DOTS = ((300.0, 200.0), (900.0, 650.0))


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """1200 x 900, two red dots, a place and a maker in its header, and a small old picture as phones keep one."""
    y, x = np.mgrid[0:900, 0:1200]
    picture = np.full((900, 1200, 3), 60, np.uint8)
    for dot in DOTS:
        picture[np.hypot(x - dot[0], y - dot[1]) < 12] = (255, 0, 0)
    exif = Image.Exif()
    exif.get_ifd(0x8825)[0x0001] = "N"
    exif[0x010F] = "Demo maker"
    path = tmp_path / "photo.jpg"
    Image.fromarray(picture).save(path, quality=97, subsampling=0, exif=exif, comment=b"51.5 N")
    return path


def middle_of(picture: np.ndarray, near: complex) -> complex:
    y, x = np.nonzero((picture[..., 0] > 150) & (picture[..., 1] < 110))
    close = np.hypot(x - near.real, y - near.imag) < 40
    assert close.any()
    return complex(float(x[close].mean()), float(y[close].mean()))


@pytest.mark.parametrize(("scale", "turn"), [(0.5, 0.0), (0.8, 12.0), (1.3, -5.0)])
def test_the_photo_is_moved_turned_and_scaled_only(photo: Path, scale: float, turn: float) -> None:
    factor = cmath.rect(scale, math.radians(turn))
    shift = complex(400.0, 300.0) - factor * complex(600.0, 425.0)
    matrix = ((factor.real, -factor.imag, shift.real), (factor.imag, factor.real, shift.imag))
    picture = np.asarray(Image.open(io.BytesIO(paper_photo(photo, matrix, (800, 600), covered=()))))
    assert picture.shape == (600, 800, 3)
    for dot in DOTS:
        wanted = factor * complex(*dot) + shift
        if 40 < wanted.real < 760 and 40 < wanted.imag < 560:
            assert abs(middle_of(picture, wanted) - wanted) < 0.6


def test_a_whole_photo_is_only_made_smaller(photo: Path) -> None:
    matrix, size = whole_photo((1200, 900), 600)
    assert size == (600, 450)
    picture = np.asarray(Image.open(io.BytesIO(paper_photo(photo, matrix, size, covered=()))))
    for dot in DOTS:
        wanted = complex((dot[0] + 0.5) / 2 - 0.5, (dot[1] + 0.5) / 2 - 0.5)
        assert abs(middle_of(picture, wanted) - wanted) < 0.5
    assert whole_photo((1200, 900)) == (((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), (1200, 900))
    assert max(whole_photo((4032, 3024))[1]) == LONGEST


def test_nothing_of_the_file_itself_comes_along(photo: Path) -> None:
    data = paper_photo(photo, *whole_photo((1200, 900)), covered=())
    with Image.open(io.BytesIO(data)) as picture:
        assert not picture.getexif() and "exif" not in picture.info and "comment" not in picture.info
    assert b"Exif" not in data and b"Demo maker" not in data and b"51.5 N" not in data and b"GPS" not in data
    assert data.count(b"\xff\xd8\xff") == 1  # one picture: no small one inside


def test_what_is_drawn_lies_in_the_pixels(photo: Path) -> None:
    matrix, size = whole_photo((1200, 900), 600)
    line = Drawing(600.0, 450.0, (Line(((100.0, 400.0), (500.0, 400.0)), Role.GROUND, 6.0),))
    picture = np.asarray(Image.open(io.BytesIO(paper_photo(photo, matrix, size, [line], covered=()))), np.int16)
    assert np.abs(picture[400, 300] - (0x56, 0xB4, 0xE9)).max() < 20
    assert np.abs(picture[420, 300] - 60).max() < 12


def test_a_photo_that_is_gone_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused) as error:
        paper_photo(tmp_path / "gone.jpg", *whole_photo((10, 10)), covered=())
    assert error.value.refusal.code == "file_missing"


@pytest.mark.parametrize(("scale", "turn"), [(0.23, 0.0), (0.5, 33.0), (1.3, -5.0)])
def test_a_covered_box_is_one_flat_colour_and_takes_no_more_than_it_must(
    tmp_path: Path, scale: float, turn: float
) -> None:
    """Chequered red and black in the box, grey round it: after it is covered nothing chequered is left, and the grey
    beyond its rim stays. Where its corners lie is worked out with complex numbers."""
    y, x = np.mgrid[0:900, 0:1200]
    box = (480, 360, 720, 540)
    inside = (x >= box[0]) & (x < box[2]) & (y >= box[1]) & (y < box[3])
    chequered = np.where(((x // 6 + y // 6) % 2 == 0)[..., None], (255, 0, 0), (0, 0, 0))
    path = tmp_path / "photo.png"
    Image.fromarray(np.where(inside[..., None], chequered, 120).astype(np.uint8)).save(path)
    factor = cmath.rect(scale, math.radians(turn))
    shift = complex(400.0, 300.0) - factor * complex(600.0, 450.0)
    matrix = ((factor.real, -factor.imag, shift.real), (factor.imag, factor.real, shift.imag))
    shares = (box[0] / 1200, box[1] / 900, box[2] / 1200, box[3] / 900)
    data = paper_photo(path, matrix, (800, 600), covered=(shares,))
    picture = np.asarray(Image.open(io.BytesIO(data)), np.int16)
    rows, columns = np.mgrid[0:600, 0:800]
    back = ((columns + 1j * rows) - shift) / factor
    rim = 18 / scale  # a block of the JPEG, and what moving blends
    deep = (abs(back.real - 599.5) < 120 - rim) & (abs(back.imag - 449.5) < 90 - rim)
    if deep.any():
        assert np.ptp(picture[deep], axis=0).max() <= 3
    in_photo = (abs(back.real - 599.5) < 590 - rim) & (abs(back.imag - 449.5) < 440 - rim)
    beyond = in_photo & ((abs(back.real - 599.5) > 120 + rim) | (abs(back.imag - 449.5) > 90 + rim))
    assert beyond.any() and np.abs(picture[beyond] - 120).max() <= 4
    assert not (np.abs(picture - np.array((255, 0, 0))).max(axis=2) < 80).any()


def test_a_copy_stands_in_only_where_it_holds_every_pixel_wanted(tmp_path: Path) -> None:
    """The copy has another colour, so that it can be told which of the two was opened."""
    photo, copy = tmp_path / "photo.png", tmp_path / "copy.jpg"
    Image.new("RGB", (1200, 900), (200, 0, 0)).save(photo)
    Image.new("RGB", (400, 300), (0, 0, 200)).save(copy, quality=95)

    def red(scale: float, given: Path | None) -> bool:
        matrix = ((scale, 0.0, 0.5 * scale - 0.5), (0.0, scale, 0.5 * scale - 0.5))
        data = paper_photo(photo, matrix, (120, 90), covered=(), copy=given)
        middle = np.asarray(Image.open(io.BytesIO(data)))[40, 40]
        return bool(middle[0] > middle[2])

    assert [red(scale, copy) for scale in (0.1, 0.3, 1 / 3, 0.34, 1.0, 1.5)] == [False, False, False, True, True, True]
    assert red(0.1, tmp_path / "gone.jpg")
    copy.write_bytes(copy.read_bytes()[:300])
    assert red(0.1, copy)


@pytest.mark.parametrize("scale", [0.21, 0.3, 0.45])
def test_a_copy_lies_where_the_photo_lies(photo: Path, tmp_path: Path, scale: float) -> None:
    copy = tmp_path / "copy.jpg"
    with Image.open(photo) as opened:
        opened.resize((600, 450), Image.Resampling.BOX).save(copy, quality=95, subsampling=0)
    matrix = ((scale, 0.0, 40.0), (0.0, scale, 30.0))
    data = paper_photo(photo, matrix, (640, 480), covered=(), copy=copy)
    picture = np.asarray(Image.open(io.BytesIO(data)))
    for dot in DOTS:
        wanted = scale * complex(*dot) + complex(40.0, 30.0)
        assert abs(middle_of(picture, wanted) - wanted) < 0.5


def test_a_copy_is_covered_as_the_photo_is(photo: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.png"
    rng = np.random.default_rng(4)
    Image.fromarray(rng.integers(0, 255, (450, 600, 3), dtype=np.uint8)).save(copy)
    matrix, size = whole_photo((1200, 900), 300)
    data = paper_photo(photo, matrix, size, covered=((0.0, 0.0, 1.0, 1.0),), copy=copy)
    assert np.ptp(np.asarray(Image.open(io.BytesIO(data)), np.int16), axis=(0, 1)).max() <= 3
