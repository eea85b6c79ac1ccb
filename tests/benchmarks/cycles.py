"""Switching the measure in Cycle by cycle: a horse of 300 visits with 40 measures each, 12,000 readings.

    python -m tests.benchmarks.cycles

The peer reads the horse from the book each time; switching must stay under 50 ms and well under the peer. The floor of
the first reading is sqlite3 fetching the same rows of kept measures as plain tuples. Exit code 1 if a goal is missed.
"""

from __future__ import annotations

import random
import sqlite3
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from itertools import cycle
from pathlib import Path

from hoofbook.casework import readings as kept_readings
from hoofbook.casework.cycle_by_cycle import read_cycle
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.housekeeping.settings import Settings
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import MEASURES, Definition, Part, Quantity
from hoofbook.terms.subjects import FootWork, Goal, Horse, MeasureKept, Photo, Visit, Wanted, Work
from hoofbook.terms.views import Moment, View
from tests.benchmarks.timing import race

VISITS = 300
NAMES = ("toe_angle", "heel_angle", "toe_length", "heel_length", "toe_height", "heel_height", "bearing_length",
         "upper_wall_angle", "lower_wall_angle", "coronary_band_angle")  # fmt: skip
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
SWITCH_MS, TO_PEER, TO_FLOOR = 50.0, 0.2, 15.0


def build(folder: Path) -> str:
    """A book with one horse of many visits; returns the horse's key."""
    book = Book.make(folder, clock=FixedClock(NOON), person="Ann")
    chance = random.Random(1)
    horse = Horse(new_key(), "Long life")
    visits = [Visit(new_key(), horse.key, date(2016, 1, 5) + timedelta(days=12 * n)) for n in range(VISITS)]
    with book.writing() as writer:
        writer.add_all([horse, *visits])
        writer.add_all(FootWork(new_key(), visit.key, foot, work=Work.TRIM) for visit in visits for foot in Foot)
        for foot in (Foot.LF, Foot.RF):
            known = (new_key(), horse.key, foot, NAMES[0], Definition.ONE, Wanted.MORE, visits[0].day)
            writer.add(Goal(*known))
        for number, visit in enumerate(visits):
            for foot in Foot:
                filed = {"visit": visit.key, "foot": foot, "view": View.LATERAL, "moment": Moment.AFTER_TRIM}
                name = f"{4 * number + list(Foot).index(foot):064x}"
                photo = Photo(new_key(), horse.key, name, ".jpg", 4032, 3024, **filed, taken_at=NOON, added_at=NOON)  # type: ignore[arg-type]
                writer.add(photo)
                writer.keep_measures([photo.key], [_measure(name, photo, visit, foot, chance) for name in NAMES])
    book.close()
    return str(horse.key)


def _measure(name: str, photo: Photo, visit: Visit, foot: Foot, chance: random.Random) -> MeasureKept:
    own = [f"photo {photo.key} mark {mark} {way}" for mark in ("toe_ground", "toe_hairline") for way in "xy"]
    parts = tuple(Part(source, 0.2) for source in ("card print width", "lens main focal", *own))
    value = 50.0 + chance.gauss(0.0, 0.7)
    quantity = Quantity(name, value, MEASURES[name], parts, photos=(str(photo.key),), method="side 1")
    return MeasureKept(new_key(), photo.horse, visit.key, foot, Moment.AFTER_TRIM, quantity, (), NOON)


def switching(opened: OpenBook, horse: str, *, forget: bool) -> Callable[[], object]:
    turns = cycle([(foot, name) for foot in ("LF", "RF") for name in NAMES])

    def run() -> object:
        if forget:
            kept_readings._kept.clear()
        foot, name = next(turns)
        return read_cycle(opened, horse, foot=foot, measure=name, definition="")

    return run


def main() -> int:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "book"
        horse = build(folder)
        opened = open_book(folder, Settings(), FixedClock(NOON))
        plain = sqlite3.connect(folder / DATABASE)

        def floor() -> object:
            rows = plain.execute("SELECT * FROM measure").fetchall()
            return rows, plain.execute("SELECT * FROM measure_photo").fetchall()

        first = race({"floor": floor, "first": switching(opened, horse, forget=True)}, rounds=5)
        switch = race({"switch": switching(opened, horse, forget=False)}, rounds=40)["switch"]
        plain.close()
        opened.close()
    peer = first["first"][0]
    print(f"first reading    {peer:7.1f} ms, {peer / first['floor'][0]:.1f} x the rows alone, goal {TO_FLOOR:.0f} x")
    print(f"switch           {switch[0]:7.1f} ms (95 % {switch[1]:.1f}), {switch[0] / peer:.3f} x reading anew")
    met = switch[1] <= SWITCH_MS and switch[0] <= TO_PEER * peer and peer <= TO_FLOOR * first["floor"][0]
    print(f"goal {SWITCH_MS:.0f} ms and {TO_PEER} x: {'met' if met else 'NOT MET'}")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
