"""Work in a process of its own."""

from __future__ import annotations

import os
import random
import time
from collections.abc import Generator
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest

from hoofbook.housekeeping.child import ChildFailed, in_child
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.refusal import Refusal, Refused


def counting(count: int, given: Marking) -> Generator[int, None, tuple[int, Marking]]:
    yield from range(count)
    return os.getpid(), given


def refusing() -> Generator[int, None, None]:
    yield 1
    raise Refused(Refusal("disk_full", MappingProxyType({"file": "a"})))


def endless(sign: str) -> Generator[int, None, None]:
    number = 0
    while True:
        Path(sign).write_text(str(os.getpid()), encoding="utf-8")
        yield number
        number += 1
        time.sleep(0.01)


def dying() -> Generator[int, None, None]:
    yield 1
    os._exit(7)


def run(work: Generator[Any, None, Any]) -> tuple[list[Any], Any]:
    steps = []
    while True:
        try:
            steps.append(next(work))
        except StopIteration as done:
            return steps, done.value


def test_steps_and_result_travel_and_it_is_another_process() -> None:
    marking = Marking(MappingProxyType({"toe_ground": Mark(1.5, 2.5)}))
    steps, (process, back) = run(in_child(counting, 3, marking))
    assert steps == [0, 1, 2]
    assert process != os.getpid()
    assert back == marking


def test_a_refusal_comes_back_as_one() -> None:
    with pytest.raises(Refused) as caught:
        run(in_child(refusing))
    assert caught.value.refusal.code == "disk_full"


def test_a_child_that_dies_is_told() -> None:
    with pytest.raises(ChildFailed, match="7"):
        run(in_child(dying))


def test_closing_ends_the_child_within_half_a_second(tmp_path: Path) -> None:
    chance = random.Random(11)
    for number in range(3):
        work = in_child(endless, str(tmp_path / f"sign-{number}"))
        next(work)
        time.sleep(chance.random() * 0.3)
        start = time.monotonic()
        work.close()
        assert time.monotonic() - start < 1.0
        process = int((tmp_path / f"sign-{number}").read_text(encoding="utf-8"))
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)


def slow() -> Generator[int, None, int]:
    time.sleep(0.5)
    yield 1
    time.sleep(0.35)
    return 2


def test_with_a_beat_the_newest_step_comes_again_while_the_next_is_worked_on() -> None:
    steps, result = run(in_child(slow, beat=0))
    assert result == 2 and steps == sorted(steps)
    assert steps.count(0) >= 3 and steps.count(1) >= 2
