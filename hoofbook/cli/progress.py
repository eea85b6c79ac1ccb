"""`hoofbook progress`: readings, changes and verdicts of a book or a readings file."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from hoofbook.cli.terminal import print_json, table
from hoofbook.wording.command_line import PROGRESS_HEADS


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework import progress_text
    from hoofbook.casework.open_book import open_book
    from hoofbook.casework.progress_document import document

    source = Path(arguments.source)
    wishes = {"foot": arguments.foot, "measure": arguments.measure}
    if source.is_dir():
        book = open_book(source)
        try:
            report = progress_text.progress_of_book(book, arguments.horse, **wishes)
        finally:
            book.close()
    else:
        report = progress_text.progress_of_file(source, horse=arguments.horse, **wishes)
    if arguments.export:
        from hoofbook.casework.notebook import write_readings
        from hoofbook.wording.notebook import written_words

        rows = write_readings(report, Path(arguments.export))
        print(written_words(Path(arguments.export).name, rows))
        return 0
    if arguments.json:
        print_json(document(report))
        return 0
    print(table(PROGRESS_HEADS, progress_text.rows(report)))
    for line in (*progress_text.sentences(report), *progress_text.left_out_lines(report)):
        print(f"\n{line}")
    if report.measured_anew:
        print("\n" + "\n".join(report.measured_anew))
    return 0
