"""What a vet gave goes in unchanged, is shown with its day and the trims since, and never becomes a reading.

References: pydicom's test files; SHA-256 of the standard library; trims counted by hand from the scenario file of the
sample case; the greys against pydicom's own windowing.
"""

from __future__ import annotations

import hashlib
import io
import json
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import img2pdf
import numpy as np
import pikepdf
import pydicom.data
import pytest
from PIL import Image
from pydicom import Dataset
from pydicom.dataset import FileMetaDataset
from pydicom.uid import ExplicitVRLittleEndian

from hoofbook.__main__ import main
from hoofbook.casework.handover import HandoverWishes, make_handover
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.readings import read_readings
from hoofbook.casework.vet_case import VetWishes, make_vet_case
from hoofbook.casework.vet_images import (
    VetTold,
    read_vet_images,
    set_vet_image_aside,
    take_vet_image,
    take_vet_images,
)
from hoofbook.casework.vet_previews import vet_picture
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.records.archive import spare_files
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import VetImage
from hoofbook.wording.refusals import sentence
from hoofbook.wording.vet_images import CANNOT_BE_SHOWN, NOT_MEASURED
from tests.papers import tools
from tests.papers.films import film, side_film

FILES = Path(pydicom.data.__file__).parent / "test_files"
LEFT_FORE = {
    "AcquisitionDate": "20250120",
    "ImageLaterality": "L",
    "BodyPartExamined": "FOREFOOT",
    "ViewPosition": "LM",
}


@pytest.fixture
def horse(opened_sample: OpenBook) -> str:
    return str(opened_sample.horse_named("Larkspur").key)


def picture(path: Path, size: tuple[int, int] = (600, 400)) -> Path:
    Image.linear_gradient("L").resize(size).convert("RGB").save(path)
    return path


def report(path: Path) -> Path:
    sheet = io.BytesIO()
    Image.new("RGB", (400, 600), (250, 250, 240)).save(sheet, "PNG")
    path.write_bytes(img2pdf.convert(sheet.getvalue()))
    return path


def locked(path: Path) -> Path:
    with pikepdf.open(report(path.with_name("open.pdf"))) as plain:
        plain.save(path, encryption=pikepdf.Encryption(owner="a", user="b"))
    return path


def paper_in_dicom(path: Path) -> Path:
    made = Dataset()
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.SOPClassUID = made.file_meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.104.1"
    made.SOPInstanceUID = made.file_meta.MediaStorageSOPInstanceUID = "2.25.1"
    made.ContentDate, made.MIMETypeOfEncapsulatedDocument = "20250924", "application/pdf"
    data = report(path.with_suffix(".pdf")).read_bytes()
    made.EncapsulatedDocument = data + b"\0" * (len(data) % 2)
    made.save_as(path, enforce_file_format=True)
    return path


def code_of(book: OpenBook, horse: str, file: Path, told: VetTold) -> str:
    with pytest.raises(Refused) as error:
        take_vet_image(book, horse, file, told)
    said = sentence(error.value.refusal)
    assert file.name in said, said
    return error.value.refusal.code


def test_the_bytes_stay_and_what_was_told_stands_beside_them(
    opened_sample: OpenBook, horse: str, tmp_path: Path
) -> None:
    file = film(tmp_path / "lf.dcm", side_film(), **LEFT_FORE, WindowCenter=1500, WindowWidth=2800)
    told = VetTold(received_from="Vet D.", received_on="2025-01-22", purpose="plan of the trim")
    image = take_vet_image(opened_sample, horse, file, told)
    kept = opened_sample.archive.path(image.sha256, image.suffix)
    assert kept.read_bytes() == file.read_bytes()
    assert image.sha256 == hashlib.sha256(file.read_bytes()).hexdigest()
    assert (image.day, image.foot, image.view) == (date(2025, 1, 20), Foot.LF, "LM")
    assert (image.received_from, image.received_on, image.purpose) == ("Vet D.", date(2025, 1, 22), "plan of the trim")
    assert opened_sample.book.every(VetImage) == (image,)
    assert spare_files(opened_sample.book, opened_sample.archive) == ()
    again = take_vet_image(opened_sample, horse, file, told)
    assert again == image and len(opened_sample.book.every(VetImage)) == 1


