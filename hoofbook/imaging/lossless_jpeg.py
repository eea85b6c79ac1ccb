"""Reads lossless JPEG (ITU-T T.81, annex H): how most X-ray machines pack their films, and what no library here reads.

One component, prediction from the left or from above (selection 1 or 2; nearly all files use the first), no restarts.
"""

from __future__ import annotations

import struct
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging.primary_picture import jpeg_parts

_LOSSLESS, _HUFFMAN, _RESTART, _SCAN = 0xC3, 0xC4, 0xDD, 0xDA
MOST = 40_000_000  # values: twice a large film; half a minute
_LOOK = 16  # bits looked at once: the longest code
_DAMAGED = (IndexError, ValueError, KeyError, struct.error)


def lossless_jpeg(data: bytes, shape: tuple[int, int]) -> NDArray[np.uint16] | None:
    """(rows, columns) of values; None where it is damaged, of another `shape`, or packed in a way not read here."""
    tables: dict[int, tuple[list[int], list[int]]] = {}
    frame: tuple[int, int, int] | None = None
    try:
        for marker, body in jpeg_parts(data):
            if marker == _LOSSLESS:
                precision, rows, columns, components = struct.unpack(">BHHB", body[:6])
                fits = components == 1 and 2 <= precision <= 16 and (rows, columns) == shape and rows * columns <= MOST
                frame = (precision, rows, columns) if fits else None
            elif marker == _HUFFMAN:
                tables |= _tables(body)
            elif marker == _RESTART and body[:2] != b"\0\0":
                return None
            elif marker == _SCAN:
                return None if frame is None else _scan(body, frame, tables)
    except _DAMAGED:
        return None
    return None


def _tables(body: bytes) -> dict[int, tuple[list[int], list[int]]]:
    """Per table: by the next 16 bits how many of them make the code, and what it stands for (annex C, F.2.2.3)."""
    found, at = {}, 0
    while at < len(body):
        counts = body[at + 1 : at + 17]
        values = body[at + 17 : at + 17 + sum(counts)]
        lengths, meanings, code, place = [0] * (1 << _LOOK), [0] * (1 << _LOOK), 0, 0
        for length, count in enumerate(counts, start=1):
            for _ in range(count):
                first, last = code << (_LOOK - length), (code + 1) << (_LOOK - length)
                lengths[first:last] = [length] * (last - first)
                meanings[first:last] = [values[place]] * (last - first)
                code, place = code + 1, place + 1
            code <<= 1
        found[body[at] & 15] = (lengths, meanings)
        at += 17 + len(values)
    return found


def _scan(
    body: bytes, frame: tuple[int, int, int], tables: dict[int, tuple[list[int], list[int]]]
) -> NDArray[np.uint16] | None:
    """`body` holds the scan's header behind its length (B.2.3), then the coded differences."""
    precision, rows, columns = frame
    header = struct.unpack(">H", body[:2])[0]
    selection, point = body[header - 3], body[header - 1] & 15
    if body[2] != 1 or selection not in (1, 2):
        return None
    differences = _differences(body[header:], rows * columns, *tables[body[4] >> 4])
    if differences is None:
        return None
    steps = differences.reshape(rows, columns)
    steps[0, 0] += 1 << (precision - point - 1)
    if selection == 1:
        steps[:, 0] = np.cumsum(steps[:, 0])
        values = np.cumsum(steps, axis=1)
    else:
        steps[0] = np.cumsum(steps[0])
        values = np.cumsum(steps, axis=0)
    return np.asarray((values << point) & 0xFFFF, np.uint16)


def _differences(coded: bytes, count: int, lengths: list[int], meanings: list[int]) -> NDArray[Any] | None:
    """The differences in order (H.1.2.2): a code tells how many bits follow, those tell sign and size."""
    plain = coded.replace(b"\xff\x00", b"\xff")
    padded = plain + bytes(8 + -len(plain) % 4)
    words = struct.unpack(f">{len(padded) // 4}I", padded)
    steps, values = _at_once(lengths, meanings)
    found, bits, kept, word = [0] * count, 0, 0, 0
    for place in range(count):
        if kept <= 32:
            bits, kept, word = ((bits & ((1 << kept) - 1)) << 32) | words[word], kept + 32, word + 1
        look = (bits >> (kept - _LOOK)) & 0xFFFF
        if steps[look]:
            kept -= steps[look]
            found[place] = values[look]
            continue
        kept -= lengths[look] + meanings[look] % 16
        if not lengths[look]:
            return None
        size = meanings[look]
        value = (bits >> kept) & ((1 << size) - 1)
        found[place] = 32768 if size == 16 else value if value >> (size - 1) else value - (1 << size) + 1
    return np.array(found, np.int64) if word * 32 - kept <= len(plain) * 8 else None


def _at_once(lengths: list[int], meanings: list[int]) -> tuple[list[int], list[int]]:
    """Where a code and its difference fit into the bits that are looked at: how many they are, and the difference."""
    code, size = np.array(lengths), np.array(meanings)
    both = np.where((code > 0) & (size < 16) & (code + size <= _LOOK), code + size, 0)
    extra = (np.arange(1 << _LOOK) >> (_LOOK - both)) & ((1 << size) - 1)
    negative = (size > 0) & (extra >> np.maximum(size - 1, 0) == 0)
    return both.tolist(), np.where(negative, extra - (1 << size) + 1, extra).tolist()
