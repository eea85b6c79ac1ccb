"""Words of the place where parts of a photo are hidden."""

from __future__ import annotations

TITLE = "Hide parts of this photo"
WORDS = (
    "Cover faces, number plates, signs and other horses. What lies under a box is in no picture and no paper made from "
    "this photo. The photo in your book stays as it is."
)
HOW = "Draw a box with the pointer, or click two of its corners."
ADD = "Add a box"
ADD_KEY = "N"
TAKE_AWAY = "Show this part again"
KEYS = "Tab next box · arrows move · Shift + arrows size · Delete shows it again · Ctrl+Z takes back"
NONE_YET = "Nothing is hidden."
BLOOD_LABEL = "In this photo"
BLOOD = "blood or pus"
BLOOD_WORDS = "A photo with blood or pus goes to an owner only when you ask for it."
DONE = "Done"
BOX = "Hidden part {number} of {count}"
CANVAS = "The photo with its hidden parts"


def count_words(count: int) -> str:
    """`2 parts are hidden.`"""
    if not count:
        return NONE_YET
    return "1 part is hidden." if count == 1 else f"{count} parts are hidden."
