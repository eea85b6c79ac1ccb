"""A PNG without words, dates, places or anything behind its end; its pixels and colours stay to the last bit."""

from __future__ import annotations

_START = b"\x89PNG\r\n\x1a\n"
_OF_THE_PICTURE = frozenset(b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB bKGD hIST pHYs".split())
"""Chunks of ISO/IEC 15948, 11.2 and 11.3, that tell how the picture looks and nothing of who made it, when or where."""


def plain_png(data: bytes) -> bytes | None:
    """The same picture from those chunks alone (text, time, eXIf and unknown ones go); None where it does not end."""
    if not data.startswith(_START):
        return None
    at, kept = len(_START), [_START]
    while at + 12 <= len(data):
        kind, stop = data[at + 4 : at + 8], at + 12 + int.from_bytes(data[at : at + 4], "big")
        if kind in _OF_THE_PICTURE:
            kept.append(data[at:stop])
        if kind == b"IEND":
            return b"".join(kept) if stop <= len(data) else None
        at = stop
    return None
