"""The one picture of a file and nothing else, looked into with tools that are not ours.

References: Pillow (libjpeg, libheif) for pixels, frames and profile; ExifTool for what else is in a file; the segments
of ITU-T T.81 and the orientations of Exif 2.32 as written down in test_pixels.
"""

from __future__ import annotations

import io
import json
import subprocess
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageCms, ImageOps

from hoofbook.imaging.pixels import open_grey, open_upright, read_facts
from hoofbook.imaging.primary_picture import primary_picture
from hoofbook.terms.refusal import Refused
from tests.imaging.heic_more import SECRET, with_more
from tests.imaging.test_pixels import ROW_AND_COLUMN, marked
from tests.imaging.test_pixels import write as write_turned

HEIC = Path(__file__).parent / "heic"
BOX = (0.3, 0.25, 0.55, 0.6)


def picture(seed: int = 4, size: tuple[int, int] = (173, 240)) -> Image.Image:
    """Noise and a slope: nothing in it is flat by itself."""
    rng = np.random.default_rng(seed)
    slope = np.linspace(0, 120, size[1])[None, :, None]
    return Image.fromarray((rng.integers(0, 130, (*size, 3)) + slope).astype(np.uint8))


def full_exif(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0x0110] = orientation, SECRET.decode(), SECRET.decode()
    detail = exif.get_ifd(0x8769)
    detail[0x9003], detail[0x9011] = "2025:01:14 09:30:05", "-03:30"
    detail[0xA431], detail[0xA435] = SECRET.decode(), SECRET.decode()  # serial numbers of body and lens
    detail[0x927C] = SECRET * 20  # MakerNote
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 1.0, 2.0), 3: "W", 4: (1.0, 2.0, 3.0)})
    return exif


