"""Could be noise on the sample book: draws of two readings against what the readings state (JCGM 101 against 100)."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from hoofbook.casework.could_be_noise import NoiseDraw, NoiseSheet, cut, draws, read_noise
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.readings import read_readings
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import HandMeasure, Horse
from hoofbook.terms.views import Moment
from tests.samples import sample_book

__all__ = ["sample_book"]
DRAWS = 200
CHANCE = 4 / math.sqrt(2 * DRAWS) + 0.05  # four standard errors, and what first order may be off by


@pytest.fixture
def book_of_samples(sample_book: Path) -> Iterator[OpenBook]:
    opened = open_book(sample_book)
    yield opened
    opened.close()


def larkspur(opened: OpenBook) -> str:
    return str(opened.horse_named("Larkspur").key)


def asked(opened: OpenBook, measure: str = "toe_length", definition: str = "", **named: str) -> NoiseSheet:
    return read_noise(opened, larkspur(opened), "LF", measure=measure, definition=definition, **named)


def made(sheet: NoiseSheet, count: int) -> list[NoiseDraw]:
    found = [step.draw for step in draws(sheet, count)]
    assert all(found)
    return [draw for draw in found if draw is not None]


@pytest.mark.parametrize("measure", ["toe_length", "toe_angle", "heel_angle"])
def test_draws_scatter_as_the_difference_states(book_of_samples: OpenBook, measure: str) -> None:
    sheet = asked(book_of_samples, measure)
    value, u = sheet.stated
    found = [draw.value for draw in made(sheet, DRAWS)]
    assert statistics.stdev(found) == pytest.approx(u, rel=CHANCE)
    assert statistics.fmean(found) == pytest.approx(value, abs=(4 / math.sqrt(DRAWS) + 0.1) * u)


def test_draws_of_sets_scatter_as_the_difference_states(book_of_samples: OpenBook) -> None:
    count = 24
    sheet = asked(book_of_samples, "sole_concavity_at_frog_apex", "from_sole_edge")
    value, u = sheet.stated
    found = [draw.value for draw in made(sheet, count)]
    assert statistics.stdev(found) == pytest.approx(u, rel=4 / math.sqrt(2 * count) + 0.05)
    assert statistics.fmean(found) == pytest.approx(value, abs=(4 / math.sqrt(count) + 0.1) * u)
    assert sheet.then.cuts[0].words == "point of the frog"


def test_a_draw_is_the_same_each_time_and_moves_the_marks_that_matter(book_of_samples: OpenBook) -> None:
    sheet = asked(book_of_samples)
    first, again = made(sheet, 3), made(sheet, 3)
    assert first == again
    pieces = (*sheet.then.cuts, *sheet.now.cuts)
    assert {piece.at for piece in pieces} == set(first[0].places)
    assert "toe, hairline" in [piece.words for piece in pieces]
    for piece in pieces:
        away = [math.dist(draw.places[piece.at], piece.middle) for draw in first]
        assert all(0 < each < piece.half * 1.5 for each in away)


def test_progress_counts_and_stops_where_it_is_closed(book_of_samples: OpenBook) -> None:
    steps = draws(asked(book_of_samples), 50)
    step = next(steps)
    assert (step.done, step.total) == (1, 50)
    steps.close()
    assert next(steps, None) is None


def test_pieces_are_cut_about_the_shown_marks(book_of_samples: OpenBook) -> None:
    sheet = asked(book_of_samples)
    pieces = cut(sheet, 48)
    assert set(pieces) == {piece.at for side in (sheet.then, sheet.now) for piece in side.cuts}
    assert {(piece.width, piece.height, len(bytes(piece.data))) for piece in pieces.values()} == {(48, 48, 48 * 48 * 4)}


def test_readings_are_named_by_key_or_by_a_photo_and_stand_in_order(book_of_samples: OpenBook) -> None:
    shown = read_readings(book_of_samples, book_of_samples.horse_named("Larkspur").key)
    line = shown.series(Foot.LF, "toe_length", Definition.ONE).readings
    sheet = asked(book_of_samples, then=line[2].photos[0], now=line[1].key)
    assert sheet.stated[0] == pytest.approx(line[2].value - line[1].value)
    newest = asked(book_of_samples, then=line[-1].key)
    assert newest.stated[0] == pytest.approx(line[-1].value - line[0].value)
    with pytest.raises(Refused) as refused:
        asked(book_of_samples, then="another photo")
    assert refused.value.refusal.code == "noise_not_on_line"


def test_what_has_no_two_photos_says_why(book: OpenBook) -> None:
    horse = Horse(new_key(), "Larkspur")
    with book.book.writing() as writer:
        writer.add(horse)

    def refused(foot: str = "LF") -> str:
        with pytest.raises(Refused) as found:
            read_noise(book, str(horse.key), foot, measure="toe_angle", definition="")
        return found.value.refusal.code

    assert refused() == "noise_needs_two"
    with book.book.writing() as writer:
        for month in (1, 3):
            known = (new_key(), horse.key, None, date(2025, month, 1), Foot.LF, Moment.AFTER_TRIM)
            writer.add(HandMeasure(*known, "toe_angle", Definition.ONE, 50.0, u=0.5))
    assert refused() == "noise_needs_photos"
    assert refused("LF-RF") == "noise_of_a_pair"
