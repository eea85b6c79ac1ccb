"""What Then and now shows: two photos, what is said of them, and which other pairs there are; ready-worded."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from hoofbook.casework.pair_facts import ToMm
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, VerdictChip
from hoofbook.terms.subjects import CoverBox

SCALE_BAR_MM = 50.0
MOST_MEASURES = 2  # shown in a picture
NO_MEASURES = Pick("measures", "", (), (), many=True)


@dataclass(frozen=True, slots=True)
class PairSide:
    """One photo as it is laid. `to_mm` takes photo px to the shared millimetres (x right, y down).

    `caption_lines` are burnt in: `where_lines`, then the chosen ones of `values` (measure and words with ±). `white` is
    what the card's white sends back (linear red, green, blue), None where it cannot be told; `to_scale` False where
    nothing in this photo gives millimetres.
    """

    key: str
    path: Path
    preview: Path
    to_mm: ToMm
    width: int
    height: int
    caption_lines: tuple[str, ...]
    value: str
    day: str
    covered: tuple[CoverBox, ...] = ()
    where_lines: tuple[str, ...] = ()
    values: tuple[tuple[str, str], ...] = ()
    white: tuple[float, float, float] | None = None
    to_scale: bool = True

    def with_measures(self, chosen: tuple[str, ...]) -> PairSide:
        """The same with these measures in its caption."""
        shown = tuple(words for key, words in self.values if key in chosen)
        return replace(self, caption_lines=self.where_lines + shown, value=shown[0] if shown else "")


@dataclass(frozen=True, slots=True)
class BestPair:
    """A pair that may be picked: photo keys, its days in words, and why it stands where it stands."""

    then: str
    now: str
    days: str
    why: str


@dataclass(frozen=True, slots=True)
class PairSheet:
    """`best` are the fairest pairs, best first, of `pairs` there are; `why` says how alike the shown two are;
    `measures` holds what may stand in the picture, of which one, two or none are chosen; `like_now` are the photos of
    the strip at the moment of now."""

    horse: str
    feet: Pick
    views: Pick
    title: str = ""
    subtitle: str = ""
    then: PairSide | None = None
    now: PairSide | None = None
    way: str = ""
    to_scale: bool = False
    banner: str = ""
    checks: tuple[tuple[bool, str], ...] = ()
    numbers: tuple[tuple[str, str, str, str], ...] = ()
    noise_of: tuple[str, str, str] | None = None  # foot, measure, definition of the first number, after trim
    chip: VerdictChip | None = None
    chip_note: str = ""
    strip: tuple[PhotoTile, ...] = ()
    like_now: tuple[str, ...] = ()
    frame_mm: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    drawings: tuple[Drawing | None, Drawing | None] = (None, None)
    scale_bar_mm: float = SCALE_BAR_MM
    best: tuple[BestPair, ...] = ()
    pairs: int = 0
    why: str = ""
    measures: Pick = NO_MEASURES
    empty: EmptyPlace | None = None


def with_measures(sheet: PairSheet, chosen: tuple[str, ...]) -> PairSheet:
    """The sheet with these measures (at most two, the last ones chosen) in both captions; none is a choice too."""
    kept = chosen[-MOST_MEASURES:]
    return replace(
        sheet,
        then=sheet.then.with_measures(kept) if sheet.then else None,
        now=sheet.now.with_measures(kept) if sheet.now else None,
        measures=replace(sheet.measures, chosen=",".join(key for key in sheet.measures.options if key in kept)),
    )
