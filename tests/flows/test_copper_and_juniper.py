"""The sample book's other two horses: a crack that grows down, and a pair of feet that stay unlike.

Reference: the truth files of sample_cases (the renderer's own geometry), and each scenario's case.json. Everything is
measured from the photos through the book; the verdict's arithmetic is checked against published data elsewhere.
"""

from __future__ import annotations

import json
from datetime import date

import pytest

from hoofbook.casework.bench import next_mark, read_bench, start_live
from hoofbook.casework.horse_card import read_horse_card
from hoofbook.casework.horses import list_horses
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_tray import choices, file_photo, read_tray
from hoofbook.casework.progress_document import document
from hoofbook.casework.progress_text import goals_of_others, progress_of_book
from hoofbook.casework.readings import read_readings
from hoofbook.casework.then_and_now import read_pair
from hoofbook.casework.visit import list_visits
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.refusal import Refused
from hoofbook.terms.shown import Table
from hoofbook.terms.subjects import Event, EventKind, Finding, Visit, VisitKind

NEW_HORN, TOE_ANGLE = "new_horn_length", "toe_angle"


def truth(horse: str, visit: int, photo: str) -> dict[str, float]:
    path = sample_case(horse) / f"visit-{visit}" / f"{photo}-after.truth.json"
    measures: dict[str, float] = json.loads(path.read_text(encoding="utf-8"))["measures"]
    return measures


def told(book: OpenBook, horse: str, foot: str, measure: str) -> dict[str, object]:
    report = document(progress_of_book(book, horse, foot=foot, measure=measure))
    (series,) = report["series"]
    return dict(series)


@pytest.mark.parametrize(
    ("horse", "photos", "visits"),
    [("copper", {"LF": "lf-inside"}, (1, 3, 4, 5, 6, 7)), ("juniper", {"LF": "lf-side", "RF": "rf-side"}, range(1, 6))],
)
def test_nine_in_ten_figures_hold_their_truth_within_their_own_interval(
    opened_sample: OpenBook, horse: str, photos: dict[str, str], visits: tuple[int, ...]
) -> None:
    """A 95 % interval (1.96 standard uncertainties) of every measure that the truth file states."""
    readings = read_readings(opened_sample, opened_sample.horse_named(horse).key)
    apart = []
    for foot, photo in photos.items():
        known = {name for name in truth(horse, visits[0], photo) if name in MEASURES}
        for name in sorted(known):
            series = readings.series(Foot(foot), name, Definition.ONE).readings
            for reading, visit in zip(series, visits, strict=bool(series)):
                assert reading.u is not None
                apart.append(abs(reading.value - truth(horse, visit, photo)[name]) / reading.u)
    assert len(apart) >= 24
    assert sum(value <= 1.96 for value in apart) >= 0.9 * len(apart)
    assert max(apart) < 3.5


def test_whole_horn_grows_down_and_is_shown_to_at_reading_four(opened_sample: OpenBook) -> None:
    found = told(opened_sample, "Copper", "LF", NEW_HORN)
    (look,) = found["looks"]  # type: ignore[misc]
    assert (look["reading"], look["date"], look["verdict"]) == (4, "2025-06-17", "increase shown")
    true_change = truth("copper", 7, "lf-inside")[NEW_HORN] - truth("copper", 1, "lf-inside")[NEW_HORN]
    assert found["low"] < true_change < found["high"]  # type: ignore[operator]
    assert found["wanted"] == "more" and found["next_look"] == 7
    assert "Reading 4, 17 Jun 2025: increase shown, as wanted." in str(found["sentence"])


def test_new_horn_grew_at_the_rate_of_the_scenario(opened_sample: OpenBook) -> None:
    """8.1 mm in 30 days: 47 mm in 175 days, as in the scenario."""
    found = told(opened_sample, "Copper", "LF", NEW_HORN)
    days = (date(2025, 8, 26) - date(2025, 3, 4)).days
    low, high = (float(found[end]) * 30.0 / days for end in ("low", "high"))  # type: ignore[arg-type]
    assert days == 175 and low < 47.0 * 30.0 / 175 < high
    assert high - low < 2.0


def test_the_feet_are_unlike_at_every_visit_but_their_difference_does_not_change(opened_sample: OpenBook) -> None:
    readings = read_readings(opened_sample, opened_sample.horse_named("Juniper").key)
    series = readings.series(Pair.LF_LESS_RF, TOE_ANGLE, Definition.ONE).readings
    assert len(series) == 5
    for visit, reading in enumerate(series, 1):
        true = truth("juniper", visit, "lf-side")[TOE_ANGLE] - truth("juniper", visit, "rf-side")[TOE_ANGLE]
        assert reading.u is not None
        assert abs(reading.value - true) < 1.96 * reading.u
        assert reading.value > 1.96 * reading.u  # a real difference each time
    found = told(opened_sample, "Juniper", "LF-RF", TOE_ANGLE)
    (look,) = found["looks"]  # type: ignore[misc]
    assert (look["reading"], look["verdict"]) == (4, "no change shown")
    assert found["wanted"] == "less" and found["verdict"] is None and found["next_look"] == 7
    first, last = (
        truth("juniper", visit, "lf-side")[TOE_ANGLE] - truth("juniper", visit, "rf-side")[TOE_ANGLE]
        for visit in (1, 5)
    )
    assert found["low"] < last - first < found["high"]  # type: ignore[operator]


