"""Measures that follow the marks while they move: no book, no files."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from hoofbook.casework.shots import Group, measure_shots
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Measured
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import MeasureLine, Section
from hoofbook.wording.bench import mark_far_words, next_photo_brings
from hoofbook.wording.measures import measure_line, refusal_line
from hoofbook.wording.refusals import sentence as refusal_sentence
from hoofbook.wording.remarks import sentence as remark_sentence

HEADLINES = (
    ("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
    ("new_horn_length", Definition.ONE),
    ("toe_angle", Definition.ONE),
    ("foot_width", Definition.ONE),
    ("lateral_wall_height", Definition.ONE),
)
SECTION = "section"
MARKS_MISSING = "marks_missing"
MARK_FAR_OFF = "mark_far_off"


@dataclass(frozen=True, slots=True)
class FarMark:
    """A mark that does not fit the others of its set, and what is said beside it."""

    photo: str
    mark: str
    words: str


@dataclass(frozen=True, slots=True)
class Live:
    """What the marks give now. `drawings` go by photo key, in photo px; `section` is the sole cut heel to toe.

    `blocked` says why nothing at all was measured although marks are there; empty while marks are only missing.
    """

    lines: tuple[MeasureLine, ...] = ()
    headline: MeasureLine | None = None
    drawings: Mapping[str, Drawing] = field(default_factory=lambda: MappingProxyType({}))
    section: Drawing | None = None
    sentences: tuple[str, ...] = ()
    milliseconds: float = 0.0
    blocked: str = ""
    far: tuple[FarMark, ...] = ()


class LiveSession:
    """One photo or set on the Bench. `measure` may be called from any one thread at a time."""

    def __init__(self, group: Group) -> None:
        self._group = group

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(str(photo.key) for photo in self._group.photos)

    def measure(self, markings: Mapping[str, Marking]) -> Live:
        """The measures of these markings (photos not named keep their saved marks)."""
        started = time.perf_counter()
        measured = measure_shots(self._group.shots(markings))
        return live_of(measured, (time.perf_counter() - started) * 1000, self.keys)

    def next_brings(self, markings: Mapping[str, Marking]) -> str:
        """What one photo more should bring the ± to, in words; empty where that cannot be told. Takes a solve."""
        from hoofbook.measure.concavity import expected_u

        expected = expected_u(self._group.shots(markings))
        return "" if isinstance(expected, Refusal) else next_photo_brings(expected.now, expected.after)

    def places(self, markings: Mapping[str, Marking]) -> Section | None:
        """From where the photos of the set were taken, and where to stand for a better one; None for a photo alone."""
        from hoofbook.casework.set_places import places_section

        shots = self._group.shots(markings)
        return places_section(shots) if len(shots) > 1 else None

    def lines_in(self, photo: str, markings: Mapping[str, Marking]) -> Mapping[str, tuple[tuple[float, float], ...]]:
        """On which line of `photo` (frame photo) each mark must lie that another photo of its set shows. Takes a solve.

        Empty for a photo alone, and where nothing joins the photos yet.
        """
        from hoofbook.measure.concavity import epipolar_lines

        shots = self._group.shots(markings)
        target = next(place for place, shot in enumerate(shots) if shot.key == photo)
        return {name: line.points for name, line in epipolar_lines(shots, target).items()}


def live_of(measured: Measured, milliseconds: float = 0.0, keys: Sequence[str] = ()) -> Live:
    """A measured photo or set as the Bench shows it: the headline first, refusals after what was measured.

    `keys` are the photos of the set in order, so that one can be named by its number.
    """
    headline = None
    for name, definition in HEADLINES:
        quantity = measured.quantity(name, definition.value)
        if quantity is not None:
            headline = quantity
            break
    lines = [measure_line(quantity) for quantity in measured.quantities if quantity is not headline]
    lines += [refusal_line(refusal) for refusal in measured.refusals]
    drawings = {key: drawing for key, drawing in measured.drawings.items() if key != SECTION}
    remarks = [remark for found in measured.remarks.values() for remark in found]
    return Live(
        lines=tuple(lines),
        headline=measure_line(headline) if headline else None,
        drawings=MappingProxyType(drawings),
        section=measured.drawings.get(SECTION),
        sentences=tuple(dict.fromkeys(remark_sentence(remark) for remark in remarks)),
        milliseconds=milliseconds,
        blocked=_blocked(measured),
        far=_far_marks(measured, keys),
    )


def _far_marks(measured: Measured, keys: Sequence[str]) -> tuple[FarMark, ...]:
    """The marks left out because they do not fit, worst first; those that fit are not spoken of."""
    found = []
    for key in keys:
        for remark in measured.remarks.get(key, ()):
            if remark.code == MARK_FAR_OFF:
                px = float(str(remark.facts["px"]))
                mark, certain = str(remark.facts["mark"]), bool(remark.facts["certain"])
                words = mark_far_words(mark, keys.index(key) + 1, px, certain=certain)
                found.append((px, FarMark(key, mark, words)))
    return tuple(far for _, far in sorted(found, key=lambda pair: -pair[0]))


def _blocked(measured: Measured) -> str:
    others = [refusal for refusal in measured.refusals if refusal.code != MARKS_MISSING]
    return refusal_sentence(others[0]) if others and not measured.quantities else ""
