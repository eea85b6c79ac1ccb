"""The Vet case on paper: page 1 in a fixed order, then whatever sections it is given, in a lasting and tagged PDF."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from hoofbook.papers.pdf import LASTING, make_pages, make_pdf
from hoofbook.terms.drawing import Drawing, Role
from hoofbook.terms.drawing_svg import to_svg
from hoofbook.terms.shown import Table
from hoofbook.wording import vet_case as words
from hoofbook.wording.vet_numbers import FigureRow

TEMPLATE = "vet_case.typ"
INKS: Mapping[Role, str] = {
    Role.INK: "#24211D",
    Role.SOFT_INK: "#5A544C",
    Role.LINE: "#C9C1B4",
    Role.PAPER: "#FFFFFF",
    Role.CARD: "#FFFFFF",
    Role.MEASURED: "#E69F00",
    Role.GROUND: "#56B4E9",
    Role.CALM: "#5B6770",
    Role.CALM_TINT: "#EDF0F2",
    Role.WANTED: "#0B7A5B",
    Role.AGAINST: "#B2470E",
    Role.LEATHER: "#8A4B2A",
    Role.LEATHER_TINT: "#F3E6DB",
}


@dataclass(frozen=True, slots=True)
class PaperPicture:
    """JPEG bytes with what stands above (bold) and below, and what somebody who cannot see it is told."""

    data: bytes
    alt: str
    title: str = ""
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """Paragraphs, or with `listed` points of a list."""

    lines: tuple[str, ...]
    listed: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True)
class LabelledRows:
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; `widths` are shares of the page per column (0 = as wide as its words)."""

    table: Table
    widths: tuple[float, ...]
    note: str = ""
    joined: bool = False  # an empty first cell belongs to the one above


@dataclass(frozen=True, slots=True)
class Chart:
    drawing: Drawing
    title: str
    alt: str


@dataclass(frozen=True, slots=True)
class Strip:
    """Small pictures of every visit in one row or more."""

    title: str
    pictures: tuple[PaperPicture, ...]


@dataclass(frozen=True, slots=True)
class Photos:
    """Photos two in a row, each with its label above."""

    pictures: tuple[PaperPicture, ...]


@dataclass(frozen=True, slots=True)
class Twins:
    """One photo with marks and without, with its label and how it was taken."""

    label: tuple[str, str]
    how: str
    marked: PaperPicture
    plain: PaperPicture


@dataclass(frozen=True, slots=True)
class Given:
    """What somebody else gave, two in a row, each under what is told of it; `large` leaves them more room."""

    pictures: tuple[PaperPicture, ...]
    large: bool = False


Block = Words | LabelledRows | Grid | Chart | Strip | Photos | Twins | Given


@dataclass(frozen=True, slots=True)
class Part:
    """A section of the pages after the first."""

    title: str
    blocks: tuple[Block, ...]
    named: bool = False  # on page 1, with its page


@dataclass(frozen=True, slots=True)
class Attached:
    """A file inside the PDF."""

    name: str
    data: bytes
    about: str


@dataclass(frozen=True, slots=True)
class VetCase:
    """Everything on the paper, in words. `rows` of page 1 are label, words and what of it is set bold."""

    horse: str
    facts: str
    day: date
    made_on: str
    person: str
    phone: str
    over_question: tuple[str, str]
    question: str
    rows: tuple[tuple[str, str, str], ...]
    pictures: tuple[PaperPicture, ...]
    figure_heads: tuple[str, ...]
    figures: tuple[FigureRow, ...]
    quoted: tuple[str, ...]
    small_print: tuple[str, ...]
    ratio: float = 1.5  # of the pictures of page 1, width over height
    parts: tuple[Part, ...] = ()
    attached: tuple[Attached, ...] = ()


def make_vet_case(case: VetCase) -> bytes:
    """The PDF (PDF/A-3a and PDF/UA-1), with the CSV files inside."""
    files = _Files()
    return make_pdf(TEMPLATE, _data(case, files), files=files.held, standards=LASTING)


def vet_case_pages(case: VetCase, pixels_per_inch: float = 100.0) -> tuple[bytes, ...]:
    """The pages as PNG pictures."""
    files = _Files()
    return make_pages(TEMPLATE, _data(case, files), files=files.held, pixels_per_inch=pixels_per_inch)


class _Files:
    """Pictures and attached files by the plain names under which the template reads them."""

    def __init__(self) -> None:
        self.held: dict[str, bytes] = {}

    def add(self, data: bytes, suffix: str) -> str:
        name = f"{len(self.held):04d}{suffix}"
        self.held[name] = data
        return name


def _data(case: VetCase, files: _Files) -> dict[str, Any]:
    return {
        "title": words.document_title(case.horse, case.day),
        "author": case.person or words.NO_NAME,
        "day": [case.day.year, case.day.month, case.day.day],
        "head": words.running_head(case.horse, case.day),
        "page_of": list(words.PAGE_OF),
        "horse": case.horse,
        "facts": case.facts,
        "made_on": case.made_on,
        "person": case.person,
        "phone": case.phone,
        "over_question": list(case.over_question),
        "question": case.question,
        "rows": [list(row) for row in case.rows],
        "enclosed": words.LABELS["enclosed"],
        "pictures": [_picture(picture, files) for picture in case.pictures],
        "ratio": case.ratio,
        "no_pictures": words.NO_PICTURES,
        "figure_heads": list(case.figure_heads),
        "figures": [asdict(row) for row in case.figures],
        "quoted_title": words.LABELS["quoted"],
        "quoted": list(case.quoted),
        "small_print": list(case.small_print),
        "parts": [
            {"title": part.title, "named": part.named, "blocks": list(_blocks(part.blocks, files))}
            for part in case.parts
        ],
        "attached": [
            {"name": item.name, "file": files.add(item.data, ".csv"), "about": item.about} for item in case.attached
        ],
    }


def _picture(picture: PaperPicture, files: _Files) -> dict[str, Any]:
    return {
        "file": files.add(picture.data, ".jpg"),
        "alt": picture.alt,
        "title": picture.title,
        "lines": list(picture.lines),
    }


def _blocks(blocks: Sequence[Block], files: _Files) -> Iterator[dict[str, Any]]:
    for block in blocks:
        match block:
            case Words():
                yield {"kind": "words", "lines": block.lines, "listed": block.listed, "small": block.small}
            case LabelledRows():
                yield {"kind": "rows", "rows": [list(row) for row in block.rows]}
            case Grid():
                yield _table(block)
            case Chart():
                yield {"kind": "chart", "svg": to_svg(block.drawing, INKS), "title": block.title, "alt": block.alt}
            case Strip():
                pictures = [_picture(picture, files) for picture in block.pictures]
                yield {"kind": "strip", "title": block.title, "pictures": pictures}
            case Photos():
                yield {"kind": "photos", "pictures": [_picture(picture, files) for picture in block.pictures]}
            case Given():
                given = [_picture(picture, files) for picture in block.pictures]
                yield {"kind": "given", "pictures": given, "large": block.large}
            case Twins():
                pair = [_picture(picture, files) for picture in (block.marked, block.plain)]
                yield {"kind": "twins", "label": list(block.label), "how": block.how, "pictures": pair}


def _table(block: Grid) -> dict[str, Any]:
    return {
        "kind": "grid",
        "heads": list(block.table.heads),
        "rows": [list(row) for row in block.table.rows],
        "widths": list(block.widths),
        "soft": [place for place, kind in block.table.emphasis.items() if kind],
        "note": block.note,
        "joined": block.joined,
    }
