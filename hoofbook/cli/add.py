"""`hoofbook add`: photos and marks files, Handovers, or with `--vets` what a vet gave, into a book."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from hoofbook.cli.terminal import follow, print_json
from hoofbook.wording.command_line import PHOTOS_IN, VETS_IN


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.adding import Added, Wishes, add_files
    from hoofbook.casework.adding_text import document, lines
    from hoofbook.casework.notebook import is_readings_file, take_readings
    from hoofbook.casework.open_book import open_or_make

    if arguments.vets:
        return _vets(arguments)
    told = (arguments.horse, arguments.visit, arguments.foot, arguments.view, arguments.moment)
    wishes = Wishes(*told, retake=arguments.retake)
    paths = _without_handovers(arguments)
    if not paths:
        return 0
    numbers, photos = [p for p in paths if is_readings_file(p)], [p for p in paths if not is_readings_file(p)]
    book = open_or_make(Path(arguments.book))
    try:
        taken = [take_readings(book, path) for path in numbers]
        added = follow(add_files(book, photos, wishes)) if photos else Added(())
    finally:
        book.close()
    if taken and not arguments.json:
        print("\n".join(line for each in taken for line in each.lines))
    if not photos:
        if arguments.json:
            print_json({"readings": [{"file": t.file, "kept": t.kept, "known": t.known} for t in taken]})
        return 2 if any(each.refused for each in taken) else 0
    if arguments.json:
        print_json(document(added))
    else:
        for line in lines(added):
            print(line)
        print(PHOTOS_IN.format(new=added.new, known=added.known, refused=added.refused))
    if added.refused:
        for line in lines(added, refused_only=True):
            print(line, file=sys.stderr)
        return 2
    return 0


def _without_handovers(arguments: argparse.Namespace) -> list[Path]:
    """Takes in what is a Handover, one after the other; the files that are none. A book is only made for a good one."""
    from hoofbook.casework.handover_matches import handover_document, matches_by_name
    from hoofbook.casework.open_book import open_or_make
    from hoofbook.casework.taking_handover import is_handover, look_at_handover, take_handover

    paths = [Path(file) for file in arguments.files]
    handovers = [path for path in paths if is_handover(path)]
    others = [path for path in paths if path not in handovers]
    taken = []
    for path in handovers:
        contents = look_at_handover(path)
        book = open_or_make(Path(arguments.book))
        try:
            taken.append(follow(take_handover(book, path, matches_by_name(book, contents, arguments.horse))))
        finally:
            book.close()
        print("\n".join(contents.problems), end="\n" if contents.problems else "", file=sys.stderr)
    if arguments.json and handovers and not others:
        print_json({"handovers": [handover_document(each) for each in taken]})
    elif not arguments.json:
        print("\n".join(line for each in taken for line in each.lines), end="\n" if taken else "")
    return others


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
