"""Words of taking numbers from a notebook in."""

from __future__ import annotations

from datetime import date

from hoofbook.terms.refusal import Refusal
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.refusals import sentence

# what a cell of a readings file must hold, as told to whoever wrote another thing there
A_NAME = "the name of the horse"
A_NUMBER, ABOVE_NOUGHT = "a number", "a number above 0"
A_DATE = "a date like 2025-01-14"
YES_OR_NO = "yes or no"


def between(least: float, most: float, unit: str) -> str:
    """`a number from 0 to 90 deg`"""
    return f"a number from {least:g} to {most:g} {unit}"


def whole_number(most: int) -> str:
    return f"a whole number of days from 0 to {most}, or nothing"


def day_between(first: date, last: date) -> str:
    return f"a date from {day_month_year(first)} to {day_month_year(last)}, like 2025-01-14"


def one_of(words: tuple[str, ...]) -> str:
    """`more / less / keep`, as many as there is room for"""
    return " / ".join(word for word in words if word)[:120]


def taken_words(file: str, kept: int, known: int) -> str:
    """`readings.csv: 12 readings kept as read by hand, 3 were here already.`"""
    words = f"{file}: {kept} {'reading' if kept == 1 else 'readings'} kept as read by hand"
    return f"{words}, {known} {'was' if known == 1 else 'were'} here already." if known else f"{words}."


def row_refused(line: int, refusal: Refusal) -> str:
    return f"  line {line}: {sentence(refusal)}"


def written_words(file: str, rows: int) -> str:
    return f"{rows} readings written to {file}."
