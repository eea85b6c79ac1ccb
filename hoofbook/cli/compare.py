"""`hoofbook compare`: a then-and-now picture, a row of visits, or the year of a foot as a small film."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoofbook.cli.terminal import follow, print_json
from hoofbook.wording.command_line import FILM_WRITTEN, PICTURE_WRITTEN, ROW_WRITTEN

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.open_book import open_book

    book = open_book(Path(arguments.book))
    try:
        told = _several(book, arguments) if arguments.year or arguments.row is not None else _pair(book, arguments)
    finally:
        book.close()
    if arguments.json:
        print_json(told)
    else:
        for line in told["said"]:
            print(line)
    return 0


def _pair(book: OpenBook, arguments: argparse.Namespace) -> dict[str, Any]:
    from hoofbook.casework.pair_by_day import pair_by_day
    from hoofbook.casework.pair_picture import export_pair
    from hoofbook.wording.pairs import pair_said

    sheet = pair_by_day(book, arguments.horse, arguments.foot, arguments.view, then=arguments.then, now=arguments.now)
    _warn(sheet.banner)
    out = export_pair(book, sheet, Path(arguments.out), arguments.layout)
    assert sheet.then is not None and sheet.now is not None
    days = (sheet.then.day, sheet.now.day)
    proposed = 0 if arguments.then or arguments.now else sheet.pairs
    return {
        "picture": str(out),
        "then": days[0],
        "now": days[1],
        "why": sheet.why,
        "way": sheet.way,
        "banner": sheet.banner,
        "pairs": sheet.pairs,
        "fairest": [{"days": best.days, "why": best.why} for best in sheet.best],
        "said": [pair_said(days, sheet.why, proposed), PICTURE_WRITTEN.format(path=out)],
    }


def _several(book: OpenBook, arguments: argparse.Namespace) -> dict[str, Any]:
    from hoofbook.casework.row_by_day import row_by_days, year_of
    from hoofbook.casework.row_files import export_row, export_year

    out = Path(arguments.out)
    if arguments.year:
        sheet = year_of(book, arguments.horse, arguments.foot, arguments.view)
        written, words = follow(export_year(sheet, out)), FILM_WRITTEN
    else:
        sheet = row_by_days(book, arguments.horse, arguments.foot, arguments.view, arguments.row)
        written, words = export_row(sheet, out), ROW_WRITTEN
    _warn(sheet.banner, *sheet.left_out)
    return {
        "film" if arguments.year else "picture": str(written),
        "days": [side.day for side in sheet.sides],
        "way": sheet.way,
        "banner": sheet.banner,
        "left_out": list(sheet.left_out),
        "said": [f"{sheet.title}, {sheet.subtitle}, {sheet.way}.", words.format(path=written)],
    }


def _warn(*sentences: str) -> None:
    for sentence in sentences:
        if sentence:
            print(sentence, file=sys.stderr)
