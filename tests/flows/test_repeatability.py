"""The book's own repeatability: second takes told in the Photo tray, and passes made without looking."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from hoofbook.casework.how_measured import own_figures
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_tray import file_photo, read_tray
from hoofbook.casework.readings import read_readings
from hoofbook.casework.repeatability import ask_for_take, blind_pairs, sets_in_book, take_sets
from hoofbook.records.keys import new_key
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import Moment, View


def side_photos(opened: OpenBook) -> list[Photo]:
    horse = opened.horse_named("Juniper").key
    return [photo for photo in opened.book.photos(horse) if photo.view is View.LATERAL and photo.visit is not None]


def second_take(opened: OpenBook, photo: Photo, *, retake: bool = True) -> Photo:
    """The same picture as if it had been taken once more, its marks placed a little elsewhere (seeded)."""
    again = dataclasses.replace(photo, key=new_key(), retake=retake, given_name=f"again-{photo.given_name}")
    marks = opened.book.latest_passes(photo.horse)[photo.key]
    seen = opened.book.sightings(photo.horse)[photo.key]
    with opened.book.writing() as writer:
        writer.add_all([again, dataclasses.replace(seen, key=new_key(), photo=again.key), moved(marks, again)])
    file_photo(opened, str(again.key), moment=again.moment.value if again.moment else None)
    return again


def moved(marks: MarkingPass, photo: Photo, *, blind: bool = False, person: str = "") -> MarkingPass:
    random = np.random.default_rng(len(photo.given_name))
    marking = marks.marking
    for name, mark in marking.marks.items():
        marking = marking.moved(name, mark.x + float(random.normal()), mark.y + float(random.normal()))
    return dataclasses.replace(
        marks, key=new_key(), photo=photo.key, marking=marking, blind=blind, marked_by=person or marks.marked_by
    )


def test_without_second_takes_all_is_assumed_and_one_is_asked_for(opened_sample: OpenBook) -> None:
    horse = str(opened_sample.horse_named("Juniper").key)
    assert take_sets(opened_sample) == ()
    assert "0 of 5" in ask_for_take(opened_sample, horse)
    first = own_figures(opened_sample)[0]
    assert all("assumed" in said for _, said in first.rows)


def test_second_takes_become_the_own_figure_and_are_averaged_in_the_series(opened_sample: OpenBook) -> None:
    photos = side_photos(opened_sample)[:6]
    before = len(read_readings(opened_sample, photos[0].horse).readings)
    for photo in photos:
        second_take(opened_sample, photo)
    found = [each for each in take_sets(opened_sample) if each.measure == "toe_angle"]
    assert len(found) == 6
    assert all(len(each.values) == 2 for each in found)
    assert sets_in_book(opened_sample) == 6
    toe = dict(own_figures(opened_sample)[0].rows)["Toe angle"]
    assert "partly your own, 6 second takes" in toe
    plot = next(section for section in own_figures(opened_sample) if section.drawing is not None)
    assert "ICC(1,1)" in " ".join(plot.paragraphs)
    readings = read_readings(opened_sample, photos[0].horse)
    assert len(readings.readings) > before
    foot = photos[0].foot
    assert foot is not None
    series = readings.series(
        foot, "toe_angle", next(r.definition for r in readings.readings if r.measure == "toe_angle")
    )
    assert series.readings[0].repeats == 2
    assert series.readings[0].moment is Moment.AFTER_TRIM


def test_two_frames_of_one_stance_are_no_second_take(opened_sample: OpenBook) -> None:
    second_take(opened_sample, side_photos(opened_sample)[0], retake=False)
    assert take_sets(opened_sample) == ()


def test_the_tray_files_a_second_take_and_asks_no_more_at_that_visit(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Juniper").key
    newest = max(side_photos(opened_sample), key=lambda photo: photo.local_time)
    line = file_photo(opened_sample, str(newest.key), take="second")
    assert line.take.startswith("second take")
    assert opened_sample.book.get(Photo, newest.key).retake
    assert ask_for_take(opened_sample, str(horse)) == ""
    lines = read_tray(opened_sample, str(horse))
    assert any(each.take.startswith("second") for each in lines)  # type: ignore[union-attr]
    assert file_photo(opened_sample, str(newest.key), take="first").take == "first take"


@pytest.mark.parametrize(("person", "told"), [("", "photos)"), ("Ann", "Ann")])
def test_passes_without_looking_stay_apart(opened_sample: OpenBook, person: str, told: str) -> None:
    photos = side_photos(opened_sample)[:4]
    before = read_readings(opened_sample, photos[0].horse).readings
    marks = opened_sample.book.latest_passes(photos[0].horse)
    with opened_sample.book.writing() as writer:
        writer.add_all([moved(marks[photo.key], photo, blind=True, person=person) for photo in photos])
    assert len([pair for pair in blind_pairs(opened_sample) if pair.measure == "toe_angle"]) == 4
    assert read_readings(opened_sample, photos[0].horse).readings == before
    assert take_sets(opened_sample) == ()
    section = own_figures(opened_sample)[-1]
    assert told in " ".join([*section.paragraphs, *(said for _, said in section.rows)])
