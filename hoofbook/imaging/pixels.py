"""Pixels of a photo: decoded, turned upright exactly once, colours as sRGB.

Buffers are numpy uint8: BGR (h, w, 3), grey (h, w), or BGRX (h, w, 4), whose rows are what `QImage.Format_RGB32`
reads on little-endian machines. Frame *photo*: upright picture, centre of the top left pixel is (0, 0).
JPEG and PNG are decoded by OpenCV (fastest), TIFF and HEIC by Pillow, whose decoders hand them out upright.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageCms

from hoofbook.imaging import cv2
from hoofbook.imaging.facts import BROKEN, PhotoFacts, open_picture, profile_name, quiet, read_facts
from hoofbook.terms.refusal import Refusal

Pixels = NDArray[np.uint8]
__all__ = [
    "PhotoFacts",
    "Pixels",
    "embedded_thumbnail",
    "full_picture",
    "open_grey",
    "open_upright",
    "pyramid",
    "read_facts",
    "screen_picture",
]
_SMALLEST_LEVEL = 400  # px: a pyramid's top that fills no window any more
_STRIP = 128  # rows of the upright picture: a megabyte or two of a phone's photo
_REDUCED = {
    1: (cv2.IMREAD_COLOR_BGR, cv2.IMREAD_GRAYSCALE),
    2: (cv2.IMREAD_REDUCED_COLOR_2, cv2.IMREAD_REDUCED_GRAYSCALE_2),
    4: (cv2.IMREAD_REDUCED_COLOR_4, cv2.IMREAD_REDUCED_GRAYSCALE_4),
    8: (cv2.IMREAD_REDUCED_COLOR_8, cv2.IMREAD_REDUCED_GRAYSCALE_8),
}


def open_upright(path: Path, longest: int | None = None) -> Pixels | Refusal:
    """(h, w, 3) BGR, sRGB, upright; reduced so that the longer side is at most `longest`. Refusals as `read_facts`."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    size = _fitted(facts, longest, longest) if longest else (facts.width, facts.height)
    return _at_size(path, facts, size)


def open_grey(path: Path) -> Pixels | Refusal:
    """(h, w) grey levels at full size, upright, as stored (no colour profile applied): for measuring."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    grey = _decode(path, facts, 1, grey=True)
    return grey if isinstance(grey, Refusal) else _turned(grey, facts.orientation)


def screen_picture(path: Path, width: int, height: int) -> Pixels | Refusal:
    """(h, w, 4) BGRX, upright, fitted into width x height px, never enlarged; decoded at reduced size."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    picture = _at_size(path, facts, _fitted(facts, width, height), quick=True)
    return picture if isinstance(picture, Refusal) else _with_fourth(picture)


def full_picture(path: Path) -> Pixels | Refusal:
    """(h, w, 4) BGRX of the whole picture, upright."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    stored = _decode(path, facts, 1, grey=False)
    return stored if isinstance(stored, Refusal) else _turned_with_fourth(stored, facts.orientation)


def pyramid(picture: Pixels) -> list[Pixels]:
    """The picture and its halves down to a few hundred px; level 0 is the same buffer, not a copy."""
    levels = [picture]
    while max(levels[-1].shape[:2]) >= 2 * _SMALLEST_LEVEL:
        height, width = levels[-1].shape[:2]
        half = cv2.resize(levels[-1], (max(1, width // 2), max(1, height // 2)), interpolation=cv2.INTER_AREA)
        levels.append(np.asarray(half, np.uint8))
    return levels


def embedded_thumbnail(path: Path) -> Pixels | None:
    """(h, w, 3) BGR of the small picture inside the file's Exif, upright; for a first glance only, it may be stale."""
    with open_picture(path) as opened:
        if isinstance(opened, Refusal) or opened.format not in ("JPEG", "MPO"):
            return None
        with quiet():
            raw = _thumbnail_bytes(opened)
            orientation = opened.getexif().get(0x0112, 1)
    if not raw:
        return None
    small = cv2.imdecode(np.frombuffer(raw, np.uint8), cv2.IMREAD_COLOR_BGR | cv2.IMREAD_IGNORE_ORIENTATION)
    return None if small is None else _turned(np.asarray(small, np.uint8), orientation)


