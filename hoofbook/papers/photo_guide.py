"""The guide for taking sole photos as one page: PDF/A-3a and PDF/UA-1, drawings as vectors with words for each."""

from __future__ import annotations

from datetime import date
from typing import Any, Literal

from hoofbook.papers.pdf import LASTING, make_pdf
from hoofbook.papers.vet_case import INKS
from hoofbook.terms.drawing_svg import to_svg
from hoofbook.wording import photo_guide as words

Paper = Literal["a4", "letter"]
TEMPLATE = "photo_guide.typ"


def make_photo_guide(paper: Paper, day: date) -> bytes:
    """The PDF of the guide for `paper`, made on `day`."""
    return make_pdf(TEMPLATE, guide_data(paper, day), standards=LASTING)


def guide_data(paper: Paper, day: date) -> dict[str, Any]:
    """What the template lays out: words, and drawings as SVG with what is told in their place."""
    turn = words.turn_drawing()
    return {
        "paper": "a4" if paper == "a4" else "us-letter",
        "day": [day.year, day.month, day.day],
        "title": words.TITLE,
        "lead": words.LEAD,
        "ready": [words.READY_TITLE, list(words.READY)],
        "rigs_title": words.RIGS_TITLE,
        "rigs": [{"said": rig.said, "svg": to_svg(rig.drawing, INKS), "alt": rig.drawing.alt} for rig in words.rigs()],
        "rigs_why": words.RIGS_WHY,
        "turn": [words.TURN_TITLE, list(words.TURN)],
        "turn_svg": to_svg(turn, INKS),
        "turn_alt": turn.alt,
        "careful": [words.CAREFUL_TITLE, list(words.CAREFUL)],
        "after": [words.AFTER_TITLE, words.AFTER],
    }
