"""Opening photos: one marked pixel through every orientation and format, tags, profiles, and files that are not right.

The eight orientations are those of the Exif standard (CIPA DC-008, tag 0x0112): where the stored row 0 and column 0 are
seen. The table below is written from the standard's wording, not from the code.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms, ImageOps

from hoofbook.imaging.pixels import (
    PhotoFacts,
    embedded_thumbnail,
    full_picture,
    open_grey,
    open_upright,
    pyramid,
    read_facts,
    screen_picture,
)
from hoofbook.terms.refusal import Refusal

WIDTH, HEIGHT = 64, 48
# orientation: (where the stored 0th row is seen, where the stored 0th column is seen)
ROW_AND_COLUMN = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored(blocks: int = 8) -> np.ndarray:
    """A dark picture whose stored row 0 and column 0 corner is marked by a white block."""
    picture = np.full((HEIGHT, WIDTH, 3), 40, np.uint8)
    picture[:blocks, :blocks] = 250
    return picture


def write(path: Path, orientation: int, kind: str) -> Path:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = Image.fromarray(stored())
    if kind == "MPO":
        second = Image.fromarray(np.full((HEIGHT, WIDTH, 3), 200, np.uint8))
        picture.save(path, "MPO", save_all=True, append_images=[second], exif=exif, quality=95)
    elif kind == "TIFF":
        picture.save(path, "TIFF", tiffinfo={0x0112: orientation})
    else:
        picture.save(path, kind, exif=exif, **({"quality": 95} if kind == "JPEG" else {}))
    return path


def marked(picture: np.ndarray) -> tuple[str, str]:
    """(top or bottom, left or right) of the white block."""
    grey = picture[..., :3].mean(axis=2) if picture.ndim == 3 else picture
    rows, columns = np.nonzero(grey > 150)
    height, width = grey.shape
    return ("top" if rows.mean() < height / 2 else "bottom", "left" if columns.mean() < width / 2 else "right")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "MPO"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_marked_pixel_is_turned_exactly_once(tmp_path: Path, orientation: int, kind: str) -> None:
    path = write(tmp_path / "photo", orientation, kind)
    where = ROW_AND_COLUMN[orientation]
    expected = where if where[0] in ("top", "bottom") else where[::-1]
    size = (HEIGHT, WIDTH) if orientation < 5 else (WIDTH, HEIGHT)
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert (facts.height, facts.width) == size
    for picture in (open_upright(path), open_grey(path), full_picture(path), screen_picture(path, 32, 32)):
        assert isinstance(picture, np.ndarray)
        assert marked(picture) == expected
        assert (picture.shape[0] > picture.shape[1]) == (size[0] > size[1])
    assert np.asarray(open_upright(path)).shape[:2] == size


@pytest.mark.parametrize("name", sorted(p.name for p in (Path(__file__).parent / "heic").glob("*.heic")))
def test_heic_is_not_turned_a_second_time(name: str) -> None:
    path = Path(__file__).parent / "heic" / name
    orientation = int(path.stem[-1])
    where = ROW_AND_COLUMN[orientation]
    picture = open_upright(path)
    assert isinstance(picture, np.ndarray)
    assert marked(picture) == (where if where[0] in ("top", "bottom") else where[::-1])
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert (facts.suffix, facts.width, facts.height) == (".heic", picture.shape[1], picture.shape[0])


def test_tags_are_read_as_the_camera_wrote_them(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0131] = "Invented", "Invented One", "Camera 1.2"
    detail = exif.get_ifd(0x8769)
    detail[0x9003], detail[0x9011] = "2025:01:14 09:30:05", "+01:00"
    detail[0x920A], detail[0xA405], detail[0xA434] = 5.43, 26, "back lens 5.43mm"
    detail[0xA404], detail[0xA401], detail[0xA002], detail[0xA003] = 2.0, 1, 4032, 3024
    path = tmp_path / "a.jpg"
    Image.fromarray(stored()).save(path, exif=exif)
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert facts.local_time == "2025-01-14T09:30:05"
    assert facts.utc_offset_minutes == 60
    assert facts.taken_at == datetime(2025, 1, 14, 8, 30, 5, tzinfo=UTC)
    assert (facts.focal_mm, facts.focal_35mm, facts.lens) == (pytest.approx(5.43), 26.0, "back lens 5.43mm")
    assert (facts.camera, facts.software) == ("Invented One", "Camera 1.2")
    assert (facts.digital_zoom, facts.custom_rendered, facts.exif_size) == (2.0, 1, (4032, 3024))
    assert facts.has_lens_tags


def test_a_photo_without_tags_is_a_photo(tmp_path: Path) -> None:
    path = tmp_path / "named.png"
    Image.fromarray(stored()).save(path, "JPEG")
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert (facts.suffix, facts.local_time, facts.taken_at, facts.focal_35mm) == (".jpg", "", None, None)


@pytest.mark.parametrize("text", ["2025:13:40 99:00:00", "0000:00:00 00:00:00", "    :  :     :  :  ", "yesterday"])
def test_an_impossible_date_is_no_date(tmp_path: Path, text: str) -> None:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = text
    path = tmp_path / "a.jpg"
    Image.fromarray(stored()).save(path, exif=exif)
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert facts.local_time == ""


def code(outcome: object) -> str:
    assert isinstance(outcome, Refusal), outcome
    return outcome.code


def big_photo() -> bytes:
    rng = np.random.default_rng(1)
    held = io.BytesIO()
    Image.fromarray(rng.integers(0, 255, (300, 400, 3), dtype=np.uint8)).save(held, "JPEG")
    return held.getvalue()


def test_what_is_no_photo_is_refused_and_never_raises(tmp_path: Path) -> None:
    path = tmp_path / "x.jpg"
    assert code(read_facts(path)) == "file_missing"
    assert code(read_facts(tmp_path)) == "file_missing"
    for content, expected in {
        b"": "not_a_photo",
        b"Dear Anna, the shoes are ready.\n": "not_a_photo",
        b"\xff\xd8\xff\xe0" + b"\0" * 40: "photo_unreadable",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 40: "photo_unreadable",
        b"GIF89a" + b"\0" * 40: "photo_kind_unknown",
        b"RIFF\0\0\0\0WEBPVP8 " + b"\0" * 40: "photo_kind_unknown",
        b"\0\0\0\x18ftypheic" + b"\0" * 60: "photo_unreadable",
    }.items():
        path.write_bytes(content)
        for read in (read_facts, open_upright, open_grey, full_picture):
            assert code(read(path)) == expected, content[:12]
        assert embedded_thumbnail(path) is None


@pytest.mark.parametrize("share", [0.3, 0.6, 0.95, 0.999])
def test_a_cut_photo_is_told_and_not_shown_half_grey(tmp_path: Path, share: float) -> None:
    whole = big_photo()
    path = tmp_path / "cut.jpg"
    path.write_bytes(whole[: int(len(whole) * share)])
    for read in (open_upright, open_grey, full_picture):
        assert code(read(path)) == "photo_truncated"
    assert code(screen_picture(path, 100, 100)) == "photo_truncated"
    path.write_bytes(whole + b"trailer of some phones")
    assert isinstance(open_upright(path), np.ndarray)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_other_kinds_cut_short_are_refused(tmp_path: Path, kind: str) -> None:
    held = io.BytesIO()
    rng = np.random.default_rng(2)
    picture = Image.fromarray(rng.integers(0, 255, (200, 300, 3), dtype=np.uint8))
    picture.save(held, kind, **({"compression": "tiff_adobe_deflate"} if kind == "TIFF" else {}))
    path = tmp_path / "cut"
    path.write_bytes(held.getvalue()[: len(held.getvalue()) // 2])
    assert code(open_upright(path)) in ("photo_truncated", "photo_unreadable")


def test_a_gigantic_picture_is_refused_before_a_pixel_is_read(tmp_path: Path) -> None:
    path = tmp_path / "giant.png"
    Image.new("1", (20_000, 15_000)).save(path)
    started = time.process_time()
    refusal = read_facts(path)
    assert code(refusal) == code(full_picture(path)) == "photo_too_large"
    assert isinstance(refusal, Refusal)
    assert refusal.facts["megapixels"] == 300
    assert time.process_time() - started < 0.5


def test_another_profile_is_turned_to_srgb_for_showing_only(tmp_path: Path) -> None:
    """Reference: Pillow's own LittleCMS conversion with a profile made to have red and blue swapped primaries."""
    picture = np.zeros((40, 40, 3), np.uint8)
    picture[:] = (200, 120, 40)
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    # a wider red: the red primary's colorant in the profile is swapped with the blue one
    red, blue = lab.find(b"rXYZ"), lab.find(b"bXYZ")
    swapped = bytearray(lab)
    swapped[red : red + 4], swapped[blue : blue + 4] = b"bXYZ", b"rXYZ"
    named = bytes(swapped).replace("sRGB".encode("utf-16-be"), "other".encode("utf-16-be")[:8])
    path = tmp_path / "wide.png"
    Image.fromarray(picture).save(path, icc_profile=named)
    facts = read_facts(path)
    assert isinstance(facts, PhotoFacts)
    assert facts.profile_name
    assert "srgb" not in facts.profile_name.lower()
    shown = open_upright(path)
    assert isinstance(shown, np.ndarray)
    assert tuple(shown[0, 0]) == pytest.approx((200, 120, 40), abs=2)  # BGR: red and blue really changed places
    plain = tmp_path / "plain.png"
    Image.fromarray(picture).save(plain)
    assert np.array_equal(np.asarray(open_grey(path)), np.asarray(open_grey(plain)))


