"""A map of the sole as bytes: kept beside the previews, and given away as CSV grid or PLY mesh (open formats)."""

from __future__ import annotations

import io
from typing import Any

import numpy as np

from hoofbook.imaging import cv2
from hoofbook.imaging.relief import Picture
from hoofbook.terms.sole_shape import SoleShape

_VERSION = 2


def to_bytes(sole: SoleShape) -> bytes:
    """Compressed arrays (numpy's npz)."""
    kept = io.BytesIO()
    figures = np.array([_VERSION, sole.step, *sole.first, sole.completeness, sole.toward_lateral])
    arrays: dict[str, Any] = {"depth": sole.depth, "u": sole.u, "inside": sole.inside, "figures": figures}
    if sole.from_wall is not None:
        arrays |= {"from_wall": sole.from_wall, "u_from_wall": sole.u_from_wall}
    np.savez_compressed(kept, **arrays)
    return kept.getvalue()


def from_bytes(data: bytes) -> SoleShape | None:
    """None where the bytes are no map of this version: it is then made again."""
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as kept:
            version, step, toe, right, completeness, lateral = (float(each) for each in kept["figures"])
            if version != _VERSION:
                return None
            return SoleShape(
                kept["depth"],
                kept["u"],
                kept["inside"],
                step,
                (toe, right),
                completeness,
                int(lateral),
                *(kept.get(name) for name in ("from_wall", "u_from_wall")),
            )
    except (ValueError, KeyError, OSError):
        return None


def as_csv(sole: SoleShape) -> str:
    """One row a measured cell: mm toward the toe and to the right of the frog apex, depth and u in mm."""
    lines = ["toward_toe_mm,to_the_right_mm,depth_mm,u_mm"]
    for row, column in zip(*np.nonzero(np.isfinite(sole.depth)), strict=True):
        toe, right = sole.first[0] + sole.step * row, sole.first[1] + sole.step * column
        lines.append(f"{toe:.2f},{right:.2f},{sole.depth[row, column]:.3f},{sole.u[row, column]:.3f}")
    return "\n".join(lines) + "\n"


def as_ply(sole: SoleShape) -> bytes:
    """A triangle mesh, ASCII PLY 1.0 (Turk 1994): x to the right, y toward the toe, z towards the eye, in mm."""
    there = np.isfinite(sole.depth)
    number = np.full(there.shape, -1)
    number[there] = np.arange(int(there.sum()))
    rows, columns = np.nonzero(there)
    points = np.column_stack(
        [sole.first[1] + sole.step * columns, sole.first[0] + sole.step * rows, -sole.depth[rows, columns]]
    )
    a, b, c, d = number[:-1, :-1], number[:-1, 1:], number[1:, :-1], number[1:, 1:]
    whole = (a >= 0) & (b >= 0) & (c >= 0) & (d >= 0)
    faces = np.concatenate(
        [np.column_stack([a[whole], b[whole], d[whole]]), np.column_stack([a[whole], d[whole], c[whole]])]
    )
    head = [
        "ply",
        "format ascii 1.0",
        "comment millimetres; origin at the frog apex on the plane of the sole edge",
        f"element vertex {len(points)}",
        *(f"property float {axis}" for axis in "xyz"),
        f"element face {len(faces)}",
        "property list uchar int vertex_indices",
        "end_header",
    ]
    body = [f"{x:.3f} {y:.3f} {z:.3f}" for x, y, z in points] + [f"3 {i} {j} {k}" for i, j, k in faces]
    return ("\n".join([*head, *body]) + "\n").encode("ascii")


def as_png(picture: Picture) -> bytes:
    """PNG bytes of (h, w, 4) BGRA pixels, without metadata."""
    done, data = cv2.imencode(".png", picture)
    if not done:
        raise RuntimeError("OpenCV could not encode a PNG")
    return data.tobytes()
