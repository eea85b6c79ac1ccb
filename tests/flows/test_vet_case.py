"""The Vet case of the sample horses, looked into with tools that are not ours.

References: ISO 19005-3 and ISO 14289-1 marks in the metadata (names as in those standards, from memory); qpdf and
poppler; Pillow for the pictures; the scenario and truth files of sample_cases for trims and values.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from hoofbook.casework.demo import ASKED, TAKEN_BY
from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.paper_log import made_again
from hoofbook.casework.progress_document import document
from hoofbook.casework.progress_text import progress_of_book, progress_of_file
from hoofbook.casework.vet_case import (
    LONGEST_LINE,
    LONGEST_QUESTION,
    VetCaseMade,
    VetWishes,
    make_vet_case,
    vet_case_pages,
)
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Event, EventKind, Finding, HandMeasure, PaperMade
from hoofbook.wording.vet_case import TITLES
from tests.papers import tools

APEX = "sole_concavity_at_frog_apex"
ORDER = (
    "page 1 of",
    "Larkspur",
    "30 Sep 2025",
    "Demo Farrier",
    "01632 960 114",
    "both fore feet",
    "advice, not urgent",
    "May she winter without pads?",
    "Since when",
    "14 Jan 2025",
    "Sound or lame",
    "no grade given",
    "Last done",
    "Films",
    "24 Sep 2025",
    "One trim between the films and the photos.",
    "Permission",
    "owner A. K. lets it be shown to the vet",
    "Left fore, lateral view",
    "Right fore, lateral view",
    "Left fore, solar view",
    "Right fore, solar view",
    "External sole concavity",
    "(not sole thickness)",
    "increase shown, as wanted",
    "no change shown (smallest we could see:",
    "Quoted from the vet",
    "sole depth 12 mm, cup 5 mm",
    "± is half of the 95 % interval.",
    "Timeline",
    "Lost shoe, RF",
    "What the practitioner saw",
    "Standing and moving",
    "Shoeing record",
    "Measures",
    "Over the visits",
    "Every visit, side by side",
    "Quoted from the vet",
    "The photos of page 1 without marks",
    "How it was measured",
    "Corrections",
    "Permission",
    "What is not claimed",
)


@dataclass(frozen=True)
class Made:
    pdf: Path
    made: VetCaseMade
    paper: PaperMade


@pytest.fixture(scope="module")
def own_book(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenBook]:
    """One copy for this module, with a settings folder of its own."""
    folder = tmp_path_factory.mktemp("vet")
    home = pytest.MonkeyPatch()
    home.setenv("HOOFBOOK_HOME", str(folder / "home"))
    opened = open_book(Path(shutil.copytree(sample_book, folder / "book")))
    yield opened
    opened.close()
    home.undo()


@pytest.fixture(scope="module")
def case(own_book: OpenBook, tmp_path_factory: pytest.TempPathFactory) -> Made:
    """The case as `hoofbook demo` makes it."""
    out = tmp_path_factory.mktemp("paper") / "case.pdf"
    horse = own_book.horse_named("Larkspur").key
    made = make_vet_case(own_book, str(horse), VetWishes(ASKED, taken_by=TAKEN_BY), out)
    return Made(out, made, own_book.book.every(PaperMade, horse=horse)[-1])


def key_of(book: OpenBook, name: str) -> str:
    return str(book.horse_named(name).key)


def test_the_pdf_is_whole_lasting_tagged_and_small(case: Made) -> None:
    assert tools.complaints(case.pdf) == ""
    told = tools.info(case.pdf)
    assert 3 <= int(told["Pages"]) <= 5
    assert told["Tagged"] == "yes" and told["Title"] == "Vet case: Larkspur, 30 Sep 2025"
    assert told["Author"] == "Demo Farrier" and "2025" in told["CreationDate"]
    assert case.pdf.stat().st_size < 8_000_000
    data = case.pdf.read_bytes()
    assert re.search(rb"<pdfaid:part>3</pdfaid:part>", data) and re.search(rb"<pdfaid:conformance>A<", data)
    assert re.search(rb"<pdfuaid:part>1</pdfuaid:part>", data)
    assert b"/Lang" in data or b"<dc:language>" in data


def test_every_font_is_ours_and_inside(case: Made) -> None:
    found = tools.fonts(case.pdf)
    assert {name.split("+")[1].split("-")[0] for name, _, _ in found} == {"Inter", "Vollkorn"}
    assert all(embedded and subset for _, embedded, subset in found)


def test_page_1_and_the_sections_read_in_order(case: Made) -> None:
    said, place = tools.text(case.pdf), 0
    for words in ORDER:
        found = said.find(words, place)
        assert found >= 0, f"{words!r} does not come after {said[max(0, place - 60) : place]!r}"
        place = found + 1
    first = tools.text(case.pdf, 1)
    assert "quoted from the vet" in first.lower() and "Observations by a hoof-care practitioner" in first


def test_it_can_be_walked_and_every_photo_says_what_it_is(case: Made) -> None:
    marks = tools.bookmarks(case.pdf)
    assert marks[0] == ("Larkspur", 1)
    assert [title for title, _ in marks if title in TITLES.values()] == [
        TITLES[name] for name in TITLES if name not in ("new", "twins")
    ]
    assert [page for _, page in marks] == sorted(page for _, page in marks)
    told = tools.alternatives(case.pdf)
    for foot in ("left fore", "right fore"):
        for view in ("lateral view", "solar view"):
            words = f"Photo of Larkspur, {foot}, {view}, 30 Sep 2025, after trim, bare"
            assert f"{words}, with the measured lines." in told and f"{words}." in told


def test_nothing_is_clipped_and_no_heading_ends_a_page(case: Made) -> None:
    assert tools.words_outside(case.pdf) == []
    assert not set(tools.last_lines(case.pdf)) & set(TITLES.values())


def test_pictures_are_small_named_by_side_and_tell_no_place(case: Made, tmp_path: Path) -> None:
    found = tools.pictures(case.pdf, tmp_path)
    assert len(found) >= 8
    for path in found:
        with Image.open(path) as picture:
            assert max(picture.size) <= 2000
            assert not picture.getexif() and not {"exif", "comment", "xmp"} & set(picture.info)
    data = case.pdf.read_bytes()
    for secret in (b"GPSLatitude", b"Exif\0\0", b"Demo phone\0", str(case.pdf.parent).encode()):
        assert secret not in data


def test_pictures_are_sharp_on_paper(case: Made) -> None:
    """200 dots an inch and more as they lie on the page, by pdfimages (poppler)."""
    rows = [line.split() for line in tools.tool("pdfimages", "-list", case.pdf).splitlines()[2:]]
    assert rows
    assert all(min(int(row[12]), int(row[13])) >= 200 for row in rows), rows


def test_page_1_tells_the_concavities_of_the_scenario(case: Made) -> None:
    said = tools.text(case.pdf, 1)
    said = said[said.index("External sole concavity") : said.index("Toe angle")]
    told = [(float(value), float(half)) for value, half in re.findall(r"([\d.]+) mm ± ([\d.]+)", said)]
    true = []
    for definition in ("from_wall_edge", "from_sole_edge"):
        for foot in ("lf", "rf"):
            file = sample_case("larkspur") / "visit-7" / f"{foot}-sole-after-1.truth.json"
            true.append(json.loads(file.read_text(encoding="utf-8"))["measures"][f"{APEX}_{definition}"])
    assert len(told) == 4
    for (value, half), wanted in zip(told, true, strict=True):
        assert abs(value - wanted) < 3 / 1.96 * half + 0.1, (told, true)  # 99.7 %, and what rounding may take


def test_trims_since_films_are_counted_by_the_scenario(case: Made, tmp_path: Path) -> None:
    story = json.loads((sample_case("larkspur") / "case.json").read_text(encoding="utf-8"))
    trims = [date.fromisoformat(row["date"]) for row in story["visits"]]
    rows = [line.split(",") for line in beside(case, "quoted-from-the-vet").splitlines()]
    heads = rows[0]
    assert len(rows) > 4
    for row in rows[1:]:
        told = dict(zip(heads, row, strict=True))
        after = [day for day in trims if day > date.fromisoformat(told["film_date"])]
        assert int(told["trims_until_photos"]) == len(after)


def beside(case: Made, name: str) -> str:
    (file,) = [path for path in case.made.beside if path.stem == f"case-{name}"]
    return file.read_text(encoding="utf-8-sig")


def test_the_tables_are_inside_too_and_can_be_read_in_again(case: Made, own_book: OpenBook, tmp_path: Path) -> None:
    inside = tools.attached(case.pdf, tmp_path)
    assert set(inside) == {"numbers.csv", "photos.csv", "quoted-from-the-vet.csv"}
    assert inside == {path.name.removeprefix("case-"): path.read_bytes() for path in case.made.beside}
    again = document(progress_of_file(next(path for path in case.made.beside if "numbers" in path.name)))
    told = document(progress_of_book(own_book, "Larkspur"))
    for foot, verdict in (("LF", "increase shown"), ("RF", "no change shown")):
        for read in (again, told):
            (series,) = [
                item
                for item in read["series"]
                if (item["foot"], item["measure"], item["definition"]) == (foot, APEX, "from_sole_edge")
            ]
            assert series["verdict"] == verdict
    assert "sole depth" not in beside(case, "numbers")  # the vet's values stand apart


def test_a_photo_of_another_foot_never_comes_in(case: Made) -> None:
    listed = beside(case, "photos")
    assert "lf-sole-after-1.jpg" in listed
    assert "rf-sole-filed-as-lf" not in listed and "mirrored" not in listed


def test_it_is_noted_in_the_book_by_its_bytes(case: Made, own_book: OpenBook) -> None:
    assert made_again(own_book, case.paper) == case.pdf.read_bytes()
    assert any("±" in line for line in case.paper.numbers), "the row says which figures it told"
    assert case.paper.sha256 == hashlib.sha256(case.pdf.read_bytes()).hexdigest()
    assert (case.paper.kind, case.paper.file_name, case.paper.made_for) == ("vet case", "case.pdf", "Vet D.")
    assert case.made.look_again == ()  # the sample story leaves nothing open


def test_the_next_case_begins_with_what_is_new(case: Made, own_book: OpenBook, tmp_path: Path) -> None:
    assert TITLES["new"] not in tools.text(case.pdf)
    horse = own_book.horse_named("Larkspur")
    visit = own_book.book.history(horse.key).visits[-1]
    hand = own_book.book.every(HandMeasure, horse=horse.key)[0]
    with own_book.book.writing() as writer:
        writer.add(Finding(new_key(), visit.key, Foot.RF, "ring", place="inside quarter", size_mm=12.0))
        writer.add(Event(new_key(), horse.key, date(2025, 9, 29), EventKind.NOTE, Foot.RF, "=1+1 looks like laminitis"))
        writer.add(
            Event(
                new_key(), horse.key, date(2025, 9, 29), EventKind.VET_DIRECTION, None, "No sign of founder.", "Vet D."
            )
        )
        writer.change(replace(hand, value=4.3))
    made = make_vet_case(own_book, str(horse.key), VetWishes(ASKED), tmp_path / "next.pdf")
    said = tools.text(made.file)
    new = said[said.index(TITLES["new"]) : said.index(TITLES["timeline"], said.index(TITLES["new"]))]
    assert "Last case 30 Sep 2025" in new and "RF ring, inside quarter, 12 mm" in new and "Corrections 1" in new
    assert re.search(r"hand reading: value 4\.1 4\.3", said)
    assert "29 Sep 2025: No sign of founder." in tools.text(made.file, 1)
    assert len([line for line in made.look_again if "“laminitis”" in line]) == 1
    assert not any("founder" in line for line in made.look_again)  # the vet's own word
    assert tools.complaints(made.file) == "" and tools.words_outside(made.file) == []


def test_other_horses_come_out_whole_too(own_book: OpenBook, tmp_path: Path) -> None:
    made = make_vet_case(own_book, key_of(own_book, "Copper"), VetWishes(), tmp_path / "copper.pdf")
    assert tools.complaints(made.file) == "" and 3 <= int(tools.info(made.file)["Pages"]) <= 5
    said = tools.text(made.file)
    assert "3 on the scale 0-5 (AAEP)" in said and "left fore" in said and "medial view" in said
    assert any("owner R. M." in line for line in made.look_again)
    assert not set(tools.last_lines(made.file)) & set(TITLES.values())


def test_a_call_note_needs_nothing_and_keeps_to_one_page(own_book: OpenBook, tmp_path: Path) -> None:
    horse = add_horse(own_book, HorseForm("#1 *x* $a$ \\ ]"))
    note = make_vet_case(own_book, horse, VetWishes("Lame?", "urgent", "call"), tmp_path / "call.pdf")
    assert tools.complaints(note.file) == "" and int(tools.info(note.file)["Pages"]) == 1
    said = tools.text(note.file)
    assert "#1 *x* $a$ \\ ]" in said and "urgent: please look today" in said and "Lame?" in said
    assert note.beside == ()
    long = VetWishes("W" * 9 + " " + "MW " * 96, "soon", "call", since_when="WM " * 73, gait="MM " * 73)
    assert len(long.question) <= LONGEST_QUESTION and len(long.gait) <= LONGEST_LINE
    full = make_vet_case(own_book, key_of(own_book, "Larkspur"), long, tmp_path / "long.pdf")
    assert int(tools.info(full.file)["Pages"]) == 1 and tools.words_outside(full.file) == []
    with Image.open(io.BytesIO(vet_case_pages(own_book, key_of(own_book, "Larkspur"), long)[0][0])) as page:
        assert page.size == pytest.approx((827, 1169), abs=1)  # A4 at 100 to the inch (ISO 216)


def test_all_of_one_foot_shows_every_photo_with_its_twin(own_book: OpenBook, tmp_path: Path) -> None:
    wishes = VetWishes(ASKED, size="full", feet=("RF",), since="2025-09-30")
    made = make_vet_case(own_book, key_of(own_book, "Larkspur"), wishes, tmp_path / "full.pdf")
    said = tools.text(made.file)
    assert TITLES["twins"] in said and TITLES["photos"] not in said and "not shown here; they can be asked for" in said
    assert said.count("Larkspur · right fore") == 4  # one side and three sole photos on that day
    assert tools.complaints(made.file) == ""


def test_the_same_case_is_the_same_bytes(own_book: OpenBook, tmp_path: Path) -> None:
    wishes = VetWishes("Same?", size="call")
    horse = key_of(own_book, "Juniper")
    one, other = (make_vet_case(own_book, horse, wishes, tmp_path / f"{name}.pdf").file for name in "ab")
    assert one.read_bytes() == other.read_bytes()


@pytest.mark.parametrize(
    ("wishes", "name", "code"),
    [
        (VetWishes(size="big"), "x.pdf", "vet_case_size_unknown"),
        (VetWishes(urgency="now"), "x.pdf", "vet_case_urgency_unknown"),
        (VetWishes(question="x" * (LONGEST_QUESTION + 1)), "x.pdf", "vet_case_words_long"),
        (VetWishes(gait="x" * (LONGEST_LINE + 1)), "x.pdf", "vet_case_words_long"),
        (VetWishes(feet=("XX",)), "x.pdf", "word_unknown"),
        (VetWishes(since="yesterday"), "x.pdf", "visit_day_wrong"),
        (VetWishes(), "x.txt", "paper_not_pdf"),
    ],
)
def test_a_wrong_wish_is_refused(own_book: OpenBook, tmp_path: Path, wishes: VetWishes, name: str, code: str) -> None:
    with pytest.raises(Refused) as error:
        make_vet_case(own_book, key_of(own_book, "Larkspur"), wishes, tmp_path / name)
    assert error.value.refusal.code == code
    assert not (tmp_path / name).exists()
