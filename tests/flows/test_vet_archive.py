"""Photos and the Vet case as DICOM files, made from the sample book and read back by programs that are not ours.

References: dciodvfy and dcm2pdf; pydicom; the truth files of the sample case (rendered scenes: where each mark lies in
millimetres and in the picture) for the size of a pixel.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from pydicom import dcmread
from pydicom.dataset import FileDataset

from hoofbook.__main__ import main
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.vet_archive import ArchiveMade, make_vet_archive, slant_off
from hoofbook.casework.vet_case import VetWishes
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import PaperMade
from hoofbook.wording.refusals import sentence
from tests.papers import tools
from tests.papers.test_dicom import judged

WISHES = VetWishes("May she winter without pads?", feet=("LF",), since="2025-08-19", taken_by="Demo Farrier")


def drained(work: Iterator[object]) -> ArchiveMade:
    while True:
        try:
            next(work)
        except StopIteration as end:
            return end.value  # type: ignore[no-any-return]


def make(book: OpenBook, out: Path, wishes: VetWishes = WISHES) -> ArchiveMade:
    return drained(make_vet_archive(book, str(book.horse_named("Larkspur").key), wishes, out))


@pytest.fixture
def archive(opened_sample: OpenBook, tmp_path: Path) -> ArchiveMade:
    return make(opened_sample, tmp_path / "for the vet")


def read(made: ArchiveMade) -> dict[str, FileDataset]:
    return {file.name: dcmread(file) for file in sorted(made.folder.iterdir())}


def test_every_chosen_photo_and_the_case_are_there_and_good(
    archive: ArchiveMade, opened_sample: OpenBook, tmp_path: Path
) -> None:
    files = read(archive)
    horse = opened_sample.horse_named("Larkspur").key
    chosen = [
        photo
        for photo in opened_sample.book.photos(horse)
        if photo.foot == "LF" and photo.local_time >= "2025-08-19" and not photo.remarks
    ]
    assert archive.photos == len(files) - 1 >= len(chosen) > 4
    for name in files:
        kind = "EncapsulatedPDF" if name == "vet-case.dcm" else "VLPhotographicImage"
        assert judged(tmp_path / "judged.dcm", (archive.folder / name).read_bytes()) == kind, name
    photos = [file for name, file in files.items() if name != "vet-case.dcm"]
    assert {(file.Laterality, file.BodyPartExamined) for file in photos} == {("L", "FOREFOOT")}
    assert {file.StudyDate for file in photos} == {"20250819", "20250930"}
    assert len({file.SOPInstanceUID for file in photos}) == len(photos)
    # one study a day, one series a foot and view, and numbers that tell them apart within it
    assert len({file.StudyInstanceUID for file in photos}) == 2
    for series in {file.SeriesInstanceUID for file in photos}:
        own = [file for file in photos if file.SeriesInstanceUID == series]
        assert len({file.SeriesDescription for file in own}) == 1
        assert sorted(file.InstanceNumber for file in own) == list(range(1, len(own) + 1))


def test_the_case_comes_out_as_a_pdf_that_asks_the_question(archive: ArchiveMade, tmp_path: Path) -> None:
    out = tmp_path / "case.pdf"
    tools.tool("dcm2pdf", archive.folder / "vet-case.dcm", out)
    assert "May she winter without pads?" in tools.text(out, 1)
    told = dcmread(archive.folder / "vet-case.dcm")
    assert (told.Modality, told.MIMETypeOfEncapsulatedDocument) == ("DOC", "application/pdf")
    assert told.DocumentTitle == "Vet case: Larkspur, 30 Sep 2025" and told.BurnedInAnnotation == "YES"


def test_a_pixel_is_as_large_as_in_the_rendered_scene(opened_sample: OpenBook, tmp_path: Path) -> None:
    """Side views: the distance of two marks of the mid plane in the scene over their distance in the picture."""
    made = make(opened_sample, tmp_path / "all", replace(WISHES, feet=("LF", "RF"), since="", size="full"))
    scaled = {name: file for name, file in read(made).items() if "PixelSpacing" in file}
    assert made.to_scale == len(scaled) >= 10
    days = {
        row["date"]: row["visit"]
        for row in json.loads((sample_case("larkspur") / "case.json").read_text(encoding="utf-8"))["visits"]
    }
    compared = 0
    for name, file in scaled.items():
        assert file.PixelSpacing[0] == file.PixelSpacing[1] > 0
        moment = next((word for word in ("before", "after", "finished") if f"-{word}" in name), "")
        truth = sample_case("larkspur") / f"visit-{days[name[:10]]}" / f"{name[11:13]}-side-{moment}.truth.json"
        if "lateral" not in name or not truth.exists():
            continue
        marks = json.loads(truth.read_text(encoding="utf-8"))["marks"]
        toe, hair = marks["toe_ground"], marks["toe_hairline"]
        true = math.dist(toe["mm"], hair["mm"]) / math.dist(toe["px"], hair["px"])
        assert abs(float(file.PixelSpacing[0]) / true - 1) <= 0.02, (name, file.PixelSpacing, true)
        compared += 1
    assert compared >= 6


@pytest.mark.parametrize(
    ("turn", "tilt", "distance", "by_hand"),
    [
        (0.0, 0.0, 1000.0, 0.0),
        (8.0, 0.0, 1000.0, 0.00973 + 60 * 0.13917 / 1000),
        (0.0, 8.0, 400.0, 0.00973 + 60 * 0.13917 / 400),
        (6.0, 8.0, 1000.0, 1 - 0.99452 * 0.99027 + 60 * math.sqrt(1 - (0.99452 * 0.99027) ** 2) / 1000),
    ],
)
def test_how_far_a_slant_puts_lengths_off(turn: float, tilt: float, distance: float, by_hand: float) -> None:
    """Sines and cosines from a table of four figures and more."""
    assert slant_off(turn, tilt, distance) == pytest.approx(by_hand, abs=2e-5)
    assert slant_off(-turn, -tilt, distance) == slant_off(turn, tilt, distance)


def test_what_nobody_shall_see_is_not_in_it(opened_sample: OpenBook, tmp_path: Path) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    before = read(make(opened_sample, tmp_path / "before"))
    with opened_sample.book.writing() as writer:
        for photo in opened_sample.book.photos(horse):
            writer.change(replace(photo, covered=((0.1, 0.1, 0.4, 0.3),)))
    after = read(make(opened_sample, tmp_path / "after"))
    for name, file in after.items():
        if name == "vet-case.dcm":
            continue
        assert file.ImageType == ["DERIVED", "PRIMARY"] and "filled" in file.DerivationDescription
        rows, columns = file.Rows, file.Columns
        part = file.pixel_array[int(0.12 * rows) : int(0.28 * rows), int(0.12 * columns) : int(0.38 * columns)]
        assert np.ptp(part.reshape(-1, 3).astype(int), axis=0).max() <= 4, name
        assert file.SOPInstanceUID != before[name].SOPInstanceUID
        assert file.SeriesInstanceUID == before[name].SeriesInstanceUID


def test_the_same_files_come_out_each_time(opened_sample: OpenBook, archive: ArchiveMade, tmp_path: Path) -> None:
    again = make(opened_sample, tmp_path / "again")
    for file in archive.folder.glob("*view*.dcm"):
        assert (again.folder / file.name).read_bytes() == file.read_bytes()
    secret = str(opened_sample.folder).encode()
    assert not [file.name for file in again.folder.iterdir() if secret in file.read_bytes()]


def test_it_is_noted_with_its_hash(archive: ArchiveMade, opened_sample: OpenBook) -> None:
    paper = opened_sample.book.every(PaperMade, horse=opened_sample.horse_named("Larkspur").key)[-1]
    assert (paper.kind, paper.file_name, paper.made_for) == ("DICOM files", "for the vet", "Vet D.")
    assert len(paper.sha256) == 64


def test_a_folder_in_use_is_left_alone(opened_sample: OpenBook, tmp_path: Path) -> None:
    out = tmp_path / "in use"
    out.mkdir()
    (out / "copper.dcm").write_bytes(b"another horse")
    with pytest.raises(Refused) as error:
        make(opened_sample, out)
    assert error.value.refusal.code == "archive_folder_in_use" and "in use" in sentence(error.value.refusal)
    assert [file.name for file in out.iterdir()] == ["copper.dcm"]
    (tmp_path / "empty").mkdir()
    assert make(opened_sample, tmp_path / "empty").photos > 0


def test_stopped_half_way_nothing_is_left(opened_sample: OpenBook, tmp_path: Path) -> None:
    out = tmp_path / "stopped"
    before = len(opened_sample.book.every(PaperMade))
    work = make_vet_archive(opened_sample, str(opened_sample.horse_named("Larkspur").key), WISHES, out)
    next(work), next(work)
    work.close()
    assert not out.exists() and not list(tmp_path.glob("stopped*"))
    assert len(opened_sample.book.every(PaperMade)) == before


def test_a_photo_without_a_time_is_good_too(opened_sample: OpenBook, tmp_path: Path) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    with opened_sample.book.writing() as writer:
        for photo in opened_sample.book.photos(horse):
            writer.change(replace(photo, local_time=""))
    made = make(opened_sample, tmp_path / "untimed")
    for file in made.folder.iterdir():
        said = judged(tmp_path / "judged.dcm", file.read_bytes()).splitlines()
        # a study of which nobody told the time has none; DICOMDIR, which we do not make, would ask for it
        assert [line for line in said if "StudyTime" not in line] in (["VLPhotographicImage"], ["EncapsulatedPDF"]), (
            said
        )


def test_the_command_line_says_what_it_made(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    out = tmp_path / "dicom"
    given = ["paper", "dicom", str(own_sample_book), "--horse", "Larkspur", "--out", str(out)]
    assert main([*given, "--feet", "LF", "--since", "2025-09-30"]) == 0
    said = capsys.readouterr()
    assert "DICOM files of" in said.out and "with a scale that holds for the plane of the marks" in said.out
    assert all(date.fromisoformat(file.name[:10]) == date(2025, 9, 30) for file in out.glob("*view*"))
    assert main(given) == 2
    assert "There is something in “dicom” already" in capsys.readouterr().err
    assert main([*given[:-1], str(tmp_path / "other"), "--feet", "XX"]) == 2
