"""A horse with a very long name: every paper keeps its words on the page (looked into with poppler)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.owner_facts import OwnerWishes
from hoofbook.casework.papers import make_owner_paper
from hoofbook.casework.vet_case import VetWishes, make_vet_case
from hoofbook.wording.names import LONGEST_NAME, name_on_paper
from tests.papers import tools

LONG = {"one word": "W" * 200, "many words": "Verylongname " * 30}


@pytest.mark.parametrize("name", LONG.values(), ids=LONG.keys())
def test_no_word_leaves_the_page(opened_sample: OpenBook, tmp_path: Path, name: str) -> None:
    horse = opened_sample.horse_named("Copper")
    with opened_sample.book.writing() as writer:
        writer.change(replace(horse, name=name))
    key = str(horse.key)
    call = make_vet_case(opened_sample, key, VetWishes(size="call"), tmp_path / "call.pdf").file
    case = make_vet_case(opened_sample, key, VetWishes(), tmp_path / "case.pdf").file
    sheet = make_owner_paper(opened_sample, key, OwnerWishes(), tmp_path / "sheet.pdf")
    for pdf, pages in ((call, 1), (case, None), (sheet, 1)):
        assert tools.words_outside(pdf) == []
        assert pages is None or tools.info(pdf)["Pages"] == str(pages)
        assert name[:12] in tools.text(pdf)


def test_a_name_that_fits_stays_as_it_is_and_a_longer_one_says_that_it_is_cut() -> None:
    assert name_on_paper("Larkspur") == "Larkspur"
    cut = name_on_paper("Verylongname " * 30)
    assert len(cut) <= LONGEST_NAME and cut.endswith("…")
    assert name_on_paper("W" * 40).replace("\u200b", "") == "W" * 40


def test_a_note_without_a_space_stays_on_the_page(opened_sample: OpenBook, tmp_path: Path) -> None:
    wishes = OwnerWishes("LF", "solar", note="x" * 290)
    key = str(opened_sample.horse_named("Larkspur").key)
    assert tools.words_outside(make_owner_paper(opened_sample, key, wishes, tmp_path / "note.pdf")) == []
