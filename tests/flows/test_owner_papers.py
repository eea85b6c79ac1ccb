"""The Owner picture and sheet of the sample horse, looked into with tools that are not ours (Pillow, qpdf, poppler).

References: ISO 19005-3 and ISO 14289-1 marks in the metadata (names from memory); the scenario of the sample story.
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.owner_facts import LONGEST_NOTE, OwnerWishes, read_owner_facts
from hoofbook.casework.owner_form import read_owner_form
from hoofbook.casework.paper_log import kept_file, made_again
from hoofbook.casework.papers import make_owner_paper, owner_picture_bytes, owner_sheet_pages
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.set_up import drop_logo, keep_logo, read_logo
from hoofbook.cli.main import run_command
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Horse, PaperMade
from hoofbook.terms.views import Moment, View
from hoofbook.wording.owner import ADVICE, PICTURE, PICTURES_ONLY, SHEET
from hoofbook.wording.pairs import SAME_DAY, other_moments
from tests.papers import tools


def horse(book: OpenBook) -> str:
    return str(book.horse_named("Larkspur").key)


def last_made(book: OpenBook) -> PaperMade:
    return max(book.book.every(PaperMade), key=lambda paper: paper.made_at)


def test_the_picture_is_logged_kept_and_had_again(opened_sample: OpenBook, tmp_path: Path) -> None:
    out = make_owner_paper(opened_sample, horse(opened_sample), OwnerWishes(), tmp_path / "for owner.jpg")
    data = out.read_bytes()
    [paper] = [item for item in opened_sample.book.every(PaperMade) if item.kind == PICTURE]
    assert paper.sha256 == hashlib.sha256(data).hexdigest()
    assert (paper.file_name, paper.made_for) == ("for owner.jpg", "")
    assert made_again(opened_sample, paper) == data
    assert paper.numbers, "the row says which figures it told"
    with Image.open(out) as opened:
        assert opened.size == (1080, 1920)
        assert not opened.getexif()


def test_a_kept_paper_that_was_changed_is_not_handed_out(opened_sample: OpenBook, tmp_path: Path) -> None:
    make_owner_paper(opened_sample, horse(opened_sample), OwnerWishes(), tmp_path / "o.png")
    paper = last_made(opened_sample)
    kept_file(opened_sample, paper.sha256, ".png").write_bytes(b"other")
    with pytest.raises(Refused, match="paper_not_kept"):
        made_again(opened_sample, paper)


def test_the_sentence_is_the_numbers_own(opened_sample: OpenBook) -> None:
    facts = read_owner_facts(opened_sample, horse(opened_sample), OwnerWishes("LF", "solar"))
    assert facts.said.startswith("Sole concavity: about ") and "more in 37 weeks" in facts.said
    assert "±" not in facts.said
    assert "not these two pictures" not in facts.said
    side = read_owner_facts(opened_sample, horse(opened_sample), OwnerWishes("LF", "lateral"))
    assert side.said == PICTURES_ONLY  # no goal of the sample story is seen from the side


def test_the_sentence_names_its_days_where_the_pictures_span_others(opened_sample: OpenBook) -> None:
    """By the sample story Copper's fourth reading is that of 17 Jun 2025; its newest photo is of 26 Aug."""
    copper = str(opened_sample.horse_named("Copper").key)
    facts = read_owner_facts(opened_sample, copper, OwnerWishes())
    assert (facts.then.day, facts.now.day) == ("2025-03-04", "2025-08-26")
    assert facts.said.endswith("That is 4 Mar – 17 Jun 2025, not these two pictures.")
    larkspur = read_owner_facts(opened_sample, horse(opened_sample), OwnerWishes("LF", "solar", then="2025-02-25"))
    assert larkspur.said.endswith("That is 14 Jan – 30 Sep 2025, not these two pictures.")


