"""A newer method: the book's visits are measured again from their marks, and both verdicts are shown once."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import pytest

from hoofbook.casework.measuring_anew import mark_seen, measure_anew, outdated, unseen, unseen_lines
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.readings import read_readings
from hoofbook.measure import lateral
from hoofbook.measure.methods import is_outdated, present_methods
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import MeasuredAnew
from hoofbook.terms.views import Moment

WHERE = ("LF-RF", "toe_angle", "")


def run(work: Generator[Any, None, int]) -> int:
    while True:
        try:
            next(work)
        except StopIteration as done:
            return int(done.value)


@pytest.fixture
def newer(monkeypatch: pytest.MonkeyPatch) -> str:
    """The program as it will be when the side view has a second version."""
    monkeypatch.setattr(lateral, "METHOD", "side view 2")
    return "side view 2"


def test_the_present_methods_are_those_that_measure(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    used = {kept.quantity.method for kept in opened_sample.book.measures(horse)}
    assert used <= present_methods()
    assert not any(is_outdated(method) for method in used)
    assert is_outdated("side view 0")
    assert not is_outdated("hand")
    assert not is_outdated("side view 99")  # an older program leaves a newer one's figures alone
    assert outdated(opened_sample) == 0
    assert run(measure_anew(opened_sample)) == 0


def test_every_visit_is_measured_anew_and_both_sentences_are_shown_once(opened_sample: OpenBook, newer: str) -> None:
    horse = opened_sample.horse_named("Juniper")
    before = read_readings(opened_sample, horse.key).goals[Pair.LF_LESS_RF, "toe_angle", Definition.ONE][1]
    assert outdated(opened_sample) > 0
    assert run(measure_anew(opened_sample)) > 0
    assert outdated(opened_sample) == 0
    after = read_readings(opened_sample, horse.key)
    methods = {reading.method for reading in after.series(Foot.LF, "toe_angle", Definition.ONE).readings}
    assert methods == {newer}
    now = after.goals[Pair.LF_LESS_RF, "toe_angle", Definition.ONE][1]
    assert [r.value for r in now.series.readings] == pytest.approx([r.value for r in before.series.readings])
    section = unseen(opened_sample, str(horse.key), *WHERE)
    assert section is not None
    assert [name for name, _ in section.rows] == ["Before", "Now"]
    assert any("Before" in line for line in unseen_lines(opened_sample, horse.key))
    mark_seen(opened_sample, str(horse.key), *WHERE)
    assert unseen(opened_sample, str(horse.key), *WHERE) is None
    assert (
        not read_readings(opened_sample, horse.key)
        .series(Foot.LF, "toe_angle", Definition.ONE, Moment.AFTER_TRIM)
        .left_out
    )


def test_a_run_that_breaks_off_goes_on_and_still_knows_what_was_said(opened_sample: OpenBook, newer: str) -> None:
    horse = opened_sample.horse_named("Juniper")
    work = measure_anew(opened_sample)
    for _ in range(4):
        next(work)
    work.close()
    run(measure_anew(opened_sample))
    rows = opened_sample.book.every(MeasuredAnew, horse=horse.key)
    assert len(rows) == 1
    assert rows[0].old_words and rows[0].new_words
    assert rows[0].new_method == newer
