"""The sample book tells the truth of its own scenario, and nothing of it is typed in.

Reference: the truth files of sample_cases (3-D points of a parametric hoof, projected by cv2.projectPoints), and the
scenario in sample_cases/larkspur/case.json. The verdict's arithmetic is checked against published data elsewhere.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from hoofbook.casework.cycle_by_cycle import read_cycle
from hoofbook.casework.horse_card import end_goal, open_goals, read_horse_card
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_document import document
from hoofbook.casework.progress_text import progress_of_book
from hoofbook.casework.readings import read_readings
from hoofbook.casework.visit import list_visits
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.progress.change import pair_change
from hoofbook.progress.series import comparable
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Table, Tone
from hoofbook.terms.views import Moment

APEX = "sole_concavity_at_frog_apex"


def truth(visit: int, foot: str, definition: str) -> float:
    path = sample_case("larkspur") / f"visit-{visit}" / f"{foot.lower()}-sole-after-1.truth.json"
    return float(json.loads(path.read_text(encoding="utf-8"))["measures"][f"{APEX}_{definition}"])


@pytest.fixture
def horse(opened_sample: OpenBook) -> str:
    return str(opened_sample.horse_named("Larkspur").key)


def test_every_concavity_lies_within_its_stated_interval_of_the_truth(opened_sample: OpenBook, horse: str) -> None:
    readings = read_readings(opened_sample, opened_sample.horse(horse).key)
    apart = []
    for foot, visits in ((Foot.LF, range(1, 8)), (Foot.RF, (1, 3, 5, 7))):
        for definition in (Definition.FROM_SOLE_EDGE, Definition.FROM_WALL_EDGE):
            series = readings.series(foot, APEX, definition).readings
            assert len(series) == len(list(visits))
            for reading, visit in zip(series, visits, strict=True):
                assert reading.u is not None
                apart.append(abs(reading.value - truth(visit, foot.value, definition.value)) / reading.u)
    assert max(apart) < 3.0  # 99.7 %
    assert sum(value > 1.96 for value in apart) <= 4  # of 22 values; more than 4 by chance: 2 in a thousand


def test_the_left_fore_gains_and_the_right_fore_does_not_change(opened_sample: OpenBook) -> None:
    told = {
        (item["foot"], item["definition"]): item
        for item in document(progress_of_book(opened_sample, "Larkspur"))["series"]
        if item["measure"] == APEX and item["moment"] == "after trim"
    }
    left, right = told["LF", "from_sole_edge"], told["RF", "from_sole_edge"]
    assert (left["verdict"], left["as_wanted"]) == ("increase shown", True)
    assert left["looks"][-1]["reading"] == 7
    true_change = truth(7, "LF", "from_sole_edge") - truth(1, "LF", "from_sole_edge")
    assert left["low"] < true_change < left["high"]
    assert (right["verdict"], right["looks"][-1]["reading"]) == ("no change shown", 4)
    assert right["smallest_change_shown"] > 0
    assert told["LF", "from_wall_edge"]["verdict"] is None  # no goal, no verdict


def test_before_trim_seven_against_after_trim_one_is_refused(opened_sample: OpenBook, horse: str) -> None:
    readings = read_readings(opened_sample, opened_sample.horse(horse).key).readings
    after = next(r for r in readings if r.foot is Foot.LF and r.measure == APEX and r.day == date(2025, 1, 14))
    before = next(
        r
        for r in readings
        if (r.foot, r.measure, r.moment, r.day) == (Foot.LF, APEX, Moment.BEFORE_TRIM, date(2025, 9, 30))
    )
    assert before.value == pytest.approx(10.9)  # the hand gauge of the scenario
    refusal = comparable(after, before)
    assert refusal is not None and refusal.code == "another_moment"
    assert isinstance(pair_change(after, before), Refusal)


def test_the_horse_card_shows_the_goal_the_value_and_the_verdict(opened_sample: OpenBook, horse: str) -> None:
    card = read_horse_card(opened_sample, horse)
    left, right, hind, _ = card.feet
    assert left.chip is not None and left.chip.tone is Tone.WANTED and "increase shown" in left.chip.sentence
    assert right.chip is not None and right.chip.tone is Tone.CALM
    assert hind.chip is None
    assert left.tile is not None and left.tile.caption.startswith("Sole, after trim, 30 Sep")
    assert "owner A. K." in card.facts and card.due.startswith("next due Tue 11 Nov")
    assert isinstance(card.visits, Table) and len(card.visits.rows) >= 8


def test_the_visits_stand_with_the_day_book_between_them(opened_sample: OpenBook, horse: str) -> None:
    table = list_visits(opened_sample, horse)
    assert isinstance(table, Table)
    days = [row[0] for row in table.rows]
    assert days[0] == "30 Sep 2025" and days[-1] == "14 Jan 2025"
    assert any("lost shoe" in " ".join(row) for row in table.rows)


def test_the_chart_keeps_the_moments_apart(opened_sample: OpenBook, horse: str) -> None:
    sheet = read_cycle(opened_sample, horse)
    assert sheet.foot == "LF" and sheet.chart is not None and sheet.point_keys is not None
    with_before = sheet.chart(900, 480, 15, True)
    without = sheet.chart(900, 480, 15, False)
    assert len(with_before.primitives) > len(without.primitives)
    assert all(photo for photo, _ in sheet.point_keys.values() if "after trim" in _)


def test_the_planted_faults_are_told(opened_sample: OpenBook, horse: str) -> None:
    photos = {photo.given_name: photo for photo in opened_sample.book.photos(opened_sample.horse(horse).key)}
    codes = {name: {remark.code for remark in photo.remarks} for name, photo in photos.items() if "visit-" in name}
    by_fault = {key: next(value for name, value in codes.items() if key in name) for key in ("filed-as-lf", "mirrored")}
    assert "foot_tag_differs" in by_fault["filed-as-lf"]
    assert "photo_mirrored" in by_fault["mirrored"]
    sent = next(value for name, value in codes.items() if "messenger" in name)
    assert "photo_shrunk" in sent


def test_a_second_demo_takes_nothing_in_twice(own_sample_book: Path, opened_sample: OpenBook) -> None:
    from hoofbook.casework.adding import Wishes, add_files

    before = len(opened_sample.book.photos(opened_sample.horse_named("Larkspur").key))
    work = add_files(opened_sample, [sample_case("larkspur") / "visit-1" / "lf-after.marks.json"], Wishes())
    for _ in work:
        pass
    assert len(opened_sample.book.photos(opened_sample.horse_named("Larkspur").key)) == before


def test_a_goal_let_go_gets_no_verdict_any_more_and_keeps_its_readings(opened_sample: OpenBook, horse: str) -> None:
    goal = {"measure": APEX, "definition": "from_sole_edge"}
    assert (APEX, "from_sole_edge") in [item[1:3] for item in open_goals(opened_sample, horse, "RF")]
    end_goal(opened_sample, horse, "RF", **goal)
    assert open_goals(opened_sample, horse, "RF") == ()
    pane = read_horse_card(opened_sample, horse).feet[1]
    assert not pane.has_goal and pane.chip is None
    readings = read_readings(opened_sample, opened_sample.horse(horse).key)
    assert len(readings.series(Foot.RF, APEX, Definition.FROM_SOLE_EDGE).readings) == 4
