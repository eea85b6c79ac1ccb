"""Photos that carry more than their one picture: a place, a serial number, a small old picture in the header, and
behind or beside the picture a film, a second picture, or further items. Each part has its own colour or words, so that
it can be looked for in whatever is made from the photo.

Header tags are written by ExifTool; a film behind the end of a JPEG is what phones write; the second picture of a JPEG
is the Multi-Picture Format (CIPA DC-007) as Pillow writes it; the HEIC (ISO/IEC 23008-12: a second picture and a small
one beside the primary item) was made once from `scene()` with pillow-heif 1.8.1, quality 60, and lies beside.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

Colour = tuple[int, int, int]
SIZE = (1600, 1200)
RING: Colour = (0, 255, 255)  # round the part to be covered, so that it can be found wherever the photo is laid
SECRET: Colour = (255, 0, 255)  # in the part to be covered
THUMBNAIL: Colour = (0, 255, 0)
SECOND: Colour = (255, 0, 0)  # the second picture of a JPEG
BESIDE: Colour = (255, 255, 0)  # the second picture of the HEIC
PLANTED = {"secret": SECRET, "thumbnail": THUMBNAIL, "second": SECOND, "beside": BESIDE}
COVERED = (0.55, 0.45, 0.80, 0.70)
RING_PX = 40
SERIAL, MAKER, FILM = "PLANTED-SERIAL-77", b"Demo maker of planted", b"PLANTED-FILM-IN-THE-TRAILER"
WORDS = (b"PLANTED", MAKER, b"ftypmp42", b"MPF\0")
HEIC = Path(__file__).parent / "heic" / "more" / "two_pictures.heic"


def scene() -> NDArray[np.uint8]:
    """(h, w, 3) RGB: mottled grey with a chequered secret in a ring."""
    y, x = np.mgrid[0 : SIZE[1], 0 : SIZE[0]]
    grey = 120 + 30 * np.sin(x / 61.0) * np.cos(y / 47.0) + 12 * np.sin((x + 2 * y) / 23.0)
    picture = np.repeat(grey[..., None], 3, axis=2).round().astype(np.uint8)
    left, top, right, low = (round(share * side) for share, side in zip(COVERED, SIZE * 2, strict=True))
    picture[top - RING_PX : low + RING_PX, left - RING_PX : right + RING_PX] = RING
    chequered = ((x // 20 + y // 20) % 2 == 0)[top:low, left:right, None]
    picture[top:low, left:right] = np.where(chequered, np.array(SECRET), 0)
    return picture


def with_film(path: Path, day: str) -> Path:
    """JPEG with a film behind its end."""
    Image.fromarray(scene()).save(path, quality=92, subsampling=0)
    _tagged(path, day)
    film = b"\x00\x00\x00\x18ftypmp42\x00\x00\x00\x00mp42isom" + FILM * 2000
    path.write_bytes(path.read_bytes() + film)
    return path


def with_second_picture(path: Path, day: str) -> Path:
    """JPEG with a second picture by its Multi-Picture index."""
    rough = np.zeros((SIZE[1], SIZE[0], 3), np.uint8)
    rough[..., 0] = np.random.default_rng(7).integers(
        230, 256, rough.shape[:2]
    )  # so that its bytes are like no other's
    second = Image.fromarray(rough)
    Image.fromarray(scene()).save(path, "MPO", save_all=True, append_images=[second], quality=92)
    return _tagged(path, day)


def with_more_items(path: Path, day: str) -> Path:
    """HEIC with a second picture and a small one beside its primary item."""
    path.write_bytes(HEIC.read_bytes())
    return _tagged(path, day)


def _tagged(path: Path, day: str) -> Path:
    small = path.with_name("small.jpg")
    Image.new("RGB", (160, 120), THUMBNAIL).save(small, quality=95, subsampling=0)
    tags = (
        f"-EXIF:Make={MAKER.decode()}",
        f"-EXIF:DateTimeOriginal={day.replace('-', ':')} 10:00:00",
        "-EXIF:GPSLatitude=51.5",
        "-EXIF:GPSLatitudeRef=N",
        "-EXIF:GPSLongitude=0.5",
        "-EXIF:GPSLongitudeRef=W",
        f"-EXIF:SerialNumber={SERIAL}",
        f"-EXIF:LensSerialNumber={SERIAL}",
        f"-EXIF:ThumbnailImage<={small}",
    )
    done = subprocess.run(["exiftool", "-q", "-overwrite_original", *tags, str(path)], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
    small.unlink()
    return path
