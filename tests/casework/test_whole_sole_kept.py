"""Readings off maps of the whole sole: kept beside the marked ones, in series of their own, and how long they live.

The maps here are made-up bowls of known depth, so that every figure follows from its formula; real maps are measured in
`tests/flows/test_whole_sole.py`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from hoofbook.casework.bench import save_pass
from hoofbook.casework.cycle_by_cycle import read_cycle
from hoofbook.casework.horse_card import goal_choices, set_goal
from hoofbook.casework.map_jobs import SoleSet, job_of, keep_map, sole_sets
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.readings import read_readings
from hoofbook.casework.shots import measure_again
from hoofbook.casework.sole_map import read_sole_map
from hoofbook.casework.sole_shape import DenseResult
from hoofbook.casework.vet_facts import read_facts
from hoofbook.casework.vet_lines import figures, gauge_of, table_lines
from hoofbook.measure.concavity.map_measures import METHOD, map_quantities
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.subjects import Goal, HandMeasure, Photo
from hoofbook.terms.verdict import Verdict
from hoofbook.terms.views import Moment
from hoofbook.wording.vet_csv import NUMBER_HEADS, number_rows
from hoofbook.wording.vet_numbers import measure_table
from tests.samples import opened_sample, own_sample_book, sample_book

__all__ = ["opened_sample", "own_sample_book", "sample_book"]

MARKED, WHOLE = "sole_concavity_at_frog_apex", "whole_sole_concavity_at_frog_apex"
SOLE, WALL = Definition.FROM_SOLE_EDGE, Definition.FROM_WALL_EDGE
DEEP = (1.2, 1.8, 2.1, 3.0, 3.6, 4.2, 5.0)  # the sample story's own depths at the seven visits


def bowl(deep: float, wall: float = 1.5, u: float = 0.15) -> SoleShape:
    """A sole as deep as `deep` at the frog apex and everywhere; the wall stands `wall` mm proud."""
    depth = np.full((121, 161), deep, np.float32)
    inside = np.ones(depth.shape, bool)
    spread = np.full(depth.shape, u, np.float32)
    first = (-10.0, -40.0)
    return SoleShape(depth, spread, inside, 0.5, first, 1.0, 1, depth + np.float32(wall), 1.2 * spread)


def kept(book: OpenBook, one: SoleSet, deep: float) -> DenseResult:
    sole = bowl(deep)
    made = DenseResult(sole, *map_quantities(sole, tuple(str(photo.key) for photo in one.photos)))
    keep_map(book, job_of(book, one.group), made)
    return made


@pytest.fixture
def mapped(opened_sample: OpenBook) -> OpenBook:
    """Larkspur's left fore with a map at all seven visits."""
    for one, deep in zip(sets_of(opened_sample), DEEP, strict=True):
        kept(opened_sample, one, deep)
    return opened_sample


def sets_of(book: OpenBook) -> list[SoleSet]:
    return sole_sets(book, book.horse_named("Larkspur").key)[Foot.LF]


def test_readings_off_a_map_and_of_marks_never_share_a_series(mapped: OpenBook) -> None:
    readings = read_readings(mapped, mapped.horse_named("Larkspur").key)
    whole = readings.series(Foot.LF, WHOLE, SOLE)
    assert [reading.value for reading in whole.readings] == pytest.approx(DEEP, abs=1e-6)
    assert {reading.method for reading in whole.readings} == {METHOD}
    marked = readings.series(Foot.LF, MARKED, SOLE)
    assert len(marked.readings) == 7
    assert METHOD not in {reading.method for reading in marked.readings}
    assert not [reading for reading, _ in marked.left_out if reading.method == METHOD]
    had = dict.fromkeys(readings.measures_of(Foot.LF, Moment.AFTER_TRIM))
    for name in (WHOLE, "whole_sole_greatest_concavity", "whole_sole_mean_concavity", "concavity_volume"):
        assert (name, SOLE) in had and (name, WALL) in had
    from_wall = readings.series(Foot.LF, WHOLE, WALL)
    assert [reading.value for reading in from_wall.readings] == pytest.approx([d + 1.5 for d in DEEP], abs=1e-5)


def test_every_value_has_what_must_be_alike_beside_it(mapped: OpenBook) -> None:
    """Both edges, shod or bare, the state of the sole and how much was pared stand with each reading off a map."""
    readings = read_readings(mapped, mapped.horse_named("Larkspur").key)
    for by in (SOLE, WALL):
        whole, marked = (readings.series(Foot.LF, name, by).readings for name in (WHOLE, MARKED))
        for one, other in zip(whole, marked, strict=True):
            for fact in ("definition", "shod", "sole_state", "sole_pared", "sole_wet", "days_since_trim", "person"):
                assert getattr(one, fact) == getattr(other, fact), fact
    rows = number_rows("Larkspur", readings.series(Foot.LF, WHOLE, WALL).readings, {})
    last = dict(zip(NUMBER_HEADS, rows[-1], strict=True))
    assert (last["definition"], last["shod"], last["method"]) == ("from_wall_edge", "no", METHOD)
    assert last["sole_state"] and last["sole_pared"] == "loose flakes only"


