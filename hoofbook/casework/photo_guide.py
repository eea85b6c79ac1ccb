"""The guide for taking sole photos: shown in the window and written as PDF."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Literal

from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.shown import Section
from hoofbook.wording import photo_guide as words


def make_guide(paper: Literal["a4", "letter"], out: Path) -> Path:
    """Writes the guide for `paper` as PDF to `out` and returns its full path.

    Raises:
        Refused: where the folder cannot be written or the disk is full.
    """
    from hoofbook.papers.photo_guide import make_photo_guide

    write_atomic(out, make_photo_guide(paper, date.today()))
    return out.resolve()


def guide_sheet() -> tuple[Section, ...]:
    """The guide as sections with their drawings, in the order of the page."""
    numbered = tuple(f"{number}. {said}" for number, said in enumerate(words.RIGS, 1))
    return (
        Section(words.READY_TITLE, (words.LEAD, *words.READY)),
        Section(words.RIGS_TITLE, (*numbered, words.RIGS_WHY), drawing=words.rigs_drawing()),
        Section(words.TURN_TITLE, words.TURN, drawing=words.turn_drawing()),
        Section(words.CAREFUL_TITLE, words.CAREFUL),
        Section(words.AFTER_TITLE, (words.AFTER,)),
    )
