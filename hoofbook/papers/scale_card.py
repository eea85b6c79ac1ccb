"""The printable scale card: both faces, foot and moment tags, the stand, and a bar to check the print with."""

from __future__ import annotations

from typing import Any, Literal

from hoofbook.imaging.card_print import pattern_rectangles, tag_rectangles
from hoofbook.papers.pdf import make_pdf
from hoofbook.terms.card import FLOOR_BELOW_PATTERN_TOP_MM, FOOT_TAGS, MARGIN_MM, MOMENT_TAGS, PATTERN_MM, CardFace
from hoofbook.wording.scale_card import CARD_WORDS, tag_label

Paper = Literal["a4", "letter"]
TEMPLATE = "scale_card.typ"
TAG_MM = 24.0


def make_scale_card(paper: Paper) -> bytes:
    """The PDF of the card for `paper`, drawn in exact millimetres (print at 100 %)."""
    return make_pdf(TEMPLATE, card_data(paper))


def card_data(paper: Paper) -> dict[str, Any]:
    """What the template draws: black rectangles in millimetres, and the words."""
    tags = [
        {"label": tag_label(meaning), "black": tag_rectangles(marker, TAG_MM)}
        for marker, meaning in (*FOOT_TAGS.items(), *MOMENT_TAGS.items())
    ]
    return {
        "paper": "a4" if paper == "a4" else "us-letter",
        "pattern": PATTERN_MM,
        "margin": MARGIN_MM,
        "floor": FLOOR_BELOW_PATTERN_TOP_MM,
        "faces": [{"name": face.value, "black": pattern_rectangles(face)} for face in CardFace],
        "tags": tags,
        "tag": TAG_MM,
        "words": CARD_WORDS,
    }
