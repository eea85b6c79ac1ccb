"""A practice's own picture for its papers: small, on white, made from its pixels alone."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image, ImageOps

from hoofbook.imaging.pixels import read_facts
from hoofbook.terms.refusal import Refusal

LARGEST = (900, 450)  # px: sharp at the size it has on paper


def make_logo(path: Path) -> bytes | Refusal:
    """PNG of the picture, what is see-through in it white. Refusals as `pixels.read_facts`."""
    facts = read_facts(path)
    if isinstance(facts, Refusal):
        return facts
    with Image.open(path) as opened:
        picture = ImageOps.exif_transpose(opened).convert("RGBA")
    picture.thumbnail(LARGEST, Image.Resampling.LANCZOS)
    white = Image.new("RGBA", picture.size, "#FFFFFF")
    plain = Image.alpha_composite(white, picture).convert("RGB")
    out = io.BytesIO()
    plain.save(out, "PNG")
    return out.getvalue()
