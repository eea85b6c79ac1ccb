"""Measures as lines: name, value and ±, or why there is none."""

from __future__ import annotations

from hoofbook.progress.series import Reading
from hoofbook.terms.quantity import COVERAGE, MEASURES, Quantity
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import MeasureLine
from hoofbook.wording.numbers import pieces, quantity_pieces
from hoofbook.wording.places import definition_name, measure_name
from hoofbook.wording.refusals import sentence


def measure_line(quantity: Quantity, *, inches: bool = False) -> MeasureLine:
    """One measure in its pieces, ready to be set in any size."""
    shown = quantity_pieces(quantity, inches=inches)
    return MeasureLine(
        name=quantity.name,
        label=measure_name(quantity.name),
        value=shown.value,
        unit=shown.unit,
        plus_minus=f"± {shown.plus_minus}" if shown.plus_minus else "",
        definition=definition_name(quantity.definition),
        about=quantity.name,
    )


def refusal_line(refusal: Refusal) -> MeasureLine:
    """The same place on the list for a measure that could not be had."""
    label = measure_name(refusal.name) if refusal.name else ""
    return MeasureLine(refusal.name, label, "", "", "", about=refusal.name, refusal=sentence(refusal))


def reading_line(reading: Reading, *, inches: bool = False) -> MeasureLine:
    """A reading of a series in the same pieces."""
    half = None if reading.u is None else COVERAGE * reading.u
    shown = pieces(reading.value, half, MEASURES[reading.measure], inches=inches)
    return MeasureLine(
        name=reading.measure,
        label=measure_name(reading.measure),
        value=shown.value,
        unit=shown.unit,
        plus_minus=f"± {shown.plus_minus}" if shown.plus_minus else "",
        definition=definition_name(reading.definition),
        about=reading.measure,
    )


WHOLE_SOLE = "the whole sole"


def from_photos(photos: tuple[str, ...], *, whole: bool = False) -> str:
    """`lf-side.jpg`, `3 photos`; of a map `3 photos, the whole sole`"""
    words = photos[0] if len(photos) == 1 else f"{len(photos)} photos"
    return f"{words}, {WHOLE_SOLE}" if whole else words
