"""A PNG loses its words and keeps its pixels; written and read by Pillow, chunks by ISO/IEC 15948."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image, PngImagePlugin

from hoofbook.imaging.plain_png import plain_png


def with_words() -> tuple[bytes, np.ndarray]:
    """16 bits deep, as a film may be: written again as a photo it would lose half of them."""
    pixels = np.random.default_rng(3).integers(0, 65536, (40, 60), np.uint16)
    told = PngImagePlugin.PngInfo()
    told.add_text("Comment", "PLANTED-WORDS")
    told.add_itxt("XML:com.adobe.xmp", "PLANTED-WORDS")
    exif = Image.Exif()
    exif[0x010E] = "PLANTED-WORDS"
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG", pnginfo=told, exif=exif, dpi=(300, 300))
    return out.getvalue() + b"PLANTED-WORDS behind the end", pixels


def test_words_go_and_pixels_stay_to_the_last_bit() -> None:
    data, pixels = with_words()
    assert data.count(b"PLANTED-WORDS") >= 4
    plain = plain_png(data)
    assert plain is not None and b"PLANTED-WORDS" not in plain
    with Image.open(io.BytesIO(plain)) as opened:
        assert not opened.text and not opened.getexif()
        assert round(opened.info["dpi"][0]) == 300
        np.testing.assert_array_equal(np.asarray(opened), pixels)


def test_what_is_no_whole_png_is_left_to_others() -> None:
    data, _ = with_words()
    assert plain_png(data[:200]) is None
    assert plain_png(b"\xff\xd8\xff") is None
