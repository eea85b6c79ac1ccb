"""Sentences of Cycle by cycle. What words are allowed is the project's own choice; figures are worked out by hand."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import date

import pytest

from hoofbook.progress.change import Followed, judge, judge_goals
from hoofbook.progress.cycle import DayReached, Growth, SeasonRate, Taken
from hoofbook.progress.gaps import Gap
from hoofbook.progress.series import Series
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import COVERAGE, Definition
from hoofbook.terms.subjects import Event, EventKind, Wanted
from hoofbook.terms.views import Moment
from hoofbook.wording import cycle_words, cycles, verdicts, within_cycle

from ..progress.lives import LARKSPUR_DAYS, LARKSPUR_LF, LARKSPUR_RF, reading, series_of

FORBIDDEN = ("improved", "worse", "healthy", "normal", "ideal", "due")


def goal(values: dict[int, float]) -> Series:
    return series_of([reading(LARKSPUR_DAYS[place], value, 0.32) for place, value in values.items()])


@pytest.mark.parametrize(
    ("values", "starts", "ends"),
    [
        (dict(enumerate(LARKSPUR_LF)), "Increase shown, as wanted: between", "; next verdict at reading 13."),
        (LARKSPUR_RF, "No change shown (smallest we could see: ", "; next verdict at reading 7."),
        (dict(enumerate(LARKSPUR_LF[:5])), "No verdict at this reading: between", "; next verdict at reading 7."),
        (dict(enumerate(LARKSPUR_LF[:2])), "No verdict at this reading: between", "; next verdict at reading 4."),
        (dict(enumerate(LARKSPUR_LF[:1])), "First reading", "; next verdict at reading 4."),
    ],
)
def test_one_sentence_says_verdict_or_interval_and_the_next_planned_reading(
    values: dict[int, float], starts: str, ends: str
) -> None:
    progress = judge_goals([Followed(goal(values), Wanted.MORE)])[0]
    said = cycle_words.head_sentence(progress)
    assert said.startswith(starts)
    assert said.endswith(ends)
    assert re.findall(r"[.](?!\d)", said) == ["."]
    assert not any(word in said.lower().split() for word in FORBIDDEN)
    assert progress.change is None or verdicts.between(progress).rstrip(".").lower() in said.lower()


def test_the_last_verdict_stands_in_the_sentence_between_readings() -> None:
    progress = judge_goals([Followed(goal(dict(enumerate(LARKSPUR_LF[:5]))), Wanted.MORE)])[0]
    assert "at reading 4, 27 May 2025, it was" in cycle_words.head_sentence(progress)


def test_without_a_goal_there_is_an_interval_and_no_verdict() -> None:
    said = cycle_words.head_sentence(judge(goal(dict(enumerate(LARKSPUR_LF)))))
    assert said.startswith("No goal is set, so no verdict: between")
    assert "next verdict" not in said


def test_gaps_are_told_once_each() -> None:
    found = (
        Gap(date(2025, 2, 25), date(2025, 7, 8), (date(2025, 4, 16), date(2025, 5, 27)), 42),
        Gap(date(2025, 7, 8), date(2025, 9, 30), (), 42),
    )
    series = goal(dict(enumerate(LARKSPUR_LF)))
    rows = cycle_words.gap_rows(series, found, (date(2025, 11, 11),))
    assert rows[0] == (
        "16 Apr to 27 May",
        "no comparable reading of this at these 2 visits; 133 days between readings, usually 42: "
        "the line is broken there",
    )
    assert rows[1] == ("8 Jul to 30 Sep", "84 days between readings, usually 42: the line is broken there")
    assert rows[2][0] == "11 Nov"
    older = series_of([*series.readings, reading(date(2024, 12, 3), 1.0, 0.32)])
    assert cycle_words.gap_rows(older, found[1:], ())[0][0] == "8 Jul 2025 to 30 Sep 2025"


def test_a_difference_is_real_only_beyond_its_own_spread() -> None:
    """Left 6.5° more, u 0.97°: 1.96 x 0.97 = 1.9, so 4.6 to 8.4°."""
    day = date(2025, 9, 4)
    known = {"measure": "toe_angle", "definition": Definition.ONE, "foot": Pair.LF_LESS_RF}
    (said,) = cycle_words.difference_now(reading(day, 6.5, 0.97, **known), Pair.LF_LESS_RF)
    assert "the left fore reads 6.5° more than the right fore, 4.6 to 8.4°" in said
    assert "real" in said
    (turned,) = cycle_words.difference_now(reading(day, -6.5, 0.97, **known), Pair.LF_LESS_RF)
    assert "the right fore reads 6.5° more than the left fore, 4.6 to 8.4°" in turned
    (unsure,) = cycle_words.difference_now(reading(day, 1.5, 0.97, **known), Pair.LF_LESS_RF)
    assert "not larger than its own ±" in unsure and "real" not in unsure
    assert "\u22120.4 to 3.4°" in unsure
    (untold,) = cycle_words.difference_now(reading(day, 1.5, None, **known), Pair.LF_LESS_RF)
    assert "Without a known ±" in untold


def test_a_spreadsheet_reads_what_was_written() -> None:
    """Read back by the csv module of Python's library; numbers are plain, a person's word begins no formula."""
    rows = [reading(d, v, 0.32) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    rows[0] = replace(rows[0], value=-1.25, person='=HYPERLINK("x")\tand\nmore')
    series = series_of(rows)
    text = cycles.spreadsheet(series, series_of([replace(rows[1], moment=Moment.BEFORE_TRIM, key="b")]))
    table = list(csv.reader(io.StringIO(text), dialect="excel-tab"))
    assert table[0] == list(cycles.SPREADSHEET_HEADS)
    assert {len(row) for row in table} == {len(table[0])}
    first = dict(zip(table[0], table[1], strict=True))
    assert (first["Day"], float(first["Value"]), first["Shod"]) == ("2025-01-14", -1.25, "bare")
    assert float(first["±"]) == pytest.approx(COVERAGE * 0.32, abs=5e-4)
    assert first["Marked by"] == '\'=HYPERLINK("x") and more'
    assert [row[3] for row in table[1:]].count("before trim") == 1


def test_the_table_has_the_day_book_and_missed_visits_in_their_place() -> None:
    series = series_of([reading(d, v, 0.32) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)])
    event = Event(None, None, date(2025, 3, 22), EventKind.LOST_SHOE, Foot.RF, "found in the field")  # type: ignore[arg-type]
    table = cycles.reading_table(series, replace(series, readings=()), [event], [date(2025, 11, 11)])
    assert table.rows[2][:2] == ("22 Mar 2025", "Day book: lost shoe, RF. found in the field")
    assert table.emphasis == {2: "event", 8: "event"}
    assert table.keys[2] == "" and table.rows[8][1] == "visit without this reading"
    assert len(table.rows) == len(table.keys) == 9


def test_rates_by_season_come_with_count_and_spread() -> None:
    rows = within_cycle.season_rows("toe_length", (SeasonRate(12, 2, 8.1, 7.2, 9.0), SeasonRate(9, 1, 9.4, 8.1, 10.7)))
    assert rows[1:] == (("Dec to Feb", "+8.1 mm ± 0.9, 2 cycles"), ("Sep to Nov", "+9.4 mm ± 1.3, 1 cycle"))
    assert within_cycle.season_rows("toe_length", (SeasonRate(12, 2, 8.1, 7.2, 9.0),)) == ()


def test_each_cycle_is_a_row_newest_first() -> None:
    cycle = Growth(date(2025, 1, 14), date(2025, 2, 25), 42, 12.6, 9.0, 0.5, 8.0, 10.0)
    took = (Taken(date(2025, 2, 25), 12.0, 11.0, 13.0), Taken(date(2025, 4, 16), 10.0, None, None))
    table = within_cycle.each_cycle("toe_length", (cycle,), took)
    assert table is not None
    assert table.rows == (
        ("to 16 Apr 2025", "", "", "\u221210.0 mm"),
        ("14 Jan to 25 Feb 2025", "42", "+9.0 mm ± 1.0", "\u221212.0 mm ± 1.0"),
    )
    assert within_cycle.each_cycle("toe_length", (), ()) is None


TODAY = date(2025, 10, 1)
SINCE, EARLY, DAY, LATE = date(2025, 9, 30), date(2025, 11, 1), date(2025, 11, 9), date(2025, 11, 20)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (
            DayReached(95.0, SINCE, DAY, EARLY, LATE),
            "comes to the limit you set, 95 mm, about 9 Nov 2025 (1 Nov 2025 to 20 Nov 2025, 19 times in 20).",
        ),
        (DayReached(95.5, SINCE, DAY, SINCE, LATE), "95.5 mm, about 9 Nov 2025 (as early as the last reading to"),
        (
            DayReached(95.0, SINCE, DAY, EARLY, None),
            "about 9 Nov 2025: 1 Nov 2025 at the earliest, and not for certain",
        ),
        (DayReached(95.0, SINCE, None, EARLY, None), "not surely at all: 1 Nov 2025 at the earliest"),
        (DayReached(95.0, SINCE, None, None, None), "does not come to the limit you set, 95 mm, within 365 days."),
        (DayReached(80.0, SINCE, None, None, None, passed=True), "was past the limit you set, 80 mm, already."),
    ],
)
def test_the_limit_is_the_persons_own(found: DayReached, said: str) -> None:
    words = within_cycle.limit_sentence("toe_length", found, TODAY)
    assert said in words
    assert not any(word in words.lower().split() for word in FORBIDDEN)


def test_a_day_gone_by_is_told_as_gone_by() -> None:
    words = within_cycle.limit_sentence("toe_length", DayReached(95.0, SINCE, DAY, EARLY, LATE), date(2026, 3, 1))
    assert "this foot came to the limit you set" in words
