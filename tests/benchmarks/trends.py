"""300 visits and 40 measures of one foot: trends, Theil-Sen, the chart, and the switch from one measure to another.

    python -m tests.benchmarks.trends

The peer is 40 weighted polyfits by numpy, which estimate no scatter and give no interval. The switch goes through
Cycle by cycle on a book that holds all the readings. CPU ms of interleaved rounds. Goals: the trends at most 4 times
the polyfits (median); all series with their intervals and Theil-Sen and the chart of the one looked at in 200 ms, a
switch in 50 ms (95th percentile each). Exit code 1 where one is missed.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, date, datetime, timedelta
from itertools import cycle
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

from hoofbook.casework.cycle_by_cycle import read_cycle
from hoofbook.casework.open_book import OpenBook, make_book
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.housekeeping.settings import Settings
from hoofbook.progress.change import judge_all
from hoofbook.progress.series import Reading, Series, build_series
from hoofbook.progress.trend import fit_lines, t_quantile
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import MEASURES, Definition, Part, Quantity
from hoofbook.terms.subjects import FootWork, Goal, Horse, MeasureKept, Photo, Visit, Work
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.views import Moment, View
from hoofbook.wording.charts import cycle_chart
from tests.benchmarks.timing import race

VISITS, FOLLOWED = 300, 40
MOST_OVER_POLYFIT, COMPUTED_AND_DRAWN_MS, SWITCH_MS = 4.0, 200.0, 50.0
ROUNDS, SWITCHES = 25, 120
WIDTH, HEIGHT, TEXT = 1200.0, 560.0, 14.0
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
_SOLE = ("sole_concavity_at_frog_apex", "greatest_sole_concavity", "mean_sole_concavity", "concavity_volume")


def measures() -> list[tuple[str, Definition]]:
    """Forty measures by their definitions: each measure there is, the sole's from two edges and along the sole."""
    first = [(name, Definition.FROM_SOLE_EDGE if name in _SOLE else Definition.ONE) for name in MEASURES]
    more = [(name, kind) for kind in (Definition.FROM_WALL_EDGE, Definition.ALONG_SOLE) for name in _SOLE]
    return [*first, *more][:FOLLOWED]


def days(random: np.random.Generator) -> list[date]:
    return [date(1995, 1, 3) + timedelta(days=int(day)) for day in np.cumsum(random.integers(28, 42, VISITS))]


def quantities(
    random: np.random.Generator, name: str, kind: Definition, photos: Sequence[Photo] = ()
) -> Iterator[Quantity]:
    """One quantity a visit, with parts that all visits share and parts of their own, of uneven size."""
    level = random.uniform(5, 90)
    for number, own in enumerate(random.uniform(0.3, 0.9, VISITS)):
        value = level + 0.004 * number + random.normal(0, np.hypot(own, 0.5))
        taken = (str(photos[number].key),) if photos else ()
        parts = (Part("card a print", 0.3), Part("person a hairline", 0.2), Part(f"photo {number} mark", float(own)))
        yield Quantity(name, float(value), MEASURES[name], parts, kind, method="side 1", photos=taken)


def all_series(random: np.random.Generator) -> list[Series]:
    when = days(random)
    found = []
    for name, kind in measures():
        readings = [
            Reading.of(quantity, day, Moment.AFTER_TRIM, foot=Foot.LF, key=f"{name} {day}", visit=f"{day}")
            for day, quantity in zip(when, quantities(random, name, kind), strict=True)
        ]
        found.append(build_series(readings, measure=name, definition=kind, foot=Foot.LF))
    return found