def test_buffers_are_what_qimage_wants(tmp_path: Path) -> None:
    path = write(tmp_path / "a.jpg", 6, "JPEG")
    picture = full_picture(path)
    assert isinstance(picture, np.ndarray)
    assert picture.dtype == np.uint8
    assert picture.shape == (WIDTH, HEIGHT, 4)
    assert picture.flags.c_contiguous
    assert picture[0, -1, :3].min() > 150


def test_the_pyramid_halves_and_keeps_the_first_buffer() -> None:
    picture = np.zeros((3024, 4032, 4), np.uint8)
    levels = pyramid(picture)
    assert levels[0] is picture
    assert [level.shape[:2] for level in levels[1:]] == [(1512, 2016), (756, 1008), (378, 504)]


def test_the_small_picture_inside_is_found_and_turned(tmp_path: Path) -> None:
    small = io.BytesIO()
    Image.fromarray(stored()).resize((32, 24)).save(small, "JPEG", quality=95)
    tiff_after = 8 + 2 + 12 + 4 + 2 + 3 * 12 + 4
    ifd0 = b"\x00\x01" + bytes.fromhex("0112000300000001") + b"\x00\x06\x00\x00" + (26).to_bytes(4, "big")
    entries = (
        bytes.fromhex("0103000300000001") + b"\x00\x06\x00\x00"
        + bytes.fromhex("0201000400000001") + tiff_after.to_bytes(4, "big")
        + bytes.fromhex("0202000400000001") + len(small.getvalue()).to_bytes(4, "big")
    )  # fmt: skip
    block = b"MM\x00*\x00\x00\x00\x08" + ifd0 + b"\x00\x03" + entries + b"\0\0\0\0" + small.getvalue()
    path = tmp_path / "a.jpg"
    Image.fromarray(stored()).save(path, exif=b"Exif\0\0" + block)
    found = embedded_thumbnail(path)
    assert found is not None
    assert found.shape[:2] == (32, 24)
    assert marked(found) == ("top", "right")


