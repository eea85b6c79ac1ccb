"""Small makers of readings for the tests."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from hoofbook.progress.series import Reading, Series, build_series
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import Moment

APEX = "sole_concavity_at_frog_apex"
LARKSPUR_DAYS = (
    date(2025, 1, 14),
    date(2025, 2, 25),
    date(2025, 4, 16),
    date(2025, 5, 27),
    date(2025, 7, 8),
    date(2025, 8, 19),
    date(2025, 9, 30),
)
LARKSPUR_LF = (1.2, 1.8, 2.1, 3.0, 3.6, 4.2, 5.0)
LARKSPUR_RF = {0: 2.0, 2: 1.9, 4: 2.1, 6: 2.1}


def reading(day: date, value: float, u: float | None = None, **more: object) -> Reading:
    known: dict[str, object] = {
        "moment": Moment.AFTER_TRIM,
        "days_since_trim": 42,
        "measure": APEX,
        "definition": Definition.FROM_SOLE_EDGE,
        "foot": Foot.LF,
        "method": "sole 1",
        "key": f"{more.get('foot', 'LF')} {day}",
        "visit": f"visit {day}",
    }
    return Reading(day=day, value=value, u=u, **{**known, **more})  # type: ignore[arg-type]


def series_of(readings: Sequence[Reading], measure: str = APEX) -> Series:
    first = readings[0]
    return build_series(readings, measure=measure, definition=first.definition, moment=first.moment)


def even_days(count: int, gap: int = 42) -> list[date]:
    return [date(2020, 1, 6) + timedelta(days=gap * number) for number in range(count)]
