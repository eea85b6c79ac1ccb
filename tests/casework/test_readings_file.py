"""A readings file gives its rows, or the line and column that is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoofbook.casework.readings_file import COLUMNS, read_readings_file
from hoofbook.terms.refusal import Refused
from hoofbook.wording.refusals import sentence

HEAD = ",".join(COLUMNS)
ROW = "Larkspur,LF,sole_concavity_at_frog_apex,from_sole_edge,2025-01-14,after trim,42,1.2,mm,0.3,yes,more"


def written(folder: Path, *lines: str) -> Path:
    path = folder / "readings.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8-sig")
    return path


def test_rows_come_back_typed_and_empty_cells_stay_untold(tmp_path: Path) -> None:
    rows = read_readings_file(written(tmp_path, HEAD, ROW, ROW.replace(",42,", ",,").replace(",0.3,", ",,"), ""))
    assert (rows[0].value, rows[0].u, rows[0].days_since_trim, rows[0].goal) == (1.2, 0.3, 42, True)
    assert (rows[1].u, rows[1].days_since_trim, rows[1].line) == (None, None, 3)


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (ROW.replace("LF", "left"), "foot"),
        (ROW.replace(",1.2,", ",1.2mm,"), "value"),
        (ROW.replace(",1.2,", ",nan,"), "value"),
        (ROW.replace("2025-01-14", "14.1.2025"), "date"),
        (ROW.replace("after trim", "trimmed"), "moment"),
        (ROW.replace(",mm,", ",deg,"), "unit"),
        (ROW.replace(",0.3,", ",-1,"), "u"),
    ],
)
def test_a_wrong_cell_is_named(tmp_path: Path, row: str, column: str) -> None:
    with pytest.raises(Refused) as caught:
        read_readings_file(written(tmp_path, HEAD, row))
    assert caught.value.refusal.code == "readings_file_wrong_value"
    assert caught.value.refusal.facts["column"] == column
    assert "2" in sentence(caught.value.refusal)


def test_a_misspelt_column_is_named(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_readings_file(written(tmp_path, HEAD.replace("moment", "momment"), ROW))
    assert caught.value.refusal.facts == {"file": "readings.csv", "column": "moment", "found": "momment"}


def test_nothing_in_it(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="readings_file_empty"):
        read_readings_file(written(tmp_path, HEAD))