def test_a_film_is_shown_with_its_trims_and_is_said_to_be_the_vets(
    opened_sample: OpenBook, horse: str, tmp_path: Path
) -> None:
    days = ("2024-12-20", "2025-01-20", "2025-09-24", "2025-09-30")
    for place, day in enumerate(days):
        file = picture(tmp_path / f"{place}.png", (600 + place, 400))
        take_vet_image(opened_sample, horse, file, VetTold("LF", "lateromedial", day, "Vet D."))
    shown = read_vet_images(opened_sample, horse)
    story = json.loads((sample_case("larkspur") / "case.json").read_text(encoding="utf-8"))
    trims = [date.fromisoformat(row["date"]) for row in story["visits"]]  # she is trimmed at every visit of the story
    by_hand = [sum(1 for day in trims if day > date.fromisoformat(film_day)) for film_day in reversed(days)]
    assert [each.trims for each in shown] == by_hand
    assert by_hand[0] == 0 and by_hand[1] == 1 and by_hand[-1] == len(trims)
    assert "1 trim since" in shown[1].tile.note and "24 Sep 2025" in shown[1].tile.note
    assert shown[0].tile.caption == "Left fore, lateromedial"
    assert all(each.says == NOT_MEASURED and each.can_be_shown for each in shown)
    with Image.open(shown[0].tile.thumbnail) as small:
        assert max(small.size) <= 720 and not small.getexif()


