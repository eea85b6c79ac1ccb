"""Progress as one line on standard error, and plain tables on standard output."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Generator, Sequence
from typing import Any, TypeVar

from hoofbook.terms.shown import Step

Result = TypeVar("Result")
_EVERY_S = 0.1


def follow(work: Generator[Step, None, Result]) -> Result:
    """Runs long work to its end, showing how far it is; Ctrl+C closes the work cleanly and goes on up."""
    shown = 0.0
    live = sys.stderr.isatty()
    try:
        while True:
            try:
                step = next(work)
            except StopIteration as end:
                return end.value  # type: ignore[no-any-return]
            if live and time.monotonic() - shown > _EVERY_S:
                shown = time.monotonic()
                print(f"\r{step.done} / {step.total}  {step.words[:60]:<60}", end="", file=sys.stderr, flush=True)
            elif not live and (step.done == step.total or step.done % 10 == 1):
                print(f"{step.done} / {step.total}  {step.words}", file=sys.stderr, flush=True)
    finally:
        work.close()
        if live:
            print(f"\r{'':<76}\r", end="", file=sys.stderr, flush=True)


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Columns padded to their widest cell, two spaces between."""
    widths = [max(len(row[i]) for row in [heads, *rows]) for i in range(len(heads))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in [heads, *rows]]
    return "\n".join(line.rstrip() for line in lines)


def print_json(document: Any) -> None:
    """One JSON document; no NaN (a value that is not there is null)."""
    print(json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False))
