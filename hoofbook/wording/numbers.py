"""Numbers as a person reads them: the ± to one figure (two where it begins with 1), the value to the same place.

The ± is the half width of the 95 % interval (expanded uncertainty, JCGM 100, 7.2.3). Lengths come in millimetres and
leave in millimetres, or in inches where the person asked for them. `plain` gives text of ASCII characters only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoofbook.terms.quantity import Quantity, Unit

MINUS = "\u2212"
PLUS_MINUS = "\u00b1"
MM_PER_INCH = 25.4  # exact
_SIGNS = {Unit.MM: " mm", Unit.DEG: "\u00b0", Unit.RATIO: "", Unit.MM3: " cm\u00b3"}
_PLAIN_SIGNS = {Unit.MM: " mm", Unit.DEG: " deg", Unit.RATIO: "", Unit.MM3: " cm3"}
_WITHOUT_SPREAD = {Unit.MM: 1, Unit.DEG: 1, Unit.RATIO: 2, Unit.MM3: 1}  # decimals where no ± is known


@dataclass(frozen=True, slots=True)
class Shown:
    """A value in its pieces: `50.3`, `°`, `0.7` (empty where no ± is known)."""

    value: str
    unit: str
    plus_minus: str


def decimals_for(spread: float) -> int:
    """Decimal place of the last figure of a ± (negative: tens and above).

    >>> [decimals_for(u) for u in (0.66, 0.123, 0.195, 0.96, 1.44, 9.6, 34.0)]
    [1, 2, 1, 1, 1, 0, -1]
    """
    power = math.floor(math.log10(spread))
    begins_with_1 = round(spread, 1 - power) < 2 * 10.0**power
    return 1 - power if begins_with_1 else -power


def decimals_for_change(half: float, unit: Unit) -> int:
    """Decimal place of changes, limits and ends of intervals: two figures of the half width, a tenth at the finest
    (hundredths of a ratio)."""
    finest = 2 if unit is Unit.RATIO else 1
    if not _usable(half):
        return finest
    return min(finest, 1 - math.floor(math.log10(half)))


def figure(value: float, decimals: int, *, signed: bool = False, plain: bool = False) -> str:
    """`value` to a decimal place; nought never has a sign, minus is a true minus sign unless `plain`."""
    rounded = round(value, decimals)
    text = f"{abs(rounded):.{max(decimals, 0)}f}"
    if rounded < 0:
        return ("-" if plain else MINUS) + text
    return "+" + text if signed and rounded > 0 else text


def spread_text(spread: float) -> str:
    """A ± alone: to one figure, two where it begins with 1."""
    return figure(spread, decimals_for(spread)) if _usable(spread) else ""


def _usable(spread: float | None) -> bool:
    return spread is not None and math.isfinite(spread) and spread > 0


def _in_unit(value: float, unit: Unit, inches: bool) -> float:
    if unit is Unit.MM3:
        return value / 1000.0
    return value / MM_PER_INCH if inches and unit is Unit.MM else value


def unit_sign(unit: Unit, *, inches: bool = False, plain: bool = False) -> str:
    """The unit as it follows a value, space included: `" mm"`, `"°"`."""
    if inches and unit is Unit.MM:
        return " in"
    return (_PLAIN_SIGNS if plain else _SIGNS)[unit]


def pieces(value: float, spread: float | None, unit: Unit, *, inches: bool = False, signed: bool = False) -> Shown:
    """A value with its ± (half of the 95 % interval), both to the place of the ±; None or 0 = no ± known."""
    shown = _in_unit(value, unit, inches)
    sign = unit_sign(unit, inches=inches)
    if not _usable(spread):
        return Shown(figure(shown, _WITHOUT_SPREAD[unit] + (1 if inches else 0), signed=signed), sign, "")
    half = _in_unit(float(spread or 0.0), unit, inches)
    place = decimals_for(half)
    return Shown(figure(shown, place, signed=signed), sign, figure(half, place))


def measured(
    value: float,
    spread: float | None,
    unit: Unit,
    *,
    inches: bool = False,
    signed: bool = False,
    plain: bool = False,
) -> str:
    """`50.3° ± 0.7`, `4.8 mm ± 0.6`; plain: `50.3 deg +/- 0.7`."""
    shown = pieces(value, spread, unit, inches=inches, signed=signed)
    text = shown.value.replace(MINUS, "-") if plain else shown.value
    text += unit_sign(unit, inches=inches, plain=plain)
    if not shown.plus_minus:
        return text
    return f"{text} {'+/-' if plain else PLUS_MINUS} {shown.plus_minus}"


def quantity_text(quantity: Quantity, *, inches: bool = False, plain: bool = False) -> str:
    """A quantity with its 95 % ±."""
    return measured(quantity.value, quantity.expanded, quantity.unit, inches=inches, plain=plain)


def quantity_pieces(quantity: Quantity, *, inches: bool = False) -> Shown:
    return pieces(quantity.value, quantity.expanded, quantity.unit, inches=inches)


def change(value: float, half: float, unit: Unit, *, inches: bool = False) -> str:
    """A change with its sign, to the place its half interval allows: `+3.8 mm`."""
    place, shown = _changed(value, half, unit, inches)
    return figure(shown, place, signed=True) + unit_sign(unit, inches=inches)


def limit(value: float, unit: Unit, *, inches: bool = False) -> str:
    """A smallest change or another limit: `1.6 mm`."""
    place, shown = _changed(value, value, unit, inches)
    return figure(shown, place) + unit_sign(unit, inches=inches)


def span(low: float, high: float, unit: Unit, *, inches: bool = False, joined: str = "to") -> str:
    """An interval: `1.1 to 5.7 mm`."""
    half = (high - low) / 2
    place, first = _changed(low, half, unit, inches)
    last = _in_unit(high, unit, inches)
    return f"{figure(first, place)} {joined} {figure(last, place)}{unit_sign(unit, inches=inches)}"


def _changed(value: float, half: float, unit: Unit, inches: bool) -> tuple[int, float]:
    place = decimals_for_change(_in_unit(half, unit, inches), unit)
    return place + (1 if inches and unit is Unit.MM and place == 1 else 0), _in_unit(value, unit, inches)


def amount(value: float, unit: Unit, *, like: float | None = None, signed: bool = False, inches: bool = False) -> str:
    """A value without its ±, to the place of `like` (a ± in the same unit), else one decimal."""
    shown = pieces(value, like, unit, inches=inches, signed=signed)
    return shown.value + shown.unit


def about(value: float, unit: Unit, *, inches: bool = False) -> str:
    """A number for an owner: `about 3 mm`, to whole millimetres or degrees (half ones below 2)."""
    shown = _in_unit(value, unit, inches)
    size = abs(shown)
    text = f"{size:.0f}" if size >= 2 and not inches else f"{round(size * 2) / 2:g}" if not inches else f"{size:.1f}"
    return f"about {text}{unit_sign(unit, inches=inches)}"
