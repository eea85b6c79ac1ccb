"""Measures of a marks file as plain text rows for the terminal."""

from __future__ import annotations

from hoofbook.casework.measure_files import FileResult
from hoofbook.measure.concavity.map_measures import METHOD
from hoofbook.terms.quantity import Quantity
from hoofbook.wording.measures import from_photos, measure_line
from hoofbook.wording.numbers import span
from hoofbook.wording.places import grade_name, measure_name
from hoofbook.wording.refusals import sentence
from hoofbook.wording.remarks import sentence as remark_sentence


def photo_lines(result: FileResult) -> tuple[str, ...]:
    """One line a photo with its grade, then what should be known about it."""
    lines = []
    for photo in result.photos:
        lines.append(f"{photo.file}: {grade_name(photo.grade)}")
        lines += [f"  {remark_sentence(remark)}" for remark in photo.remarks]
    return tuple(lines)


def measure_rows(result: FileResult) -> tuple[tuple[str, str, str, str], ...]:
    rows = []
    for quantity in result.quantities:
        line = measure_line(quantity)
        label = ", ".join(word for word in (line.label, line.definition) if word)
        value = f"{line.value}{line.unit} {line.plus_minus}".rstrip()
        rows.append((label, value, span(quantity.low, quantity.high, quantity.unit), _source(quantity)))
    return tuple(rows)


def _source(quantity: Quantity) -> str:
    return from_photos(quantity.photos, whole=quantity.method == METHOD)


def refusal_lines(result: FileResult) -> tuple[str, ...]:
    """Why a measure is missing: the reason once, with the measures it keeps back."""
    kept_back: dict[str, list[str]] = {}
    for refusal in result.refusals:
        kept_back.setdefault(sentence(refusal), []).append(measure_name(refusal.name) if refusal.name else "")
    return tuple(
        f"{', '.join(dict.fromkeys(name for name in names if name))}: {reason}" if any(names) else reason
        for reason, names in kept_back.items()
    )
