"""What a vet's DICOM file holds and how it looks.

References: pydicom's own test files (pydicom.data) and its own processing (modality and VOI tables, colour spaces,
palettes: DICOM PS3.3 C.7.6.3, C.11), which share no line with ours.
"""

from __future__ import annotations

import warnings
from datetime import date
from pathlib import Path

import numpy as np
import pydicom.data
import pytest
from pydicom import Dataset, dcmread
from pydicom.pixels.processing import apply_color_lut, apply_modality_lut, apply_voi_lut
from pydicom.sr._cid_dict import cid_concepts
from pydicom.sr._concepts_dict import concepts

from hoofbook.imaging.film_picture import film_picture
from hoofbook.papers import dicom
from hoofbook.papers.dicom import is_dicom, raw_picture, read_dicom
from hoofbook.terms.feet import Foot, Side
from hoofbook.terms.refusal import Refusal
from tests.papers import tools
from tests.papers.films import film

FILES = Path(pydicom.data.__file__).parent / "test_files"


def shown(file: Path) -> np.ndarray:
    raw = raw_picture(file)
    assert not isinstance(raw, Refusal), raw
    picture = film_picture(raw)
    assert picture is not None
    return picture


def as_pydicom_shows(file: Path) -> np.ndarray:
    """0 to 255, floating, black to white."""
    read = dcmread(file)
    values = apply_modality_lut(read.pixel_array, read)
    after = np.asarray(apply_voi_lut(values, read), np.float64)
    if "VOILUTSequence" in read:
        grey = after / (2 ** read.VOILUTSequence[0].LUTDescriptor[2] - 1) * 255
    elif "WindowWidth" in read:
        low, high = 0.0, float(2**read.BitsStored - 1)
        grey = (after - low) / (high - low) * 255
    else:
        grey = (after - after.min()) / (after.max() - after.min()) * 255
    return 255 - grey if read.PhotometricInterpretation == "MONOCHROME1" else grey


RAMP = np.arange(4096, dtype=np.uint16).reshape(64, 64)


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"WindowCenter": 2000, "WindowWidth": 900},
        {"WindowCenter": ["2000", "100"], "WindowWidth": ["900", "10"]},
        {"WindowCenter": 2000, "WindowWidth": 900, "PhotometricInterpretation": "MONOCHROME1"},
        {"WindowCenter": 1000.5, "WindowWidth": 1, "VOILUTFunction": "LINEAR"},
        {"WindowCenter": 2000, "WindowWidth": 900, "VOILUTFunction": "LINEAR_EXACT"},
        {"WindowCenter": 2000, "WindowWidth": 900, "VOILUTFunction": "SIGMOID"},
        {"PhotometricInterpretation": "MONOCHROME1"},
    ],
    ids=lambda fields: " ".join(map(str, fields.values())) or "no window",
)
def test_greys_are_windowed_as_the_standard_says(tmp_path: Path, fields: dict[str, object]) -> None:
    file = film(tmp_path / "film.dcm", RAMP, **fields)
    assert np.abs(shown(file) - as_pydicom_shows(file)).max() <= 1.0


def test_rescaled_values_are_windowed_after_rescaling(tmp_path: Path) -> None:
    fields = {"RescaleSlope": 2, "RescaleIntercept": -1000, "WindowCenter": 2000, "WindowWidth": 1500}
    file = film(tmp_path / "film.dcm", RAMP, **fields)
    grey = shown(file)
    # by hand, C.11.2.1.2.1: black up to c - 0.5 - (w - 1) / 2 = 1250, white above c - 0.5 + (w - 1) / 2 = 2749
    stored = np.arange(4096)
    flat = grey.ravel()
    assert flat[stored * 2 - 1000 <= 1250].max() == 0 and flat[stored * 2 - 1000 > 2749].min() == 255
    assert abs(int(flat[1500]) - round(((2000 - 1999.5) / 1499 + 0.5) * 255)) <= 1


