"""CSV for spreadsheets: nothing begins a formula, numbers stay numbers, every cell comes back.

Reference: the signs named by the OWASP page "CSV Injection" (= + - @ tab CR; from memory), and Python's own csv reader
(RFC 4180).
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.papers.safe_csv import csv_bytes, safe_cell

DANGEROUS = ("=", "+", "-", "@", "\t", "\r")


@pytest.mark.parametrize(
    "text", ["=1+1", "+cmd", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "=HYPERLINK()", " =1", "-", "+", "-1.5 mm", "--1"]
)
def test_what_would_begin_a_formula_is_made_words(text: str) -> None:
    assert safe_cell(text) == "'" + text


@pytest.mark.parametrize("text", ["-1.5", "+3", "4.8", "-0.05", "1e-3", "-2E5", "-,5", "", "2025-01-14", "LF", "a=b"])
def test_numbers_and_words_stay_as_they_are(text: str) -> None:
    assert safe_cell(text) == text


@given(st.lists(st.lists(st.text(max_size=12), min_size=3, max_size=3), max_size=5))
def test_no_row_breaks_and_no_cell_begins_a_formula(rows: list[list[str]]) -> None:
    text = csv_bytes(("a", "b", "c"), rows).decode("utf-8-sig")
    back = list(csv.reader(io.StringIO(text, newline="")))
    assert back[0] == ["a", "b", "c"] and len(back) == len(rows) + 1
    for told, cells in zip(rows, back[1:], strict=True):
        assert len(cells) == 3
        for given_text, cell in zip(told, cells, strict=True):
            joined = " ".join(given_text.splitlines())
            assert cell in (joined, "'" + joined)
            if cell.lstrip(" ").startswith(DANGEROUS):
                assert cell == joined and float(cell.replace(",", ".")) is not None


def test_spreadsheets_are_told_that_it_is_utf_8() -> None:
    data = csv_bytes(("value",), [("4.8 ± 0.6",)])
    assert data.startswith(b"\xef\xbb\xbf") and data.endswith(b"\r\n") and "±".encode() in data
