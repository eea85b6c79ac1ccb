"""A reading as a row of plain text: the columns of a readings file, from which it can be read in again."""

from __future__ import annotations

from collections.abc import Callable

from hoofbook.progress.series import Reading
from hoofbook.terms.quantity import MEASURES
from hoofbook.terms.subjects import Wanted

HEADS = (
    "horse",
    "foot",
    "measure",
    "definition",
    "date",
    "moment",
    "days_since_trim",
    "value",
    "unit",
    "u",
    "goal",
    "wanted",
)


def reading_row(
    horse: str,
    reading: Reading,
    *,
    is_goal: bool,
    wanted: Wanted | None,
    number: Callable[[float], str] = repr,
) -> tuple[str, ...]:
    """Codes, ISO days and numbers as `number` writes them (as they are), in the order of `HEADS`."""
    return (
        horse,
        reading.foot.value if reading.foot else "",
        reading.measure,
        reading.definition.value,
        reading.day.isoformat(),
        reading.moment.value,
        "" if reading.days_since_trim is None else str(reading.days_since_trim),
        number(reading.value),
        MEASURES[reading.measure].value,
        "" if reading.u is None else number(reading.u),
        "yes" if is_goal else "no",
        wanted.value if wanted else "",
    )
