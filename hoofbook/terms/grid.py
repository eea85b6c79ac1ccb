"""How many equal boxes stand beside each other: pure numbers for whoever shows several photos at one scale."""

from __future__ import annotations


def columns_for(count: int, shape: tuple[float, float], room: tuple[float, float], gap: float = 0.0) -> int:
    """Number of columns in which `count` boxes of one `shape` (width, height) are shown largest in `room`.

    `gap` lies between the boxes, in units of `room`. Of equal sizes the one that leaves fewest places empty is taken,
    then the one with fewest rows.
    """

    def rank(columns: int) -> tuple[float, int, int]:
        wide, high = cell_size(count, columns, room, gap)
        rows = -(-max(1, count) // columns)
        return (round(min(wide / shape[0], high / shape[1]), 9), count - rows * columns, -rows)

    return max(range(1, max(1, count) + 1), key=rank)


def cell_size(count: int, columns: int, room: tuple[float, float], gap: float = 0.0) -> tuple[float, float]:
    """Width and height of one box; never negative."""
    rows = -(-max(1, count) // columns)
    return (
        max(0.0, (room[0] - (columns - 1) * gap) / columns),
        max(0.0, (room[1] - (rows - 1) * gap) / rows),
    )
