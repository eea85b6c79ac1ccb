"""`hoofbook add`: photos, marks files and readings files, Handovers, or with `--vets` what a vet gave, into a book."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.cli.terminal import follow, print_json
from hoofbook.wording.command_line import PHOTOS_IN, VETS_IN, photos_counted

if TYPE_CHECKING:
    from hoofbook.casework.adding import Added, Given, Wishes
    from hoofbook.casework.notebook import Taken
    from hoofbook.casework.notebook_rows import Table
    from hoofbook.casework.open_book import OpenBook
    from hoofbook.casework.taking_handover import HandoverContents, HandoverTaken


@dataclass(frozen=True, slots=True)
class _Read:
    """All that was given, read and found right before there is a book; photos alone are judged one by one later."""

    given: Given
    tables: tuple[Table, ...]
    handovers: tuple[tuple[Path, HandoverContents], ...]


@dataclass(frozen=True, slots=True)
class _Came:
    """What came of it."""

    readings: Sequence[Taken] = ()
    added: Added | None = None
    handovers: Sequence[HandoverTaken] = ()


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.adding import Wishes, add_given
    from hoofbook.casework.notebook import nothing_to_keep, take_tables
    from hoofbook.casework.open_book import open_or_make

    if arguments.vets:
        return _vets(arguments)
    told = (arguments.horse, arguments.visit, arguments.foot, arguments.view, arguments.moment)
    wishes, folder = Wishes(*told, retake=arguments.retake), Path(arguments.book)
    read = _read([Path(file) for file in arguments.files], folder, wishes)
    with_photos = bool(read.given.photos or read.given.marks)
    if not (with_photos or read.handovers or (folder / "book.sqlite").exists()):
        refused = nothing_to_keep(read.tables)
        if refused is not None:
            return _tell(_Came(refused), as_json=arguments.json)
    book = open_or_make(folder)
    try:
        handovers = _take_handovers(book, read.handovers, arguments.horse)
        readings = take_tables(book, read.tables) if read.tables else ()
        added = follow(add_given(book, read.given, wishes)) if with_photos else None
    finally:
        book.close()
    return _tell(_Came(readings, added, handovers), as_json=arguments.json)


def _read(paths: Sequence[Path], folder: Path, wishes: Wishes) -> _Read:
    from hoofbook.casework.adding import look_at_files
    from hoofbook.casework.notebook import is_readings_file
    from hoofbook.casework.notebook_rows import read_tables
    from hoofbook.casework.open_book import clock_of
    from hoofbook.casework.taking_handover import is_handover, look_at_handover

    bundles = [path for path in paths if is_handover(path)]
    numbers = [path for path in paths if path not in bundles and is_readings_file(path)]
    given = look_at_files([path for path in paths if path not in bundles and path not in numbers], wishes)
    tables = read_tables(numbers, clock_of(folder).now().date())
    return _Read(given, tables, tuple((path, look_at_handover(path)) for path in bundles))


def _take_handovers(
    book: OpenBook, bundles: Iterable[tuple[Path, HandoverContents]], horse: str
) -> list[HandoverTaken]:
    from hoofbook.casework.handover_matches import matches_by_name
    from hoofbook.casework.taking_handover import take_handover

    taken = []
    for path, contents in bundles:
        taken.append(follow(take_handover(book, path, matches_by_name(book, contents, horse))))
        for problem in contents.problems:
            print(problem, file=sys.stderr)
    return taken


def _tell(came: _Came, *, as_json: bool) -> int:
    from hoofbook.casework.adding_text import document, lines, readings_document
    from hoofbook.casework.handover_matches import handover_document

    added = came.added
    if as_json:
        parts = {
            "handovers": [handover_document(each) for each in came.handovers],
            "readings": readings_document(came.readings),
            **(document(added) if added is not None else {}),
        }
        print_json({name: part for name, part in parts.items() if part or name == "photos"})
    else:
        told = (*(each.lines for each in came.handovers), *(each.lines for each in came.readings))
        for some in told:
            print("\n".join(some))
        for line in lines(added) if added is not None else ():
            print(line)
        if added is not None:
            print(PHOTOS_IN.format(new=photos_counted(added.new), known=added.known, refused=added.refused))
    if added is not None and added.refused:
        for line in lines(added, refused_only=True):
            print(line, file=sys.stderr)
    return 2 if (added is not None and added.refused) or any(each.refused for each in came.readings) else 0


def _vets(arguments: argparse.Namespace) -> int:
    """The book and the horse must be there: a vet's film of a horse nobody knows is a slip of the pen."""
    from hoofbook.casework.adding_text import vet_document, vet_lines
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.vet_images import VetTold, take_vet_images

    told = VetTold(
        arguments.foot,
        arguments.view,
        arguments.taken,
        arguments.received_from,
        arguments.received,
        arguments.purpose,
    )
    book = open_book(Path(arguments.book))
    try:
        horse = str(book.horse_named(arguments.horse).key)
        taken = follow(take_vet_images(book, horse, [Path(file) for file in arguments.files], told))
    finally:
        book.close()
    refused = sum(1 for each in taken if each.refusal is not None)
    known = sum(1 for each in taken if each.known)
    if arguments.json:
        print_json(vet_document(taken))
    else:
        for line in vet_lines(taken):
            print(line)
        print(VETS_IN.format(new=len(taken) - refused - known, known=known, refused=refused))
    for line in vet_lines(taken, refused_only=True):
        print(line, file=sys.stderr)
    return 2 if refused else 0