def test_two_horses_of_one_name_each_have_their_paper(opened_sample: OpenBook) -> None:
    """In the window a horse is chosen, not named."""
    other = opened_sample.horse_named("Juniper")
    with opened_sample.book.writing() as writer:
        writer.change(replace(other, name="Larkspur"))
    [own] = [kept for kept in opened_sample.book.every(Horse) if kept.name == "Larkspur" and kept.key != other.key]
    assert read_owner_facts(opened_sample, str(own.key), OwnerWishes("LF", "solar")).horse.key == own.key
    facts = read_owner_facts(opened_sample, str(other.key), OwnerWishes("LF", "lateral"))
    assert facts.then.day == "2025-02-06"  # Juniper's first visit by the sample story


def test_one_photo_twice_is_refused_and_is_no_empty_form(opened_sample: OpenBook) -> None:
    """An empty form has nothing left to choose from: whoever picked one photo twice could not go back."""
    key = horse(opened_sample)
    photo = read_owner_facts(opened_sample, key, OwnerWishes("LF", "solar")).now.key
    with pytest.raises(Refused, match="two_days_needed"):
        read_owner_form(opened_sample, key, OwnerWishes("LF", "solar", photos=(photo, photo)), "picture")


def test_one_day_and_two_moments_keep_their_banner(opened_sample: OpenBook) -> None:
    """The banner stands where the sentence would: a trim of one day, and two moments of two days."""
    key = opened_sample.horse_named("Larkspur").key
    photos = [photo for photo in opened_sample.book.photos(key) if photo.foot and photo.view is View.LATERAL]
    before = next(photo for photo in photos if photo.moment is Moment.BEFORE_TRIM)
    after = [photo for photo in photos if photo.foot is before.foot and photo.moment is Moment.AFTER_TRIM]
    days = {day_of(photo, ()): photo for photo in after}
    same = days.pop(day_of(before, ()))
    other = days[max(days)] if max(days) > day_of(before, ()) else None
    assert before.foot is not None
    for now, banner in ((same, SAME_DAY), (other, other_moments(Moment.BEFORE_TRIM, Moment.AFTER_TRIM))):
        assert now is not None
        wishes = OwnerWishes(before.foot.value, "lateral", photos=(str(before.key), str(now.key)))
        facts = read_owner_facts(opened_sample, str(key), wishes)
        assert facts.said == banner
        assert facts.progress is None  # so no chart of progress beside it either


def test_the_owner_is_named_only_when_ticked(opened_sample: OpenBook) -> None:
    key = horse(opened_sample)
    assert read_owner_facts(opened_sample, key, OwnerWishes()).owner == ""
    assert read_owner_facts(opened_sample, key, OwnerWishes(name_owner=True)).owner == "A. K."


def test_a_covered_box_changes_the_picture(opened_sample: OpenBook) -> None:
    wishes = OwnerWishes("LF", "solar")
    facts = read_owner_facts(opened_sample, horse(opened_sample), wishes)
    hidden = replace(wishes, covered=(((0.0, 0.0, 1.0, 1.0),), ()))
    pictures = []
    for one in (wishes, hidden):
        data = owner_picture_bytes(opened_sample, facts, one, ".png")
        pictures.append(Image.open(io.BytesIO(data)).convert("L").crop((60, 300, 480, 600)))
    assert pictures[0].getextrema()[1] - pictures[0].getextrema()[0] > 100
    assert pictures[1].getextrema()[1] - pictures[1].getextrema()[0] <= 1


