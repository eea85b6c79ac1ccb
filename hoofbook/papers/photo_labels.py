"""What is burnt into a photo of a vet's paper: side letter, lateral and medial, day and moment, scale bar."""

from __future__ import annotations

from dataclasses import dataclass

from hoofbook.terms.drawing import Anchor, Band, Drawing, Line, Primitive, Role, Text
from hoofbook.wording.chart_room import text_width

_PAD = 0.45  # of the text size
_LETTER = 1.9  # size of the side letter over that of the other words
_TICK = 0.35


@dataclass(frozen=True, slots=True)
class PhotoLabels:
    """`letter` (L or R) stands on the toe's side of a side view (`letter_right`), `under` below it (fore, hind).

    `left`, `right` are the words at the edges (lateral, medial); `line` is the day and moment; `bar_px` with
    `bar_words` the scale bar, None where the picture is not to scale.
    """

    letter: str
    under: str
    letter_right: bool = False
    left: str = ""
    right: str = ""
    line: str = ""
    bar_px: float | None = None
    bar_words: str = ""


def label_drawing(labels: PhotoLabels, size: tuple[int, int], text_px: float) -> Drawing:
    """The labels as a Drawing over a picture of `size` px; plain words are `text_px` high."""
    wide, tall = size
    edge = 0.6 * text_px
    parts = _letter(labels, wide, text_px, edge)
    middle = tall / 2
    if labels.left:
        parts += _plate(labels.left, edge, middle, text_px, Anchor.START)
    if labels.right:
        parts += _plate(labels.right, wide - edge, middle, text_px, Anchor.END)
    if labels.line:
        parts += _plate(labels.line, edge, tall - edge - 0.9 * text_px, text_px, Anchor.START)
    if labels.bar_px:
        parts += _bar(labels, wide - edge, tall - edge, text_px)
    return Drawing(float(wide), float(tall), tuple(parts))


def _letter(labels: PhotoLabels, wide: int, text_px: float, edge: float) -> list[Primitive]:
    """A white plate with a black letter, as a marker lies beside a foot on a film."""
    big = _LETTER * text_px
    across, down = 1.5 * big, 1.25 * big + 1.2 * text_px
    left = wide - edge - across if labels.letter_right else edge
    middle = left + across / 2
    return [
        Band(_box(left, edge, left + across, edge + down), Role.CARD, Role.INK),
        Text((middle, edge + 1.05 * big), labels.letter, big, Role.INK, Anchor.MIDDLE, bold=True),
        Text((middle, edge + 1.05 * big + 1.05 * text_px), labels.under, 0.9 * text_px, Role.INK, Anchor.MIDDLE),
    ]


def _plate(words: str, x: float, middle: float, text_px: float, anchor: Anchor) -> list[Primitive]:
    pad = _PAD * text_px
    long = text_width(words, text_px) + 2 * pad
    left = x if anchor is Anchor.START else x - long
    box = _box(left, middle - 0.9 * text_px, left + long, middle + 0.9 * text_px)
    return [
        Band(box, Role.INK),
        Text((left + long / 2, middle + 0.35 * text_px), words, text_px, Role.CARD, Anchor.MIDDLE),
    ]


def _bar(labels: PhotoLabels, right: float, low: float, text_px: float) -> list[Primitive]:
    pad, long = _PAD * text_px, labels.bar_px or 0.0
    inner = max(long, text_width(labels.bar_words, text_px))
    left = right - inner - 2 * pad
    first = left + pad + (inner - long) / 2
    y = low - 1.75 * text_px
    ends = [((x, y - _TICK * text_px), (x, y + _TICK * text_px)) for x in (first, first + long)]
    width = max(1.5, 0.1 * text_px)
    return [
        Band(_box(left, y - 0.7 * text_px, right, low), Role.INK),
        Line(((first, y), (first + long, y)), Role.CARD, width),
        *(Line(end, Role.CARD, width) for end in ends),
        Text(((left + right) / 2, low - 0.4 * text_px), labels.bar_words, text_px, Role.CARD, Anchor.MIDDLE),
    ]


def _box(left: float, top: float, right: float, low: float) -> tuple[tuple[float, float], ...]:
    return ((left, top), (right, top), (right, low), (left, low))
