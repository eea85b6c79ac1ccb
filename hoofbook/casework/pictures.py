"""Photos as buffers that a window can show at once: upright, in screen colours, four bytes a pixel."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoofbook.terms.refusal import Refusal


@dataclass(frozen=True, slots=True)
class PictureBuffer:
    """`data` holds rows of blue, green, red and one unused byte; `scale` is against the original."""

    width: int
    height: int
    data: Any  # a C-contiguous buffer of height x width x 4 bytes
    scale: float = 1.0


def load_screen_picture(path: Path, width: int, height: int) -> PictureBuffer | Refusal:
    """The photo reduced to about `width` x `height` px, upright: the first sharp picture."""
    from hoofbook.imaging.pixels import screen_picture

    found = screen_picture(path, width, height)
    return found if isinstance(found, Refusal) else _buffer(found)


def load_full_pyramid(path: Path) -> tuple[PictureBuffer, ...] | Refusal:
    """The whole photo and its half, quarter ... sizes, largest first."""
    from hoofbook.imaging.pixels import full_picture, pyramid

    full = full_picture(path)
    if isinstance(full, Refusal):
        return full
    levels = pyramid(full)
    widest = levels[0].shape[1]
    return tuple(_buffer(level, level.shape[1] / widest) for level in levels)


def _buffer(pixels: Any, scale: float = 1.0) -> PictureBuffer:
    return PictureBuffer(pixels.shape[1], pixels.shape[0], pixels.data, scale)
