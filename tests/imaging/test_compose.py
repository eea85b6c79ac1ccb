"""The exported pair: one scale, nothing bent, dates and banner in the pixels, no metadata, no empty strips."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from hoofbook.imaging.compose import PairPicture, PictureSource, encode, then_and_now
from hoofbook.imaging.framing import window_shown
from hoofbook.terms.refusal import Refused

BACK = (60, 60, 60)
DOTS_MM = np.array([[10.0, 10.0], [90.0, 10.0], [90.0, 60.0], [10.0, 60.0]])


def photo(path: Path, scale: float, turn_deg: float, shift: tuple[float, float]) -> PictureSource:
    """A photo of four red dots at known millimetres; `to_mm` is the true similarity (worked out here, by hand)."""
    turn = np.radians(turn_deg)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]) / scale
    to_mm = np.column_stack([matrix, shift])
    y, x = np.mgrid[0:900, 0:1200]
    places = np.stack([x, y], axis=-1) @ matrix.T + shift
    picture = np.full((900, 1200, 3), BACK, np.uint8)
    for dot in DOTS_MM:
        picture[np.hypot(*(places - dot).transpose(2, 0, 1)) < 2.5] = (255, 0, 0)
    exif = Image.Exif()
    exif.get_ifd(0x8825)[0x0001] = "N"
    exif[0x0110] = "Demo phone"
    Image.fromarray(picture).save(path, quality=97, subsampling=0, exif=exif)
    return PictureSource(path, tuple(tuple(float(v) for v in row) for row in to_mm), ("14 Jan 2025", "left fore"))


@pytest.fixture
def pair(tmp_path: Path) -> PairPicture:
    then = photo(tmp_path / "then.jpg", 8.0, 3.0, (-20.0, -15.0))
    now = photo(tmp_path / "now.jpg", 6.5, -4.0, (-45.0, -30.0))
    return PairPicture(then, now, (0.0, 0.0, 100.0, 70.0), scale_bar_words="50 mm", size=(1600, 1000))


def dots(picture: np.ndarray, side: slice) -> np.ndarray:
    """Centres of the red dots in part of the picture, ordered as DOTS_MM."""
    part = picture[:, side].astype(int)
    red = (part[..., 2] > 180) & (part[..., 0] < 90) & (part[..., 1] < 90)
    rows, columns = np.nonzero(red)
    split_x, split_y = (columns.min() + columns.max()) / 2, (rows.min() + rows.max()) / 2
    centres = [
        (columns[where].mean(), rows[where].mean())
        for where in (
            (columns < split_x) & (rows < split_y),
            (columns > split_x) & (rows < split_y),
            (columns > split_x) & (rows > split_y),
            (columns < split_x) & (rows > split_y),
        )
    ]
    return np.array(centres)


def test_both_photos_stand_at_one_scale_and_nothing_is_bent(pair: PairPicture) -> None:
    bare = replace(pair, then=replace(pair.then, caption=()), now=replace(pair.now, caption=()))
    picture = then_and_now(bare)
    middle = picture.shape[1] // 2
    left, right = dots(picture, slice(0, middle)), dots(picture, slice(middle, None))
    np.testing.assert_allclose(left - left[0], right - right[0], atol=1.0)
    px_per_mm = np.linalg.norm(left[1] - left[0]) / 80.0
    np.testing.assert_allclose(left - left[0], (DOTS_MM - DOTS_MM[0]) * px_per_mm, atol=1.0)


def test_curtain_and_fade_lay_them_over_each_other(pair: PairPicture) -> None:
    bare = replace(pair, then=replace(pair.then, caption=()), now=replace(pair.now, caption=()))
    shown = [dots(then_and_now(replace(bare, layout="fade", at=at)), slice(None)) for at in (0.0, 1.0)]
    np.testing.assert_allclose(shown[0], shown[1], atol=1.0)
    curtain = then_and_now(replace(bare, layout="curtain", at=0.5))
    np.testing.assert_allclose(dots(curtain, slice(None)), shown[0], atol=1.0)


def test_the_scale_bar_is_as_long_as_it_says(pair: PairPicture) -> None:
    bare = replace(pair, layout="fade", at=0.0, scale_bar_words="")
    picture = then_and_now(bare)
    px_per_mm = np.linalg.norm(np.diff(dots(picture, slice(None))[:2], axis=0)) / 80.0
    white = (picture[picture.shape[0] // 2 :] > 240).all(axis=2)
    row = int(white.sum(axis=1).argmax())
    columns = np.flatnonzero(white[row])
    assert np.ptp(columns) == pytest.approx(50.0 * px_per_mm, abs=8)  # the line's own ends are 5 px wide
    without = then_and_now(replace(bare, scale_bar_mm=None))
    assert (without[without.shape[0] // 2 :] > 240).all(axis=2).sum() == 0


def test_a_banner_and_captions_are_in_the_pixels(pair: PairPicture) -> None:
    plain = then_and_now(pair)
    warned = then_and_now(replace(pair, banner="Same day: what you see is the trim itself"))
    assert (warned[:40] == 255).all(axis=2).mean() > 0.5
    assert (plain[:20] == 255).mean() == 0
    bare = then_and_now(replace(pair, then=replace(pair.then, caption=())))
    assert (bare != plain).any(axis=2).mean() > 0.01


@pytest.mark.parametrize("suffix", [".png", ".jpg"])
def test_the_file_carries_nothing_but_the_picture(pair: PairPicture, suffix: str) -> None:
    data = encode(then_and_now(pair), suffix)
    with Image.open(io.BytesIO(data)) as opened:
        assert not opened.getexif()
        assert not {"exif", "icc_profile", "xmp", "comment"} & set(opened.info)
    assert b"Demo phone" not in data
    assert encode(then_and_now(pair), suffix) == data


def test_no_empty_strip_stands_beside_the_photos(pair: PairPicture) -> None:
    upright = np.array([[0.1, 0.0, 0.0], [0.0, 0.1, 0.0]])  # 10 px per mm, origin at the corner: 120 x 90 mm
    window = window_shown((20.0, 20.0, 80.0, 60.0), 10.0, (3000, 3000), [(upright, (1200, 900))])
    assert window[0] == pytest.approx(0.0, abs=0.9)
    assert window[1] == pytest.approx(0.0, abs=0.9)
    assert window[2] == pytest.approx(120.0, abs=0.9)
    assert window[3] == pytest.approx(90.0, abs=0.9)
    beyond = window_shown((100.0, 20.0, 140.0, 60.0), 10.0, (3000, 3000), [(upright, (1200, 900))])
    assert beyond[2] == pytest.approx(140.0)  # what was asked for is always shown, empty or not


def test_a_missing_photo_is_refused(pair: PairPicture, tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        then_and_now(replace(pair, now=replace(pair.now, path=tmp_path / "gone.jpg")))
    assert caught.value.refusal.code == "file_missing"
