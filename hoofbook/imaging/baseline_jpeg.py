"""A photo as a plain upright baseline JPEG, which is what a DICOM file takes in: one picture and nothing about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from hoofbook.imaging import cv2
from hoofbook.imaging.covered import cover
from hoofbook.imaging.only_pixels import only_pixels
from hoofbook.imaging.pixels import open_upright, read_facts
from hoofbook.imaging.primary_picture import jpeg_parts
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects.photos import CoverBox

QUALITY = 95
_TABLES = frozenset((0xC4, 0xDB, 0xDD))  # Huffman and quantisation tables, restart interval
_BASELINE, _SCAN, _JFIF, _ADOBE = 0xC0, 0xDA, 0xE0, 0xEE
_RED_GREEN_BLUE = (ord("R"), ord("G"), ord("B"))


@dataclass(frozen=True, slots=True)
class BaselineJpeg:
    """`data` of a picture of `width` x `height` px. `as_taken`: its coded pixels are those of the photo's own file."""

    data: bytes
    width: int
    height: int
    grey: bool
    as_taken: bool


def baseline_jpeg(path: Path, covered: Sequence[CoverBox] = ()) -> BaselineJpeg:
    """The photo without Exif, place, serial number or any other segment its picture does not need.

    A baseline JPEG that stands upright, has the usual colours and nothing to hide keeps its coded pixels to the last
    bit. Anything else is decoded, turned upright, in sRGB, the boxes `covered` filled, and written anew at full size.

    Raises:
        Refused: what `pixels.read_facts` and `open_upright` refuse.
    """
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        raise Refused(facts)
    usual = not facts.profile_name or "srgb" in facts.profile_name.lower()
    if facts.format in ("JPEG", "MPO") and facts.orientation == 1 and usual and not covered:
        kept = _kept(path.read_bytes())
        if kept is not None:
            return BaselineJpeg(kept[0], facts.width, facts.height, grey=kept[1], as_taken=True)
    picture = open_upright(path)
    if isinstance(picture, Refusal):
        raise Refused(picture)
    options = [cv2.IMWRITE_JPEG_QUALITY, QUALITY]
    options += [cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_422]
    done, data = cv2.imencode(".jpg", cover(picture, covered), options)
    if not done:
        raise RuntimeError("OpenCV could not encode a JPEG")
    return BaselineJpeg(data.tobytes(), picture.shape[1], picture.shape[0], grey=False, as_taken=False)


def _kept(data: bytes) -> tuple[bytes, bool] | None:
    """What the picture needs of a JPEG, and whether it is grey; None where it is not a plain baseline one.

    Segments by ITU-T T.81, annex B; components named R, G, B or an Adobe segment say that its colours are not the
    usual ones (JFIF 1.02; Adobe Technical Note 5116, from memory).
    """
    kept, samples = [b"\xff\xd8"], 0
    for marker, body in jpeg_parts(data):
        if marker == _ADOBE or (0xC0 < marker <= 0xCF and marker not in _TABLES):
            return None
        if marker == _JFIF and body.startswith(b"JFIF\0") and len(kept) == 1:
            kept.append(_segment(marker, body[:12] + b"\0\0"))
        elif marker == _BASELINE:
            samples = body[5]
            if body[0] != 8 or samples not in (1, 3) or tuple(body[6::3][:3]) == _RED_GREEN_BLUE:
                return None
            kept.append(_segment(marker, body))
        elif marker in _TABLES:
            kept.append(_segment(marker, body))
        elif marker == _SCAN:
            kept.append(b"\xff\xda" + body)
    done = b"".join(kept) + b"\xff\xd9"
    return (done, samples == 1) if samples and only_pixels(done) else None


def _segment(marker: int, body: bytes) -> bytes:
    return b"\xff" + bytes((marker,)) + (len(body) + 2).to_bytes(2, "big") + body
