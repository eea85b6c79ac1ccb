"""Small ready-worded values that several places show: nothing here is computed or rounded again by who shows it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from types import MappingProxyType

from hoofbook.terms.drawing import Drawing


class Tone(StrEnum):
    """Colour role of a verdict: only a shown change of a goal carries one of the first two."""

    WANTED = "as wanted"
    AGAINST = "against"
    CALM = "calm"


@dataclass(frozen=True, slots=True)
class VerdictChip:
    """A verdict as a chip; `sentence` is what a screen reader says (sign included); `detail` the lines under it."""

    words: str
    sentence: str
    tone: Tone = Tone.CALM
    sign: str = ""  # "▲", "▼" or ""
    detail: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PhotoTile:
    """A photo as a small picture with its caption. `thumbnail` is an upright JPEG, `original` the archived file.

    `window` is the part worth seeing where it is known: left, top, right, bottom as shares of the upright picture;
    `covered` are the parts, told alike, that nobody shall see.
    """

    key: str
    thumbnail: Path
    original: Path
    caption: str
    note: str = ""  # short state: "now", "13 marks", "not marked"
    grade: str = ""  # full | angles and ratios | picture only
    warned: bool = False
    window: tuple[float, float, float, float] | None = None
    covered: tuple[tuple[float, float, float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Pick:
    """A row of choices of which one (or none) is taken. `hollow` = copied from last time, not yet confirmed."""

    field: str
    label: str
    options: tuple[str, ...]
    labels: tuple[str, ...]
    chosen: str = ""
    hollow: bool = False
    hint: str = ""
    many: bool = False


@dataclass(frozen=True, slots=True)
class MeasureLine:
    """One measure as shown: `50.9°`, `± 0.7`; `about` is the key for How measured."""

    name: str
    label: str
    value: str
    unit: str
    plus_minus: str
    definition: str = ""
    about: str = ""
    refusal: str = ""  # instead of a value: why, and what to do


@dataclass(frozen=True, slots=True)
class EmptyPlace:
    """What a place says when it has nothing to show yet: what it is for and the one next step."""

    title: str
    words: str
    step: str = ""  # label of the button
    action: str = ""  # name of the action the button starts


@dataclass(frozen=True, slots=True)
class Step:
    """Progress of a long piece of work."""

    done: int
    total: int
    words: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of ready text for a table."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    keys: tuple[str, ...] = ()
    emphasis: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))  # row -> "event" or "late"


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with paragraphs and an optional drawing, for side panels and How measured.

    `make(width, height, text_size)` draws for the room there is, in place of a finished `drawing`.
    """

    title: str
    paragraphs: tuple[str, ...] = ()
    rows: tuple[tuple[str, str], ...] = ()
    drawing: Drawing | None = None
    make: Callable[[float, float, float], Drawing] | None = None
