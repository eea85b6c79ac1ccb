from __future__ import annotations

from datetime import date

import pytest

from hoofbook.terms.quantity import Part, Quantity, Unit
from hoofbook.wording.dates import day_month, weekday_day, weekday_day_month_year, weeks_between, weeks_text
from hoofbook.wording.numbers import MINUS, about, change, decimals_for, limit, measured, pieces, quantity_text, span


@pytest.mark.parametrize(
    ("value", "spread", "unit", "words"),
    [
        (50.34, 0.66, Unit.DEG, "50.3° ± 0.7"),
        (50.34, 1.23, Unit.DEG, "50.3° ± 1.2"),
        (4.84, 0.58, Unit.MM, "4.8 mm ± 0.6"),
        (4.84, 0.123, Unit.MM, "4.84 mm ± 0.12"),
        (4.84, 0.195, Unit.MM, "4.8 mm ± 0.2"),
        (4.84, 0.96, Unit.MM, "4.8 mm ± 1.0"),
        (85.4, 9.6, Unit.MM, "85 mm ± 10"),
        (85.4, 14.4, Unit.MM, "85 mm ± 14"),
        (85.4, 34.0, Unit.MM, "90 mm ± 30"),
        (2.268, 0.031, Unit.RATIO, "2.27 ± 0.03"),
        (-1.52, 0.3, Unit.DEG, f"{MINUS}1.5° ± 0.3"),
        (-0.02, 0.3, Unit.DEG, "0.0° ± 0.3"),
        (4.84, None, Unit.MM, "4.8 mm"),
        (12345.0, 800.0, Unit.MM3, "12.3 cm³ ± 0.8"),
    ],
)
def test_value_to_the_place_of_its_spread(value: float, spread: float | None, unit: Unit, words: str) -> None:
    assert measured(value, spread, unit) == words


def test_every_spread_has_one_figure_or_two_from_1() -> None:
    for hundredths in range(1, 5000):
        spread = hundredths / 100 + 0.0003
        place = decimals_for(spread)
        digits = str(round(round(spread, place) * 10.0 ** max(place, 0))).rstrip("0" if place < 0 else "")
        assert len(digits) == (2 if digits.startswith("1") and place >= 0 else 1), spread
        assert abs(round(spread, place) - spread) <= 0.34 * spread


def test_plain_text_and_inches() -> None:
    assert measured(-1.52, 0.31, Unit.DEG, plain=True) == "-1.5 deg +/- 0.3"
    assert measured(50.8, 0.508, Unit.MM, inches=True) == "2.00 in ± 0.02"
    assert measured(50.8, 0.5, Unit.MM, plain=True).isascii()


def test_expanded_uncertainty_is_shown() -> None:
    quantity = Quantity("toe_angle", 50.34, Unit.DEG, (Part("a", 0.3), Part("b", 0.15)))
    assert quantity_text(quantity) == "50.3° ± 0.7"
    assert (pieces(4.84, 0.58, Unit.MM).value, pieces(4.84, 0.58, Unit.MM).plus_minus) == ("4.8", "0.6")


def test_changes_limits_and_spans() -> None:
    assert change(3.778, 1.09, Unit.MM) == "+3.8 mm"
    assert change(-3.778, 0.5, Unit.MM) == f"{MINUS}3.8 mm"
    assert limit(1.088, Unit.MM) == "1.1 mm"
    assert limit(12.3, Unit.MM) == "12 mm"
    assert span(1.13, 5.72, Unit.MM) == "1.1 to 5.7 mm"
    assert span(-15.3, 24.8, Unit.DEG) == f"{MINUS}15 to 25°"
    assert about(2.9, Unit.MM) == "about 3 mm"
    assert about(1.3, Unit.MM) == "about 1.5 mm"


def test_days() -> None:
    day = date(2025, 9, 30)
    assert weekday_day_month_year(day) == "Tue 30 Sep 2025"
    assert weekday_day(date(2025, 10, 2)) == "Thu 2 Oct"
    assert day_month(day) == "30 Sep"
    assert weeks_between(date(2025, 1, 14), day) == "37 weeks"
    assert [weeks_text(w) for w in (0, 1 / 7, 1, 10 / 7, 2)] == [
        "the same day",
        "1 day",
        "1 week",
        "10 days",
        "2 weeks",
    ]
