"""What is printed on and about the scale card."""

from __future__ import annotations

from enum import StrEnum
from typing import Any

from hoofbook.terms.feet import Foot
from hoofbook.terms.views import Moment

CARD_WORDS: dict[str, Any] = {
    "title": "Scale card",
    "front": "Front: photos as arrived and before trim",
    "back": "Back: photos after trim",
    "bar_told": "The sheet carries a bar of 100 mm. Measure it with a steel rule before you use the card.",
    "bar": "This bar is 100 mm long. Measure it with a steel rule before you use the card.",
    "cut": "Cut along the outer line. The lower edge is the floor: cut it straight and square.",
    "how": [
        "Print at 100 %, on matt paper, with no “fit to page”.",
        "Measure the printed pattern: 112.0 mm wide, 80.0 mm high. Off by more than half a millimetre: print it again.",
        "Glue front and back to the two sides of a stiff flat board, edge on edge. Renew the card when bent or worn.",
        "Fold the stand and glue it behind the card, so that the fold lies exactly on the lower edge.",
    ],
    "place": [
        "Side, front and heels: stand the card on the floor beside the foot, in line with the middle of the foot, "
        "facing the camera. Not leaning on the wall.",
        "Sole: hold it flat across the heel bulbs with the thumb that holds the foot. It must not move on the foot "
        "between the photos of one set.",
    ],
    "careful": "Nothing clamped, no strings. Keep a holder at the head, do not kneel, never go under the horse for a "
    "photo, and leave the card if the horse moves.",
    "tags": "Tags: lay one beside the card in the first photo of each foot, and the photos sort themselves.",
    "stand": "Stand: cut out, fold along the broken line, glue the upper part behind the card.",
    "glue": "glue this part behind the card",
    "lies": "this part lies on the floor behind the card",
}

SHEET_TITLES = {"print": "Print and check", "place": "Where it stands", "careful": "Horse and hands first"}

_TAG_LABELS: dict[StrEnum, str] = {
    Foot.LF: "left fore",
    Foot.RF: "right fore",
    Foot.LH: "left hind",
    Foot.RH: "right hind",
    Moment.BEFORE_TRIM: "before trim",
    Moment.AFTER_TRIM: "after trim",
}


def tag_label(meaning: StrEnum) -> str:
    return _TAG_LABELS[meaning]