def test_the_sheet_is_one_lasting_page(opened_sample: OpenBook, tmp_path: Path) -> None:
    wishes = OwnerWishes("LF", "solar", practice="#1 *x* $a$", note="word " * (LONGEST_NOTE // 5), advice=tuple(ADVICE))
    out = make_owner_paper(opened_sample, horse(opened_sample), wishes, tmp_path / "sheet.pdf")
    assert not tools.complaints(out)
    assert tools.info(out)["Pages"] == "1" and tools.info(out)["Tagged"] == "yes"
    assert all(embedded for _, embedded, _ in tools.fonts(out))
    assert not tools.words_outside(out)
    text = tools.text(out)
    for words in (
        "Larkspur",
        "#1 *x* $a$",
        "more in 37 weeks",
        "11 Nov 2025",
        "ask your farrier or vet",
        *ADVICE.values(),
    ):
        assert words in text
    assert "A. K." not in text
    raw = tools.tool("qpdf", "--qdf", "--object-streams=disable", out, "-")
    assert "pdfaid:part" in raw and "pdfuaid:part" in raw
    assert len(tools.alternatives(out)) >= 2
    assert last_made(opened_sample).kind == SHEET
    [page] = owner_sheet_pages(opened_sample, read_owner_facts(opened_sample, horse(opened_sample), wishes), wishes)
    assert Image.open(io.BytesIO(page)).format == "PNG"


def test_pictures_inside_the_sheet_hold_no_place(opened_sample: OpenBook, tmp_path: Path) -> None:
    out = make_owner_paper(opened_sample, horse(opened_sample), OwnerWishes("LF", "solar"), tmp_path / "s.pdf")
    found = tools.pictures(out, tmp_path)
    assert found
    for path in found:
        with Image.open(path) as opened:
            assert not opened.getexif()


@pytest.mark.parametrize(
    ("more", "code"),
    [
        (OwnerWishes(advice=("nonsense",)), "advice_unknown"),
        (OwnerWishes(note="n" * (LONGEST_NOTE + 1)), "owner_note_long"),
        (OwnerWishes(form="round"), "owner_form_unknown"),
        (OwnerWishes(foot="XX"), "word_unknown"),
    ],
)
def test_bad_wishes_are_refused(opened_sample: OpenBook, tmp_path: Path, more: OwnerWishes, code: str) -> None:
    out = tmp_path / "o.png"
    with pytest.raises(Refused, match=code):
        make_owner_paper(opened_sample, horse(opened_sample), more, out)
    assert not out.exists()


def test_the_command_writes_or_says_why(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    words = ["paper", "owner", str(own_sample_book), "--horse", "Larkspur", "--form", "square", "--out"]
    out = tmp_path / "o.png"
    assert run_command([*words, str(out)], open_window=lambda *_: 1) == 0
    with Image.open(out) as opened:
        assert opened.size == (1080, 1080)
    assert run_command([*words, str(tmp_path / "o.gif")], open_window=lambda *_: 1) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_the_practice_is_named_as_set_up_with_its_picture(
    opened_sample: OpenBook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The picture was see-through and had a place in it; on the paper it lies on white and has none."""
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    source = tmp_path / "our anvil.png"
    exif = Image.Exif()
    exif.get_ifd(0x8825)[2] = (51.0, 30.0, 0.0)  # GPSLatitude
    picture = Image.new("RGBA", (1200, 400), (0, 0, 0, 0))
    picture.paste((200, 30, 40, 255), (0, 0, 600, 400))
    picture.save(source, exif=exif)
    kept = keep_logo(source)
    with Image.open(io.BytesIO(kept)) as opened:
        assert max(opened.size) <= 900 and not opened.getexif() and opened.mode == "RGB"
        assert opened.getpixel((opened.width - 2, 5)) == (255, 255, 255)
    book = replace(opened_sample, settings=replace(opened_sample.settings, practice="Anvil Lane Farriery"))
    out = make_owner_paper(book, horse(book), OwnerWishes("LF", "solar"), tmp_path / "s.pdf")
    assert not tools.complaints(out) and tools.info(out)["Pages"] == "1"
    assert "Anvil Lane Farriery" in tools.text(out)
    assert any("Anvil Lane Farriery" in words for words in tools.alternatives(out))
    drop_logo()
    assert read_logo() == b""
