"""Measures that follow the marks while they move: no book, no files."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from hoofbook.casework.shots import Group, measure_shots
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.marks import Marking
from hoofbook.terms.measured import Measured
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import MeasureLine
from hoofbook.wording.bench import next_photo_brings
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
        return live_of(measured, (time.perf_counter() - started) * 1000)

    def next_brings(self, markings: Mapping[str, Marking]) -> str:
        """What one photo more should bring the ± to, in words; empty where that cannot be told. Takes a solve."""
        from hoofbook.measure.concavity import expected_u

        expected = expected_u(self._group.shots(markings))
        return "" if isinstance(expected, Refusal) else next_photo_brings(expected.now, expected.after)


def live_of(measured: Measured, milliseconds: float = 0.0) -> Live:
    """A measured photo or set as the Bench shows it: the headline first, refusals after what was measured."""
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
    )


def _blocked(measured: Measured) -> str:
    others = [refusal for refusal in measured.refusals if refusal.code != MARKS_MISSING]
    return refusal_sentence(others[0]) if others and not measured.quantities else ""
