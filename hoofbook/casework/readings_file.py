"""Reads a readings file: CSV of numbers from a notebook, a hand gauge or another tool.

Header: horse,foot,measure,definition,date,moment,days_since_trim,value,unit,u,goal,wanted. `u` may be empty (then
the scatter between visits alone decides); `goal` is yes or no.
"""

from __future__ import annotations

import csv
import difflib
import math
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from types import MappingProxyType

from hoofbook.terms.feet import Foot, Pair, Place, place_of
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Wanted
from hoofbook.terms.views import Moment

COLUMNS = (
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
ALL_CODES = (
    "readings_file_missing",
    "readings_file_not_text",
    "readings_file_no_column",
    "readings_file_wrong_value",
    "readings_file_empty",
)


@dataclass(frozen=True, slots=True)
class TypedReading:
    """One row: a number somebody wrote down. `u` None = not told."""

    line: int
    horse: str
    foot: Place
    measure: str
    definition: Definition
    day: date
    moment: Moment
    days_since_trim: int | None
    value: float
    u: float | None
    goal: bool
    wanted: Wanted | None


def read_readings_file(path: Path) -> tuple[TypedReading, ...]:
    """Reads all rows.

    Raises:
        Refused: naming line, column and what is expected (codes in `ALL_CODES`).
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _refused("readings_file_missing", path) from error
    except (UnicodeDecodeError, OSError) as error:
        raise _refused("readings_file_not_text", path) from error
    rows = csv.DictReader(text.splitlines())
    heads = [head.strip() for head in rows.fieldnames or ()]
    rows.fieldnames = heads
    for column in COLUMNS:
        if column not in heads:
            close = difflib.get_close_matches(column, heads, 1, 0.75)
            raise _refused("readings_file_no_column", path, column=column, found=close[0] if close else "")
    readings = tuple(_Row(path, rows.line_num, row).reading() for row in rows if any((v or "") for v in row.values()))
    if not readings:
        raise _refused("readings_file_empty", path)
    return readings


@dataclass(frozen=True, slots=True)
class _Row:
    """One line with the words to refuse it by."""

    path: Path
    line: int
    cells: dict[str, str | None]

    def reading(self) -> TypedReading:
        measure = self._one_of("measure", tuple(MEASURES))
        if self._text("unit") != MEASURES[measure].value:
            raise self._wrong("unit", MEASURES[measure].value)
        goal = self._text("goal").lower() in ("yes", "y", "true", "1")
        wanted = self._text("wanted")
        spread = self._text("u")
        since = self._text("days_since_trim")
        return TypedReading(
            line=self.line,
            horse=self._text("horse"),
            foot=place_of(self._one_of("foot", tuple(place.value for place in (*Foot, *Pair)))),
            measure=measure,
            definition=Definition(self._one_of("definition", tuple(item.value for item in Definition))),
            day=self._day(),
            moment=Moment(self._one_of("moment", tuple(moment.value for moment in Moment))),
            days_since_trim=int(self._number("days_since_trim")) if since else None,
            value=self._number("value"),
            u=self._number("u", positive=True) if spread else None,
            goal=goal,
            wanted=Wanted(self._one_of("wanted", tuple(item.value for item in Wanted))) if wanted else None,
        )

    def _text(self, column: str) -> str:
        return (self.cells.get(column) or "").strip()

    def _one_of(self, column: str, known: tuple[str, ...]) -> str:
        text = self._text(column)
        if text not in known:
            close = difflib.get_close_matches(text, known, 1, 0.5)
            raise self._wrong(column, close[0] if close else " / ".join(item for item in known if item)[:120])
        return text

    def _number(self, column: str, positive: bool = False) -> float:
        try:
            number = float(self._text(column))
        except ValueError as error:
            raise self._wrong(column, "a number") from error
        if not math.isfinite(number) or (positive and number <= 0):
            raise self._wrong(column, "a number above 0" if positive else "a number")
        return number

    def _day(self) -> date:
        try:
            return date.fromisoformat(self._text("date"))
        except ValueError as error:
            raise self._wrong("date", "a date like 2025-01-14") from error

    def _wrong(self, column: str, expected: str) -> Refused:
        return _refused(
            "readings_file_wrong_value",
            self.path,
            line=self.line,
            column=column,
            found=self._text(column),
            expected=expected,
        )


def _refused(code: str, path: Path, **facts: str | float | int | bool | None) -> Refused:
    return Refused(Refusal(code, MappingProxyType({"file": path.name, **facts})))
