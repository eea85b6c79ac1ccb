"""Squares cut out of a photo: where a pixel lands follows from the frame (Exif 2.32 for orientation)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from hoofbook.imaging.cut_out import cut_out
from hoofbook.terms.refusal import Refusal


def photo(path: Path, orientation: int = 1) -> Path:
    """60 x 40 px, grey 90, one white pixel at (20, 10) as stored."""
    pixels = np.full((40, 60, 3), 90, np.uint8)
    pixels[10, 20] = 255
    exif = Image.Exif()
    exif[0x0112] = orientation
    Image.fromarray(pixels).save(path, exif=exif)
    return path


def test_a_pixel_stands_in_the_middle_of_the_square_about_it(tmp_path: Path) -> None:
    """Half a side of 2.5 px about the centre of one pixel holds 5 x 5 px; enlarged 20 times, its 20 x 20 are white."""
    found = cut_out(photo(tmp_path / "a.png"), [(20.0, 10.0, 2.5)], 100)
    assert not isinstance(found, Refusal)
    square = found[0]
    assert square.shape == (100, 100, 4)
    rows, columns = np.nonzero(square[:, :, 0] > 170)
    assert abs(rows.mean() - 49.5) < 0.6 and abs(columns.mean() - 49.5) < 0.6
    assert 12 <= np.ptp(rows) + 1 <= 24


def test_what_lies_outside_the_photo_is_grey(tmp_path: Path) -> None:
    found = cut_out(photo(tmp_path / "a.png"), [(0.0, 0.0, 4.0), (20.0, 10.0, 4.0)], 40)
    assert not isinstance(found, Refusal)
    assert tuple(found[0][2, 2, :3]) == (128, 128, 128)
    assert abs(int(found[0][35, 35, 0]) - 90) <= 2
    assert len(found) == 2 and all(square.flags["C_CONTIGUOUS"] for square in found)


def test_the_square_is_cut_upright(tmp_path: Path) -> None:
    """Exif orientation 6: stored column 20, row 10 of 40 rows stands at x = 40 - 1 - 10 = 29, y = 20."""
    found = cut_out(photo(tmp_path / "a.jpg", 6), [(29.0, 20.0, 2.5)], 50)
    assert not isinstance(found, Refusal)
    square = found[0][:, :, 0].astype(int)
    assert square[25, 25] > square[2, 2] + 20


def test_a_file_that_is_no_photo_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("no photo")
    assert isinstance(cut_out(tmp_path / "a.txt", [(0.0, 0.0, 4.0)], 40), Refusal)