def test_a_film_looks_as_its_file_asks(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    values = side_film()
    file = film(tmp_path / "a.dcm", values, **LEFT_FORE, WindowCenter=1500, WindowWidth=2800)
    seen = take_vet_image(opened_sample, horse, file, VetTold())
    inverse = film(tmp_path / "b.dcm", values, **LEFT_FORE, PhotometricInterpretation="MONOCHROME1")
    turned = take_vet_image(opened_sample, horse, inverse, VetTold())
    found = [vet_picture(opened_sample, image) for image in (seen, turned)]
    assert all(each.shown for each in found)
    plain, other = (np.asarray(Image.open(io.BytesIO(each.data)).convert("L"), np.float64) for each in found)
    assert plain.shape == values.shape
    wanted = np.clip((values - 1499.5) / 2799 + 0.5, 0, 1) * 255  # PS3.3 C.11.2.1.2.1
    assert np.abs(plain - wanted).mean() < 1.5
    assert plain[600, 500] > plain[50, 50] and other[600, 500] < other[50, 50]


@pytest.mark.parametrize("make", [report, locked, paper_in_dicom], ids=lambda make: make.__name__)
def test_a_report_is_kept_and_needs_no_foot(opened_sample: OpenBook, horse: str, tmp_path: Path, make) -> None:  # type: ignore[no-untyped-def]
    file = make(tmp_path / ("report.dcm" if make is paper_in_dicom else "report.pdf"))
    image = take_vet_image(opened_sample, horse, file, VetTold(taken="2025-09-24"))
    assert image.foot is None
    assert opened_sample.archive.path(image.sha256, image.suffix).read_bytes() == file.read_bytes()
    (shown,) = read_vet_images(opened_sample, horse)
    assert shown.trims is None and shown.can_be_shown is (make is not locked)
    assert (CANNOT_BE_SHOWN in shown.tile.note) is (make is locked)
    page = np.asarray(Image.open(io.BytesIO(vet_picture(opened_sample, image).data)).convert("RGB"))
    colour = page[page.shape[0] // 8, 40].astype(int)
    assert bool(abs(colour - (250, 250, 240)).max() <= 3) is (make is not locked)


def test_what_nothing_here_unpacks_is_kept_all_the_same(opened_sample: OpenBook, horse: str) -> None:
    file = FILES / "MR_small_jpeg_ls_lossless.dcm"
    image = take_vet_image(opened_sample, horse, file, VetTold("several"))
    assert image.foot is None and image.day == date(2004, 8, 26)
    (shown,) = read_vet_images(opened_sample, horse)
    assert not shown.can_be_shown and CANNOT_BE_SHOWN in shown.tile.note
    with Image.open(shown.tile.thumbnail) as sheet:
        assert sheet.size == (560, 720)  # a plain sheet with its name
    assert "CompressedSamples" in image.note  # the name in the file is not that of the horse


def test_nothing_of_the_vets_ever_becomes_a_reading(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    key = opened_sample.horse(horse).key
    before = read_readings(opened_sample, key)
    told = (len(before.readings), set(before.goals), opened_sample.book.measures(key))
    file = film(tmp_path / "lf.dcm", side_film(), **LEFT_FORE, PixelSpacing=["0.1", "0.1"])
    image = take_vet_image(opened_sample, horse, file, VetTold())
    after = read_readings(opened_sample, key)
    assert (len(after.readings), set(after.goals), opened_sample.book.measures(key)) == told
    assert not any(image.sha256 == photo.sha256 for photo in opened_sample.book.photos(key))
    assert all(str(image.key) not in reading.photos for reading in after.readings)
    assert not {name for name in VetImage.__dataclass_fields__ if "mm" in name or "value" in name}


def test_what_is_wrong_is_said_and_leaves_nothing(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    whole = film(tmp_path / "whole.dcm", side_film(), **LEFT_FORE)
    files = {name: tmp_path / name for name in ("cut.dcm", "cut.png", "cut.pdf", "letter.dcm", "empty.pdf")}
    files["cut.dcm"].write_bytes(whole.read_bytes()[:300_000])
    files["cut.png"].write_bytes(picture(tmp_path / "p.png").read_bytes()[:800])
    files["cut.pdf"].write_bytes(report(tmp_path / "r.pdf").read_bytes()[:200])
    files["letter.dcm"].write_text("films to follow", encoding="utf-8")
    files["empty.pdf"].write_bytes(b"")
    told = VetTold("LF", taken="2025-09-24")
    before = set(opened_sample.archive.originals())
    for name, code in (
        ("cut.dcm", "vet_image_damaged"),
        ("cut.png", "vet_image_damaged"),
        ("cut.pdf", "vet_image_damaged"),
        ("letter.dcm", "vet_image_kind_unknown"),
        ("empty.pdf", "vet_image_kind_unknown"),
    ):
        assert code_of(opened_sample, horse, files[name], told) == code
    undated = film(tmp_path / "undated.dcm", side_film(200, 200), Laterality="L", BodyPartExamined="FOREFOOT")
    assert code_of(opened_sample, horse, undated, VetTold()) == "vet_image_day_needed"
    side_only = film(tmp_path / "side.dcm", side_film(210, 200), Laterality="L", StudyDate="20250101")
    assert code_of(opened_sample, horse, side_only, VetTold()) == "vet_image_foot_needed"
    assert code_of(opened_sample, horse, whole, VetTold("RF")) == "vet_image_other_side"
    assert code_of(opened_sample, horse, picture(tmp_path / "q.png"), VetTold("LF")) == "vet_image_day_needed"
    assert code_of(opened_sample, horse, tmp_path / "q.png", VetTold(taken="2025-01-01")) == "vet_image_foot_needed"
    assert code_of(opened_sample, horse, tmp_path / "q.png", VetTold("LF", taken="2999-01-01")) == "vet_image_day_ahead"
    ahead = VetTold("LF", taken="2025-01-01", received_on="2999-01-01")
    with pytest.raises(Refused, match="day_to_come"):
        list(take_vet_images(opened_sample, horse, [tmp_path / "q.png"], ahead))
    assert code_of(opened_sample, horse, FILES / "test-SR.dcm", told) == "vet_image_no_picture"
    assert opened_sample.book.every(VetImage) == () and set(opened_sample.archive.originals()) == before


def test_a_day_that_differs_from_the_files_own_is_seen(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    file = film(tmp_path / "lf.dcm", side_film(), **LEFT_FORE, PatientName="Keel^Larkspur")
    image = take_vet_image(opened_sample, horse, file, VetTold(taken="2025-02-01"))
    assert (image.day, image.note) == (date(2025, 2, 1), "The file itself says 20 Jan 2025.")


def test_one_bad_file_keeps_no_good_one_out(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    good, bad = picture(tmp_path / "good.png"), tmp_path / "bad.png"
    bad.write_bytes(b"\x89PNG\r\n\x1a\n")
    work = take_vet_images(opened_sample, horse, [bad, good, good], VetTold("LF", taken="2025-09-24"))
    taken = drained(work)
    assert [each.refusal is None for each in taken] == [False, True, True]
    assert [each.known for each in taken] == [False, False, True]
    with pytest.raises(Refused):
        drained(take_vet_images(opened_sample, horse, [good], VetTold("left")))
    (tmp_path / "disk").mkdir()
    for name in ("DICOMDIR", "readme.txt"):
        (tmp_path / "disk" / name).write_text("nothing to look at", encoding="utf-8")
    film(tmp_path / "disk" / "IM0001", side_film(300, 300), **LEFT_FORE)
    of_disk = drained(take_vet_images(opened_sample, horse, [tmp_path / "disk"], VetTold()))
    assert [(each.source.name, each.image is not None) for each in of_disk] == [
        ("DICOMDIR", False),
        ("IM0001", True),
        ("readme.txt", False),
    ]


def drained(work: Iterator[object]) -> tuple:  # type: ignore[type-arg]
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value  # type: ignore[no-any-return]


def test_one_set_aside_is_out_of_sight_until_it_comes_again(
    opened_sample: OpenBook, horse: str, tmp_path: Path
) -> None:
    file = picture(tmp_path / "a.png")
    image = take_vet_image(opened_sample, horse, file, VetTold("LF", taken="2025-09-24"))
    set_vet_image_aside(opened_sample, str(image.key))
    assert read_vet_images(opened_sample, horse) == ()
    assert opened_sample.archive.path(image.sha256, image.suffix).exists()
    assert take_vet_image(opened_sample, horse, file, VetTold()).key == image.key
    assert len(read_vet_images(opened_sample, horse)) == 1


def test_a_book_for_looking_only_still_shows_them(
    opened_sample: OpenBook, horse: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    image = take_vet_image(opened_sample, horse, picture(tmp_path / "a.png"), VetTold("LF", taken="2025-09-24"))
    shutil.rmtree(opened_sample.archive.previews / image.sha256[:2])
    monkeypatch.setattr(opened_sample.book, "read_only_because", Refusal("folder_read_only"))
    before = set(opened_sample.folder.rglob("*"))
    (shown,) = read_vet_images(opened_sample, horse)
    assert shown.tile.thumbnail == opened_sample.archive.path(image.sha256, image.suffix)
    assert set(opened_sample.folder.rglob("*")) == before


def given(book: OpenBook, horse: str, folder: Path) -> list[VetImage]:
    """A film of today's trim plan, an older one, and a report."""
    newest = film(
        folder / "lf.dcm", side_film(), **{**LEFT_FORE, "AcquisitionDate": "20250924"}, PixelSpacing=[0.1, 0.1]
    )
    older = picture(folder / "old.png")
    told = VetTold(received_from="Vet D.", received_on="2025-09-25", purpose="plan of the trim")
    return [
        take_vet_image(book, horse, newest, told),
        take_vet_image(book, horse, older, VetTold("RF", "DP", "2025-03-01", "Vet E.")),
        take_vet_image(book, horse, report(folder / "report.pdf"), VetTold(taken="2025-09-24", received_from="Vet D.")),
    ]


def test_a_vet_case_shows_them_as_the_vets_with_the_trims_since(
    opened_sample: OpenBook, horse: str, tmp_path: Path
) -> None:
    images = given(opened_sample, horse, tmp_path)
    out = tmp_path / "case.pdf"
    made = make_vet_case(opened_sample, horse, VetWishes(taken_by="Demo Farrier"), out)
    assert tools.complaints(out) == "" and tools.words_outside(out) == []
    said = tools.text(out)
    section = said[said.index("Vet's images As the vet gave them: not measured") :]
    story = json.loads((sample_case("larkspur") / "case.json").read_text(encoding="utf-8"))
    trims = [date.fromisoformat(row["date"]) for row in story["visits"]]
    since = sum(1 for day in trims if day > date(2025, 3, 1))  # the newest photos were taken after the last of them
    for words in (
        "Left fore, LM",
        "Taken 24 Sep 2025, 1 trim until the photos",
        "The vet's: not measured here; received 25 Sep 2025 from Vet D.",
        "for: plan of the trim",
        "Report",
        "Dated 24 Sep 2025",
        "Right fore, DP",
        f"Taken 1 Mar 2025, {since} trims until the photos",
        "from Vet E.",
    ):
        assert words in section, words
    assert "Vet's images (" in tools.text(out, 1) and "24 Sep 2025 (the vet's)" in tools.text(out, 1)
    assert "Image of the vet's, Larkspur, Left fore, LM, taken 24 Sep 2025; not measured here." in [
        told.replace("\\'", "'") for told in tools.alternatives(out)
    ]
    (table,) = [path for path in made.beside if "images-of-the-vet" in path.name]
    listed = table.read_text(encoding="utf-8-sig")
    assert all(image.sha256 in listed for image in images)
    (numbers,) = [path for path in made.beside if path.name.endswith("numbers.csv")]
    assert not any(image.sha256 in numbers.read_text(encoding="utf-8-sig") for image in images)
    assert [line for line in made.look_again if "Vet E." in line and line.endswith("Ask before they go to Vet D.")]


def test_they_stay_out_of_a_case_where_they_are_not_wished(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    given(opened_sample, horse, tmp_path)
    out = tmp_path / "case.pdf"
    made = make_vet_case(opened_sample, horse, VetWishes(vets_images=False), out)
    said = tools.text(out)
    assert "As the vet gave them" not in said and "Vet E." not in said
    assert not [path for path in made.beside if "images" in path.name] and "Vet E." not in " ".join(made.look_again)
    call = make_vet_case(opened_sample, horse, VetWishes(size="call"), tmp_path / "call.pdf")
    assert "As the vet gave them" not in tools.text(tmp_path / "call.pdf") and call.beside == ()


@pytest.mark.parametrize("wished", [False, True])
def test_a_handover_shows_them_only_where_they_go_along(opened_sample: OpenBook, tmp_path: Path, wished: bool) -> None:
    horse = str(opened_sample.horse_named("Copper").key)
    take_vet_image(opened_sample, horse, picture(tmp_path / "a.png"), VetTold("LF", "DP", "2025-03-01", "Vet E."))
    drained(make_handover(opened_sample, horse, HandoverWishes(vets_images=wished), tmp_path / "copper"))
    (case,) = (tmp_path / "copper").rglob("case.pdf")
    assert ("As the vet gave them" in tools.text(case)) is wished
    assert ("from Vet E." in tools.text(case)) is wished


def test_films_that_came_as_images_alone_are_told_on_page_1(opened_sample: OpenBook, tmp_path: Path) -> None:
    horse = str(opened_sample.horse_named("Copper").key)
    assert not opened_sample.book.history(opened_sample.horse(horse).key).vet_values
    out = tmp_path / "case.pdf"
    make_vet_case(opened_sample, horse, VetWishes(size="call", feet=("LF",)), out)
    assert "none known to the practitioner" in tools.text(out, 1)
    take_vet_image(opened_sample, horse, picture(tmp_path / "a.png"), VetTold("LF", taken="2025-03-01"))
    make_vet_case(opened_sample, horse, VetWishes(size="call", feet=("LF",)), out)
    assert "1 Mar 2025 (the vet's)" in tools.text(out, 1)


def test_the_next_case_names_what_the_vet_gave_since(opened_sample: OpenBook, horse: str, tmp_path: Path) -> None:
    make_vet_case(opened_sample, horse, VetWishes(), tmp_path / "first.pdf")
    given(opened_sample, horse, tmp_path)
    make_vet_case(opened_sample, horse, VetWishes(), tmp_path / "next.pdf")
    said = tools.text(tmp_path / "next.pdf", 2)
    assert "Vet's images" in said and "Right fore, DP 1 Mar 2025" in said


def test_the_command_line_takes_them_in_and_says_so(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    file = film(tmp_path / "lf.dcm", side_film(), **LEFT_FORE)
    given = ["add", str(own_sample_book), str(file), "--horse", "Larkspur", "--vets"]
    assert main([*given, "--from", "Vet D.", "--purpose", "plan of the trim"]) == 0
    said = capsys.readouterr().out
    assert "lf.dcm: Left fore, LM, taken 20 Jan 2025, from Vet D." in said and "1 of the vet's taken in" in said
    assert main([*given, "--json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["vets_images"]
    assert (told["state"], told["day"], told["foot"]) == ("already here", "2025-01-20", "LF")
    other = film(tmp_path / "rf.dcm", side_film(300, 300), Laterality="R")
    assert main(["add", str(own_sample_book), str(other), "--horse", "Larkspur", "--vets", "--foot", "LF"]) == 2
    assert "says that it shows a right foot, and you said left fore" in capsys.readouterr().err
    assert main(["add", str(own_sample_book), str(file), "--horse", "Nobody", "--vets"]) == 2
    assert "no horse called" in capsys.readouterr().err
    book = open_book(own_sample_book)
    assert len(book.book.every(VetImage)) == 1
    book.close()
