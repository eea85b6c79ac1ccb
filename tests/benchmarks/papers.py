"""A Vet case of 20 photos of 12 MP, and the usual one, beside img2pdf on the same pictures in the same run.

    python -m tests.benchmarks.papers

The horse is made up: ten visits of both fores, its photos those of the sample case brought to 4032 px with grain, taken
in as a person's own, so that their copies lie in the book. The full case has every photo with marks and without.
Processor time is that of the making process and of the typesetting child together; memory is what the child holds at
most, less that of a child that sets an empty page. img2pdf joins the same JPEGs to a PDF without words: the floor.
Exit code 1 where a goal is missed.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
SIZE, PHOTOS, HORSE = (4032, 3024), 20, "Sorrel"
ROUNDS = 3
GOAL_CPU_S, GOAL_RISE_MB = 2.0, 300.0
GOAL_BYTES, GOAL_BYTES_MORE = 1.02, 200_000
GOAL_CASE_BYTES = 8_000_000


def build(folder: Path) -> None:
    """A book with one horse: 20 photos of 12 MP, each with its card, its marks and its copies."""
    from datetime import date, timedelta

    from hoofbook.casework.demo import HORSE as SAMPLE
    from hoofbook.casework.demo import make_sample_book
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.shots import measure_again
    from hoofbook.casework.taking_in import Filing, take_one
    from hoofbook.records.keys import new_key
    from hoofbook.terms.feet import Foot
    from hoofbook.terms.quantity import Definition
    from hoofbook.terms.subjects import FootWork, Goal, Horse, Visit, Wanted, Work
    from hoofbook.terms.views import Moment, View

    for _ in make_sample_book(folder / "book"):
        pass
    opened = open_book(folder / "book")
    book = opened.book
    passes = book.latest_passes(opened.horse_named(SAMPLE).key)
    models = [photo for photo in book.photos(opened.horse_named(SAMPLE).key, view=View.LATERAL) if photo.key in passes]
    horse = Horse(new_key(), HORSE)
    visits = [Visit(new_key(), horse.key, date(2024, 6, 3) + timedelta(weeks=6 * n)) for n in range(PHOTOS // 2)]
    with book.writing() as writer:
        writer.add_all([horse, *visits])
        writer.add(Goal(new_key(), horse.key, Foot.LF, "toe_angle", Definition.ONE, Wanted.MORE, visits[0].day))
        writer.add_all(FootWork(new_key(), visit.key, foot, work=Work.TRIM) for visit in visits for foot in Foot)
    for number in range(PHOTOS):
        foot, visit = (Foot.LF, Foot.RF)[number % 2], visits[number // 2]
        own = [photo for photo in models if photo.foot is foot]
        model = own[number // 2 % len(own)]
        source = folder / f"{foot.value}-{visit.day}.jpg"
        enlarge(opened.archive.path(model), source, number)
        filing = Filing(
            horse.key,
            visit.key,
            foot,
            View.LATERAL,
            Moment.AFTER_TRIM,
            card_plane=model.card_plane,
            card_stands_on=model.card_stands_on,
        )
        arrived = take_one(opened, source, filing)
        assert arrived.photo is not None
        with book.writing() as writer:
            writer.add(enlarged_marks(passes[model.key], arrived.photo.key, SIZE[0] / model.width))
        measure_again(opened, [arrived.photo])
        source.unlink()
    opened.close()


def enlarge(source: Path, target: Path, seed: int) -> None:
    """The photo at 12 MP with the grain of a sensor, as large a file as a phone's."""
    import numpy as np
    from PIL import Image

    with Image.open(source) as picture:
        large = np.asarray(picture.convert("RGB").resize(SIZE, Image.Resampling.BICUBIC), np.int16)
    grain = np.random.default_rng(seed).normal(0.0, 4.0, (SIZE[1], SIZE[0], 1)).round().astype(np.int16)
    Image.fromarray(np.clip(large + grain, 0, 255).astype(np.uint8)).save(target, "JPEG", quality=90)


def enlarged_marks(marks, photo, factor: float):
    from types import MappingProxyType

    from hoofbook.records.keys import new_key

    placed = {
        name: replace(mark, x=(mark.x + 0.5) * factor - 0.5, y=(mark.y + 0.5) * factor - 0.5)
        for name, mark in marks.marking.marks.items()
    }
    return replace(marks, key=new_key(), photo=photo, marking=replace(marks.marking, marks=MappingProxyType(placed)))