def told(path: Path) -> dict[str, Any]:
    """Everything that ExifTool finds, unknown tags and second pictures too."""
    done = subprocess.run(
        ["exiftool", "-json", "-G1", "-a", "-u", "-U", "-ee3", str(path)], capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    (found,) = json.loads(done.stdout)
    return dict(found)


def assert_nothing_else(data: bytes, suffix: str, folder: Path) -> dict[str, Any]:
    path = folder / f"alone{suffix}"
    path.write_bytes(data)
    for sign in (SECRET, b"MPF", b"ftyp", b"http://ns.adobe.com", b"GPS", b"Photoshop"):
        assert sign not in data
    found = told(path)
    for name in found:
        for word in ("GPS", "Serial", "Thumbnail", "Maker", "Preview", "XMP", "MPF", "Trailer", "MPImage", "DepthMap"):
            assert word.lower() not in name.lower(), name
    with Image.open(path) as opened:
        assert getattr(opened, "n_frames", 1) == 1 and opened.format in ("JPEG", "PNG")
    return found


def with_everything(path: Path, **options: Any) -> Path:
    """A JPEG with Exif, a small old picture, XMP, IPTC, a comment, and another picture and a film behind its end."""
    held = io.BytesIO()
    picture().save(held, "JPEG", exif=full_exif(), comment=SECRET, **options)
    plain = held.getvalue()
    small = io.BytesIO()
    picture(5, (40, 60)).save(small, "JPEG")
    more = b""
    for marker, body in (
        (0xE1, b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta>" + SECRET),
        (0xE1, b"http://ns.adobe.com/xmp/extension/\0" + SECRET),
        (0xE0, b"JFXX\0\x10" + small.getvalue()),
        (0xED, b"Photoshop 3.0\x008BIM" + SECRET),
        (0xEB, SECRET),
        (0xFE, SECRET),
    ):
        more += b"\xff" + bytes((marker,)) + (len(body) + 2).to_bytes(2, "big") + body
    path.write_bytes(plain[:2] + more + plain[2:] + small.getvalue() + b"\0\0\0\x18ftypmp42" + SECRET + b"\1" * 5000)
    return path


@pytest.mark.parametrize("options", [{}, {"progressive": True}, {"restart_marker_rows": 1}, {"quality": 100}])
def test_a_jpeg_keeps_its_pixels_and_loses_all_else(tmp_path: Path, options: dict[str, Any]) -> None:
    path = with_everything(tmp_path / "all.jpg", **options)
    assert path.read_bytes().count(SECRET) > 10  # the check can fail
    data, suffix = primary_picture(path)
    assert suffix == ".jpg"
    found = assert_nothing_else(data, suffix, tmp_path)
    assert found["ExifIFD:DateTimeOriginal"] == "2025:01:14 09:30:05"
    assert found["ExifIFD:OffsetTimeOriginal"] == "-03:30"
    with Image.open(path) as before, Image.open(io.BytesIO(data)) as after:
        assert (np.asarray(before) == np.asarray(after)).all()
        assert before.size == after.size


@pytest.mark.parametrize("mode", ["L", "CMYK"])
def test_grey_and_four_inks_keep_their_pixels(tmp_path: Path, mode: str) -> None:
    """Four inks need the Adobe segment to be read right (Pillow turns the values round where it stands)."""
    path = tmp_path / "m.jpg"
    picture().convert(mode).save(path, "JPEG")
    data, _ = primary_picture(path)
    with Image.open(path) as before, Image.open(io.BytesIO(data)) as after:
        assert after.mode == mode and (np.asarray(before) == np.asarray(after)).all()


def test_colours_without_the_usual_transform_keep_their_pixels(tmp_path: Path) -> None:
    """RGB stored as it is: only the Adobe segment says so."""
    path = tmp_path / "rgb.jpg"
    picture().save(path, "JPEG", keep_rgb=True)
    data, _ = primary_picture(path)
    with Image.open(path) as before, Image.open(io.BytesIO(data)) as after:
        assert (np.asarray(before) == np.asarray(after)).all()


def test_the_colour_profile_stays(tmp_path: Path) -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes() + b"\0" * 70_000  # in two segments
    path = tmp_path / "p.jpg"
    picture().save(path, "JPEG", icc_profile=profile)
    data, _ = primary_picture(path)
    with Image.open(io.BytesIO(data)) as after:
        assert after.info["icc_profile"] == profile


@pytest.mark.parametrize("kind", ["JPEG", "MPO", "PNG", "TIFF"])
@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("covered", [(), ((0.45, 0.45, 0.55, 0.55),)])
def test_the_upright_frame_is_the_same(
    tmp_path: Path, kind: str, orientation: int, covered: tuple[tuple[float, float, float, float], ...]
) -> None:
    path = write_turned(tmp_path / "photo", orientation, kind)
    data, suffix = primary_picture(path, covered)
    out = tmp_path / f"out{suffix}"
    out.write_bytes(data)
    before, after = read_facts(path), read_facts(out)
    assert (after.width, after.height) == (before.width, before.height)  # type: ignore[union-attr]
    where = ROW_AND_COLUMN[orientation]
    expected = where if where[0] in ("top", "bottom") else where[::-1]
    for shown in (open_grey(out), open_upright(out)):
        assert isinstance(shown, np.ndarray)
        assert marked(shown) == expected
    with Image.open(io.BytesIO(data)) as opened:  # Pillow's own way of turning
        assert marked(np.asarray(ImageOps.exif_transpose(opened).convert("RGB"))) == expected


def test_a_second_picture_of_the_file_stays_behind(tmp_path: Path) -> None:
    path = tmp_path / "two.jpg"
    picture().save(path, "MPO", save_all=True, append_images=[picture(9)], exif=full_exif())
    with Image.open(path) as opened:
        assert opened.n_frames == 2  # type: ignore[attr-defined]
        first = np.asarray(opened)
    data, suffix = primary_picture(path)
    assert_nothing_else(data, suffix, tmp_path)
    with Image.open(io.BytesIO(data)) as after:
        assert (np.asarray(after) == first).all()
    assert len(data) < path.stat().st_size / 1.5


@pytest.mark.parametrize("orientation", [1, 6])
def test_a_heic_gives_its_first_picture_only(tmp_path: Path, orientation: int) -> None:
    path = with_more(HEIC / f"orientation{orientation}.heic", tmp_path / "more.heic")
    found = told(path)
    assert "GPS:GPSLatitude" in found and "ExifIFD:SerialNumber" in found  # the check can fail
    before = open_upright(path)
    with Image.open(path) as opened:
        assert opened.n_frames == 2  # type: ignore[attr-defined]
    data, suffix = primary_picture(path)
    assert suffix == ".jpg"
    assert_nothing_else(data, suffix, tmp_path)
    after = open_upright(tmp_path / "alone.jpg")
    assert isinstance(before, np.ndarray) and isinstance(after, np.ndarray)
    assert after.shape == before.shape
    assert np.abs(after.astype(int) - before).mean() < 2


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_png_and_tiff_are_written_again_without_loss(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "x"
    picture().save(path, kind, exif=full_exif())
    data, suffix = primary_picture(path)
    assert suffix == ".png"
    assert_nothing_else(data, suffix, tmp_path)
    with Image.open(path) as before, Image.open(io.BytesIO(data)) as after:
        assert (np.asarray(before.convert("RGB")) == np.asarray(after)).all()


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
@pytest.mark.parametrize("orientation", [1, 6, 8])
@pytest.mark.parametrize("box", [BOX, (0.9, 0.95, 1.0, 1.0), (0.0, 0.0, 0.03, 0.02)])
def test_a_covered_box_is_one_flat_colour(
    tmp_path: Path, kind: str, orientation: int, box: tuple[float, float, float, float]
) -> None:
    """Looked at with Pillow: every pixel of the box in the upright picture, and the rest hardly changed."""
    path = tmp_path / "photo"
    picture().save(path, kind, exif=full_exif(orientation), **({"quality": 95} if kind == "JPEG" else {}))
    data, suffix = primary_picture(path, (box,))
    assert_nothing_else(data, suffix, tmp_path)
    with Image.open(path) as opened:
        before = np.asarray(ImageOps.exif_transpose(opened).convert("RGB")).astype(int)
    with Image.open(io.BytesIO(data)) as opened:
        after = np.asarray(ImageOps.exif_transpose(opened).convert("RGB")).astype(int)
    assert after.shape == before.shape
    height, width = after.shape[:2]
    x0, y0 = int(box[0] * width), int(box[1] * height)
    x1, y1 = min(width, int(np.ceil(box[2] * width))), min(height, int(np.ceil(box[3] * height)))
    inside = after[y0:y1, x0:x1]
    assert inside.size and (inside == inside[0, 0]).all()
    rest = np.ones((height, width), bool)
    rest[max(0, y0 - 8) : y1 + 8, max(0, x0 - 8) : x1 + 8] = False
    assert np.abs(after - before)[rest].mean() < (3 if kind == "JPEG" else 1e-9)


def test_what_cannot_be_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.jpg"
    path.write_bytes(b"Dear Anna")
    with pytest.raises(Refused, match="not_a_photo"):
        primary_picture(path)
    picture().save(path, "JPEG")
    path.write_bytes(path.read_bytes()[:-400])
    with pytest.raises(Refused, match="photo_truncated"):
        primary_picture(path)
    with pytest.raises(Refused, match="file_missing"):
        primary_picture(tmp_path / "none.jpg")


def test_the_date_is_kept_without_a_zone_too(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 1
    exif.get_ifd(0x8769)[0x9003] = "2025:01:14 09:30:05"
    path = tmp_path / "x.png"
    picture().save(path, "PNG", exif=exif)
    data, suffix = primary_picture(path)
    (tmp_path / f"o{suffix}").write_bytes(data)
    facts = read_facts(tmp_path / f"o{suffix}")
    assert facts.local_time == "2025-01-14T09:30:05"  # type: ignore[union-attr]
    assert facts.taken_at is None  # type: ignore[union-attr]
    assert datetime(2025, 1, 14, 13, 0, 5, tzinfo=UTC) == zoned(tmp_path)


def zoned(folder: Path) -> datetime | None:
    """09:30:05 at -03:30 is 13:00:05 UTC."""
    path = folder / "z.jpg"
    picture().save(path, "JPEG", exif=full_exif())
    (folder / "zo.jpg").write_bytes(primary_picture(path)[0])
    facts = read_facts(folder / "zo.jpg")
    return facts.taken_at  # type: ignore[union-attr]
