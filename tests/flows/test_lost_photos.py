"""A photo whose file is gone from the book: papers name it as a person knows it, and nothing is made by half."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.owner_facts import OwnerWishes
from hoofbook.casework.papers import make_owner_paper
from hoofbook.casework.vet_archive import make_vet_archive
from hoofbook.casework.vet_case import VetWishes, make_vet_case
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import PaperMade
from hoofbook.wording.refusals import sentence
from tests.flows.handovers import finished

Make = Callable[[OpenBook, str, Path], object]
MAKERS: dict[str, Make] = {
    "Vet case": lambda book, horse, out: make_vet_case(book, horse, VetWishes(size="call"), out / "a.pdf"),
    "DICOM": lambda book, horse, out: finished(make_vet_archive(book, horse, VetWishes(size="call"), out / "a")),
    "Owner picture": lambda book, horse, out: make_owner_paper(book, horse, OwnerWishes(), out / "a.jpg"),
    "Owner sheet": lambda book, horse, out: make_owner_paper(book, horse, OwnerWishes(), out / "a.pdf"),
}


@pytest.mark.parametrize("make", MAKERS.values(), ids=MAKERS.keys())
def test_a_lost_photo_is_named_by_its_day(opened_sample: OpenBook, tmp_path: Path, make: Make) -> None:
    horse = opened_sample.horse_named("Copper")
    photos = opened_sample.book.photos(horse.key)
    made_before = len(opened_sample.book.every(PaperMade))
    for photo in photos:
        opened_sample.archive.path(photo).unlink()
    (tmp_path / "out").mkdir()
    with pytest.raises(Refused) as caught:
        make(opened_sample, str(horse.key), tmp_path / "out")
    told = sentence(caught.value.refusal)
    assert "2025" in told and "newest backup" in told
    assert not any(photo.sha256 in told for photo in photos)
    assert list((tmp_path / "out").iterdir()) == []
    assert len(opened_sample.book.every(PaperMade)) == made_before
