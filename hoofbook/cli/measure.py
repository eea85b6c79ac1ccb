"""`hoofbook measure`: the photos of a marks file."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from hoofbook.cli.terminal import follow, print_json, table
from hoofbook.wording.command_line import MEASURE_HEADS, NOTHING_MEASURED


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.measure_files import measure_file, result_document
    from hoofbook.casework.measure_text import measure_rows, photo_lines, refusal_lines

    result = follow(measure_file(Path(arguments.file), dense=arguments.dense))
    if arguments.json:
        print_json(result_document(result))
        return 0
    print("\n".join(photo_lines(result)))
    if result.quantities:
        print()
        print(table(MEASURE_HEADS, measure_rows(result)))
    for line in refusal_lines(result):
        print(line)
    if not result.quantities:
        print(NOTHING_MEASURED, file=sys.stderr)
        return 2
    return 0