def test_a_table_in_place_of_a_window(tmp_path: Path) -> None:
    steps = Dataset()
    steps.LUTDescriptor = [1024, 512, 10]
    steps.LUTData = np.round(1023 * (np.arange(1024) / 1023) ** 2).astype("<u2").tobytes()
    file = film(tmp_path / "film.dcm", RAMP, VOILUTSequence=[steps])
    grey = shown(file)
    assert np.abs(grey - as_pydicom_shows(file)).max() <= 1.0
    assert grey.ravel()[0] == 0 and grey.ravel()[-1] == 255


def test_what_lies_around_a_picture_does_not_darken_it(tmp_path: Path) -> None:
    values = np.where(RAMP < 2048, 4095, RAMP - 2048)  # padding of the lightest value over half of it
    file = film(tmp_path / "film.dcm", values, PixelPaddingValue=4095)
    assert shown(file)[32:].max() == 255 and shown(file)[32:].min() == 0


def test_bits_above_the_stored_ones_are_not_shown(tmp_path: Path) -> None:
    plain = shown(film(tmp_path / "a.dcm", RAMP))
    assert np.array_equal(plain, shown(film(tmp_path / "b.dcm", RAMP | 0x8000)))


def test_pixels_that_are_not_square_are_stretched(tmp_path: Path) -> None:
    assert shown(film(tmp_path / "film.dcm", RAMP, PixelAspectRatio=["2", "1"])).shape == (128, 64)


@pytest.mark.parametrize(
    "name",
    ["CT_small.dcm", "MR_small.dcm", "MR_small_RLE.dcm", "MR_small_bigendian.dcm", "MR_small_jp2klossless.dcm"],
)
def test_stored_values_come_out_of_every_packing(name: str) -> None:
    read = dcmread(FILES / name)
    for key in ("WindowCenter", "WindowWidth"):
        if key in read:
            delattr(read, key)
    raw = raw_picture(FILES / name)
    assert not isinstance(raw, Refusal)
    grey = film_picture(raw.__class__(**{**{n: getattr(raw, n) for n in raw.__slots__}, "window": None}))
    values = apply_modality_lut(read.pixel_array, read).astype(np.float64)
    inside = read.pixel_array != read.get("PixelPaddingValue", -99999)
    low, high = values[inside].min(), values[inside].max()
    wanted = np.clip((values - low) / (high - low), 0, 1) * 255
    assert grey is not None and np.abs(grey - wanted).max() <= 1.0


@pytest.mark.parametrize(
    "name",
    [
        "SC_rgb_jpeg_dcmtk.dcm",
        "SC_jpeg_no_color_transform.dcm",
        "SC_ybr_full_422_uncompressed.dcm",
        "SC_rgb_rle.dcm",
        "examples_ybr_color.dcm",
        "examples_jpeg2k.dcm",
    ],
)
def test_colours_come_out_as_another_program_reads_them(name: str) -> None:
    read = dcmread(FILES / name)
    values = read.pixel_array
    values = values[0] if values.ndim == 4 else values
    wanted = values.astype(np.int64)
    assert np.abs(shown(FILES / name)[..., ::-1].astype(np.int64) - wanted).mean() < 1.0
    assert np.abs(shown(FILES / name)[..., ::-1].astype(np.int64) - wanted).max() <= 3


def test_colours_by_table() -> None:
    read = dcmread(FILES / "examples_palette.dcm")
    wanted = apply_color_lut(read.pixel_array, read) / 65535 * 255
    assert np.abs(shown(FILES / "examples_palette.dcm")[..., ::-1] - wanted).max() <= 1.0


def test_what_is_packed_by_means_we_have_not_is_said_to_be_so() -> None:
    raw = raw_picture(FILES / "MR_small_jpeg_ls_lossless.dcm")
    assert isinstance(raw, Refusal) and raw.code == "vet_image_cannot_be_shown"
    assert raw.facts["how"] == "JPEG-LS Lossless Image Compression"


