"""The whole sole of a marks file's set: on the command line's way, in a child that can be stopped."""

from __future__ import annotations

import multiprocessing
import random
import time
from collections.abc import Generator
from pathlib import Path
from typing import Any

from hoofbook.casework.measure_files import FileResult, measure_file, result_document
from hoofbook.casework.measure_text import refusal_lines

HARD = Path(__file__).parents[2] / "sample_cases" / "hard"
MARKS = Path(__file__).parents[2] / "sample_cases" / "larkspur" / "visit-7" / "lf-after.marks.json"


def run(work: Generator[Any, None, FileResult]) -> FileResult:
    while True:
        try:
            next(work)
        except StopIteration as done:
            return done.value  # type: ignore[no-any-return]


def test_dense_adds_the_measures_of_the_map_beside_those_of_the_marks() -> None:
    result = run(measure_file(MARKS, dense=True))
    methods = {q.method for q in result.quantities if q.name == "mean_sole_concavity"}
    assert len(methods) == 2
    by_marks, by_map = (
        next(q for q in result.quantities if q.name == "mean_sole_concavity" and q.method == method)
        for method in sorted(methods)
    )
    assert abs(by_marks.value - by_map.value) < 1.5  # of places marked, and of the whole sole
    volume = next(q for q in result.quantities if q.name == "concavity_volume")
    assert volume.unit == "mm3"
    (sole,) = result.soles
    assert sole.completeness > 0.85
    assert result_document(result)["soles"][0]["completeness"] == sole.completeness


def test_a_set_without_a_scale_says_so_once_for_marks_and_map_together() -> None:
    """Every card of this sample set slipped; neither the marked measures nor the map may come out in chance units."""
    result = run(measure_file(HARD / "card-slipped" / "every-pair.marks.json", dense=True))
    assert not result.quantities and not result.soles
    assert {refusal.code for refusal in result.refusals} == {"scale_lost"}
    (line,) = refusal_lines(result)
    assert line.startswith("Sole concavity: ") and line.count("Sole concavity") == 1


def test_stopping_half_way_leaves_no_process() -> None:
    chance = random.Random(3)
    for _ in range(3):
        work = measure_file(MARKS, dense=True)
        for _step in range(7):
            next(work)
        time.sleep(chance.random() * 0.5)
        work.close()
        assert not multiprocessing.active_children()