def _thumbnail_bytes(picture: Image.Image) -> bytes:
    """IFD 1 of the Exif block: JPEGInterchangeFormat (offset from the TIFF header) and its length."""
    block = picture.info.get("exif", b"")
    try:
        second = picture.getexif().get_ifd(ExifTags.IFD.IFD1)
        start, length = int(second.get(0x0201, 0)), int(second.get(0x0202, 0))
    except BROKEN:
        return b""
    tiff = block[6:] if block.startswith(b"Exif\0\0") else block
    raw = bytes(tiff[start : start + length])
    return raw if start and raw.startswith(b"\xff\xd8") else b""


def _fitted(facts: PhotoFacts, width: int, height: int) -> tuple[int, int]:
    scale = min(1.0, width / facts.width, height / facts.height)
    return max(1, round(facts.width * scale)), max(1, round(facts.height * scale))


def _at_size(path: Path, facts: PhotoFacts, size: tuple[int, int], *, quick: bool = False) -> Pixels | Refusal:
    """BGR, upright, of exactly `size`: decoded at the least of 1, 1/2, 1/4, 1/8 that is not smaller, then resized."""
    reduce = 8 if facts.format in ("JPEG", "MPO") else 1
    while reduce > 1 and (-(-facts.width // reduce) < size[0] or -(-facts.height // reduce) < size[1]):
        reduce //= 2
    picture = _decode(path, facts, reduce, grey=False)
    if isinstance(picture, Refusal):
        return picture
    wanted = size if facts.orientation < 5 else size[::-1]
    if wanted != (picture.shape[1], picture.shape[0]):
        # By area is cleaner but takes as long as half the decoding; under a factor of 2 nothing is skipped either way.
        linear = quick and picture.shape[1] < 2 * wanted[0]
        way = cv2.INTER_LINEAR if linear else cv2.INTER_AREA
        picture = np.asarray(cv2.resize(picture, wanted, interpolation=way), np.uint8)
    return _turned(picture, facts.orientation)


def _decode(path: Path, facts: PhotoFacts, reduce: int, *, grey: bool) -> Pixels | Refusal:
    """Decoded but not yet turned; colours as sRGB unless grey."""
    try:
        if facts.format in ("TIFF", "HEIF"):
            return _by_pillow(path, grey=grey)
        return _by_opencv(path, facts, reduce, grey=grey)
    except MemoryError:
        return Refusal("photo_too_large", {"file": path.name, "megapixels": round(facts.width * facts.height / 1e6)})
    except FileNotFoundError:
        return Refusal("file_missing", {"file": path.name})
    except BROKEN as error:
        cut = any(word in str(error).lower() for word in ("truncated", "unexpected end", "not enough", "eof"))
        return Refusal("photo_truncated" if cut else "photo_unreadable", {"file": path.name})


def _by_opencv(path: Path, facts: PhotoFacts, reduce: int, *, grey: bool) -> Pixels | Refusal:
    data = path.read_bytes()
    if _is_cut(data, facts.format):
        return Refusal("photo_truncated", {"file": path.name})
    picture = cv2.imdecode(np.frombuffer(data, np.uint8), _REDUCED[reduce][grey] | cv2.IMREAD_IGNORE_ORIENTATION)
    if picture is None:
        return Refusal("photo_unreadable", {"file": path.name})
    pixels = np.asarray(picture, np.uint8)
    if grey or not facts.profile_name or "srgb" in facts.profile_name.lower():
        return pixels
    with open_picture(path) as opened:
        profile = None if isinstance(opened, Refusal) else opened.info.get("icc_profile")
    return _as_srgb(pixels, profile)


def _is_cut(raw: bytes, kind: str) -> bool:
    """OpenCV fills a cut file up with grey and says nothing, so the end is looked for first.

    In a JPEG's scan FF is always followed by 00 or a restart marker (ITU-T T.81, B.1.1.5): the first FF D9 after the
    start of scan is the end of the picture. A PNG ends with its IEND chunk.
    """
    if kind == "PNG":
        return b"IEND" not in raw[-4096:]
    at = 2
    while at + 4 <= len(raw) and raw[at] == 0xFF:
        if raw[at + 1] == 0xDA:
            return raw.find(b"\xff\xd9", at) < 0
        at += 1 if raw[at + 1] == 0xFF else 2 + int.from_bytes(raw[at + 2 : at + 4], "big")
    return True


def _by_pillow(path: Path, *, grey: bool) -> Pixels | Refusal:
    with open_picture(path) as opened:
        if isinstance(opened, Refusal):
            return opened
        profile = opened.info.get("icc_profile")
        with quiet():
            opened.load()
            plain = _eight_bits(opened)
        if grey:
            return np.array(plain.convert("L"), np.uint8)
        rgb = np.asarray(plain.convert("RGB"), np.uint8)
    bgr = np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2BGR), np.uint8)
    return _as_srgb(bgr, profile) if "srgb" not in profile_name(profile).lower() else bgr


