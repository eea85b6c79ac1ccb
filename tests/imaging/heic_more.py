"""Makes a HEIC that holds more than its picture: a second picture, a place and serial number in Exif, and XMP.

The boxes are put together as ISO/IEC 14496-12 (iinf, infe, iloc, iref) and ISO/IEC 23008-12 (ipma) have them, from
memory; that it is read as such is checked with libheif and ExifTool by the tests that use it.
"""

from __future__ import annotations

import struct
from pathlib import Path

from PIL import Image

SECRET = b"SECRETPLACE"


def with_more(source: Path, out: Path) -> Path:
    """`source` is one of the small files beside this module: item 1 is its picture, item 2 its Exif."""
    data = source.read_bytes()
    kind, meta, _ = (box for _, box in _boxes_named(data))
    parts = dict(_boxes_named(meta[12:]))
    picture = _content(data, parts[b"iloc"], 1)
    added = [picture, b"\0\0\0\6" + _exif(), picture, b"<x:xmpmeta>" + SECRET + b"</x:xmpmeta>"]
    parts[b"iinf"] = _iinf(parts[b"iinf"])
    parts[b"iprp"] = _iprp(parts[b"iprp"])
    parts[b"iref"] = _iref()
    start = 0
    for _ in range(2):  # the length of iloc does not hang on the places in it: the second time they are right
        parts[b"iloc"] = _iloc(start, [len(item) for item in added])
        inner = meta[8:12] + b"".join(parts.values())
        start = len(kind) + 8 + len(inner) + 8
    out.write_bytes(kind + _box(b"meta", inner) + _box(b"mdat", b"".join(added)) + _box(b"free", SECRET))
    return out


def _exif() -> bytes:
    exif = Image.Exif()
    exif[0x010F] = SECRET.decode()
    exif.get_ifd(0x8769)[0xA431] = SECRET.decode()  # BodySerialNumber
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 1.0, 2.0), 3: "W", 4: (1.0, 2.0, 3.0)})
    return exif.tobytes()


def _boxes_named(data: bytes) -> list[tuple[bytes, bytes]]:
    found, at = [], 0
    while at < len(data):
        (length,) = struct.unpack_from(">I", data, at)
        found.append((data[at + 4 : at + 8], data[at : at + length]))
        at += length
    return found


def _box(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", 8 + len(content)) + name + content


def _content(data: bytes, iloc: bytes, item: int) -> bytes:
    """Of an iloc of version 0 with 4-byte numbers and one stretch an item, as these small files have it."""
    count = struct.unpack_from(">H", iloc, 14)[0]
    for place in range(count):
        key, _, base, _, offset, length = struct.unpack_from(">HHIHII", iloc, 16 + 18 * place)
        if key == item:
            return data[base + offset : base + offset + length]
    raise LookupError(item)


def _iloc(start: int, lengths: list[int]) -> bytes:
    rows = []
    for item, length in enumerate(lengths, 1):
        rows.append(struct.pack(">HHIHII", item, 0, start, 1, 0, length))
        start += length
    return _box(b"iloc", b"\0\0\0\0\x44\x40" + struct.pack(">H", len(lengths)) + b"".join(rows))


def _iinf(old: bytes) -> bytes:
    second = _box(b"infe", b"\2\0\0\0" + struct.pack(">HH", 3, 0) + b"hvc1\0")
    xmp = _box(b"infe", b"\2\0\0\0" + struct.pack(">HH", 4, 0) + b"mime\0application/rdf+xml\0")
    return _box(b"iinf", old[8:12] + struct.pack(">H", 4) + old[14:] + second + xmp)


def _iprp(old: bytes) -> bytes:
    """The second picture has the properties of the first."""
    done = b""
    for name, box in _boxes_named(old[8:]):
        first = box[16:]
        both = box[8:12] + struct.pack(">I", 2) + first + struct.pack(">H", 3) + first[2:]
        done += _box(b"ipma", both) if name == b"ipma" else box
    return _box(b"iprp", done)


def _iref() -> bytes:
    exif = _box(b"cdsc", struct.pack(">HHH", 2, 1, 1))
    xmp = _box(b"cdsc", struct.pack(">HHH", 4, 1, 1))
    return _box(b"iref", b"\0\0\0\0" + exif + xmp)