def test_cycle_by_cycle_follows_the_whole_sole_as_any_measure(mapped: OpenBook) -> None:
    horse = str(mapped.horse_named("Larkspur").key)
    sheet = read_cycle(mapped, horse, foot="LF", measure=WHOLE, definition=SOLE.value)
    assert sheet.measure == WHOLE
    said = dict(zip(sheet.measures.options, sheet.measures.labels, strict=True))
    assert said[f"{WHOLE}|{SOLE.value}"].startswith("Sole concavity, whole sole")
    assert (WHOLE, SOLE.value) in {choice[1:3] for choice in goal_choices(mapped, horse, "LF")}
    assert sheet.table is not None and len([row for row in sheet.table.rows if "5.0 mm" in row[2]]) == 1
    first = read_readings(mapped, mapped.horse_named("Larkspur").key)
    assert first.progress(Foot.LF, WHOLE, SOLE).verdict is None  # no goal, no verdict
    set_goal(mapped, horse, "LF", measure=WHOLE, definition=SOLE.value, wanted="more")
    (goal,) = (each for each in mapped.book.every(Goal) if each.measure == WHOLE)
    with mapped.book.writing() as writer:  # named before the first reading, as the sample's own goal was
        writer.change(replace(goal, set_on=date(2025, 1, 1)))
    judged = read_readings(mapped, mapped.horse_named("Larkspur").key).progress(Foot.LF, WHOLE, SOLE)
    assert judged.verdict is Verdict.INCREASE_SHOWN


def test_measuring_the_marks_again_keeps_the_map_and_new_marks_make_it_void(mapped: OpenBook) -> None:
    horse = mapped.horse_named("Larkspur").key
    last = sets_of(mapped)[-1]
    photo = last.photos[0]
    before = len(read_readings(mapped, horse).series(Foot.LF, WHOLE, SOLE).readings)
    measure_again(mapped, [photo])
    assert len(read_readings(mapped, horse).series(Foot.LF, WHOLE, SOLE).readings) == before
    marking = mapped.book.latest_passes(horse)[photo.key].marking
    name = next(iter(marking.confirmed))
    mark = marking.marks[name]
    save_pass(mapped, str(photo.key), marking.with_mark(name, replace(mark, x=mark.x + 0.7)))
    readings = read_readings(mapped, horse)
    assert len(readings.series(Foot.LF, WHOLE, SOLE).readings) == before - 1
    assert len(readings.series(Foot.LF, MARKED, SOLE).readings) == 7
    sheet = read_sole_map(mapped, str(horse), "LF")
    assert sheet.now is None and sheet.job is not None
    assert len(sheet.waiting) == 1


def test_a_map_of_marks_that_changed_meanwhile_is_not_read_off(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    one = sets_of(opened_sample)[0]
    photo = one.photos[0]
    marking = opened_sample.book.latest_passes(horse)[photo.key].marking
    name = next(iter(marking.confirmed))
    mark = marking.marks[name]
    save_pass(opened_sample, str(photo.key), marking.with_mark(name, replace(mark, x=mark.x + 0.7)))
    kept(opened_sample, one, 1.0)  # made from the marks as they were
    assert not read_readings(opened_sample, horse).of(Foot.LF, WHOLE)


def gauge(book: OpenBook, photo: Photo, value: float, u: float | None) -> None:
    assert photo.foot is not None and photo.moment is not None and photo.visit is not None
    day = next(v.day for v in book.book.history(photo.horse).visits if v.key == photo.visit)
    told = HandMeasure(
        new_key(), photo.horse, photo.visit, day, photo.foot, photo.moment, MARKED, Definition.HAND_GAUGE, value, u
    )
    with book.book.writing() as writer:
        writer.add(told)


def test_a_hand_gauge_stands_beside_the_map_with_the_difference(mapped: OpenBook) -> None:
    """The gauge's bar lies on the wall: 7.1 mm beside 5.0 + 1.5 = 6.5 mm; u 0.3 and 1.2 x 0.15, 1.96 x their root sum
    of squares is 0.7 mm."""
    last = sets_of(mapped)[-1]
    gauge(mapped, last.photos[0], 7.1, 0.3)
    sheet = read_sole_map(mapped, str(mapped.horse_named("Larkspur").key), "LF")
    (said,) = (words for label, words in sheet.rows if label.startswith("By hand gauge"))
    assert said == "7.1 mm ± 0.6, 0.6 mm ± 0.7 more than from the wall edge"
    state = dict(sheet.rows)["Foot"]
    assert state.startswith("bare, after trim") and "pared" in state


def test_a_hand_gauge_without_its_own_u_claims_no_interval(mapped: OpenBook) -> None:
    last = sets_of(mapped)[-1]
    gauge(mapped, last.photos[0], 6.0, None)
    sheet = read_sole_map(mapped, str(mapped.horse_named("Larkspur").key), "LF")
    (said,) = (words for label, words in sheet.rows if label.startswith("By hand gauge"))
    assert said == "6.0 mm, 0.5 mm less than from the wall edge"


def test_a_vet_case_has_the_gauge_and_the_whole_sole_among_its_measures(mapped: OpenBook) -> None:
    last = sets_of(mapped)[-1]
    gauge(mapped, last.photos[0], 7.1, 0.3)
    facts = read_facts(mapped, mapped.horse_named("Larkspur").key, (Foot.LF,), None, None)
    table = measure_table(table_lines(facts, every=False), lambda line: gauge_of(facts, line))
    assert table is not None
    by_name = {row[0]: row for row in table.rows}
    gauged = next(row for name, row in by_name.items() if name.endswith("by hand gauge"))
    assert gauged[3].startswith("7.1 mm ± 0.6")
    assert gauged[7].endswith("than from the wall edge")
    assert any("whole sole" in name for name in by_name)
    _, rows = figures(facts)
    assert "by hand gauge: LF 7.1 mm ± 0.6" in rows[0].under