def test_a_cut_file_is_damaged(tmp_path: Path) -> None:
    for name, share in (
        ("MR_small.dcm", 0.7),
        ("SC_rgb_jpeg_dcmtk.dcm", 0.7),
        ("MR_small_RLE.dcm", 0.7),
        ("JPEG2000.dcm", 0.3),
    ):
        whole = (FILES / name).read_bytes()
        cut = tmp_path / name
        cut.write_bytes(whole[: int(len(whole) * share)])
        found = read_dicom(cut)
        assert isinstance(found, Refusal) and found.code == "vet_image_damaged", name
    assert isinstance(read_dicom(FILES / "MR_truncated.dcm"), Refusal)


def test_a_list_or_a_report_in_words_holds_no_picture() -> None:
    found = read_dicom(FILES / "test-SR.dcm")
    assert isinstance(found, Refusal) and (found.code, found.facts["kind"]) == (
        "vet_image_no_picture",
        "Comprehensive SR",
    )


def test_day_side_foot_and_view_are_read(tmp_path: Path) -> None:
    region, right = Dataset(), Dataset()
    right.CodeValue, right.CodingSchemeDesignator, right.CodeMeaning = "24028007", "SCT", "Right"
    region.CodeValue, region.CodingSchemeDesignator, region.CodeMeaning = "416804009", "SCT", "Hindfoot"
    region.AnatomicRegionModifierSequence = [right]
    file = film(
        tmp_path / "a.dcm",
        RAMP,
        AcquisitionDate="20250924",
        StudyDate="20250101",
        AnatomicRegionSequence=[region],
        ViewPosition="LM",
        PatientName="Keel^Larkspur",
    )
    found = read_dicom(file)
    assert found and (found.day, found.side, found.foot) == (date(2025, 9, 24), Side.RIGHT, Foot.RH)
    assert (found.view, found.horse) == ("LM", "Keel Larkspur")
    plain = read_dicom(film(tmp_path / "b.dcm", RAMP, ImageLaterality="L", BodyPartExamined="FOREFOOT"))
    assert plain and (plain.day, plain.foot) == (None, Foot.LF)
    side_only = read_dicom(film(tmp_path / "c.dcm", RAMP, Laterality="L", StudyDate="20250101"))
    assert side_only and (side_only.side, side_only.foot, side_only.day) == (Side.LEFT, None, date(2025, 1, 1))


def test_codes_are_those_of_the_standard() -> None:
    """PS3.16 as pydicom has it from the standard's own tables: CID 7483 and CID 244."""
    regions = {
        code: meaning
        for word in cid_concepts[7483]["SCT"]
        for code, (meaning, groups) in concepts["SCT"][word].items()
        if 7483 in groups
    }
    for code, meaning in (dicom.FOREFOOT, dicom.HINDFOOT):
        assert regions[code] == meaning
    assert [regions[code] for code in dicom._FORE[1:4]] == [
        "Pastern of forefoot",
        "Fetlock of forelimb",
        "Navicular of forefoot",
    ]
    assert [regions[code] for code in dicom._HIND[1:4]] == [
        "Pastern of hindfoot",
        "Fetlock of hindlimb",
        "Navicular of hindfoot",
    ]
    for code, meaning in (dicom.LEFT, dicom.RIGHT):
        assert 244 in concepts["SCT"][meaning][code][1]


def test_what_is_and_is_not_dicom(tmp_path: Path) -> None:
    assert is_dicom(FILES / "CT_small.dcm")
    other = tmp_path / "a.dcm"
    other.write_bytes(b"no film at all")
    assert not is_dicom(other)


def test_the_other_program_agrees_about_the_pixels(tmp_path: Path) -> None:
    """dcmtk's dcmdump reads the same size as ours."""
    file = film(tmp_path / "film.dcm", RAMP[:, :40])
    told = tools.tool("dcmdump", file)
    assert "US 64" in told and "US 40" in told
    assert shown(file).shape == (64, 40)


@pytest.mark.parametrize("file", sorted(FILES.glob("*.dcm")), ids=lambda file: file.name)
def test_no_file_brings_us_down(file: Path) -> None:
    """Whatever lies in it: facts and a picture, or a refusal."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        if not is_dicom(file):
            return
        found = read_dicom(file)
        raw = raw_picture(file)
        if found and not isinstance(raw, Refusal):
            film_picture(raw)
        elif found:
            assert raw.code in dicom.ALL_CODES
