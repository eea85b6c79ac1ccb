"""Files for a vet's archive, checked by programs that are not ours.

References: dciodvfy (dicom3tools: PS3.3 as its author reads it), dcmdump (dcmtk), pydicom for reading back, OpenCV for
the pixels, PS3.16 as pydicom ships it for the codes. A program that is missing makes the test fail.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms
from pydicom import dcmread
from pydicom.encaps import generate_frames
from pydicom.sr._concepts_dict import concepts
from pydicom.uid import UID

from hoofbook.imaging import cv2
from hoofbook.imaging.baseline_jpeg import baseline_jpeg
from hoofbook.imaging.only_pixels import only_pixels
from hoofbook.papers.archive_files import SPECIES, ArchiveHorse, ArchivePhoto, paper_file, photo_file
from hoofbook.papers.dicom import uid
from hoofbook.terms.feet import Foot
from tests.papers import tools

DAY = date(2025, 9, 30)
HORSE = ArchiveHorse("01a21f3b-086b-71f4-8570-d7c31ab94f4c", "Larkspur", "A. K.", "mare", "thoroughbred cross", 2014)
# what dciodvfy has to say of a file that is as we want it, and why it stays so
EXPLAINED = (
    # Pixel Spacing is added to the photograph as a Standard Extended SOP Class: these two say what it holds for
    r"Warning - </PixelSpacingCalibration(Type|Description)\(0028,0a0[24]\)> - Attribute is not present in standard",
)


def taken(path: Path, *, size: tuple[int, int] = (320, 240), **options: object) -> Path:
    """A photo with more in it than any vet should get: place, serial number, small old picture."""
    x, y = np.meshgrid(np.arange(size[0]), np.arange(size[1]))
    picture = np.stack([x % 256, y % 256, (x * y) % 256], axis=-1).astype(np.uint8)
    exif = Image.Exif()
    exif[0x010F], exif[0x0112] = "Demo phone", options.pop("orientation", 1)
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (54.0, 12.0, 3.0)
    exif.get_ifd(0x8769)[0xA431] = "SERIAL-4711"
    Image.fromarray(picture).save(path, "JPEG", quality=90, exif=exif, **options)
    return path


def photo(path: Path, **fields: object) -> ArchivePhoto:
    jpeg = baseline_jpeg(path)
    told = ArchivePhoto(
        key="photo-1",
        jpeg=jpeg.data,
        columns=jpeg.width,
        rows=jpeg.height,
        grey=jpeg.grey,
        day=DAY,
        time="104249",
        foot=Foot.LF,
        view="lateral view",
        comments="Larkspur · left fore · lateral view · 30 Sep 2025 10:42 · after trim · bare",
        began="101249",
        series=1,
        number=2,
        taken_by="Demo Farrier",
        changed="" if jpeg.as_taken else "Turned upright and saved anew as JPEG at full size",
    )
    return replace(told, **fields)  # type: ignore[arg-type]


def other_colours() -> bytes:
    """A colour profile that is not called sRGB, and has red and blue the other way round."""
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    red, blue = plain.find(b"rXYZ"), plain.find(b"bXYZ")
    turned = bytearray(plain)
    turned[red : red + 4], turned[blue : blue + 4] = b"bXYZ", b"rXYZ"
    return bytes(turned).replace("sRGB".encode("utf-16-be"), "othr".encode("utf-16-be"))


def judged(path: Path, data: bytes) -> str:
    """What dciodvfy says beside the name of the object, without what is explained above."""
    path.write_bytes(data)
    lines = tools.dicom_judged(path)
    return "\n".join(line for line in lines if not any(re.match(known, line) for known in EXPLAINED))


def lines_of(path: Path) -> list[str]:
    return tools.tool("dcmdump", path).splitlines()


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"foot": Foot.RH, "view": "solar view"},
        {"mm_per_px": 0.2215},
        {"changed": "Turned upright and saved anew as JPEG at full size"},
        {"time": "", "taken_by": ""},
    ],
    ids=["plain", "right hind", "to scale", "made anew", "nothing told"],
)
def test_a_photo_is_what_the_standard_asks(tmp_path: Path, fields: dict[str, object]) -> None:
    made = photo_file(HORSE, photo(taken(tmp_path / "a.jpg"), **fields))
    assert judged(tmp_path / "a.dcm", made) == "VLPhotographicImage"


@pytest.mark.parametrize(
    "horse",
    [
        HORSE,
        ArchiveHorse("k", "Copper"),
        replace(HORSE, sex="gelding", owner="", born=None, identity="chip 826 0000 0000 0000"),
        replace(HORSE, sex="stallion", born=1800),
    ],
    ids=["mare", "only a name", "gelding", "born long ago"],
)
def test_any_horse_makes_good_files(tmp_path: Path, horse: ArchiveHorse) -> None:
    made = photo_file(horse, photo(taken(tmp_path / "a.jpg")))
    assert judged(tmp_path / "a.dcm", made) == "VLPhotographicImage"
    paper = paper_file(horse, b"%PDF-1.7\n%%EOF\n", "Vet case: Larkspur", DAY, time="160000", began="101249")
    assert judged(tmp_path / "b.dcm", paper) == "EncapsulatedPDF"


def test_the_judge_does_find_what_is_wrong(tmp_path: Path) -> None:
    """A check that cannot fail would be none."""
    read = dcmread(io.BytesIO(photo_file(HORSE, photo(taken(tmp_path / "a.jpg")))))
    del read.PatientBreedDescription
    out = io.BytesIO()
    read.save_as(out)
    assert "PatientBreedDescription" in judged(tmp_path / "a.dcm", out.getvalue())


def test_the_horse_is_a_veterinary_patient(tmp_path: Path) -> None:
    file = tmp_path / "a.dcm"
    file.write_bytes(photo_file(replace(HORSE, sex="Gelding"), photo(taken(tmp_path / "a.jpg"))))
    told = "\n".join(lines_of(file))
    for wanted in (
        r"\(0010,2201\) LO \[Equus caballus\]",
        r"\(0010,2202\) SQ",
        r"\(0008,0100\) SH \[35354009\]",
        r"\(0010,2203\) CS \[ALTERED\]",
        r"\(0010,2292\) LO \[thoroughbred cross\]",
        r"\(0010,2293\) SQ",
        r"\(0010,2294\) SQ",
        r"\(0010,2297\) PN \[A. K.\^\]",
        r"\(0010,2298\) CS \[OWNER\]",
        r"\(0010,2299\) LO",
        r"\(0010,0010\) PN \[A. K.\^Larkspur\]",
        r"\(0010,0040\) CS \[M\]",
        r"\(0010,1010\) AS \[011Y\]",
        r"\(0008,0005\) CS \[ISO_IR 192\]",
        r"\(0008,0060\) CS \[XC\]",
        r"\(0020,0060\) CS \[L\]",
        r"\(0018,0015\) CS \[FOREFOOT\]",
        r"\(0008,103e\) LO \[Left fore, lateral view\]",
    ):
        assert re.search(wanted, told), wanted


def test_the_codes_are_those_of_the_standard(tmp_path: Path) -> None:
    assert concepts["SCT"]["EquusCaballus"][SPECIES[0]] == (SPECIES[1], [7454])
    read = dcmread(io.BytesIO(photo_file(HORSE, photo(taken(tmp_path / "a.jpg"), foot=Foot.RH))))
    (region,) = read.AnatomicRegionSequence
    (side,) = region.AnatomicRegionModifierSequence
    assert 7483 in concepts["SCT"]["Hindfoot"][region.CodeValue][1] and region.CodeMeaning == "Hindfoot"
    assert 244 in concepts["SCT"]["Right"][side.CodeValue][1] and read.Laterality == "R"
    assert "ViewCodeSequence" not in read  # there is no code for the view of a photo
    assert UID(read.SOPClassUID).name == "VL Photographic Image Storage"


def test_a_plain_photo_keeps_its_bytes_and_any_baseline_photo_its_pixels(tmp_path: Path) -> None:
    plain = tmp_path / "plain.jpg"
    Image.open(taken(tmp_path / "a.jpg")).copy().save(plain, "JPEG", quality=90)
    assert only_pixels(plain.read_bytes())
    frame = frame_of(photo_file(HORSE, photo(plain)))
    assert frame.rstrip(b"\0") == plain.read_bytes()
    tagged = taken(tmp_path / "tagged.jpg")
    found = frame_of(photo_file(HORSE, photo(tagged)))
    scan = tagged.read_bytes()[tagged.read_bytes().rindex(b"\xff\xda") :]
    assert scan in found and len(scan) > 1000
    assert np.array_equal(pixels(found), pixels(tagged.read_bytes()))
    for made in (frame, found):
        assert dcmread(io.BytesIO(photo_file(HORSE, photo(plain)))).ImageType == ["ORIGINAL", "PRIMARY"]
        assert only_pixels(made.rstrip(b"\0"))


def frame_of(made: bytes) -> bytes:
    read = dcmread(io.BytesIO(made))
    (frame,) = generate_frames(read.PixelData, number_of_frames=1)
    return frame


def pixels(jpeg: bytes) -> np.ndarray:
    return np.asarray(cv2.imdecode(np.frombuffer(jpeg, np.uint8), cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION))


def test_pydicom_reads_the_picture_that_was_taken(tmp_path: Path) -> None:
    for name, grey in (("colour.jpg", False), ("grey.jpg", True)):
        source = taken(tmp_path / name)
        if grey:
            Image.open(source).convert("L").save(source, "JPEG", quality=90)
        read = dcmread(io.BytesIO(photo_file(HORSE, photo(source))))
        shape = (240, 320) if grey else (240, 320, 3)
        assert read.pixel_array.shape == shape
        assert read.PhotometricInterpretation == ("MONOCHROME2" if grey else "YBR_FULL_422")
        with Image.open(source) as opened:
            wanted = np.asarray(opened.convert("L" if grey else "RGB"), np.int64)
        # another decoder of the same coded pixels: they may round their way
        assert np.abs(read.pixel_array.astype(np.int64) - wanted).mean() < 1.0


@pytest.mark.parametrize("kind", ["turned", "progressive", "other colours", "red green blue", "covered"])
def test_what_is_no_plain_upright_baseline_jpeg_is_made_anew(tmp_path: Path, kind: str) -> None:
    options: dict[str, dict[str, object]] = {
        "turned": {"orientation": 6},
        "progressive": {"progressive": True},
        "other colours": {"icc_profile": other_colours()},
        "red green blue": {"keep_rgb": True},
        "covered": {},
    }
    source = taken(tmp_path / "a.jpg", **options[kind])
    boxes = ((0.25, 0.25, 0.5, 0.5),) if kind == "covered" else ()
    made = baseline_jpeg(source, boxes)
    assert not made.as_taken and only_pixels(made.data)
    assert made.data[made.data.index(b"\xff\xc0") + 4] == 8  # a baseline frame of 8 bits (T.81, B.2.2)
    assert (made.width, made.height) == ((240, 320) if kind == "turned" else (320, 240))
    told = photo(source, jpeg=made.data, columns=made.width, rows=made.height, changed="Saved anew")
    data = photo_file(HORSE, told)
    assert judged(tmp_path / "a.dcm", data) == "VLPhotographicImage"
    assert dcmread(io.BytesIO(data)).ImageType == ["DERIVED", "PRIMARY"]
    if kind == "covered":
        inside = pixels(made.data)[70:110, 90:150].reshape(-1, 3).astype(np.int64)
        assert np.ptp(inside, axis=0).max() <= 6


def test_nothing_tells_place_machine_or_serial_number(tmp_path: Path) -> None:
    made = photo_file(HORSE, photo(taken(tmp_path / "a.jpg")))
    paper = paper_file(HORSE, b"%PDF-1.7\n%%EOF\n", "Vet case: Larkspur", DAY, time="160000", began="101249")
    for data in (made, paper):
        for secret in (b"SERIAL-4711", b"Demo phone", b"GPS", b"Exif", str(tmp_path).encode(), b"/home", b"/root"):
            assert secret not in data
        read = dcmread(io.BytesIO(data))
        absent = (
            "DeviceSerialNumber",
            "StationName",
            "InstitutionName",
            "ManufacturerModelName",
            "TimezoneOffsetFromUTC",
        )
        assert not [name for name in absent if name in read]


@pytest.mark.parametrize(
    ("name", "owner"),
    [
        ("O'Brien^x", "Smith^Ann=B\\C"),
        ("Žofie ✓", "Mœur\u0007 & Söhne"),
        ("L" * 90, "K" * 90),
        ("  ", ""),
        ("*=^\\", "=^\\"),
    ],
)
def test_a_strange_name_breaks_nothing(tmp_path: Path, name: str, owner: str) -> None:
    data = photo_file(replace(HORSE, name=name, owner=owner), photo(taken(tmp_path / "a.jpg")))
    assert judged(tmp_path / "a.dcm", data) == "VLPhotographicImage"
    read = dcmread(io.BytesIO(data))
    told = str(read.PatientName)
    assert told.count("^") <= 1 and "=" not in told and len(told) <= 64
    if name == "O'Brien^x":
        assert told == "Smith Ann B C^O'Brien x" and str(read.ResponsiblePerson) == "Smith Ann B C^"
    if name.startswith("Ž"):
        assert told == "Mœur & Söhne^Žofie ✓"


def test_identifiers_are_the_same_each_time_and_change_with_the_pixels(tmp_path: Path) -> None:
    source = taken(tmp_path / "a.jpg")
    once, again = (photo_file(HORSE, photo(source)) for _ in range(2))
    assert once == again
    read = dcmread(io.BytesIO(once))
    other = dcmread(io.BytesIO(photo_file(HORSE, photo(source, key="photo-2", number=3))))
    assert read.StudyInstanceUID == other.StudyInstanceUID and read.SeriesInstanceUID == other.SeriesInstanceUID
    assert read.SOPInstanceUID != other.SOPInstanceUID
    hidden = baseline_jpeg(source, ((0.0, 0.0, 0.5, 0.5),))
    covered = dcmread(io.BytesIO(photo_file(HORSE, photo(source, jpeg=hidden.data, changed="covered"))))
    assert covered.SOPInstanceUID != read.SOPInstanceUID
    hind = dcmread(io.BytesIO(photo_file(HORSE, photo(source, foot=Foot.LH))))
    assert hind.SeriesInstanceUID != read.SeriesInstanceUID and hind.StudyInstanceUID == read.StudyInstanceUID
    assert UID(uid("a", "b")).is_valid and uid("a", "b") == uid("a", "b") != uid("b", "a")


def test_a_scale_stands_only_where_it_is_told(tmp_path: Path) -> None:
    source = taken(tmp_path / "a.jpg")
    assert "PixelSpacing" not in dcmread(io.BytesIO(photo_file(HORSE, photo(source))))
    read = dcmread(io.BytesIO(photo_file(HORSE, photo(source, mm_per_px=0.123456789))))
    assert [float(value) for value in read.PixelSpacing] == [0.123457, 0.123457]
    assert (
        read.PixelSpacingCalibrationType == "FIDUCIAL"
        and "plane of the marks" in read.PixelSpacingCalibrationDescription
    )


@pytest.mark.parametrize("length", [100, 101])
def test_the_paper_comes_out_to_the_last_byte(tmp_path: Path, length: int) -> None:
    pdf = (b"%PDF-1.7\n" + b"x" * length)[:length] + b"%%EOF"
    data = paper_file(HORSE, pdf, "Vet case: Larkspur, 30 Sep 2025", DAY, time="160000", began="")
    file = tmp_path / "a.dcm"
    file.write_bytes(data)
    read = dcmread(file)
    assert read.EncapsulatedDocument[: read.EncapsulatedDocumentLength] == pdf
    assert len(read.EncapsulatedDocument) % 2 == 0
    told = "\n".join(lines_of(file))
    assert "[application/pdf]" in told and "[Vet case: Larkspur, 30 Sep 2025]" in told
    assert re.search(r"\(0010,2201\) LO \[Equus caballus\]", told)
    taken_out = tmp_path / "out.pdf"
    tools.tool("dcm2pdf", file, taken_out)
    # dcmtk 3.6.7 hands out the padding byte of an odd document too
    assert taken_out.read_bytes().removesuffix(b"\0") == pdf
