"""Photos whose clock a messenger took out, and pairs named the wrong way round: what a picture says of days.

Reference: the days of the sample story's visits, told apart from any photo.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from hoofbook.casework.handover import HandoverWishes, make_handover
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.owner_facts import OwnerWishes, read_owner_facts
from hoofbook.casework.pair_by_day import pair_by_day
from hoofbook.casework.row_by_day import row_by_days, year_of
from hoofbook.terms.subjects import Photo, Visit
from tests.flows.handovers import finished

FIRST, LAST = "2025-01-14", "2025-09-30"


def without_clocks(book: OpenBook) -> str:
    """Every photo of Larkspur as a messenger brings it: no word of when it was taken. The horse's key."""
    horse = book.horse_named("Larkspur").key
    days = {visit.day.isoformat() for visit in book.book.every(Visit, horse=horse)}
    assert {FIRST, LAST} <= days
    with book.book.writing() as writer:
        for photo in book.book.every(Photo, horse=horse):
            writer.change(replace(photo, local_time=""))
    return str(horse)


def test_a_photo_without_a_clock_has_the_day_of_its_visit_in_every_picture(opened_sample: OpenBook) -> None:
    horse = without_clocks(opened_sample)
    facts = read_owner_facts(opened_sample, horse, OwnerWishes("LF", "solar"))
    assert (facts.then.day, facts.now.day) == (FIRST, LAST)
    assert facts.sheet.banner == ""
    told = pair_by_day(opened_sample, "Larkspur", "LF", "solar", then=FIRST, now="2025-05-27")
    assert told.then is not None and told.now is not None
    assert (told.then.day, told.now.day) == (FIRST, "2025-05-27")
    for sheet in (
        row_by_days(opened_sample, "Larkspur", "LF", "solar", "all"),
        year_of(opened_sample, "Larkspur", "LF", "solar"),
    ):
        days = [side.day for side in sheet.sides]
        assert (days[0], days[-1]) == (FIRST, LAST)
        assert days == sorted(days) and sheet.banner == ""


def test_a_handover_names_photos_by_the_day_of_their_visit(opened_sample: OpenBook, tmp_path: Path) -> None:
    horse = without_clocks(opened_sample)
    made = finished(make_handover(opened_sample, horse, HandoverWishes(), tmp_path / "handover"))
    names = {file.name[:10] for file in (made.file / "data" / "photos").iterdir()}
    days = {visit.day.isoformat() for visit in opened_sample.book.every(Visit)}
    assert {FIRST, LAST} <= names <= days


def test_the_earlier_day_comes_first_however_a_pair_is_named(opened_sample: OpenBook) -> None:
    right = pair_by_day(opened_sample, "Larkspur", "LF", "solar", then=FIRST, now=LAST)
    turned = pair_by_day(opened_sample, "Larkspur", "LF", "solar", then=LAST, now=FIRST)
    assert turned.then is not None and turned.now is not None
    assert (turned.then.day, turned.now.day, turned.subtitle) == (FIRST, LAST, right.subtitle)
    assert "-" not in turned.subtitle
