"""Previews: upright, no larger than asked, and without a word of where, when or by what they were taken."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from hoofbook.imaging.thumbnails import make_preview, make_thumbnail
from hoofbook.terms.refusal import Refusal


def test_previews_are_upright_and_carry_no_metadata(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x0110] = "Demo phone"
    exif.get_ifd(0x8825)[0x0002] = (51.0, 30.0, 0.0)  # GPSLatitude
    path = tmp_path / "a.jpg"
    Image.fromarray(np.full((300, 400, 3), 90, np.uint8)).save(path, exif=exif, comment=b"a note")
    for data, size in ((make_preview(path), (300, 400)), (make_thumbnail(path, 100), (75, 100))):
        assert isinstance(data, bytes)
        assert b"Exif" not in data
        assert b"Demo phone" not in data
        with Image.open(io.BytesIO(data)) as opened:
            assert opened.size == size
            assert not opened.getexif()
            assert "comment" not in opened.info


def test_what_cannot_be_read_has_no_preview(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_text("not a photo", encoding="utf-8")
    assert isinstance(make_preview(path), Refusal)
