"""A picture made of a few plain primitives, described once and shown on screen, in a picture and on paper.

Coordinates are in the units of `Drawing.width` and `height` (photo px for drawings on a photo, points for charts),
x to the right, y down. Colour is a role, not a value; the place that shows it picks the colour of its theme.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Role(StrEnum):
    INK = "ink"
    SOFT_INK = "soft ink"
    LINE = "line"
    PAPER = "paper"
    CARD = "card"
    MEASURED = "measured line"
    GROUND = "ground line"
    CALM = "calm"
    CALM_TINT = "calm tint"
    WANTED = "as wanted"
    AGAINST = "against"
    LEATHER = "leather"
    LEATHER_TINT = "leather tint"


class Anchor(StrEnum):
    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Line:
    points: tuple[tuple[float, float], ...]
    role: Role = Role.INK
    width: float = 1.0
    dashed: bool = False
    edged: bool = False  # a white edge under it, for lines on a photo


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle; angles in degrees, anticlockwise from the x axis as seen on screen (y down)."""

    centre: tuple[float, float]
    radius: float
    start: float
    sweep: float
    role: Role = Role.MEASURED
    width: float = 1.0
    edged: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A round dot; hollow ones have only their outline."""

    centre: tuple[float, float]
    radius: float
    role: Role = Role.INK
    hollow: bool = False
    key: str = ""  # what it stands for, so that a pointer or the keyboard can ask


@dataclass(frozen=True, slots=True)
class Text:
    at: tuple[float, float]
    words: str
    size: float
    role: Role = Role.INK
    anchor: Anchor = Anchor.START
    bold: bool = False
    heading: bool = False
    edged: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """A filled polygon without an outline, or with one where `outline` is set."""

    points: tuple[tuple[float, float], ...]
    role: Role = Role.CALM_TINT
    outline: Role | None = None
    dashed: bool = False


Primitive = Line | Arc | Spot | Text | Band


@dataclass(frozen=True, slots=True)
class Drawing:
    width: float
    height: float
    primitives: tuple[Primitive, ...] = field(default=())
    alt: str = ""  # what a reader who cannot see it is told

    def plus(self, *more: Primitive) -> Drawing:
        return Drawing(self.width, self.height, self.primitives + more, self.alt)
