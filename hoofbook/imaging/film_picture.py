"""Pictures of what a vet gave: pixel values of a DICOM file as a screen shows them, pages, and a plain sheet.

For looking only: nothing here is measured. The grey of a film goes through the tables of DICOM PS3.3 C.7.6.3 and
C.11: stored value, rescaled (C.11.1), windowed (C.11.2), then black to white, or white to black for MONOCHROME1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.lossless_jpeg import lossless_jpeg
from hoofbook.imaging.paint_pixels import paint
from hoofbook.imaging.pixels import Pixels
from hoofbook.terms.drawing import Anchor, Drawing, Line, Role, Text

QUALITY = 92
SHEET = (560, 720)  # px
_LETTERS, _LINE, _WIDEST = 26.0, 38.0, 32  # px of the plain sheet; letters in a line
_RGB = ("RGB", "YBR_RCT", "YBR_ICT")  # the decoder of JPEG 2000 has turned its own colours back
_YBR = ("YBR_FULL", "YBR_FULL_422")


@dataclass(frozen=True, slots=True)
class Table:
    """A look-up table: the first stored value it is for, the bits of its own values, and those (low byte first)."""

    first: int
    bits: int
    words: bytes


@dataclass(frozen=True, slots=True)
class RawPicture:
    """One frame as a DICOM file holds it, unpacked but not changed; names as in PS3.3.

    `data` holds rows x columns x samples values of `bits_allocated`, low `bits_stored` of them in use; `planar` = one
    sample's whole plane after the other. `window` is centre and width in rescaled values, `shape` the VOI LUT function.
    `padding` is the stored value that stands where there is no picture. `stretch` is height over width of one pixel.
    `is_lossless_jpeg`: `data` is still packed so.
    """

    data: bytes
    rows: int
    columns: int
    samples: int = 1
    bits_allocated: int = 8
    bits_stored: int = 8
    signed: bool = False
    big_endian: bool = False
    planar: bool = False
    photometric: str = "MONOCHROME2"
    slope: float = 1.0
    intercept: float = 0.0
    window: tuple[float, float] | None = None
    shape: str = "LINEAR"
    rescaled_by: Table | None = None
    windowed_by: Table | None = None
    palette: tuple[Table, Table, Table] | None = None
    padding: int | None = None
    stretch: float = 1.0
    is_lossless_jpeg: bool = False


def film_picture(raw: RawPicture) -> Pixels | None:
    """(h, w) grey or (h, w, 3) BGR, uint8; None for colours or sizes that are not read here."""
    values = _stored(raw)
    if values is None:
        return None
    if raw.photometric in ("MONOCHROME1", "MONOCHROME2") and raw.samples == 1:
        picture = _grey(raw, values[..., 0])
    elif raw.photometric == "PALETTE COLOR" and raw.palette is not None:
        picture = np.stack([_looked_up(table, values[..., 0]) for table in reversed(raw.palette)], axis=-1)
    elif raw.samples == 3 and raw.photometric in (*_RGB, *_YBR):
        picture = _colour(raw, values)
    else:
        return None
    tall = round(raw.rows * raw.stretch)
    if tall != raw.rows and tall > 0:
        picture = np.asarray(cv2.resize(picture, (raw.columns, tall), interpolation=cv2.INTER_AREA), np.uint8)
    return np.ascontiguousarray(picture)


def film_jpeg(raw: RawPicture, longest: int) -> bytes | None:
    """The same as JPEG bytes, its longer side at most `longest` px."""
    picture = film_picture(raw)
    return None if picture is None else _jpeg(picture, longest)


def smaller_jpeg(picture: bytes, longest: int) -> bytes:
    """A picture of ours (JPEG, PNG) as JPEG bytes, grey where it is grey, its longer side at most `longest` px."""
    decoded = cv2.imdecode(np.frombuffer(picture, np.uint8), cv2.IMREAD_UNCHANGED)
    pixels = np.asarray(decoded, np.uint8)
    return _jpeg(pixels[..., :3] if pixels.ndim == 3 else pixels, longest)


def plain_sheet(lines: Sequence[str]) -> bytes:
    """JPEG of an empty sheet with a few lines of words, for what cannot be shown."""
    wide, tall = SHEET
    told = [part for line in lines for part in _broken(line)]
    top = tall / 2 - (len(told) - 1) * _LINE / 2
    edge = ((1.0, 1.0), (wide - 1.0, 1.0), (wide - 1.0, tall - 1.0), (1.0, tall - 1.0), (1.0, 1.0))
    words = (
        Text((wide / 2, top + place * _LINE), line, _LETTERS, Role.SOFT_INK, Anchor.MIDDLE)
        for place, line in enumerate(told)
    )
    drawn = Drawing(wide, tall, (Line(edge, Role.LINE, 2.0), *words))
    return _jpeg(paint(drawn, np.full((tall, wide, 3), 255, np.uint8)), max(SHEET))


def _broken(line: str) -> list[str]:
    """The line in pieces that the sheet has room for, broken between words where there are any."""
    pieces: list[str] = []
    for word in line.split():
        parts = [word[at : at + _WIDEST] for at in range(0, len(word), _WIDEST)]
        if pieces and len(pieces[-1]) + len(parts[0]) < _WIDEST:
            parts[0] = f"{pieces.pop()} {parts[0]}"
        pieces += parts
    return pieces


def _stored(raw: RawPicture) -> NDArray[Any] | None:
    """(rows, columns, samples) whole numbers; YBR_FULL_422 that lies unpacked is filled up to one colour a pixel."""
    if raw.bits_allocated not in (8, 16, 32) or not 0 < raw.bits_stored <= raw.bits_allocated:
        return None
    if raw.is_lossless_jpeg:
        unpacked = lossless_jpeg(raw.data, (raw.rows, raw.columns))
        if unpacked is None or raw.bits_allocated > 16 or raw.samples != 1:
            return None
        data = unpacked.astype("<u2" if raw.bits_allocated == 16 else "u1").tobytes()
        return _stored(replace(raw, data=data, is_lossless_jpeg=False))
    kind = np.dtype(f"{'>' if raw.big_endian else '<'}{'i' if raw.signed else 'u'}{raw.bits_allocated // 8}")
    pixels, held = raw.rows * raw.columns, len(raw.data) // kind.itemsize
    values = np.frombuffer(raw.data, kind, min(held, pixels * raw.samples)).astype(kind.newbyteorder("="))
    if raw.photometric == "YBR_FULL_422" and pixels * 2 <= held < pixels * 3:
        values = _filled_up(values[: pixels * 2])
    if values.size != pixels * raw.samples:
        return None
    spare = raw.bits_allocated - raw.bits_stored
    if spare:  # what lies above the stored bits may be anything (old overlays)
        values = (values << spare) >> spare
    if raw.planar and raw.samples > 1:
        return values.reshape(raw.samples, raw.rows, raw.columns).transpose(1, 2, 0)
    return values.reshape(raw.rows, raw.columns, raw.samples)


def _filled_up(values: NDArray[Any]) -> NDArray[Any]:
    """Y1 Y2 CB CR for two pixels (PS3.3 C.7.6.3.1.2) as Y CB CR for each."""
    pairs = values.reshape(-1, 4)
    both = np.repeat(pairs[:, None, 2:], 2, axis=1)
    return np.concatenate([pairs[:, :2, None], both], axis=2).ravel()


def _grey(raw: RawPicture, stored: NDArray[Any]) -> Pixels:
    values = stored.astype(np.float32)
    if raw.rescaled_by is not None:
        values = _words(raw.rescaled_by)[_places(raw.rescaled_by, stored)].astype(np.float32)
    else:
        values = values * np.float32(raw.slope) + np.float32(raw.intercept)
    if raw.windowed_by is not None:
        grey = _looked_up(raw.windowed_by, np.rint(values).astype(np.int64)).astype(np.float32)
    elif raw.window is not None and raw.window[1] > 0:
        grey = _windowed(values, raw.window, raw.shape)
    else:
        grey = _stretched(values, None if raw.padding is None else stored != raw.padding)
    if raw.photometric == "MONOCHROME1":
        grey = 255 - grey
    return np.rint(grey).astype(np.uint8)


def _windowed(values: NDArray[Any], window: tuple[float, float], shape: str) -> NDArray[Any]:
    """0 to 255, by the functions of PS3.3 C.11.2.1.2 and C.11.2.1.3."""
    centre, width = window
    if shape == "SIGMOID":
        return 255 / (1 + np.exp(np.clip(-4 * (values - centre) / width, -80, 80)))
    if shape == "LINEAR_EXACT":
        return 255 * np.clip((values - centre) / width + 0.5, 0, 1)
    if width <= 1:
        return 255 * (values > centre - 0.5).astype(np.float32)
    return 255 * np.clip((values - (centre - 0.5)) / (width - 1) + 0.5, 0, 1)


def _stretched(values: NDArray[Any], inside: NDArray[np.bool_] | None) -> NDArray[Any]:
    """Without any window: from the darkest to the lightest value there is."""
    seen = values if inside is None or not inside.any() else values[inside]
    low, high = float(seen.min()), float(seen.max())
    if high <= low:
        return np.full_like(values, 127)
    return np.asarray(255 * np.clip((values - low) / (high - low), 0, 1))


def _looked_up(table: Table, stored: NDArray[Any]) -> Pixels:
    """Values of the table, of 8 bits."""
    found = _words(table)[_places(table, stored)].astype(np.float32)
    return np.asarray(np.rint(found * (255 / (2**table.bits - 1))).clip(0, 255), np.uint8)


def _words(table: Table) -> NDArray[np.uint16]:
    return np.frombuffer(table.words, "<u2")


def _places(table: Table, stored: NDArray[Any]) -> NDArray[np.int64]:
    """Values before the table's first take its first entry, those behind its end the last (C.11.1.1)."""
    return np.clip(stored.astype(np.int64) - table.first, 0, len(table.words) // 2 - 1)


def _colour(raw: RawPicture, values: NDArray[Any]) -> Pixels:
    eight = values if raw.bits_stored == 8 else values >> max(0, raw.bits_stored - 8)
    plain = np.ascontiguousarray(eight.astype(np.uint8))
    if raw.photometric in _YBR:
        return np.asarray(cv2.cvtColor(plain[..., (0, 2, 1)], cv2.COLOR_YCrCb2BGR), np.uint8)
    return np.ascontiguousarray(plain[..., ::-1])


def _jpeg(picture: Pixels, longest: int) -> bytes:
    scale = longest / max(picture.shape[:2])
    if scale < 1:
        size = (max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale)))
        picture = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
    done, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
    if not done:
        raise RuntimeError("OpenCV could not encode a JPEG")
    return data.tobytes()
