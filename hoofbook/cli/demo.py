"""`hoofbook demo`: the sample book, its first horse's concavity progress, the other horses' goals, a then-and-now
picture, then the window."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from hoofbook.cli.display import has_display, no_display_sentence
from hoofbook.cli.terminal import follow, print_json, table
from hoofbook.wording.command_line import (
    BOOK_AT,
    NO_WINDOW_WISHED,
    OPENING_WINDOW,
    PICTURE_WRITTEN,
    PROGRESS_HEADS,
)

PICTURE = "larkspur-left-fore-then-and-now.jpg"


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework import progress_text
    from hoofbook.casework.demo import HORSE, make_sample_book
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.pair_by_day import pair_by_day
    from hoofbook.casework.then_and_now import export_pair

    folder = Path(arguments.folder)
    if not (folder / "book.sqlite").exists():
        follow(make_sample_book(folder))
    book = open_book(folder)
    try:
        report = progress_text.progress_of_book(book, HORSE, measure="sole_concavity_at_frog_apex")
        others = progress_text.goals_of_others(book, HORSE)
        picture = export_pair(book, pair_by_day(book, HORSE, "LF", "solar"), folder.parent / PICTURE)
    finally:
        book.close()
    if arguments.json:
        made = {"others": list(others), "picture": str(picture), "book": str(folder.resolve())}
        print_json({**progress_text.document(report), **made})
    else:
        for line in progress_text.sentences(report):
            print(line, end="\n\n")
        print(table(PROGRESS_HEADS, progress_text.rows(report)))
        for line in others:
            print(f"\n{line}")
        print(f"\n{BOOK_AT.format(path=folder.resolve())}\n{PICTURE_WRITTEN.format(path=picture)}")
    return _then_window(arguments, folder, HORSE, open_window)


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
