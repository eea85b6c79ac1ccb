"""The Owner sheet: one A4 page of plain sentences, the pair of pictures, the next visit and what to do until then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from hoofbook.papers.pdf import LASTING, make_pages, make_pdf
from hoofbook.papers.vet_case import INKS
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.drawing_svg import to_svg
from hoofbook.wording import owner as words

TEMPLATE = "owner_sheet.typ"


@dataclass(frozen=True, slots=True)
class OwnerSheet:
    """Everything on the page, in words; `pair` is a JPEG of both pictures, `code` a PNG of the QR code and `logo` one
    of the practice (b"" = none)."""

    horse: str
    day: date
    practice: str
    beside: str
    dates: tuple[str, str]
    said: str
    facts: str
    pair: bytes
    next_day: str
    owner: str = ""
    chart: Drawing | None = None
    chart_title: str = ""
    code: bytes = b""
    care: tuple[str, ...] = ()
    note: str = ""
    logo: bytes = b""


def make_owner_sheet(sheet: OwnerSheet) -> bytes:
    """The PDF (PDF/A-3a and PDF/UA-1)."""
    return make_pdf(TEMPLATE, _data(sheet), files=_files(sheet), standards=LASTING)


def owner_sheet_pages(sheet: OwnerSheet, pixels_per_inch: float = 100.0) -> tuple[bytes, ...]:
    """The page as a PNG picture."""
    return make_pages(TEMPLATE, _data(sheet), files=_files(sheet), pixels_per_inch=pixels_per_inch)


def _files(sheet: OwnerSheet) -> Mapping[str, bytes]:
    files = {"pair.jpg": sheet.pair, "code.png": sheet.code, "logo.png": sheet.logo}
    return {name: data for name, data in files.items() if data}


def _data(sheet: OwnerSheet) -> dict[str, Any]:
    return {
        "title": words.sheet_title(sheet.horse, sheet.day),
        "author": sheet.practice,
        "day": [sheet.day.year, sheet.day.month, sheet.day.day],
        "horse": sheet.horse,
        "practice": sheet.practice,
        "owner": sheet.owner,
        "beside": sheet.beside,
        "said": sheet.said,
        "facts": sheet.facts,
        "pair_alt": words.pair_alt(sheet.horse, sheet.beside, sheet.dates),
        "chart": to_svg(sheet.chart, INKS) if sheet.chart else "",
        "chart_alt": sheet.chart.alt if sheet.chart else "",
        "chart_title": sheet.chart_title,
        "next_label": words.NEXT_VISIT if sheet.next_day else words.NO_NEXT_VISIT,
        "next_day": sheet.next_day,
        "has_code": bool(sheet.code),
        "scan": words.SCAN,
        "has_logo": bool(sheet.logo),
        "logo_alt": words.logo_alt(sheet.practice),
        "care_title": words.CARE,
        "care": list(sheet.care),
        "note_title": words.NOTE_OF_FARRIER,
        "note": sheet.note,
        "caution": words.CAUTION,
    }
