"""The next visit as a calendar entry (iCalendar, RFC 5545): one all-day event, as short as a QR code wants it."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hoofbook import PRODUCT_NAME

_FOLD = 75  # octets of a line without its break (RFC 5545, 3.1)


def calendar_entry(key: str, day: date, summary: str, made_at: datetime) -> str:
    """VCALENDAR with one VEVENT; lines end with CRLF and are folded at 75 octets, text escaped (RFC 5545, 3.3.11)."""
    lines = (
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//{PRODUCT_NAME}//EN",
        "BEGIN:VEVENT",
        f"UID:{key}",
        f"DTSTAMP:{made_at.astimezone(UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
        f"SUMMARY:{_escaped(summary)}",
        "END:VEVENT",
        "END:VCALENDAR",
    )
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _escaped(text: str) -> str:
    one_line = " ".join(text.split())
    for sign in ("\\", ";", ","):
        one_line = one_line.replace(sign, f"\\{sign}")
    return one_line


def _folded(line: str) -> str:
    parts, length = [""], 0
    for sign in line:
        size = len(sign.encode("utf-8"))
        if length + size > _FOLD:
            parts.append(" ")
            length = 1
        parts[-1] += sign
        length += size
    return "\r\n".join(parts)
