"""`hoofbook compare`: a then-and-now picture."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from hoofbook.wording.command_line import PICTURE_WRITTEN


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.pair_by_day import pair_by_day
    from hoofbook.casework.then_and_now import export_pair

    book = open_book(Path(arguments.book))
    try:
        sheet = pair_by_day(
            book, arguments.horse, arguments.foot, arguments.view, then=arguments.then, now=arguments.now
        )
        if sheet.banner:
            print(sheet.banner, file=sys.stderr)
        out = export_pair(book, sheet, Path(arguments.out), arguments.layout)
    finally:
        book.close()
    print(PICTURE_WRITTEN.format(path=out))
    return 0
