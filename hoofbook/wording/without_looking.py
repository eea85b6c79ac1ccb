"""Words of marking a photo again without looking."""

from __future__ import annotations

import math
from datetime import date

from hoofbook.terms.marks import Mark
from hoofbook.terms.quantity import MEASURES, Quantity, Unit
from hoofbook.wording import numbers
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.marks import mark_label
from hoofbook.wording.places import measure_with_definition

TITLE = "Mark again without looking"
HINT = "The first marks are hidden until you are done. What you mark now never changes a measure."
START = "Mark a photo again without looking"
DONE, UNDO, UNSEEN, LEAVE, ANOTHER = "Done", "Undo", "Can't see it", "Leave it", "Another photo"
ALL_PLACED = "All marks are placed. Move them if you like, then press Done."
PLACE = "Place: {label}. {sentence}"
KEPT = "Kept as a second pass."


def compared_title(first: date) -> str:
    return f"First pass ({day_month_year(first)}) and this one"


def measure_row(first: Quantity, again: Quantity) -> tuple[str, str]:
    """`Toe angle | 50.3° first, 50.6° now: 0.3° apart`"""
    unit = MEASURES.get(first.name, Unit.MM)
    half = first.expanded
    one, two = (numbers.amount(each.value, unit, like=half) for each in (first, again))
    apart = numbers.amount(abs(again.value - first.value), unit, like=half / 10)
    return measure_with_definition(first.name, first.definition), f"{one} first, {two} now: {apart} apart"


def mark_row(name: str, first: Mark, again: Mark, px_per_mm: float | None) -> tuple[str, str]:
    """`heel, hairline | 1.2 mm apart in the photo`"""
    away = math.hypot(again.x - first.x, again.y - first.y)
    if px_per_mm:
        return mark_label(name), f"{numbers.amount(away / px_per_mm, Unit.MM, like=0.1)} apart in the photo"
    return mark_label(name), f"{away:.0f} points of the photo apart"