@dataclass(frozen=True)
class Spent:
    """CPU seconds in this process and in its children, and the most memory a child has held so far, MB."""

    here: float
    child: float
    child_mb: float

    @classmethod
    def now(cls) -> Spent:
        children = resource.getrusage(resource.RUSAGE_CHILDREN)
        return cls(time.process_time(), children.ru_utime + children.ru_stime, children.ru_maxrss / 1024)


def inside(folder: Path, size: str) -> None:
    """In a process of its own: makes the case again and again, and lets img2pdf join its pictures in between."""
    import img2pdf

    from hoofbook.casework import vet_case
    from hoofbook.casework.open_book import open_book
    from hoofbook.papers import vet_case as paper

    opened = open_book(folder / "book")
    key = str(opened.horse_named(HORSE).key)
    out = folder / f"{size}.pdf"
    bare = Spent.now()
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as child:
        child.submit(set_empty_page).result()
    empty = Spent.now()
    held: list[bytes] = []
    real = paper.make_pdf

    def noting(template, data, *, files=None, standards=()):
        held[:] = [content for name, content in (files or {}).items() if name.endswith(".jpg")]
        return real(template, data, files=files, standards=standards)

    paper.make_pdf = noting
    rows = []
    for _ in range(ROUNDS + 1):
        start = Spent.now()
        vet_case.make_vet_case(opened, key, vet_case.VetWishes(size=size), out)
        end = Spent.now()
        joined = time.process_time()
        img2pdf.convert(list(held))
        rows.append((end.here - start.here, end.child - start.child, time.process_time() - joined))
    pictures, most = sum(map(len, held)), Spent.now().child_mb - empty.child_mb
    print(len(held), pictures, out.stat().st_size, f"{empty.child - bare.child:.3f} {most:.1f}")
    for row in rows:
        print(*(f"{value:.3f}" for value in row))
    opened.close()


def set_empty_page() -> int:
    """What a child costs that sets next to nothing: its Python, typst and its fonts."""
    import typst

    return len(typst.compile(b"An empty page."))


def measured(folder: Path, size: str) -> list[list[float]]:
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "HOOFBOOK_HOME": str(folder / "home")}
    run = subprocess.run(
        [sys.executable, "-m", "tests.benchmarks.papers", "--inside", str(folder), size],
        cwd=CHECKOUT,
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    )
    return [[float(word) for word in line.split()] for line in run.stdout.splitlines()]


def told(size: str, rows: list[list[float]]) -> dict[str, bool]:
    """Prints one case; which goals it meets."""
    (count, pictures, pdf, empty_s, rise), first, *again = rows
    here, child, floor = (statistics.median(column) for column in zip(*again, strict=True))
    cpu = here + child
    print(f"{size}: {count:.0f} pictures, {pictures / 1e6:.2f} MB; PDF {pdf / 1e6:.2f} MB, {pdf / pictures:.3f} x")
    print(
        f"  CPU {cpu:.2f} s: {here:.2f} in the making process, {child:.2f} in the child (an empty page {empty_s:.2f})"
    )
    print(f"  the first one in a process {first[0] + first[1]:.2f} s; the child rises by {rise:.0f} MB")
    print(f"  img2pdf, pictures only {floor:.3f} s: {cpu / floor:.1f} x, the child alone {child / floor:.1f} x")
    if size == "case":
        return {f"bytes under {GOAL_CASE_BYTES / 1e6:.0f} MB": pdf < GOAL_CASE_BYTES}
    return {
        f"CPU at most {GOAL_CPU_S} s": cpu <= GOAL_CPU_S,
        f"the child rises by at most {GOAL_RISE_MB:.0f} MB": rise <= GOAL_RISE_MB,
        f"bytes at most {GOAL_BYTES} x the pictures and 200 kB": pdf <= GOAL_BYTES * pictures + GOAL_BYTES_MORE,
    }


def main() -> int:
    met: dict[str, bool] = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["HOOFBOOK_HOME"] = str(folder / "home")
        build(folder)
        for size in ("case", "full"):
            met |= {f"{size}: {goal}": kept for goal, kept in told(size, measured(folder, size)).items()}
    for goal, kept in met.items():
        print(f"{goal}: {'met' if kept else 'NOT MET'}")
    return 0 if all(met.values()) else 1


if __name__ == "__main__":
    if sys.argv[1:2] == ["--inside"]:
        inside(Path(sys.argv[2]), sys.argv[3])
    else:
        sys.exit(main())
