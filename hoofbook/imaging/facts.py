"""What a photo's file says of itself: kind, size, date, lens, software; read from its header alone.

Tags are those of the Exif standard (JEITA CP-3451 / CIPA DC-008); the names beside the numbers are the standard's.
"""

from __future__ import annotations

import io
import re
import struct
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from PIL import Image, ImageCms

from hoofbook.terms.refusal import Refusal

LARGEST_MEGAPIXELS = 200.0
SUFFIXES = {"JPEG": ".jpg", "MPO": ".jpg", "PNG": ".png", "TIFF": ".tif", "HEIF": ".heic"}
# What Pillow and its parsers raise on files that are not what they seem.
BROKEN = (
    OSError,
    ValueError,
    SyntaxError,
    LookupError,
    TypeError,
    ArithmeticError,
    struct.error,
    RuntimeError,
    EOFError,
)
_STARTS = (
    (b"\xff\xd8\xff", "JPEG"),
    (b"\x89PNG\r\n\x1a\n", "PNG"),
    (b"II*\x00", "TIFF"),
    (b"MM\x00*", "TIFF"),
    (b"GIF8", "GIF"),
    (b"BM", "BMP"),
    (b"\xff\x0a", "JPEG XL"),
    (b"\x00\x00\x00\x0cJXL ", "JPEG XL"),
    (b"FUJIFILM", "raw"),
)
_READ = ("JPEG", "PNG", "TIFF", "HEIF")
_WARNINGS = threading.Lock()
_HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1")
_RIGHT_SHAPED = re.compile(r"^(\d{4}):(\d\d):(\d\d)[ T](\d\d):(\d\d):(\d\d)")

# Our own limit of LARGEST_MEGAPIXELS is looked at before any pixel is read; Pillow's warns of ordinary phones.
Image.MAX_IMAGE_PIXELS = None


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """Facts of one photo file. `width`, `height` are of the upright picture in px.

    `orientation` is the Exif value still to be applied to the decoded pixels (1 where the decoder turns them itself).
    `local_time` is the camera's own clock in ISO form without a zone ("" = unknown), `taken_at` the same in UTC where
    the offset was written too. `focal_35mm` is Exif FocalLengthIn35mmFilm, `digital_zoom` DigitalZoomRatio,
    `custom_rendered` CustomRendered (0 normal), `exif_size` the size that the camera noted when it wrote the pixels.
    """

    format: str
    suffix: str
    width: int
    height: int
    orientation: int = 1
    local_time: str = ""
    utc_offset_minutes: int | None = None
    taken_at: datetime | None = None
    focal_mm: float | None = None
    focal_35mm: float | None = None
    camera: str = ""
    lens: str = ""
    software: str = ""
    digital_zoom: float | None = None
    custom_rendered: int = 0
    exif_size: tuple[int, int] | None = None
    profile_name: str = ""
    frames: int = 1

    @property
    def has_lens_tags(self) -> bool:
        return self.focal_mm is not None or self.focal_35mm is not None or bool(self.lens)


def read_facts(path: Path) -> PhotoFacts | Refusal:
    """Facts from the header of the file, without decoding a pixel.

    Refusals: `file_missing`, `not_a_photo` (empty, text, or something else), `photo_kind_unknown` (a picture of a kind
    we do not read; fact `kind`), `photo_too_large` (fact `megapixels`), `photo_truncated`, `photo_unreadable`.
    """
    with open_picture(path) as opened:
        if isinstance(opened, Refusal):
            return opened
        try:
            with quiet():
                return _facts(opened)
        except BROKEN:
            return Refusal("photo_unreadable", {"file": path.name})


@contextmanager
def quiet() -> Iterator[None]:
    """Damaged tags make Pillow warn; the photo is judged by what could be read, so nobody needs to hear it."""
    with _WARNINGS, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


@contextmanager
def open_picture(path: Path) -> Iterator[Image.Image | Refusal]:
    """The file opened by Pillow with its first frame chosen and its size checked, or why it cannot be."""
    kind = _kind(path)
    if isinstance(kind, Refusal):
        yield kind
        return
    if kind == "HEIF":
        register_heif()
    try:
        with quiet():
            picture = Image.open(path, formats=(kind,))
    except BROKEN as error:
        yield _broken(path, error)
        return
    with picture:
        megapixels = picture.width * picture.height / 1e6
        if megapixels > LARGEST_MEGAPIXELS:
            yield Refusal("photo_too_large", {"file": path.name, "megapixels": round(megapixels)})
        else:
            yield picture


def register_heif() -> None:
    import pi_heif

    pi_heif.register_heif_opener()


