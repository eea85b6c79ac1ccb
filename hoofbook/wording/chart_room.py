"""Room on a chart: how wide words will be, and which places are still free."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from hoofbook.terms.drawing import Anchor, Role, Text

ASCENT, DESCENT = 0.76, 0.22  # of the text size: what a line of plain words covers above and below its baseline
_NARROW = set("iljtfI.,:;'|!()[] ")
_WIDE = set("mwM±→")
_WIDEST = set("W%@")


@dataclass(frozen=True, slots=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def within(self, other: Box) -> bool:
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def is_crossed(self, line: Sequence[tuple[float, float]]) -> bool:
        """Whether a line through these points goes through the box, looked at every tenth of each of its pieces."""
        return any(
            self.left < x0 + (x1 - x0) * k / 10 < self.right and self.top < y0 + (y1 - y0) * k / 10 < self.bottom
            for (x0, y0), (x1, y1) in pairwise(line)
            for k in range(11)
        )

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)


@lru_cache(maxsize=4096)
def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """Width of words set in the body font, a little generous: no font is needed to lay out a chart."""
    units = sum(map(_width, words))
    return units * size * (1.06 if bold else 1.0)


def _width(sign: str) -> float:
    """Width of one sign over the text size."""
    for signs, width in ((_NARROW, 0.36), (_WIDE, 0.92), (_WIDEST, 1.02), ("r", 0.42)):
        if sign in signs:
            return width
    if sign.isupper():
        return 0.71
    return 0.655 if sign.isdigit() or sign in "+\u2212" else 0.6


def text_box(text: Text) -> Box:
    """The box that a text will cover."""
    width = text_width(text.words, text.size, bold=text.bold)
    shift = {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[text.anchor]
    x, y = text.at
    return Box(x - shift, y - ASCENT * text.size, x - shift + width, y + DESCENT * text.size)


@dataclass(slots=True)
class Room:
    """A picture's inside with what is already taken."""

    inside: Box
    taken: list[Box] = field(default_factory=list)

    def take(self, *boxes: Box) -> None:
        self.taken.extend(boxes)

    def is_free(self, box: Box) -> bool:
        return box.within(self.inside) and not any(box.meets(other) for other in self.taken)

    def put(self, texts: Iterable[tuple[Text, ...]]) -> tuple[Text, ...]:
        """The first of several ways to set a text (one or more lines) that is free; it is then taken. () = none is."""
        for lines in texts:
            boxes = [text_box(line) for line in lines]
            if all(self.is_free(box) for box in boxes):
                self.take(*boxes)
                return lines
        return ()


def lines_at(
    at: tuple[float, float], words: Iterable[str], size: float, role: Role, anchor: Anchor, *, bold: bool = False
) -> tuple[Text, ...]:
    """Lines of words under each other, the first baseline at `at`."""
    return tuple(
        Text((at[0], at[1] + number * 1.3 * size), line, size, role, anchor, bold=bold)
        for number, line in enumerate(words)
    )
