"""Handovers that are not right: each is refused with what to do, and the book stays byte for byte as it was.

What is wrong is written down here by hand; checksums are made right again with the bagit library, as somebody would who
changed a file on purpose. What a zip or folder itself may do wrong stands in tests/papers/test_bundle.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.taking_handover import look_at_handover, take_handover
from hoofbook.terms.refusal import Refused
from hoofbook.wording.refusals import sentence
from tests.flows.handovers import finished, rebagged, state, take_in

Change = Callable[[dict[str, Any]], object]


def row(table: str, **fields: Any) -> Change:
    return lambda document: document["records"][table][0].update(fields)


def inner(table: str, *path: str, value: Any) -> Change:
    def change(document: dict[str, Any]) -> None:
        place = document["records"][table][0]
        for name in path[:-1]:
            place = place[name]
        place[path[-1]] = value

    return change


NOBODY = "01a21f3b-0000-7000-8000-000000000000"
WRONG_RECORDS: dict[str, tuple[Change, str]] = {
    "version to come": (lambda d: d.update(version=2), "handover_newer"),
    "version of words": (lambda d: d.update(version="1"), "handover_records_wrong"),
    "no version": (lambda d: d.pop("version"), "handover_records_wrong"),
    "no records": (lambda d: d.pop("records"), "handover_records_wrong"),
    "a table nobody knows": (lambda d: d["records"].update(spell=[]), "handover_records_wrong"),
    "a field nobody knows": (row("horse", wings=2), "handover_records_wrong"),
    "no horse": (lambda d: d["records"].update(horse=[]), "handover_records_wrong"),
    "another horse": (lambda d: d.update(horse=NOBODY), "handover_records_wrong"),
    "a visit of nobody": (row("visit", horse=NOBODY), "handover_records_wrong"),
    "an owner who is not there": (row("horse", owner=NOBODY), "handover_records_wrong"),
    "marks of no photo": (row("marking_pass", photo=NOBODY), "handover_records_wrong"),
    "the same key twice": (lambda d: d["records"]["visit"].append(d["records"]["visit"][0]), "handover_records_wrong"),
    "a day that is none": (row("visit", day="2025-02-30"), "handover_records_wrong"),
    "a day long ago": (row("visit", day="0001-01-01"), "handover_records_wrong"),
    "a moment without its zone": (row("sighting", seen_at="2025-03-02T12:00:00"), "handover_records_wrong"),
    "a width of nothing": (row("photo", width=0), "handover_records_wrong"),
    "another width": (row("photo", width=17), "handover_photo_bad"),
    "no time": (row("photo", local_time="noon"), "handover_records_wrong"),
    "a remark nobody knows": (row("photo", remarks=[{"code": "spell", "facts": {}}]), "handover_records_wrong"),
    "a box outside": (row("photo", covered=[[0, 0, 1.5, 1]]), "handover_records_wrong"),
    "a mark nobody knows": (
        inner("marking_pass", "marking", "marks", value={"wing": {"x": 1, "y": 1}}),
        "handover_records_wrong",
    ),
    "a mark far away": (
        inner("marking_pass", "marking", "marks", value={"toe_ground": {"x": 1e12, "y": 1}}),
        "handover_records_wrong",
    ),
    "a measure nobody knows": (inner("measure", "quantity", "name", value="wing_span"), "handover_records_wrong"),
    "a measure of no photo": (inner("measure", "quantity", "photos", value=[NOBODY]), "handover_records_wrong"),
    "a value that is none": (inner("measure", "quantity", "value", value="nan"), "handover_records_wrong"),
    "another unit": (inner("measure", "quantity", "unit", value="mm3"), "handover_records_wrong"),
    "a goal nobody knows": (row("goal", measure="wing_span"), "handover_records_wrong"),
    "a correction of nothing": (row("correction", subject_key=NOBODY), "handover_records_wrong"),
    "a correction of another table": (row("correction", subject="book"), "handover_records_wrong"),
    "a photo without its file": (lambda d: d["files"].pop(), "handover_records_wrong"),
    "a file elsewhere": (lambda d: d["files"][0].update(file="../bagit.txt"), "handover_records_wrong"),
    "a file that is no photo": (lambda d: d["files"][0].update(file="case.pdf"), "handover_records_wrong"),
    "another hash": (row("photo", sha256="0" * 64), "handover_records_wrong"),
    "another ending": (row("photo", suffix=".heic"), "handover_records_wrong"),
}


@pytest.fixture
def bad(copper_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(copper_folder, tmp_path / "bad"))


def refused_unchanged(book: OpenBook, path: Path, code: str) -> str:
    """Both ways refuse it, and the book is byte for byte as it was; what is told, in words."""
    before = state(book)
    with pytest.raises(Refused) as looking:
        look_at_handover(path)
    with pytest.raises(Refused) as taking:
        finished(take_handover(book, path, {}))
    assert looking.value.refusal.code == taking.value.refusal.code == code
    assert state(book) == before
    return sentence(taking.value.refusal)


@pytest.mark.parametrize("fault", sorted(WRONG_RECORDS))
def test_records_that_cannot_be_are_refused(next_book: OpenBook, bad: Path, fault: str) -> None:
    change, code = WRONG_RECORDS[fault]
    file = bad / "data" / "records.json"
    document = json.loads(file.read_bytes())
    change(document)
    file.write_text(json.dumps(document), encoding="utf-8")
    rebagged(bad)
    words = refused_unchanged(next_book, bad, code)
    assert "nothing was taken in" in words


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"version": 1}', "NaN", "[" * 200_000, "\xff"])
def test_records_that_are_no_json_are_refused(next_book: OpenBook, bad: Path, text: str) -> None:
    (bad / "data" / "records.json").write_bytes(text.encode("latin-1"))
    rebagged(bad)
    refused_unchanged(next_book, bad, "handover_records_wrong")


def test_not_a_number_is_refused_wherever_it_stands(next_book: OpenBook, bad: Path) -> None:
    file = bad / "data" / "records.json"
    whole = file.read_text(encoding="utf-8")
    places = [found.span(1) for found in re.finditer(r":(-?\d+\.\d+)", whole)]
    assert len(places) > 500
    for start, end in places[:: len(places) // 6]:
        file.write_text(f"{whole[:start]}NaN{whole[end:]}", encoding="utf-8")
        rebagged(bad)
        refused_unchanged(next_book, bad, "handover_records_wrong")


def spoil(bad: Path, change: Callable[[bytes], bytes]) -> None:
    """Changes the bytes of one photo and makes everything that names them fit again."""
    file = bad / "data" / "records.json"
    document = json.loads(file.read_bytes())
    photo = bad / "data" / document["files"][0]["file"]
    old = hashlib.sha256(photo.read_bytes()).hexdigest()
    photo.write_bytes(change(photo.read_bytes()))
    new = hashlib.sha256(photo.read_bytes()).hexdigest()
    file.write_text(file.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    rebagged(bad)


def smaller(data: bytes) -> bytes:
    out = io.BytesIO()
    with Image.open(io.BytesIO(data)) as opened:
        opened.resize((opened.width // 2, opened.height // 2)).save(out, "JPEG")
    return out.getvalue()


@pytest.mark.parametrize("change", [lambda d: b"Dear Anna", lambda d: d[: len(d) // 2], smaller, lambda d: b""])
def test_a_photo_that_cannot_be_opened_is_refused(
    next_book: OpenBook, bad: Path, change: Callable[[bytes], bytes]
) -> None:
    spoil(bad, change)
    refused_unchanged(next_book, bad, "handover_photo_bad")


def test_what_a_vet_gave_must_be_what_it_is_said_to_be(next_book: OpenBook, bad: Path) -> None:
    """A row of the vet's and its file: first right, then a program under the name of a paper, then cut short."""
    file = bad / "data" / "records.json"
    document, key = json.loads(file.read_bytes()), "01a21f3b-0000-7000-8000-000000000001"
    row = {"key": key, "horse": document["horse"], "day": "2025-01-14", "suffix": ".pdf"}
    paper = bad / "data" / "vets-images" / "a.pdf"
    paper.parent.mkdir()
    whole = (bad / "data" / "case.pdf").read_bytes()
    for content, code in (
        (whole, ""),
        (b"MZ" + whole[2:3000], "handover_photo_bad"),
        (whole[:9000], "handover_photo_bad"),
    ):
        paper.write_bytes(content)
        digest = hashlib.sha256(content).hexdigest()
        document["records"]["vet_image"] = [{**row, "sha256": digest}]
        kept = [entry for entry in document["files"] if entry["key"] != key]
        document["files"] = [*kept, {"key": key, "file": "vets-images/a.pdf", "sha256": digest}]
        file.write_text(json.dumps(document), encoding="utf-8")
        rebagged(bad)
        if code:
            refused_unchanged(next_book, bad, code)
        else:
            assert look_at_handover(bad).counts["vet_image"] == 1