def test_no_remark_stands_on_a_photo_from_the_inside_until_it_is_filed_as_from_the_outside(
    opened_sample: OpenBook,
) -> None:
    horse = str(opened_sample.horse_named("Copper").key)
    photos = opened_sample.book.photos(opened_sample.horse_named("Copper").key)
    assert len(photos) == 6
    for photo in photos:
        shown = read_bench(opened_sample, horse, str(photo.key)).current
        assert shown is not None and shown.remarks == ()
        assert shown.title == "Left fore, side, inside"
        assert [line.name for line in shown.lines if line.required] == ["crack_hairline", "crack_top"]
        assert next_mark(shown.lines, shown.marking) is None
    key = str(photos[0].key)
    line = file_photo(opened_sample, key, seen_from="outside")
    pick = next(item for item in choices(opened_sample, horse) if item.field == "seen_from")
    assert line.seen_from == dict(zip(pick.options, pick.labels, strict=True))["outside"]
    wrong = read_bench(opened_sample, horse, key).current
    assert wrong is not None and any("toe points the wrong way" in words for words in wrong.remarks)
    file_photo(opened_sample, key, seen_from="inside")
    right = read_bench(opened_sample, horse, key).current
    assert right is not None and right.remarks == ()
    tray = read_tray(opened_sample, horse)
    assert isinstance(tray, tuple) and {item.seen_from for item in tray} == {"the inside"}


def test_the_bench_reads_the_new_horn_first_and_draws_it(opened_sample: OpenBook) -> None:
    photos = opened_sample.book.photos(opened_sample.horse_named("Copper").key)
    last = max(photos, key=lambda photo: photo.local_time)
    live = start_live(opened_sample, str(last.key)).measure({})
    assert live.headline is not None and live.headline.label == "New horn length"
    assert live.drawings[str(last.key)].primitives
    names = [line.label for line in live.lines]
    assert not any("eel" in name for name in names)  # the inside heel is not measured as the outside one


def test_then_and_now_lays_the_first_photo_of_the_crack_beside_the_last(opened_sample: OpenBook) -> None:
    sheet = read_pair(opened_sample, str(opened_sample.horse_named("Copper").key))
    assert sheet.to_scale and sheet.title == "Left fore, side, inside"
    assert sheet.then is not None and sheet.now is not None
    assert (sheet.then.day, sheet.now.day) == ("2025-03-04", "2025-08-26")
    assert sheet.now.value.startswith("new horn length")
    assert sheet.numbers[0][0] == "New horn length"


def test_three_horses_stand_in_the_list_by_when_they_are_due(opened_sample: OpenBook) -> None:
    lines = {line.name: (line.group, line.due) for line in list_horses(opened_sample)}
    assert lines == {
        "Juniper": ("Later", "Thu 16 Oct"),
        "Larkspur": ("Later", "Tue 11 Nov"),
        "Copper": ("Not on the round", "moved"),
    }
    assert read_horse_card(opened_sample, str(opened_sample.horse_named("Copper").key)).due == "moved"


def test_each_horse_says_its_goal_and_a_command_must_name_the_horse(opened_sample: OpenBook) -> None:
    said = goals_of_others(opened_sample, "Larkspur")
    assert [words.split(":")[0] for words in said] == ["Copper", "Juniper"]
    assert "increase shown" in said[0] and "no change shown" in said[1]
    with pytest.raises(Refused) as refused:
        progress_of_book(opened_sample, "")
    assert refused.value.refusal.code == "horse_needed"


def test_the_records_of_the_crack_are_kept_as_they_were_told(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Copper").key
    visits = sorted(opened_sample.book.every(Visit, horse=horse), key=lambda visit: visit.day)
    assert [visit.kind for visit in visits[:3]] == [VisitKind.SORE_CALL, VisitKind.WITH_VET, VisitKind.ROUTINE]
    findings = opened_sample.book.every(Finding, visit=visits[0].key)
    lame = next(finding for finding in findings if finding.severity)
    assert (lame.severity, lame.grade_scale) == ("3", "0-5 (AAEP)")  # a grade never without its scale
    assert any(finding.size_mm == 7.0 for finding in findings)
    events = {event.day: event for event in opened_sample.book.every(Event, horse=horse)}
    lost, plan = events[date(2025, 7, 9)], events[date(2025, 3, 6)]
    assert (lost.kind, lost.foot) == (EventKind.LOST_SHOE, Foot.LF)
    assert (plan.kind, plan.told_by) == (EventKind.VET_DIRECTION, "Vet D.")
    table = list_visits(opened_sample, str(horse))
    assert isinstance(table, Table) and len(table.rows) == len(visits) + len(events)
    first = " ".join(next(row for row in table.rows if row[0] == "4 Mar 2025" and "Day book" not in row[2]))
    assert "LF bulb higher inside, 7 mm" in first
    assert "LF lame at trot on hard ground, 3 on the scale 0-5 (AAEP)" in first
