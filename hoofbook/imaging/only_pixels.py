"""Proof, from the bytes of a finished picture, that it holds one picture and nothing about where it came from."""

from __future__ import annotations

_PNG = b"\x89PNG\r\n\x1a\n"
_GIF = b"GIF89a"
_PNG_CHUNKS = {b"IHDR", b"IDAT", b"IEND", b"PLTE"}
_JPEG_TABLES = {0xC0, 0xC1, 0xC2, 0xC4, 0xDB, 0xDD}  # frames, Huffman and quantisation tables, restart interval


def only_pixels(data: bytes) -> bool:
    """Whether the JPEG (ITU-T T.81, annex B) or PNG (ISO/IEC 15948) holds only what its one picture needs: no Exif,
    XMP, profile, comment, small or second picture, and nothing behind its end. A GIF (version 89a) may hold frames,
    how long each is shown and how often it goes round, and nothing else."""
    if data.startswith(_PNG):
        return _png(data)
    if data.startswith(_GIF):
        return _gif(data)
    return data.startswith(b"\xff\xd8") and _jpeg(data)


def _png(data: bytes) -> bool:
    at = len(_PNG)
    while at + 12 <= len(data):
        kind = data[at + 4 : at + 8]
        if kind not in _PNG_CHUNKS:
            return False
        at += 12 + int.from_bytes(data[at : at + 4], "big")
        if kind == b"IEND":
            return at == len(data)
    return False


def _jpeg(data: bytes) -> bool:
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == 0xDA:
            return _scan_ends_it(data, at + 2 + length)
        plain_start = marker == 0xE0 and data[at + 4 : at + 9] == b"JFIF\0" and length == 16  # 16: no small picture
        if marker not in _JPEG_TABLES and not plain_start:
            return False
        at += 2 + length
    return False


def _scan_ends_it(data: bytes, at: int) -> bool:
    """After FF only 00 and restart markers stand in a scan; the first FF D9 must be the last two bytes."""
    end = data.find(b"\xff\xd9", at)
    return end == len(data) - 2


def _gif(data: bytes) -> bool:
    at = 13 + _colours(data[10])
    while at < len(data):
        kind = data[at : at + 2]
        if kind[:1] == b"\x3b":
            return at == len(data) - 1
        if kind == b"\x21\xf9":
            at = _past_blocks(data, at + 2)
        elif kind == b"\x21\xff" and data[at + 2 : at + 16] == b"\x0bNETSCAPE2.0\x03\x01" and data[at + 18] == 0:
            at += 19
        elif kind[:1] == b"\x2c" and at + 10 < len(data):
            at = _past_blocks(data, at + 11 + _colours(data[at + 9]))
        else:
            return False
    return False


def _colours(flags: int) -> int:
    """Bytes of the table of colours that the flags announce."""
    return 3 << ((flags & 7) + 1) if flags & 0x80 else 0


def _past_blocks(data: bytes, at: int) -> int:
    """Behind a chain of blocks, each with its length in front, which ends with an empty one."""
    while at < len(data) and data[at]:
        at += data[at] + 1
    return at + 1