def test_a_bag_of_something_else_is_refused(next_book: OpenBook, bad: Path) -> None:
    (bad / "data" / "records.json").unlink()
    rebagged(bad)
    refused_unchanged(next_book, bad, "handover_records_missing")


def test_a_changed_or_cut_zip_is_refused(next_book: OpenBook, larkspur_zip: Path, tmp_path: Path) -> None:
    whole = larkspur_zip.read_bytes()
    path = tmp_path / "b.zip"
    path.write_bytes(whole[: len(whole) // 2])
    refused_unchanged(next_book, path, "bundle_not_zip")
    middle = len(whole) // 2
    path.write_bytes(whole[:middle] + bytes((whole[middle] ^ 1,)) + whole[middle + 1 :])
    refused_unchanged(next_book, path, "bundle_damaged")


def test_a_changed_file_in_a_folder_is_refused(next_book: OpenBook, bad: Path) -> None:
    table = bad / "data" / "tables" / "visits.csv"
    table.write_bytes(table.read_bytes().replace(b"2025", b"2024"))
    assert "visits.csv" in refused_unchanged(next_book, bad, "bundle_changed")
    table.unlink()
    refused_unchanged(next_book, bad, "bundle_changed")


def test_records_of_another_horse_of_the_book_are_refused(next_book: OpenBook, copper_folder: Path, bad: Path) -> None:
    """Keys that are here already, under a horse with another key: they would hang on the wrong horse."""
    take_in(next_book, copper_folder)
    add_horse(next_book, HorseForm("Robin"))
    file = bad / "data" / "records.json"
    horse = json.loads(file.read_bytes())["horse"]
    file.write_text(file.read_text(encoding="utf-8").replace(horse, NOBODY), encoding="utf-8")
    rebagged(bad)
    before = state(next_book)
    with pytest.raises(Refused, match="handover_key_taken"):
        take_in(next_book, bad, "Robin")
    assert state(next_book) == before