def book_of(folder: Path, random: np.random.Generator) -> tuple[OpenBook, str]:
    """A book with one horse whose left fore has all the readings, one of the measures being its goal."""
    opened = make_book(folder, Settings(person="Ann"), FixedClock(NOON))
    horse = Horse(new_key(), "Larkspur")
    visits = [Visit(new_key(), horse.key, day) for day in days(random)]
    photos = [
        Photo(
            new_key(), horse.key, f"{n:064x}", ".jpg", 4032, 3024, visit.key, Foot.LF, View.LATERAL, Moment.AFTER_TRIM
        )
        for n, visit in enumerate(visits)
    ]
    kept = [
        MeasureKept(new_key(), horse.key, visit.key, Foot.LF, Moment.AFTER_TRIM, quantity, (), NOON)
        for name, kind in measures()
        for visit, quantity in zip(visits, quantities(random, name, kind, photos), strict=True)
    ]
    goal = Goal(new_key(), horse.key, Foot.LF, *measures()[0], wanted=Wanted.MORE, set_on=visits[0].day)
    with opened.book.writing() as writer:
        writer.add(horse)
        writer.add_all(visits)
        writer.add_all(FootWork(new_key(), visit.key, Foot.LF, work=Work.TRIM) for visit in visits)
        writer.add_all(photos)
        writer.keep_measures([photo.key for photo in photos], kept)
        writer.add(goal)
    return opened, str(horse.key)


def trends_of(random: np.random.Generator) -> dict[str, Callable[[], object]]:
    """The peer and our fits with their 95 % intervals, on the same arrays."""
    day = np.array([(each - date(1995, 1, 3)).days for each in days(random)], dtype=float)
    u = random.uniform(0.3, 0.9, (FOLLOWED, VISITS))
    values = 8 + 0.0004 * day + random.normal(size=u.shape) * np.hypot(u, 0.5)
    every_day = np.repeat(day[None], FOLLOWED, axis=0)

    def ours() -> object:
        lines = fit_lines(every_day, values, u)
        half = t_quantile(VISITS - 2, 0.975) * lines.slope_se
        return lines.slope - half, lines.slope + half

    def polyfits() -> object:
        return [np.polyfit(day, y, 1, w=1 / one) for y, one in zip(values, u, strict=True)]

    return {"polyfits": polyfits, "trends": ours}


def computed_and_drawn(every: list[Series]) -> Callable[[], object]:
    turns = cycle(range(FOLLOWED))

    def run() -> object:
        judged = judge_all(every)
        robust = [progress.robust for progress in judged]
        return robust, cycle_chart(judged[next(turns)], width=WIDTH, height=HEIGHT, text_size=TEXT)

    return run


def every_chart(every: list[Series]) -> Callable[[], object]:
    judged = judge_all(every)
    return lambda: [cycle_chart(each, width=WIDTH, height=HEIGHT, text_size=TEXT) for each in judged]


def switching(opened: OpenBook, horse: str) -> Callable[[], object]:
    turns = cycle(measures())

    def run() -> object:
        name, kind = next(turns)
        sheet = read_cycle(opened, horse, Foot.LF.value, name, kind.value)
        assert sheet.measure == name and sheet.chart is not None
        return sheet.chart(WIDTH, HEIGHT, TEXT, True)

    return run


def main() -> int:
    random = np.random.default_rng(1)
    fits = race(trends_of(random), rounds=ROUNDS, warm=3)
    ratio = fits["trends"][0] / fits["polyfits"][0]
    every = all_series(random)
    whole = race({"computed and drawn": computed_and_drawn(every)}, rounds=ROUNDS, warm=2)["computed and drawn"]
    charts = race({"charts": every_chart(every)}, rounds=3)["charts"]
    with tempfile.TemporaryDirectory() as place:
        opened, horse = book_of(Path(place) / "book", random)
        switch = race({"switch": switching(opened, horse)}, rounds=SWITCHES, warm=3)["switch"]
        opened.close()
    goals = (
        ("40 trends of 300 visits over 40 polyfits", ratio, MOST_OVER_POLYFIT, "x"),
        ("all computed with Theil-Sen, one chart drawn", whole[1], COMPUTED_AND_DRAWN_MS, "ms, 95 %"),
        ("switch to another measure", switch[1], SWITCH_MS, "ms, 95 %"),
    )
    print(f"polyfits {fits['polyfits'][0]:.2f} ms, trends {fits['trends'][0]:.2f} ms (medians)")
    print(f"medians: computed and drawn {whole[0]:.1f} ms, switch {switch[0]:.1f} ms, all 40 charts {charts[0]:.0f} ms")
    missed = False
    for name, found, most, unit in goals:
        missed = missed or found > most
        print(f"{name:46s} {found:7.2f} {unit}, goal {most:g}: {'met' if found <= most else 'NOT MET'}")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
