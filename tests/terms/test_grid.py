"""Boxes beside each other, by hand: a 12 x 10 room holds ..."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.terms.grid import cell_size, columns_for


@pytest.mark.parametrize(
    ("count", "shape", "room", "columns"),
    [
        (3, (1, 3), (12, 10), 3),  # tall ones stand in a row
        (3, (4, 1), (12, 10), 1),  # wide ones stand in a column
        (4, (1, 1), (10, 10), 2),
        (4, (1.25, 1), (24, 15), 2),  # as large as in three columns, and no place is empty
        (7, (1, 1), (70, 10), 7),
        (1, (1, 1), (5, 5), 1),
    ],
)
def test_boxes_are_shown_as_large_as_they_fit(
    count: int, shape: tuple[float, float], room: tuple[float, float], columns: int
) -> None:
    assert columns_for(count, shape, room) == columns


@given(st.integers(1, 30), st.floats(0.3, 3.0), st.floats(50.0, 3000.0), st.floats(50.0, 3000.0), st.floats(0.0, 20.0))
def test_all_boxes_fit_and_no_other_number_of_columns_shows_them_larger(
    count: int, shape: float, wide: float, high: float, gap: float
) -> None:
    def size(columns: int) -> float:
        cell = cell_size(count, columns, (wide, high), gap)
        return min(cell[0] / shape, cell[1])

    columns = columns_for(count, (shape, 1.0), (wide, high), gap)
    cell, rows = cell_size(count, columns, (wide, high), gap), -(-count // columns)
    assert columns * rows >= count
    if min(cell) > 0:
        assert columns * cell[0] + (columns - 1) * gap <= wide + 1e-6
        assert rows * cell[1] + (rows - 1) * gap <= high + 1e-6
    assert size(columns) >= max(size(each) for each in range(1, count + 1)) - 1e-6