def _eight_bits(picture: Image.Image) -> Image.Image:
    """Grey pictures of 16 or 32 bits scaled to 8; transparency laid on white."""
    if picture.mode.startswith(("I", "F")):
        levels = np.asarray(picture, np.float64)
        top = 65535.0 if picture.mode.startswith("I") else max(float(levels.max()), 1e-9)
        return Image.fromarray(np.clip(levels * (255 / top), 0, 255).round().astype(np.uint8))
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        white = Image.new("RGBA", picture.size, (255, 255, 255, 255))
        white.alpha_composite(picture.convert("RGBA"))
        return white.convert("RGB")
    return picture


def _as_srgb(bgr: Pixels, profile: bytes | None) -> Pixels:
    """Colours of another RGB profile (Display P3 of phones) turned to sRGB for showing; unreadable ones are left."""
    if not profile:
        return bgr
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if source.profile.xcolor_space.strip() != "RGB":
            return bgr
        transform = ImageCms.buildTransform(source, ImageCms.createProfile("sRGB"), "RGB", "RGB")
        picture = Image.fromarray(np.asarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2RGB), np.uint8))
        ImageCms.applyTransform(picture, transform, inPlace=True)
    except (*BROKEN, ImageCms.PyCMSError):
        return bgr
    return np.asarray(cv2.cvtColor(np.asarray(picture), cv2.COLOR_RGB2BGR), np.uint8)


def _turned(picture: Pixels, orientation: int) -> Pixels:
    """The stored picture as its Exif orientation wants it seen (Exif 2.32, tag Orientation, values 1 to 8)."""
    if orientation == 2:
        turned = cv2.flip(picture, 1)
    elif orientation == 3:
        turned = cv2.rotate(picture, cv2.ROTATE_180)
    elif orientation == 4:
        turned = cv2.flip(picture, 0)
    elif orientation == 5:
        turned = cv2.transpose(picture)
    elif orientation == 6:
        turned = cv2.rotate(picture, cv2.ROTATE_90_CLOCKWISE)
    elif orientation == 7:
        turned = cv2.rotate(cv2.transpose(picture), cv2.ROTATE_180)
    elif orientation == 8:
        turned = cv2.rotate(picture, cv2.ROTATE_90_COUNTERCLOCKWISE)
    else:
        return picture
    return np.asarray(turned, np.uint8)


def _turned_with_fourth(bgr: Pixels, orientation: int) -> Pixels:
    """BGRX and upright in one go, in strips that stay in the processor's cache: no third picture is held."""
    if orientation == 1:
        return _with_fourth(bgr)
    sideways = orientation >= 5
    height, width = bgr.shape[1::-1] if sideways else bgr.shape[:2]
    done = np.empty((height, width, 4), np.uint8)
    for start in range(0, height, _STRIP):
        part = bgr[:, start : start + _STRIP] if sideways else bgr[start : start + _STRIP]
        rows = min(_STRIP, height - start)
        top = height - start - rows if orientation in (3, 4, 7, 8) else start
        cv2.cvtColor(_turned(part, orientation), cv2.COLOR_BGR2BGRA, dst=done[top : top + rows])
    return done


def _with_fourth(bgr: Pixels) -> Pixels:
    return np.asarray(cv2.cvtColor(bgr, cv2.COLOR_BGR2BGRA), np.uint8)
