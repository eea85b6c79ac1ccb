"""A number that a person typed into a field, with or without its unit."""

from __future__ import annotations

from hoofbook.terms.quantity import MEASURES
from hoofbook.wording.numbers import unit_sign

_LARGEST = 1000.0


def unit_of(measure: str) -> str:
    """The unit as it stands behind the field: `mm`, `°`, or nothing for a ratio."""
    return unit_sign(MEASURES[measure]).strip()


def typed_number(text: str, measure: str) -> float | None:
    """`95`, `48,5°`, `-2 mm` as a number; None where it is none, is nought, or is 1000 or more."""
    plain = text.strip().removesuffix(unit_of(measure)).strip().replace(",", ".").replace("\u2212", "-")
    try:
        number = float(plain)
    except ValueError:
        return None
    return number if 0 < abs(number) < _LARGEST else None
