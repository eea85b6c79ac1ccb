"""Words of taking numbers from a notebook in."""

from __future__ import annotations

from hoofbook.terms.refusal import Refusal
from hoofbook.wording.refusals import sentence


def taken_words(file: str, kept: int, known: int) -> str:
    """`readings.csv: 12 readings kept as read by hand, 3 were here already.`"""
    words = f"{file}: {kept} {'reading' if kept == 1 else 'readings'} kept as read by hand"
    return f"{words}, {known} {'was' if known == 1 else 'were'} here already." if known else f"{words}."


def row_refused(line: int, refusal: Refusal) -> str:
    return f"  line {line}: {sentence(refusal)}"


def written_words(file: str, rows: int) -> str:
    return f"{rows} readings written to {file}."
