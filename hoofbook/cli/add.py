"""`hoofbook add`: photos and marks files into a book."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from hoofbook.cli.terminal import follow, print_json
from hoofbook.wording.command_line import PHOTOS_IN


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.adding import Wishes, add_files
    from hoofbook.casework.adding_text import document, lines
    from hoofbook.casework.open_book import open_or_make

    wishes = Wishes(arguments.horse, arguments.visit, arguments.foot, arguments.view, arguments.moment)
    book = open_or_make(Path(arguments.book))
    try:
        added = follow(add_files(book, [Path(file) for file in arguments.files], wishes))
    finally:
        book.close()
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
