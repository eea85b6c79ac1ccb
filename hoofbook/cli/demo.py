"""`hoofbook demo`: the sample book, its first horse's concavity progress, the other horses' goals, a then-and-now
picture, a Vet case, the owner's picture and sheet, then the window."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.cli.display import has_display, no_display_sentence
from hoofbook.cli.terminal import follow, print_json, table
from hoofbook.wording.command_line import (
    BOOK_AT,
    NO_WINDOW_WISHED,
    OPENING_WINDOW,
    OWNER_PICTURE_WRITTEN,
    OWNER_SHEET_WRITTEN,
    PICTURE_WRITTEN,
    PROGRESS_HEADS,
    VET_CASE_WRITTEN,
)

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook

WRITTEN = {
    "picture": PICTURE_WRITTEN,
    "vet_case": VET_CASE_WRITTEN,
    "owner_picture": OWNER_PICTURE_WRITTEN,
    "owner_sheet": OWNER_SHEET_WRITTEN,
}
PICTURE = "larkspur-left-fore-then-and-now.jpg"
VET_CASE = "larkspur-vet-case.pdf"
OWNER_PICTURE = "larkspur-owner-picture.jpg"
OWNER_SHEET = "larkspur-owner-sheet.pdf"


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework import progress_text
    from hoofbook.casework.demo import HORSE, make_sample_book
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.pair_by_day import pair_by_day
    from hoofbook.casework.progress_document import document
    from hoofbook.casework.then_and_now import export_pair

    folder = Path(arguments.folder)
    if not (folder / "book.sqlite").exists():
        follow(make_sample_book(folder))
    book = open_book(folder)
    try:
        report = progress_text.progress_of_book(book, HORSE, measure="sole_concavity_at_frog_apex")
        others = progress_text.goals_of_others(book, HORSE)
        picture = export_pair(book, pair_by_day(book, HORSE, "LF", "solar"), folder.parent / PICTURE)
        vet_case = _vet_case(book, folder.parent / VET_CASE)
        owner_picture = _for_owner(book, folder.parent / OWNER_PICTURE)
        owner_sheet = _for_owner(book, folder.parent / OWNER_SHEET)
    finally:
        book.close()
    made = {"picture": picture, "vet_case": vet_case, "owner_picture": owner_picture, "owner_sheet": owner_sheet}
    if arguments.json:
        paths = {name: str(path) for name, path in made.items()}
        print_json({**document(report), "others": list(others), **paths, "book": str(folder.resolve())})
    else:
        for line in progress_text.sentences(report):
            print(line, end="\n\n")
        print(table(PROGRESS_HEADS, progress_text.rows(report)))
        for line in others:
            print(f"\n{line}")
        print(f"\n{BOOK_AT.format(path=folder.resolve())}")
        for name, path in made.items():
            print(WRITTEN[name].format(path=path))
    return _then_window(arguments, folder, HORSE, open_window)


def _vet_case(book: OpenBook, out: Path) -> Path:
    """The Vet case of the sample story; one that lies there already stays, so that running again adds nothing."""
    from hoofbook.casework.demo import ASKED, HORSE, TAKEN_BY
    from hoofbook.casework.vet_case import VetWishes, make_vet_case

    if not out.exists():
        make_vet_case(book, str(book.horse_named(HORSE).key), VetWishes(ASKED, taken_by=TAKEN_BY), out)
    return out.resolve()


def _for_owner(book: OpenBook, out: Path) -> Path:
    """The Owner picture or sheet of the sample story; one that lies there already stays."""
    from hoofbook.casework.demo import HORSE
    from hoofbook.casework.owner_facts import OwnerWishes
    from hoofbook.casework.papers import make_owner_paper

    if not out.exists():
        make_owner_paper(book, str(book.horse_named(HORSE).key), OwnerWishes("LF", "solar"), out)
    return out.resolve()


def _then_window(
    arguments: argparse.Namespace, folder: Path, horse: str, open_window: Callable[[str, str], int]
) -> int:
    import sys

    if arguments.no_window:
        print(NO_WINDOW_WISHED.format(path=folder), file=sys.stderr)
        return 0
    if not has_display():
        print(no_display_sentence(), file=sys.stderr)
        return 0
    print(OPENING_WINDOW.format(horse=horse), file=sys.stderr)
    return open_window(str(folder), horse)
