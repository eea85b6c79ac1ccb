"""Which part of a picture fills a box: numbers alone."""

from __future__ import annotations

Size = tuple[float, float]
Shares = tuple[float, float, float, float]


def covering_part(box: Size, picture: Size, window: Shares | None = None) -> tuple[float, float, float, float]:
    """Left, top, width, height (picture px) of the part that fills `box` without bending it.

    Without a `window` (shares of the picture: left, top, right, bottom) the middle, as large as it can be; with one,
    as near as still shows the whole window, and never beyond the picture's edge.
    """
    (wide, tall), (box_wide, box_tall) = picture, box
    cover = max(box_wide / wide, box_tall / tall)
    left, top, right, bottom = window or (0.0, 0.0, 1.0, 1.0)
    near = min(box_wide / max((right - left) * wide, 1.0), box_tall / max((bottom - top) * tall, 1.0))
    scale = max(cover, near)
    part_wide, part_tall = box_wide / scale, box_tall / scale
    x = (left + right) / 2 * wide - part_wide / 2
    y = (top + bottom) / 2 * tall - part_tall / 2
    return min(max(x, 0.0), wide - part_wide), min(max(y, 0.0), tall - part_tall), part_wide, part_tall
