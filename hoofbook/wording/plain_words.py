"""A vet's words, by which a sentence says more than was seen. Nothing is blocked; a person is asked to look again.

The list is ours, drawn up from the names of diseases and procedures in a vet's field (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterable

VETS_WORDS = (
    "abscess",
    "arthritis",
    "arthrosis",
    "canker",
    "caudal heel pain",
    "chronic",
    "cured",
    "desmitis",
    "diagnosed",
    "diagnosis",
    "disease",
    "founder",
    "foundered",
    "fracture",
    "fractured",
    "infected",
    "infection",
    "keratoma",
    "laminitic",
    "laminitis",
    "navicular",
    "necrosis",
    "osteitis",
    "pathological",
    "pathology",
    "pedal bone rotation",
    "prognosis",
    "quittor",
    "ringbone",
    "rotated",
    "rotation",
    "sepsis",
    "septic",
    "sidebone",
    "sinker",
    "sinking",
    "syndrome",
    "tendinitis",
    "tendonitis",
    "treatment",
)
_FOUND = re.compile(r"\b(" + "|".join(re.escape(word) for word in VETS_WORDS) + r")(?:e?s)?\b", re.IGNORECASE)
_GRADE = re.compile(
    r"\b(?:grade[ds]?|lame)\s*(?:of\s*)?\d(?:[.,]\d)?(?!\s*[/\d-]|\s*(?:of|out of)\s*\d)", re.IGNORECASE
)


def vets_words(text: str) -> tuple[str, ...]:
    """The vet's words in `text`, each once, as written."""
    return tuple(dict.fromkeys(found.group(0) for found in _FOUND.finditer(text)))


def look_again(where: str, words: Iterable[str]) -> str:
    """The gentle warning for words found in `where` (`the question`, `the note of 14 Jan 2025`)."""
    named = ", ".join(f"“{word}”" for word in words)
    return (
        f"{where[:1].upper()}{where[1:]} holds {named}: a vet's word. It stays as you wrote it; if the vet said it, "
        "say so, else write what you saw."
    )


def grade_without_scale(text: str) -> bool:
    """True where a grade is written without the scale it belongs to (`lame 2`, but not `lame 2/5`)."""
    return bool(_GRADE.search(text))


NAME_THE_SCALE = "A lameness grade stands there without its scale: write 2 of 5 or 2 of 10, and who graded it."
