"""Words of measuring anew by a better method."""

from __future__ import annotations

from hoofbook.terms.shown import Section
from hoofbook.terms.subjects import MeasuredAnew
from hoofbook.wording.dates import day_month_year

WORKING = "Measuring all visits anew by a better method"
TITLE = "Measured anew by a better method"
SEEN = "Seen"
BEFORE, NOW = "Before", "Now"


def section(row: MeasuredAnew) -> Section:
    said = (
        f"On {day_month_year(row.at.date())} all visits were measured again from their marks ({row.old_method} became "
        f"{row.new_method}). The marks are the same; the way from marks to figures is better."
    )
    return Section(TITLE, (said,), ((BEFORE, row.old_words), (NOW, row.new_words)))


def lines(row: MeasuredAnew) -> tuple[str, ...]:
    return f"{TITLE}, {day_month_year(row.at.date())}.", f"  {BEFORE}: {row.old_words}", f"  {NOW}: {row.new_words}"


def done(photos: int) -> str:
    """`12 photos were measured anew by a better method; Cycle by cycle shows what was said before.`"""
    count = "1 photo was" if photos == 1 else f"{photos} photos were"
    return f"{count} measured anew by a better method; Cycle by cycle shows what was said before."
