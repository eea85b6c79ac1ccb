"""Many photos of one foot and view in one millimetre frame: each laid over the one that most others go with.

Frame *common*: that of `measure.comparison`, as the reference photo lies in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.comparison import (
    CARD_PLANE,
    NONE,
    Alignment,
    Seen,
    Similarity,
    aligned,
    not_alike,
    rows_of,
    seen_of,
)
from hoofbook.measure.projection import Array
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal

ALL_CODES = ("cannot_be_laid",)
MOST_REFERENCES = 12  # tried; more would only make a long life slow


@dataclass(frozen=True, slots=True)
class Together:
    """Many photos in one common frame: that of `reference`, the photo they were all laid over.

    `to_mm` and `ways` by `Shot.key`; `left_out` holds why a photo is not among them. Without `to_scale` one unit of
    the frame is arbitrary.
    """

    reference: str
    to_mm: Mapping[str, Similarity]
    ways: Mapping[str, str]
    left_out: Mapping[str, Refusal]
    to_scale: bool


def lay_together(shots: Sequence[Shot], sets: Mapping[str, Sequence[Shot]] | None = None) -> Together | Refusal:
    """Lays photos of one foot and view over that one of them over which most can be laid, by the card where possible.

    `sets` holds the whole sole set of a photo by its key. A photo that shares neither card nor hairline with the
    reference, or has no mark to be placed by, is left out (`cannot_be_laid`). Refused: as `align`, where no two go
    together, and `cannot_be_laid` for no photo at all.
    """
    seen = [seen_of(shot, (sets or {}).get(shot.key, ())) for shot in shots]
    if not seen:
        return Refusal("cannot_be_laid")
    references = _references(seen)
    tables = [[_laid_over(seen[place], other) for other in seen] for place in references]
    scores = [sum((found.way == CARD_PLANE) + 1 for found in row if isinstance(found, Alignment)) for row in tables]
    best = scores.index(max(scores))
    first = references[best]
    row, own = tables[best], tables[best][first]
    if isinstance(own, Refusal):
        return own
    home, to_mm, ways, left = np.array(own.then_to_mm), {}, {}, {}
    for shot, found in zip(shots, row, strict=True):
        if isinstance(found, Refusal):
            left[shot.key] = found
        else:
            to_mm[shot.key] = rows_of(_after(home, _inverse(np.array(found.then_to_mm)), np.array(found.now_to_mm)))
            ways[shot.key] = found.way
    return Together(shots[first].key, to_mm, ways, left, own.px_per_mm_then is not None)


def _references(seen: Sequence[Seen]) -> list[int]:
    """Photos that may be the reference: those with a card if there are any, of many a few from all over the row."""
    able = [place for place, each in enumerate(seen) if each.card is not None] or list(range(len(seen)))
    return able[:: -(-len(able) // MOST_REFERENCES)]


def _laid_over(reference: Seen, other: Seen) -> Alignment | Refusal:
    refusal = not_alike(reference.shot, other.shot)
    found = refusal if refusal is not None else aligned((reference, other))
    if isinstance(found, Alignment) and (found.way == NONE or not found.placed_by):
        return Refusal("cannot_be_laid")
    return found


def _after(*matrices: Array) -> Array:
    """Similarities (2, 3) one after the other, the last one first."""
    product = np.eye(3)
    for matrix in matrices:
        product = product @ np.vstack([matrix, [0.0, 0.0, 1.0]])
    return product[:2]


def _inverse(matrix: Array) -> Array:
    turn = np.linalg.inv(matrix[:, :2])
    return np.column_stack([turn, -turn @ matrix[:, 2]])
