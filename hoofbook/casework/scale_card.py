"""The place Scale card: print it, check its size, stand it."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Section
from hoofbook.wording.scale_card import CARD_WORDS, SHEET_TITLES


def make_card(paper: Literal["a4", "letter"], out: Path) -> Path:
    """Writes the card for `paper` as PDF to `out` and returns its full path.

    Raises:
        Refused: `paper_not_pdf`, or where the folder cannot be written or the disk is full.
    """
    from hoofbook.papers.scale_card import make_scale_card

    if out.suffix.lower() != ".pdf":
        raise Refused(Refusal("paper_not_pdf", {"file": out.name}))

    write_atomic(out, make_scale_card(paper))
    return out.resolve()


def card_sheet() -> tuple[Section, ...]:
    """How to print the card, check it and stand it, as sections of text."""
    return (
        Section(SHEET_TITLES["print"], (*CARD_WORDS["how"], CARD_WORDS["bar_told"])),
        Section(SHEET_TITLES["place"], tuple(CARD_WORDS["place"])),
        Section(SHEET_TITLES["careful"], (CARD_WORDS["careful"],)),
    )
