"""Previews and thumbnails: upright JPEGs in screen colours that carry no metadata at all."""

from __future__ import annotations

from pathlib import Path

from hoofbook.imaging import cv2
from hoofbook.imaging.pixels import Pixels, open_upright
from hoofbook.terms.refusal import Refusal

PREVIEW_PX = 2016
THUMBNAIL_PX = 720
_QUALITY = 85


def make_preview(path: Path, longest: int = PREVIEW_PX) -> bytes | Refusal:
    """JPEG of the photo, its longer side at most `longest` px. Refusals as `pixels.read_facts`."""
    picture = open_upright(path, longest)
    return picture if isinstance(picture, Refusal) else as_jpeg(picture)


def make_thumbnail(path: Path, longest: int = THUMBNAIL_PX) -> bytes | Refusal:
    """The same, small; `path` may be the photo or its preview."""
    return make_preview(path, longest)


def as_jpeg(picture: Pixels, quality: int = _QUALITY) -> bytes:
    """JPEG bytes of (h, w, 3) BGR pixels: the picture alone, with no place, time, camera or embedded thumbnail."""
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, quality])
    if not done:
        raise RuntimeError("OpenCV could not encode a JPEG")
    return data.tobytes()
