"""The one picture of a photo's file and nothing else, to be handed on: no place, serial number, maker's notes, second
picture, depth map, film behind the end, or small old picture.

A JPEG keeps its compressed pixels to the last bit: its segments are gone through (ITU-T T.81, annex B) and only those
kept that the picture needs, with its colour profile; how it is turned and when it was taken are written anew (Exif
2.32, tags 0x0112, 0x9003, 0x9011). Everything else is decoded and written again at full size, so marks still fit.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from pathlib import Path

from PIL import Image

from hoofbook.imaging import cv2
from hoofbook.imaging.covered import cover
from hoofbook.imaging.pixels import PhotoFacts, Pixels, open_upright, read_facts
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects.photos import CoverBox

QUALITY = 95
_BLOCK = 8  # px: a JPEG without colour subsampling is made of squares of this side
_END, _SCAN = 0xD9, 0xDA
_NOT_HERE = frozenset((0x00, 0x01, *range(0xD0, 0xD9), 0xDE, 0xDF))  # no segments, or of pictures in several sizes
_TABLES = frozenset((0xC4, 0xCC, 0xDB, 0xDC, 0xDD))  # Huffman, arithmetic, quantisation, number of lines, restart
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_JFIF, _PROFILE, _ADOBE = b"JFIF\0", b"ICC_PROFILE\0", b"Adobe"
_PLAIN_JFIF, _ADOBE_LENGTH = 14, 12  # bytes without a small picture; bytes that say how colours are coded


def primary_picture(path: Path, covered: Sequence[CoverBox] = ()) -> tuple[bytes, str]:
    """Bytes and suffix (".jpg", ".png") of the picture alone, in the same upright frame as the original.

    An ordinary JPEG keeps its pixels and profile; one with `covered` boxes is written again as JPEG of high quality,
    like a HEIC, and PNG and TIFF as PNG: these come out upright, in sRGB. A box is one flat colour; in a JPEG it grows
    to whole squares of 8 px, since a square that were half covered would not stay flat.

    Raises:
        Refused: what `pixels.read_facts` and `open_upright` refuse.
    """
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        raise Refused(facts)
    if facts.format in ("JPEG", "MPO") and not covered:
        stripped = stripped_jpeg(path.read_bytes(), _tags(facts, facts.orientation))
        if stripped is not None:
            return stripped, ".jpg"
    return _written_again(path, facts, covered)


def stripped_jpeg(data: bytes, exif: bytes) -> bytes | None:
    """The first picture of a JPEG with `exif` (an APP1 payload) as its only facts; None where its parts are not as
    the standard has them, or it does not end."""
    start, kept = b"\xff\xd8", [_segment(0xE1, exif)]
    for marker, body in jpeg_parts(data):
        if marker == _END:
            return start + b"".join(kept) + b"\xff\xd9"
        if marker == 0xE0 and body.startswith(_JFIF) and len(body) >= _PLAIN_JFIF:
            start = b"\xff\xd8" + _segment(marker, body[: _PLAIN_JFIF - 2] + b"\0\0")
        elif marker == 0xEE and body.startswith(_ADOBE):
            kept.append(_segment(marker, body[:_ADOBE_LENGTH]))
        elif marker in _TABLES or marker in _FRAMES or (marker == 0xE2 and body.startswith(_PROFILE)):
            kept.append(_segment(marker, body))
        elif marker == _SCAN:
            kept.append(b"\xff\xda" + body)
    return None


def jpeg_parts(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Marker and payload of every segment up to the first end; of a scan its header and its coded data together.

    Stops early where something else than a marker stands, so that no end comes.
    """
    at = 2 if data.startswith(b"\xff\xd8") else len(data)
    while at + 2 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:  # filling
            at += 1
            continue
        if marker == _END:
            yield marker, b""
            return
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        stop = at + 2 + length
        if length < 2 or stop > len(data) or marker in _NOT_HERE:
            return
        if marker == _SCAN:
            stop = _after_scan(data, stop)
            yield marker, data[at + 2 : stop]
        else:
            yield marker, data[at + 4 : stop]
        at = stop


def _after_scan(data: bytes, at: int) -> int:
    """Where the marker stands that ends the coded data: FF that is not followed by 00 or a restart (B.1.1.5)."""
    while True:
        at = data.find(b"\xff", at)
        if at < 0 or at + 1 >= len(data):
            return len(data)
        follows = data[at + 1]
        if follows != 0x00 and not 0xD0 <= follows <= 0xD7:
            return at
        at += 2


def _segment(marker: int, body: bytes) -> bytes:
    return b"\xff" + bytes((marker,)) + (len(body) + 2).to_bytes(2, "big") + body


def _tags(facts: PhotoFacts, orientation: int) -> bytes:
    """How the picture is turned and when it was taken, as an Exif block."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    if facts.local_time:
        detail = exif.get_ifd(0x8769)
        detail[0x9003] = facts.local_time[:19].replace("-", ":").replace("T", " ")
        if facts.utc_offset_minutes is not None:
            hours, minutes = divmod(abs(facts.utc_offset_minutes), 60)
            detail[0x9011] = f"{'-' if facts.utc_offset_minutes < 0 else '+'}{hours:02d}:{minutes:02d}"
    return exif.tobytes()


def _written_again(path: Path, facts: PhotoFacts, covered: Sequence[CoverBox]) -> tuple[bytes, str]:
    upright = open_upright(path)
    if isinstance(upright, Refusal):
        raise Refused(upright)
    out, exif = io.BytesIO(), _tags(facts, 1)
    if facts.format in ("PNG", "TIFF"):
        _picture(cover(upright, covered)).save(out, "PNG", exif=exif)
        return out.getvalue(), ".png"
    height, width = upright.shape[:2]
    hidden = cover(upright, [_whole_squares(box, width, height) for box in covered])
    _picture(hidden).save(out, "JPEG", quality=QUALITY, subsampling=0, exif=exif)
    return out.getvalue(), ".jpg"


def _picture(bgr: Pixels) -> Image.Image:
    return Image.fromarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2RGB))


def _whole_squares(box: CoverBox, width: int, height: int) -> CoverBox:
    left, right = sorted((box[0], box[2]))
    top, low = sorted((box[1], box[3]))
    x0, x1 = _grown(left, right, width)
    y0, y1 = _grown(top, low, height)
    return x0, y0, x1, y1


def _grown(first: float, last: float, side: int) -> tuple[float, float]:
    """Shares of the outermost pixels' middles of all squares that the stretch touches."""
    start = int(min(max(first, 0.0), 1.0) * side) // _BLOCK * _BLOCK
    stop = int(min(max(last, 0.0), 1.0) * side) // _BLOCK * _BLOCK + _BLOCK
    return (min(start, side - 1) + 0.5) / side, (min(stop, side) - 0.5) / side
