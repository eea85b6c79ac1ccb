"""Readings, changes and verdicts for the command line: of a book or of a readings file, by the same functions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoofbook.casework.measuring_anew import unseen_lines
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.readings import HorseReadings, read_readings, readings_asked
from hoofbook.casework.readings_file import TypedReading, read_readings_file
from hoofbook.progress.change import Followed, Progress, judge_all, judge_goals
from hoofbook.progress.derived import ALL_CODES as CONTRADICTED
from hoofbook.progress.derived import contradictions
from hoofbook.progress.series import HAND, Reading, Series, build_series
from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, Wanted
from hoofbook.terms.views import Moment
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.horse_card import NO_GOAL
from hoofbook.wording.measures import reading_line
from hoofbook.wording.places import foot_short, measure_with_definition
from hoofbook.wording.refusals import sentence
from hoofbook.wording.verdicts import chip, full_sentence, looked_at

ALL_CODES = ("horse_needed", "no_readings_of_horse", "foot_unknown", "measure_unknown")


@dataclass(frozen=True, slots=True)
class Told:
    """One series of one horse with how it stands."""

    horse: str
    progress: Progress
    is_goal: bool
    wanted: Wanted | None


@dataclass(frozen=True, slots=True)
class ProgressReport:
    told: tuple[Told, ...]
    looked_at: int
    goals: int
    measured_anew: tuple[str, ...] = ()  # what was said before and is said now, until a person has seen it


def progress_of_book(open_book: OpenBook, horse: str, *, foot: str = "", measure: str = "") -> ProgressReport:
    """All series of a horse, those of each moment by themselves, its goals first.

    Raises:
        Refused: `horse_unknown`, `horse_needed`, `foot_unknown`, `measure_unknown`, `no_readings_of_horse`.
    """
    kept = _horse(open_book, horse)
    readings = read_readings(open_book, kept.key)
    told = []
    pairs = [place for place, _, _ in readings.goals if isinstance(place, Pair)]
    for place in (*Foot, *dict.fromkeys(pairs)):
        for name, definition in readings.measures_of(place):
            told += _told_of(readings, kept.name, place, name, definition)
    if not told:
        raise Refused(Refusal("no_readings_of_horse", {"horse": kept.name}))
    return replace(_report(told, foot, measure), measured_anew=unseen_lines(open_book, kept.key))


def _told_of(readings: HorseReadings, horse: str, place: Place, measure: str, definition: Definition) -> list[Told]:
    """One measure at every moment at which it was read, each by itself; a goal is followed after trim."""
    goal = readings.goals.get((place, measure, definition))
    if goal is not None:
        told = [Told(horse, goal[1], True, goal[0].wanted)]
    elif isinstance(place, Pair):
        return []
    else:
        progress = readings.progress(place, measure, definition)
        left = any(reading.moment is Moment.AFTER_TRIM for reading, _ in progress.series.left_out)
        told = [Told(horse, progress, False, None)] if progress.series.readings or left else []
    if isinstance(place, Pair):
        return told
    others = [
        _alone(readings.series(place, measure, definition, moment))
        for moment in Moment
        if moment is not Moment.AFTER_TRIM
    ]
    return told + [Told(horse, progress, False, None) for progress in judge_all([s for s in others if s.readings])]


def _alone(series: Series) -> Series:
    """Without the readings of other moments among those left out: they have series of their own."""
    return replace(series, left_out=tuple(pair for pair in series.left_out if pair[0].moment is series.moment))


def _horse(open_book: OpenBook, name: str) -> Horse:
    if name:
        return open_book.horse_named(name)
    horses = open_book.book.every(Horse)
    if len(horses) != 1:
        raise Refused(Refusal("horse_needed", {}))
    return horses[0]


def progress_of_file(path: Path, *, horse: str = "", foot: str = "", measure: str = "") -> ProgressReport:
    """The same for a readings file: series by horse, foot, measure, definition and moment."""
    rows = read_readings_file(path)
    if horse and not any(row.horse == horse for row in rows):
        known = ", ".join(sorted({row.horse for row in rows}))
        raise Refused(Refusal("horse_unknown", {"horse": horse, "known": known}))
    told = []
    for name in dict.fromkeys(row.horse for row in rows if not horse or row.horse == horse):
        told += _told_of_rows(name, [row for row in rows if row.horse == name])
    return _report(told, foot, measure)


def _told_of_rows(horse: str, rows: Sequence[TypedReading]) -> list[Told]:
    groups: dict[tuple[Place, str, Definition, Moment], list[TypedReading]] = {}
    typed = [typed_reading(row) for row in rows]
    wrong = {reading.key: refusal for reading, refusal in contradictions(typed)}
    sound = [reading for reading in typed if reading.key not in wrong]
    for row in rows:
        groups.setdefault((row.foot, row.measure, row.definition, row.moment), []).append(row)
    followed, plain = [], []
    for (foot, measure, definition, moment), members in groups.items():
        asked = readings_asked(sound, foot, measure, definition, moment)
        series = build_series(asked, measure=measure, definition=definition, moment=moment, foot=foot)
        out = [(r, wrong[r.key]) for r in readings_asked(typed, foot, measure, definition, moment) if r.key in wrong]
        series = replace(series, left_out=(*series.left_out, *out))
        elsewhere = moment is not Moment.AFTER_TRIM and (foot, measure, definition, Moment.AFTER_TRIM) in groups
        if any(row.goal for row in members) and not elsewhere:  # a goal is followed after trim where that was read
            wanted = next((row.wanted for row in members if row.wanted), None)
            followed.append(Followed(series, wanted))
        else:
            plain.append(series)
    judged = zip(followed, judge_goals(followed), strict=True)
    goals = [Told(horse, progress, True, goal.wanted) for goal, progress in judged]
    return goals + [Told(horse, progress, False, None) for progress in judge_all(plain)]


def typed_reading(row: TypedReading) -> Reading:
    """A typed row as a reading by hand."""
    return Reading(
        day=row.day,
        value=row.value,
        u=row.u,
        moment=row.moment,
        days_since_trim=row.days_since_trim,
        measure=row.measure,
        definition=row.definition,
        foot=row.foot,
        method=HAND,
        key=f"line {row.line}",
        visit=row.day.isoformat(),
    )


def _report(told: Iterable[Told], foot: str, measure: str) -> ProgressReport:
    every = list(told)
    known = [item.value for item in (*Foot, *Pair)]
    if foot and foot not in known:
        raise Refused(Refusal("foot_unknown", {"found": foot, "known": ", ".join(known)}))
    names = sorted({item.progress.series.measure for item in every})
    if measure and measure not in names:
        raise Refused(Refusal("measure_unknown", {"found": measure, "known": ", ".join(names)}))
    wished = [
        item
        for item in every
        if (not foot or item.progress.series.foot == foot) and (not measure or item.progress.series.measure == measure)
    ]
    wished.sort(key=lambda item: not item.is_goal)
    return ProgressReport(tuple(wished), len(every), sum(item.is_goal for item in every))


def sentences(report: ProgressReport) -> tuple[str, ...]:
    """What is said of each goal, and how many measures were looked at."""
    said = [f"{item.horse}: {full_sentence(item.progress)}" for item in report.told if item.is_goal]
    return (*said, looked_at(report.looked_at, report.goals))


def goals_of_others(open_book: OpenBook, horse: str) -> tuple[str, ...]:
    """What is said of the first goal of every other horse that has one and readings, by name."""
    said: list[str] = []
    for name in sorted(kept.name for kept in open_book.book.every(Horse) if kept.name != horse):
        try:
            said += sentences(progress_of_book(open_book, name))[:-1][:1]
        except Refused:
            continue  # a horse without readings has nothing to say yet
    return tuple(said)


def rows(report: ProgressReport) -> tuple[tuple[str, ...], ...]:
    """One row a series: foot, measure, readings, first, last, verdict."""
    return tuple(_row(item) for item in report.told if item.progress.series.readings)


def _row(item: Told) -> tuple[str, ...]:
    series = item.progress.series
    first, last = (reading_line(reading) for reading in (series.readings[0], series.readings[-1]))
    told = chip(item.progress)
    verdict = told.words if told else NO_GOAL
    return (
        foot_short(series.foot) if series.foot else "",
        measure_with_definition(series.measure, series.definition),
        f"{len(series.readings)}, {series.moment.value}",
        f"{first.value}{first.unit} {first.plus_minus}".strip(),
        f"{last.value}{last.unit} {last.plus_minus}".strip(),
        verdict,
    )


def left_out_lines(report: ProgressReport) -> tuple[str, ...]:
    """Readings of goals that are not on the line, and typed ones that contradict their parts: each reason once."""
    lines = []
    for item in report.told:
        series = item.progress.series
        reasons: dict[str, list[str]] = {}
        for reading, refusal in series.left_out:
            if not item.is_goal and refusal.code not in CONTRADICTED:
                continue
            reasons.setdefault(sentence(refusal), []).append(day_month_year(reading.day))
        foot = foot_short(series.foot) if series.foot else ""
        lines += [f"{item.horse} {foot}, {', '.join(days)}: {reason}" for reason, days in reasons.items()]
    return tuple(lines)
