"""CSV that a spreadsheet opens without doing anything: no cell can begin a formula, and numbers stay numbers."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")


def safe_cell(text: str) -> str:
    """The text with an apostrophe in front where a spreadsheet would take it for a formula; a number as it is.

    The signs are those of the OWASP page on CSV injection (from memory).
    """
    if text.lstrip(" ").startswith(_BEGINS_A_FORMULA) and not _NUMBER.fullmatch(text):
        return "'" + text
    return text


def csv_bytes(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    """UTF-8 with a byte order mark (spreadsheets then read ± and é), RFC 4180 quoting, one line a row."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    writer.writerows([[safe_cell(" ".join(cell.splitlines())) for cell in row] for row in rows])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8")
