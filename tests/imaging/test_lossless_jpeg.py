"""Lossless JPEG against the packing of another program (dcmcjpeg of dcmtk), value for value."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pydicom import dcmread
from pydicom.encaps import get_frame

from hoofbook.imaging.film_picture import film_picture
from hoofbook.imaging.lossless_jpeg import lossless_jpeg
from hoofbook.papers.dicom import raw_picture
from hoofbook.terms.refusal import Refusal
from tests.papers import tools
from tests.papers.films import film, side_film

NOISE = np.random.default_rng(7).integers(-40, 40, (300, 240))
FILM = np.clip(side_film(240, 300).astype(np.int64) + NOISE, 0, 4095).astype(np.uint16)
ANY = np.random.default_rng(8).integers(0, 65536, (90, 70)).astype(np.uint16)
WIDE = {"BitsStored": 16, "HighBit": 15}


def packed(folder: Path, values: np.ndarray, *options: str, **fields: object) -> Path:
    out = folder / "packed.dcm"
    tools.tool("dcmcjpeg", *options, film(folder / "plain.dcm", values, **fields), out)
    return out


def frame(path: Path) -> bytes:
    return get_frame(dcmread(path).PixelData, 0, number_of_frames=1)


@pytest.mark.parametrize(
    ("values", "options", "fields"),
    [
        (FILM, ("+e1",), {}),
        (FILM, ("+el", "+sv", "1"), {}),
        (FILM, ("+el", "+sv", "2"), {}),
        (ANY, ("+e1",), WIDE),  # every length of difference there is, 16 bits among them
        (np.full((20, 30), 77, np.uint16), ("+e1",), {}),
    ],
    ids=["film", "from the left", "from above", "any value", "one value"],
)
def test_every_value_comes_back(
    tmp_path: Path, values: np.ndarray, options: tuple[str, ...], fields: dict[str, object]
) -> None:
    path = packed(tmp_path, values, *options, **fields)
    assert dcmread(path).file_meta.TransferSyntaxUID.is_compressed
    found = lossless_jpeg(frame(path), values.shape)
    assert found is not None and np.array_equal(found, values)


def test_a_packed_film_looks_like_the_plain_one(tmp_path: Path) -> None:
    window = {"WindowCenter": 1500, "WindowWidth": 2800}
    path = packed(tmp_path, FILM, "+e1", **window)
    raws = [raw_picture(file) for file in (path, tmp_path / "plain.dcm")]
    assert not any(isinstance(raw, Refusal) for raw in raws)
    one, other = (film_picture(raw) for raw in raws)  # type: ignore[arg-type]
    assert one is not None and np.array_equal(one, other)


@pytest.mark.parametrize("prediction", ["3", "4", "5", "6", "7"])
def test_other_predictions_are_left_alone(tmp_path: Path, prediction: str) -> None:
    assert lossless_jpeg(frame(packed(tmp_path, FILM, "+el", "+sv", prediction)), FILM.shape) is None


def test_a_damaged_one_is_never_half_shown(tmp_path: Path) -> None:
    whole = frame(packed(tmp_path, FILM, "+e1"))
    assert lossless_jpeg(whole[: len(whole) // 2], FILM.shape) is None
    assert lossless_jpeg(whole[: len(whole) // 2] + b"\xff\xd9", FILM.shape) is None
    assert lossless_jpeg(whole, (10_000, 10_000)) is None
    assert lossless_jpeg(b"", FILM.shape) is None
    rng = np.random.default_rng(3)
    for _ in range(60):  # whatever stands in it: values or nothing, never an error
        spoilt = bytearray(whole)
        for place in rng.integers(2, 400, 3):
            spoilt[place] = int(rng.integers(0, 256))
        found = lossless_jpeg(bytes(spoilt), FILM.shape)
        assert found is None or found.shape == FILM.shape