def _broken(path: Path, error: Exception) -> Refusal:
    words = str(error).lower()
    cut = any(word in words for word in ("truncated", "not enough", "unexpected end", "eof"))
    return Refusal("photo_truncated" if cut else "photo_unreadable", {"file": path.name})


def _kind(path: Path) -> str | Refusal:
    """Kind by the first bytes; the given name says nothing."""
    try:
        with path.open("rb") as file:
            head = file.read(512)
    except OSError as error:
        there = path.is_file() and not isinstance(error, FileNotFoundError)
        return Refusal("photo_unreadable" if there else "file_missing", {"file": path.name})
    kind = next((kind for start, kind in _STARTS if head.startswith(start)), "")
    if head[4:8] == b"ftyp":
        kind = (
            "HEIF"
            if any(brand in head[8:64] for brand in _HEIF_BRANDS)
            else "AVIF"
            if b"avif" in head[8:64]
            else "video"
        )
    elif head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        kind = "WebP"
    if not kind:
        return Refusal("not_a_photo", {"file": path.name, "empty": not head})
    return kind if kind in _READ else Refusal("photo_kind_unknown", {"file": path.name, "kind": kind})


def _facts(picture: Image.Image) -> PhotoFacts:
    exif = picture.getexif()
    detail = exif.get_ifd(0x8769)
    turned_already = picture.format in ("HEIF", "TIFF")  # both decoders hand the pixels out upright
    orientation = 1 if turned_already else _orientation(exif.get(0x0112))
    width, height = picture.size
    if orientation >= 5:
        width, height = height, width
    local, offset = _time(detail)
    return PhotoFacts(
        format=picture.format or "",
        suffix=SUFFIXES[picture.format or ""],
        width=width,
        height=height,
        orientation=orientation,
        local_time=local.isoformat() if local else "",
        utc_offset_minutes=offset,
        taken_at=_utc(local, offset),
        focal_mm=_number(detail.get(0x920A)),  # FocalLength
        focal_35mm=_number(detail.get(0xA405)),  # FocalLengthIn35mmFilm
        camera=_camera(_text(exif.get(0x010F)), _text(exif.get(0x0110))),  # Make, Model
        lens=_text(detail.get(0xA434)),  # LensModel
        software=_text(exif.get(0x0131)),
        digital_zoom=_number(detail.get(0xA404)),
        custom_rendered=int(_number(detail.get(0xA401)) or 0),
        exif_size=_size(detail.get(0xA002), detail.get(0xA003)),  # PixelXDimension, PixelYDimension
        profile_name=profile_name(picture.info.get("icc_profile")),
        frames=int(getattr(picture, "n_frames", 1)),
    )


def _orientation(value: Any) -> int:
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _text(value: Any) -> str:
    if isinstance(value, bytes):
        value = value.decode("utf-8", "replace")
    return "" if value is None else str(value).split("\0")[0].strip()


def _number(value: Any) -> float | None:
    """A positive finite number, or None (0 stands for "unknown" in the Exif tags used here)."""
    try:
        number = float(value)
    except BROKEN:
        return None
    return number if 0 < number < 1e6 else None


def _size(width: Any, height: Any) -> tuple[int, int] | None:
    across, down = _number(width), _number(height)
    return (int(across), int(down)) if across and down else None


def _camera(make: str, model: str) -> str:
    return model if model.lower().startswith(make.lower()) else f"{make} {model}".strip()


def _time(detail: Any) -> tuple[datetime | None, int | None]:
    """DateTimeOriginal, else DateTimeDigitized, with its own offset. DateTime is not used: editors rewrite it."""
    for when, zone in ((0x9003, 0x9011), (0x9004, 0x9012)):
        found = _RIGHT_SHAPED.match(_text(detail.get(when)))
        if found:
            try:
                year, month, day, hour, minute, second = (int(part) for part in found.groups())
                return datetime(year, month, day, hour, minute, second), _offset(_text(detail.get(zone)))
            except ValueError:
                continue
    return None, None


def _offset(text: str) -> int | None:
    found = re.match(r"^([+-])(\d\d):?(\d\d)$", text)
    if text == "Z":
        return 0
    if not found:
        return None
    minutes = int(found.group(2)) * 60 + int(found.group(3))
    return (-minutes if found.group(1) == "-" else minutes) if minutes <= 14 * 60 else None


def _utc(local: datetime | None, offset: int | None) -> datetime | None:
    if local is None or offset is None:
        return None
    return local.replace(tzinfo=timezone(timedelta(minutes=offset))).astimezone(UTC)


def profile_name(profile: bytes | None) -> str:
    """The colour profile's own description ("" = none, or not readable)."""
    if not profile:
        return ""
    try:
        return ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(profile))).strip()
    except (*BROKEN, ImageCms.PyCMSError):
        return ""
