"""Reads a readings file: CSV of numbers from a notebook, a hand gauge or another tool.

Header: horse,foot,measure,definition,date,moment,days_since_trim,value,unit,u,goal,wanted. `u` may be empty (then
the scatter between visits alone decides), `days_since_trim` too; `goal` is yes or no (empty: no), `wanted` more, less,
keep or empty. Every cell is held to what can be at all: see `_LIMITS` and `FIRST_DAY`.
"""

from __future__ import annotations

import csv
import difflib
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from types import MappingProxyType

from hoofbook.housekeeping.clock import SystemClock
from hoofbook.terms.feet import Foot, Pair, Place, place_of
from hoofbook.terms.quantity import MEASURES, Definition, Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Wanted
from hoofbook.terms.views import Moment
from hoofbook.wording import notebook as words
from hoofbook.wording.reading_rows import HEADS

COLUMNS = HEADS
FIRST_DAY = date(1950, 1, 1)  # nobody's notebook of today's horses begins before
MOST_DAYS_SINCE_TRIM = 999
_CLOCK_AHEAD = timedelta(days=1)  # the book's clock is UTC: for a person east of it the day has begun before
_SIGNED_ANGLE, _SEEN_FROM_FRONT, _HOLLOW = (-90.0, 90.0), (0.0, 120.0), (-100.0, 100.0)
_OF_UNIT: Mapping[Unit, tuple[float, float]] = MappingProxyType(
    {Unit.DEG: (0.0, 90.0), Unit.MM: (0.0, 400.0), Unit.RATIO: (0.0, 10.0), Unit.MM3: (-1e6, 1e6)}
)
_LIMITS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "toe_heel_angle_difference": _SIGNED_ANGLE,
        "hoof_pastern_axis": _SIGNED_ANGLE,
        "coronary_band_angle": _SIGNED_ANGLE,  # seen on a foot held askew it may fall the other way
        "medial_wall_angle": _SEEN_FROM_FRONT,  # a wall may lean in under the foot
        "lateral_wall_angle": _SEEN_FROM_FRONT,
        "sole_concavity_at_frog_apex": _HOLLOW,  # a sole may bulge, a wall be worn below it
        "greatest_sole_concavity": _HOLLOW,
        "mean_sole_concavity": _HOLLOW,
        "wall_above_sole": _HOLLOW,
        "groove_depth": _HOLLOW,
        "new_horn_length": (-20.0, 200.0),  # read soon after a trim it may come out below nought
    }
)
"""What a foot can measure at all, in the measure's unit; those not named have the limits of their unit (our own limits,
wide of any horse: common practice, no source)."""
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


def read_readings_file(path: Path, today: date | None = None) -> tuple[TypedReading, ...]:
    """Reads all rows. `today` is the day the book stands at, beyond which nothing was read yet; None: by the clock.

    Raises:
        Refused: naming line, column and what is expected (codes in `ALL_CODES`).
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _refused("readings_file_missing", path) from error
    except (UnicodeDecodeError, OSError) as error:
        raise _refused("readings_file_not_text", path) from error
    rows = csv.DictReader(io.StringIO(text, newline=""))
    last = (today or SystemClock().now().date()) + _CLOCK_AHEAD
    heads = [head.strip() for head in _heads(rows, path)]
    rows.fieldnames = heads
    for column in COLUMNS:
        if column not in heads:
            close = difflib.get_close_matches(column, heads, 1, 0.75)
            raise _refused("readings_file_no_column", path, column=column, found=close[0] if close else "")
    try:
        filled = [(rows.line_num, row) for row in rows if any((v or "") for v in row.values())]
    except csv.Error as error:
        raise _refused("readings_file_not_text", path) from error
    readings = tuple(_Row(path, line, row, last).reading() for line, row in filled)
    if not readings:
        raise _refused("readings_file_empty", path)
    return readings


def _heads(rows: csv.DictReader[str], path: Path) -> Sequence[str]:
    try:
        return rows.fieldnames or ()
    except csv.Error as error:
        raise _refused("readings_file_not_text", path) from error


@dataclass(frozen=True, slots=True)
class _Row:
    """One line with the words to refuse it by."""

    path: Path
    line: int
    cells: dict[str, str | None]
    last: date

    def reading(self) -> TypedReading:
        measure = self._one_of("measure", tuple(MEASURES))
        if self._text("unit") != MEASURES[measure].value:
            raise self._wrong("unit", MEASURES[measure].value)
        wanted = self._text("wanted")
        spread = self._text("u")
        place = place_of(self._one_of("foot", tuple(place.value for place in (*Foot, *Pair))))
        return TypedReading(
            line=self.line,
            horse=self._horse(),
            foot=place,
            measure=measure,
            definition=Definition(self._one_of("definition", tuple(item.value for item in Definition))),
            day=self._day(),
            moment=Moment(self._one_of("moment", tuple(moment.value for moment in Moment))),
            days_since_trim=self._days_since_trim(),
            value=self._value(measure, place),
            u=self._number("u", positive=True) if spread else None,
            goal=self._goal(),
            wanted=Wanted(self._one_of("wanted", tuple(item.value for item in Wanted))) if wanted else None,
        )

    def _horse(self) -> str:
        if not self._text("horse"):
            raise self._wrong("horse", words.A_NAME)
        return self._text("horse")

    def _goal(self) -> bool:
        told = self._text("goal").lower()
        if told not in ("yes", "no", ""):
            raise self._wrong("goal", words.YES_OR_NO)
        return told == "yes"

    def _days_since_trim(self) -> int | None:
        told = self._text("days_since_trim")
        if not told:
            return None
        if not (told.isascii() and told.isdigit() and int(told) <= MOST_DAYS_SINCE_TRIM):
            raise self._wrong("days_since_trim", words.whole_number(MOST_DAYS_SINCE_TRIM))
        return int(told)

    def _value(self, measure: str, place: Place) -> float:
        value = self._number("value")
        unit = MEASURES[measure]
        least, most = _LIMITS.get(measure, _OF_UNIT[unit])
        if isinstance(place, Pair):  # the difference of two
            least, most = least - most, most - least
        if not least <= value <= most:
            raise self._wrong("value", words.between(least, most, unit.value))
        return value

    def _text(self, column: str) -> str:
        return (self.cells.get(column) or "").strip()

    def _one_of(self, column: str, known: tuple[str, ...]) -> str:
        text = self._text(column)
        if text not in known:
            close = difflib.get_close_matches(text, known, 1, 0.5)
            raise self._wrong(column, close[0] if close else words.one_of(known))
        return text

    def _number(self, column: str, positive: bool = False) -> float:
        try:
            number = float(self._text(column))
        except ValueError as error:
            raise self._wrong(column, words.A_NUMBER) from error
        if not math.isfinite(number) or (positive and number <= 0):
            raise self._wrong(column, words.ABOVE_NOUGHT if positive else words.A_NUMBER)
        return number

    def _day(self) -> date:
        try:
            day = date.fromisoformat(self._text("date"))
        except ValueError as error:
            raise self._wrong("date", words.A_DATE) from error
        if not FIRST_DAY <= day <= self.last:
            raise self._wrong("date", words.day_between(FIRST_DAY, self.last - _CLOCK_AHEAD))
        return day

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
