"""The guide for taking sole photos: one page of words and drawings, the same in the window and on paper."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from hoofbook.measure.concavity.stands import Stand, Stands, Verdict
from hoofbook.terms.drawing import Anchor, Band, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.wording.sole_stands import stands_drawing

TITLE = "Photos of the sole"
LEAD = "Three photos from three sides, the card lying still on the foot, show how hollow the sole is, in millimetres."
READY_TITLE = "Make ready"
READY = (
    "Pick the foot out, brush it, let it dry: a wet or shining sole shows no detail.",
    "Open shade or a lamp from the side. No flash, no sun on half of the sole.",
    "The foot is held as for trimming, by whoever holds it every day. Somebody stands at the head.",
)
RIGS_TITLE = "Lay the card flat on the foot, one of three ways"
RIGS = (
    "Under a ring: a wide rubber ring, cut from a bicycle inner tube, round the wall. Two strips of board glued behind "
    "the card are tucked under it.",
    "Under the thumb: flat across the heel bulbs, held by the thumb that holds the foot.",
    "On a lath: the card glued to a straight lath that is laid across both heels.",
)
RIGS_WHY = (
    "Card and foot must be still to each other, nothing else: the program tests it and says so. Nothing clamped, no "
    "strings, nothing that does not fall off when the foot is snatched away."
)
TURN_TITLE = "Stand, take, turn"
TURN = (
    "On your feet, bent forward, hold the phone about four hands (40 cm) from the sole. Toe up in the picture, whole "
    "foot and whole card in it.",
    "Photo 1 straight onto the sole. Then carry the camera two hands (20 cm) to your left for photo 2, two hands to "
    "your right for photo 3, always aimed at the point of the frog. That turns it by 25 to 35° each time.",
    "A fourth and fifth photo, higher and lower, make the ± smaller. The foot put down, or the card touched: begin the "
    "set again.",
)
CAREFUL_TITLE = "Horse, hands and you first"
CAREFUL = (
    "Don't kneel and don't sit: stay on your feet, beside the horse.",
    "Keep a holder at the head. Tell them before each photo.",
    "Never go under the horse for a photo. A side you can't reach standing is left out.",
    "The horse moves: let go of foot and card at once. The card may break, nobody need be hurt.",
)
AFTER_TITLE = "Before the foot is put down"
AFTER = (
    "Bring the photos into the Photo tray: it says whether they are enough, and draws where to stand for the one to "
    "take again."
)
RIG_SIZE = (150.0, 156.0)
TURN_SIZE = (340.0, 230.0)
_TEXT = 16.0


@dataclass(frozen=True, slots=True)
class Rig:
    """One way to lay the card: what is said under its drawing."""

    said: str
    drawing: Drawing


def rigs() -> tuple[Rig, ...]:
    """The three ways, drawn with the sole towards the reader and the toe up."""
    made = (_under_ring(), _under_thumb(), _on_lath())
    return tuple(Rig(said, Drawing(*RIG_SIZE, marks, said)) for said, marks in zip(RIGS, made, strict=True))


def turn_drawing(width: float = TURN_SIZE[0], height: float = TURN_SIZE[1], text_size: float = _TEXT) -> Drawing:
    """Where the three photos are taken from, seen from above."""
    stands = Stands(
        (Stand("2", -30.0), Stand("1", 0.0), Stand("3", 30.0)), (30.0, 30.0), 60.0, True, Verdict.GOOD, (), ()
    )
    drawn = stands_drawing(stands, {"1": 1, "2": 2, "3": 3}, width=width, height=height, text_size=text_size)
    alt = "Seen from above: photo 1 straight onto the sole, photo 2 turned 30° to your left, photo 3 30° to your right."
    return Drawing(width, height, drawn.primitives, alt)


_MIDDLE, _HALF, _LONG = (75.0, 62.0), 40.0, 46.0


def _outline(grow: float = 1.0) -> tuple[tuple[float, float], ...]:
    """The ground edge of the wall, open at the heels."""
    x, y = _MIDDLE
    angles = [math.radians(at) for at in range(-128, 129, 8)]
    return tuple((x + grow * _HALF * math.sin(a), y - grow * _LONG * math.cos(a)) for a in angles)


def _foot() -> list[Primitive]:
    x, y = _MIDDLE
    wall, sole = _outline(), _outline(0.84)
    bulbs = [Spot((x + side * 15.0, y + 40.0), 15.0, Role.LEATHER_TINT) for side in (-1, 1)]
    frog = ((x, y - 4.0), (x + 15.0, y + 40.0), (x, y + 33.0), (x - 15.0, y + 40.0))
    return [
        *bulbs,
        Band(wall, Role.LEATHER_TINT, Role.INK),
        Band(sole, Role.PAPER),
        Line(sole, Role.SOFT_INK, 0.8, dashed=True),
        Band(frog, Role.CALM_TINT, Role.SOFT_INK),
    ]


def _card(left: float, top: float, wide: float) -> list[Primitive]:
    """The card: seven by five squares with a margin."""
    square = wide / 8.0
    high = 6.0 * square
    card: list[Primitive] = [Band(_box(left, top, wide, high), Role.PAPER, Role.INK)]
    for row in range(5):
        for column in range(7):
            if (row + column) % 2 == 0:
                place = left + (0.5 + column) * square, top + (0.5 + row) * square
                card.append(Band(_box(*place, square, square), Role.INK))
    return card


def _box(left: float, top: float, wide: float, high: float) -> tuple[tuple[float, float], ...]:
    return (left, top), (left + wide, top), (left + wide, top + high), (left, top + high)


def _under_ring() -> tuple[Primitive, ...]:
    x, y = _MIDDLE
    low = y + 31.0
    strips = [Band(_box(x + side * 27.0 - 5.0, low - 14.0, 10.0, 26.0), Role.LINE, Role.INK) for side in (-1, 1)]
    ring = _outline(1.06)
    closed = (*ring, ring[0])
    band = [Line(closed, Role.INK, 7.0), Line(closed, Role.CALM, 5.0)]
    return (*_foot(), *strips, *band, *_card(x - 34.0, low + 8.0, 68.0))


def _under_thumb() -> tuple[Primitive, ...]:
    x, y = _MIDDLE
    hand = (
        (x + 75.0, y + 64.0), (x + 52.0, y + 54.0), (x + 30.0, y + 47.0), (x + 19.0, y + 46.0),
        (x + 15.0, y + 51.0), (x + 19.0, y + 56.0), (x + 34.0, y + 59.0), (x + 44.0, y + 68.0),
        (x + 50.0, y + 80.0), (x + 75.0, y + 86.0),
    )  # fmt: skip
    nail = ((x + 17.0, y + 49.0), (x + 23.0, y + 48.0), (x + 24.0, y + 52.5), (x + 18.0, y + 53.0))
    return (
        *_foot(),
        *_card(x - 34.0, y + 24.0, 68.0),
        Band(hand, Role.LEATHER_TINT, Role.INK),
        Band(nail, Role.PAPER, Role.SOFT_INK),
    )


def _on_lath() -> tuple[Primitive, ...]:
    x, y = _MIDDLE
    lath = Band(_box(x - 68.0, y + 26.0, 136.0, 9.0), Role.LINE, Role.INK)
    return (*_foot(), lath, *_card(x - 34.0, y + 35.0, 68.0))


def rigs_drawing() -> Drawing:
    """All three ways side by side, numbered."""
    wide, high = RIG_SIZE
    marks: list[Primitive] = []
    for number, rig in enumerate(rigs()):
        marks += [_aside(mark, number * wide) for mark in rig.drawing.primitives]
        place = (number * wide + wide / 2, high + 16.0)
        marks.append(Text(place, str(number + 1), _TEXT, anchor=Anchor.MIDDLE, bold=True))
    return Drawing(3 * wide, high + 20.0, tuple(marks), " ".join(RIGS))


def _aside(mark: Primitive, by: float) -> Primitive:
    """The same mark further to the right."""
    if isinstance(mark, Line | Band):
        return replace(mark, points=tuple((x + by, y) for x, y in mark.points))
    if isinstance(mark, Text):
        return replace(mark, at=(mark.at[0] + by, mark.at[1]))
    return replace(mark, centre=(mark.centre[0] + by, mark.centre[1]))
