"""Words of marking a photo again without looking, and the first marks drawn beside the later ones."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date

from hoofbook.progress.agreement import ENOUGH_SETS
from hoofbook.terms.drawing import Drawing, Line, Primitive, Role, Spot
from hoofbook.terms.marks import Mark
from hoofbook.terms.quantity import MEASURES, Quantity, Unit
from hoofbook.wording import numbers
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.marks import mark_label
from hoofbook.wording.places import measure_with_definition

TITLE = "Mark again without looking"
HINT = "The first marks are hidden until you are done. What you mark now changes no value."
START = "Mark a photo again without looking"
DONE, UNDO, UNSEEN, LEAVE, ANOTHER = "Done", "Undo", "Can’t see it", "Back", "Another photo"
ALL_PLACED = "All marks are placed. Move them if you like, then press Done."
PLACE = "{label}: {sentence}"
KEPT = "Kept as a second pass. Blue dot: first mark; ring: this one. Far apart? Look closely before you change one."
HALF_KEPT = "The marks you placed are kept; the rest of the photo can be placed another time."
LOOK_AT = "Look at: {label}"
WHOLE_PHOTO = "Whole photo"


def who_marks(person: str, photos: int) -> str:
    """`You mark as Ann. 2 of the 5 photos for a first figure.`"""
    who = f"You mark as {person}." if person else "Nobody is named: say your name in Set up to be told apart."
    if photos < ENOUGH_SETS:
        return f"{who} {photos} of the {ENOUGH_SETS} photos for a first figure."
    return f"{who} {photos} photos marked again so far."


def compared_title(first: date, one: str, other: str) -> str:
    """`First pass (14 Jan 2025) and this one`; with the people where they are two."""
    if one == other:
        return f"First pass ({day_month_year(first)}) and this one"
    return f"First pass ({day_month_year(first)}, {one or 'no name'}) and this one ({other or 'no name'})"


def measure_row(first: Quantity, again: Quantity) -> tuple[str, str]:
    """`Toe angle | 50.3° first, 50.6° now: 0.3° more`"""
    unit = MEASURES.get(first.name, Unit.MM)
    half = first.expanded
    one, two = (numbers.amount(each.value, unit, like=half) for each in (first, again))
    apart = numbers.limit(abs(again.value - first.value), unit)
    way = "the same" if apart == numbers.limit(0.0, unit) else f"{apart} {_way(first.value, again.value)}"
    return measure_with_definition(first.name, first.definition), f"{one} first, {two} now: {way}"


def _way(first: float, again: float) -> str:
    return "more" if again > first else "less"


def mark_row(name: str, first: Mark, again: Mark, px_per_mm: float | None) -> tuple[str, str]:
    """`Heel, hairline | 1.2 mm apart, above and to the left of the first`"""
    across, down = again.x - first.x, again.y - first.y
    away = math.hypot(across, down)
    size = f"{away / px_per_mm:.1f} mm" if px_per_mm else f"{away:.0f} points of the photo"
    where = _where(across, down)
    return mark_label(name), f"{size} apart{f', {where} the first' if where else ''}"


def _where(across: float, down: float) -> str:
    """Where the later mark lies, in the picture; a way that is small beside the other is left out."""
    most = max(abs(across), abs(down))
    if most < 0.5:
        return ""
    words = []
    if abs(down) > 0.4 * most:
        words.append("below" if down > 0 else "above")
    if abs(across) > 0.4 * most:
        words.append("to the right of" if across > 0 else "to the left of")
    return " and ".join(words)


def both_marks(both: Mapping[str, tuple[Mark, Mark]], width: int, height: int) -> Drawing:
    """The first marks as dots, each with a line to the later mark; frame photo."""
    marks: list[Primitive] = []
    for first, again in both.values():
        marks.append(Line(((first.x, first.y), (again.x, again.y)), Role.MEASURED, 2.0, edged=True))
        marks.append(Spot((first.x, first.y), 0.0, Role.GROUND))
    said = "; ".join(f"{mark_label(name)}, {mark_row(name, *marks, None)[1]}" for name, marks in both.items())
    return Drawing(float(width), float(height), tuple(marks), said)
