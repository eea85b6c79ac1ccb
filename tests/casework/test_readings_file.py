"""A readings file gives its rows, or the line and column that is wrong."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from hoofbook.casework.readings_file import COLUMNS, read_readings_file
from hoofbook.terms.quantity import MEASURES
from hoofbook.terms.refusal import Refused
from hoofbook.wording.refusals import sentence

HEAD = ",".join(COLUMNS)
ROW = "Larkspur,LF,sole_concavity_at_frog_apex,from_sole_edge,2025-01-14,after trim,42,1.2,mm,0.3,yes,more"

TODAY = date(2025, 9, 30)


def angle(measure: str, value: float, foot: str = "LF") -> str:
    return f"Larkspur,{foot},{measure},,2025-01-14,after trim,,{value},deg,,no,"


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
        (ROW.replace("Larkspur", " "), "horse"),
        (ROW.replace("2025-01-14", "1949-12-31"), "date"),
        (ROW.replace("2025-01-14", "2025-10-02"), "date"),
        (ROW.replace(",42,", ",-3,"), "days_since_trim"),
        (ROW.replace(",42,", ",4.5,"), "days_since_trim"),
        (ROW.replace(",42,", ",1000,"), "days_since_trim"),
        (ROW.replace(",1.2,", ",140,"), "value"),
        (ROW.replace(",yes,", ",perhaps,"), "goal"),
        (ROW.replace(",yes,", ",1,"), "goal"),
        (ROW.replace(",more", ",bigger"), "wanted"),
        (angle("toe_angle", 91.0), "value"),
        (angle("heel_angle", -0.1), "value"),
        (angle("toe_heel_angle_difference", -90.5), "value"),
        (angle("toe_angle", 90.5, "LF-RF"), "value"),
    ],
)
def test_a_wrong_cell_is_named(tmp_path: Path, row: str, column: str) -> None:
    with pytest.raises(Refused) as caught:
        read_readings_file(written(tmp_path, HEAD, row), TODAY)
    refusal = caught.value.refusal
    assert refusal.code == "readings_file_wrong_value"
    assert refusal.facts["column"] == column
    assert refusal.facts["expected"]
    assert "Line 2" in sentence(refusal) and f"Expected is {refusal.facts['expected']}" in sentence(refusal)


@pytest.mark.parametrize(
    "row",
    [
        ROW.replace("2025-01-14", "1950-01-01"),
        ROW.replace("2025-01-14", "2025-09-30"),
        ROW.replace("2025-01-14", "2025-10-01"),  # begun already east of Greenwich, whose clock the book goes by
        ROW.replace(",42,", ",0,"),
        ROW.replace(",1.2,", ",-1.5,"),  # a sole that bulges
        ROW.replace(",yes,more", ",,"),
        ROW.replace(",yes,", ",No,"),
        ROW.replace(",more", ",keep"),
        angle("toe_angle", 90.0),
        angle("toe_heel_angle_difference", -8.0),
        angle("toe_angle", -8.0, "LF-RF"),
    ],
)
def test_what_can_be_is_taken(tmp_path: Path, row: str) -> None:
    assert len(read_readings_file(written(tmp_path, HEAD, row), TODAY)) == 1


def test_every_measure_has_limits_that_hold_what_is_measured(tmp_path: Path) -> None:
    """Thoroughbred fores of a published survey (means of 20 horses, from memory of the trade's figures): every one of
    them must go in, so no limit may stand below it."""
    figures = {"toe_angle": 52.0, "heel_angle": 43.0, "toe_length": 85.0, "heel_height": 38.0, "foot_width": 128.0}
    rows = [
        f"Larkspur,LF,{name},,2025-01-14,after trim,,{value},{MEASURES[name].value},,no,"
        for name, value in figures.items()
    ]
    assert [row.value for row in read_readings_file(written(tmp_path, HEAD, *rows), TODAY)] == list(figures.values())


def test_a_name_may_hold_commas_and_lines_are_counted_as_a_person_counts_them(tmp_path: Path) -> None:
    """RFC 4180, 2.6: a cell in quotes may hold commas and line breaks."""
    rows = (ROW.replace("Larkspur", '"Larkspur, the second"'), ROW.replace(",1.2,", ",x,"))
    with pytest.raises(Refused) as caught:
        read_readings_file(written(tmp_path, HEAD, *rows), TODAY)
    assert caught.value.refusal.facts["line"] == 3


def test_a_misspelt_column_is_named(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_readings_file(written(tmp_path, HEAD.replace("moment", "momment"), ROW))
    assert caught.value.refusal.facts == {"file": "readings.csv", "column": "moment", "found": "momment"}


def test_nothing_in_it(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="readings_file_empty"):
        read_readings_file(written(tmp_path, HEAD))