def test_importing_leaves_the_environment_alone() -> None:
    code_ = "import os; before = dict(os.environ); import hoofbook.imaging; assert dict(os.environ) == before"
    for extra in ({}, {"QT_QPA_PLATFORM_PLUGIN_PATH": "/somewhere", "QT_QPA_FONTDIR": "/else"}):
        subprocess.run([sys.executable, "-c", code_], check=True, env={**os.environ, **extra}, timeout=60)


def test_the_header_is_read_in_a_few_milliseconds(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    rng = np.random.default_rng(3)
    Image.fromarray(rng.integers(0, 255, (1500, 2000, 3), dtype=np.uint8)).save(path, quality=95)
    times = []
    for _ in range(9):
        started = time.process_time()
        assert isinstance(read_facts(path), PhotoFacts)
        times.append(time.process_time() - started)
    assert min(times) < 0.005


@pytest.mark.parametrize("orientation", range(1, 9))
def test_turning_in_strips_is_turning(tmp_path: Path, orientation: int) -> None:
    """A picture of several strips: the same pixels as Pillow's own exif_transpose gives."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    rng = np.random.default_rng(orientation)
    path = tmp_path / "a.png"
    Image.fromarray(rng.integers(0, 255, (300, 413, 3), dtype=np.uint8)).save(path, exif=exif)
    with Image.open(path) as opened:
        expected = np.asarray(ImageOps.exif_transpose(opened))[..., ::-1]
    picture = full_picture(path)
    assert isinstance(picture, np.ndarray)
    assert np.array_equal(picture[..., :3], expected)
    assert np.array_equal(np.asarray(open_upright(path)), expected)
