"""The book's own repeatability: second takes told in the Photo tray, and passes made without looking."""

from __future__ import annotations

import dataclasses
import json
import math
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest

from hoofbook.__main__ import main
from hoofbook.casework.how_measured import own_figures
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.own_placing import own_spreads
from hoofbook.casework.own_scatter import own_scatter, take_sets
from hoofbook.casework.photo_tray import file_photo, read_tray
from hoofbook.casework.readings import read_readings
from hoofbook.casework.repeatability import TakeAsked, ask_for_take, asked
from hoofbook.casework.shots import group_of, measure_shots, read_group
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.progress.agreement import Standing
from hoofbook.progress.change import judge
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Pair
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import MarkingPass, Photo, Visit
from hoofbook.terms.views import Moment, View

TOE = ("toe_angle", Definition.ONE)


def side_photos(opened: OpenBook) -> list[Photo]:
    horse = opened.horse_named("Juniper").key
    return [photo for photo in opened.book.photos(horse) if photo.view is View.LATERAL and photo.visit is not None]


def second_take(opened: OpenBook, photo: Photo, *, retake: bool = True, px: float = 1.0, person: str = "") -> Photo:
    """The same picture as if it had been taken once more, its marks placed a little elsewhere (seeded)."""
    again = dataclasses.replace(photo, key=new_key(), retake=False, given_name=f"again-{photo.given_name}")
    marks = opened.book.latest_passes(photo.horse)[photo.key]
    seen = opened.book.sightings(photo.horse)[photo.key]
    with opened.book.writing() as writer:
        writer.add_all(
            [
                again,
                dataclasses.replace(seen, key=new_key(), photo=again.key),
                moved(marks, again, px=px, person=person),
            ]
        )
    file_photo(opened, str(again.key), take="second" if retake else "first")
    return again


def moved(marks: MarkingPass, photo: Photo, *, blind: bool = False, person: str = "", px: float = 1.0) -> MarkingPass:
    random = np.random.default_rng(int(photo.sha256[:8], 16))
    marking = marks.marking
    for name, mark in marking.marks.items():
        marking = marking.moved(name, mark.x + px * float(random.normal()), mark.y + px * float(random.normal()))
    return dataclasses.replace(
        marks, key=new_key(), photo=photo.key, marking=marking, blind=blind, marked_by=person or marks.marked_by
    )


def at_the_visit(opened: OpenBook, horse_name: str = "Juniper") -> OpenBook:
    """The same book on the evening of the newest visit at which a horse was photographed."""
    photos = opened.book.photos(opened.horse_named(horse_name).key)
    day = max(opened.book.get(Visit, photo.visit).day for photo in photos if photo.visit)
    return dataclasses.replace(opened, clock=FixedClock(datetime.fromisoformat(f"{day}T19:00:00+00:00")))


def test_without_second_takes_all_is_assumed(opened_sample: OpenBook) -> None:
    assert take_sets(opened_sample) == ()
    assert own_scatter(opened_sample) == {}
    first, placing = own_figures(opened_sample)
    assert all("(assumed)" in said for _, said in first.rows)
    assert "no second take yet" in " ".join(first.paragraphs)
    assert "No photo has been marked again" in " ".join(placing.paragraphs)


def test_second_takes_become_the_own_figure_and_are_averaged_in_the_series(opened_sample: OpenBook) -> None:
    photos = side_photos(opened_sample)[:6]
    before = read_readings(opened_sample, photos[0].horse)
    for photo in photos:
        second_take(opened_sample, photo)
    found = [each for each in take_sets(opened_sample) if each.measure == "toe_angle"]
    assert len(found) == 6
    assert all(len(each.values) == 2 for each in found)
    toe = dict(own_figures(opened_sample)[0].rows)["Toe angle"]
    assert "partly your own, 6 second takes" in toe
    plot = next(section for section in own_figures(opened_sample, "toe_angle") if section.make is not None)
    assert "ICC(1,1)" in " ".join(plot.paragraphs)
    assert plot.make is not None and "first less second take" in plot.make(700.0, 300.0, 13.0).alt
    readings = read_readings(opened_sample, photos[0].horse)
    assert len(readings.readings) > len(before.readings)
    foot = photos[0].foot
    assert foot is not None
    series = readings.series(foot, *TOE)
    assert series.readings[0].repeats == 2
    assert series.readings[0].moment is Moment.AFTER_TRIM
    assert len(series.readings) == len(before.series(foot, *TOE).readings)


def test_the_own_figure_stands_in_for_the_assumed_one_where_two_readings_are_compared(opened_sample: OpenBook) -> None:
    """Welch's rule aside, U = t sqrt(u1**2 + u2**2 + 2 tau**2) with tau from the takes (JCGM 100, G.3)."""
    photos = side_photos(opened_sample)[:6]
    foot = photos[0].foot
    assert foot is not None
    first = read_readings(opened_sample, photos[0].horse).series(foot, *TOE)
    two = dataclasses.replace(first, readings=first.readings[:2])
    assumed = judge(two)
    assert assumed.assumed == ("between_visit_scatter",)
    for photo in photos:
        second_take(opened_sample, photo, px=0.3)
    own = own_scatter(opened_sample)[TOE]
    assert own.standing is Standing.PARTLY_OWN and own.tau < 0.7
    series = read_readings(opened_sample, photos[0].horse).series(foot, *TOE)
    assert series.own == own
    told = judge(dataclasses.replace(series, readings=series.readings[:2]))
    assert told.assumed == ()
    assert told.pair is not None and told.pair.tau == own.tau and told.pair.sets == 6
    assert told.pair.high - told.pair.change == pytest.approx(own.factor * told.pair.u)
    both = read_readings(opened_sample, photos[0].horse).series(Pair.of(foot), *TOE).own
    assert both is not None and both.tau == pytest.approx(math.sqrt(2) * own.tau)


def test_two_frames_of_one_stance_are_no_second_take(opened_sample: OpenBook) -> None:
    for photo in side_photos(opened_sample)[:6]:
        second_take(opened_sample, photo, retake=False)
    assert take_sets(opened_sample) == ()
    assert own_scatter(opened_sample) == {}


def test_takes_marked_by_two_people_tell_nothing_of_one_persons_repeats(opened_sample: OpenBook) -> None:
    photo = side_photos(opened_sample)[0]
    second_take(opened_sample, photo, person="Cass")
    assert take_sets(opened_sample) == ()


def test_of_several_frames_of_the_first_stance_the_earliest_counts(opened_sample: OpenBook) -> None:
    photo = side_photos(opened_sample)[0]
    later = second_take(opened_sample, photo, retake=False)
    later = opened_sample.book.get(Photo, later.key)
    with opened_sample.book.writing() as writer:
        writer.change(dataclasses.replace(later, local_time=f"{photo.local_time[:-1]}9"))
    second_take(opened_sample, photo)
    found = [each for each in take_sets(opened_sample) if each.measure == "toe_angle"]
    kept = opened_sample.book.measures(photo.horse, measure="toe_angle", visit=photo.visit, foot=photo.foot)
    first = next(each.quantity.value for each in kept if each.quantity.photos == (str(photo.key),))
    assert len(found) == 1
    assert len(found[0].values) == 2 and found[0].values[0] == first


def test_a_sole_set_is_told_as_one_take_and_measured_apart(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    photos = [photo for photo in opened_sample.book.photos(horse) if photo.view is View.SOLAR and photo.set_name]
    chosen = group_of(photos[0], photos)
    assert len(chosen) > 1
    line = file_photo(opened_sample, str(chosen[0].key), take="second")
    assert set(line.together) == {str(photo.key) for photo in chosen[1:]}
    now = [opened_sample.book.get(Photo, photo.key) for photo in chosen]
    assert all(photo.retake for photo in now)
    assert set(group_of(now[0], opened_sample.book.photos(horse))) == set(now)
    first = dataclasses.replace(now[0], key=new_key(), retake=False)
    assert group_of(first, [*now, first]) == (first,)
    file_photo(opened_sample, str(chosen[-1].key), take="first")
    assert not any(opened_sample.book.get(Photo, photo.key).retake for photo in chosen)


def test_a_set_told_to_be_a_second_take_keeps_its_measures(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    photos = [photo for photo in opened_sample.book.photos(horse) if photo.view is View.SOLAR and photo.set_name]
    chosen = group_of(photos[0], photos)
    keys = {str(photo.key) for photo in chosen}

    def kept() -> dict[tuple[str, str], float]:
        found = opened_sample.book.measures(horse, visit=chosen[0].visit, foot=chosen[0].foot)
        sets = [each.quantity for each in found if set(each.quantity.photos) & keys]
        assert all(set(each.photos) == keys for each in sets)
        return {(each.name, each.definition.value): each.value for each in sets}

    before = kept()
    assert before
    file_photo(opened_sample, str(chosen[0].key), take="second")
    assert kept() == pytest.approx(before)


def test_a_photo_filed_elsewhere_takes_its_measures_along(opened_sample: OpenBook) -> None:
    photo = side_photos(opened_sample)[0]

    def where() -> set[tuple[str, str]]:
        found = opened_sample.book.measures(photo.horse)
        return {(kept.moment.value, kept.foot.value) for kept in found if str(photo.key) in kept.quantity.photos}

    file_photo(opened_sample, str(photo.key), moment="before trim")
    assert where() == {("before trim", "LF")}
    file_photo(opened_sample, str(photo.key), foot="RF")
    assert where() == {("before trim", "RF")}


def test_the_tray_asks_once_a_visit_and_not_where_a_second_take_is(opened_sample: OpenBook) -> None:
    horse = str(opened_sample.horse_named("Juniper").key)
    assert ask_for_take(dataclasses.replace(opened_sample, clock=later(opened_sample)), horse) is None
    opened = at_the_visit(opened_sample)
    wish = ask_for_take(opened, horse)
    assert isinstance(wish, TakeAsked)
    assert "second take of the left fore, side" in wish.words and "0 so far" in wish.words
    asked(wish.visit)
    assert ask_for_take(opened, horse) is None
    assert ask_for_take(at_the_visit(opened_sample, "Larkspur"), str(opened.horse_named("Larkspur").key)) is not None


def later(opened: OpenBook) -> FixedClock:
    """Some weeks after every visit: no occasion for one photo more."""
    return FixedClock(datetime.fromisoformat("2027-01-01T12:00:00+00:00"))


def test_the_tray_files_a_second_take_and_asks_no_more_at_that_visit(opened_sample: OpenBook) -> None:
    horse = opened_sample.horse_named("Juniper").key
    newest = max(side_photos(opened_sample), key=lambda photo: photo.local_time)
    line = file_photo(opened_sample, str(newest.key), take="second")
    assert line.take.startswith("second take") and line.second and line.together == ()
    assert opened_sample.book.get(Photo, newest.key).retake
    assert ask_for_take(at_the_visit(opened_sample), str(horse)) is None
    lines = read_tray(opened_sample, str(horse))
    assert any(each.take.startswith("second") for each in lines)  # type: ignore[union-attr]
    assert file_photo(opened_sample, str(newest.key), take="first").take == "first take"


@pytest.mark.parametrize(("person", "told"), [("", "photos)"), ("Ann", "Ann")])
def test_passes_without_looking_stay_apart(opened_sample: OpenBook, person: str, told: str) -> None:
    photos = side_photos(opened_sample)[:4]
    before = read_readings(opened_sample, photos[0].horse).readings
    mark_again(opened_sample, photos, person=person)
    assert read_readings(opened_sample, photos[0].horse).readings == before
    assert take_sets(opened_sample) == ()
    assert own_scatter(opened_sample) == {}
    section = own_figures(opened_sample)[-1]
    words = " ".join([section.title, *section.paragraphs, *(said for _, said in section.rows)])
    assert told in words
    assert ("ICC(2,1)" in words) == bool(person)


def mark_again(opened: OpenBook, photos: list[Photo], *, px: float = 1.0, person: str = "") -> None:
    marks = opened.book.latest_passes(photos[0].horse)
    with opened.book.writing() as writer:
        writer.add_all([moved(marks[photo.key], photo, blind=True, person=person, px=px) for photo in photos])


def test_own_placing_takes_the_place_of_the_default_only(opened_sample: OpenBook) -> None:
    photos = side_photos(opened_sample)[:8]
    assert len(photos) == 8
    group = read_group(opened_sample, photos[0])
    assert group.placing is None
    before = opened_sample.book.measures(photos[0].horse, measure="toe_angle", visit=photos[0].visit)
    mark_again(opened_sample, photos, px=0.0)
    spreads = own_spreads(opened_sample)
    assert spreads.photos == 8 and spreads.edge.standing is not Standing.ASSUMED
    # all repeats alike: what is left is the default's share, four degrees of freedom of it
    own_freedom = spreads.edge.own.degrees_of_freedom if spreads.edge.own else 0.0
    assert spreads.edge.sd == pytest.approx(1.5 * math.sqrt(4 / (4 + own_freedom)))
    placing = read_group(opened_sample, photos[0]).placing
    assert placing is not None and placing.edge == spreads.edge.sd
    assert opened_sample.book.measures(photos[0].horse, measure="toe_angle", visit=photos[0].visit) == before
    # the sample's marks come with a told spread, which goes before both
    shots = [dataclasses.replace(shot, placing_px=None) for shot in read_group(opened_sample, photos[0]).shots()]
    assumed = [dataclasses.replace(shot, placing=None) for shot in shots]
    own, default = (measure_shots(each).quantity("toe_angle") for each in (shots, assumed))
    assert own is not None and default is not None
    assert own.u < default.u
    assert own.value == pytest.approx(default.value, abs=0.2)
    assert len(own.assumed) < len(default.assumed)


def test_what_is_corrected_after_both_were_shown_is_no_second_opinion(opened_sample: OpenBook) -> None:
    photos = side_photos(opened_sample)[:1]
    mark_again(opened_sample, photos)
    found = own_spreads(opened_sample)
    marks = opened_sample.book.latest_passes(photos[0].horse)[photos[0].key]
    blind = opened_sample.book.every(MarkingPass, photo=photos[0].key, blind=True)[0]
    corrected = dataclasses.replace(
        marks, key=new_key(), marking=blind.marking, marked_at=opened_sample.clock.now(), blind=False
    )
    with opened_sample.book.writing() as writer:
        writer.add(corrected)
    again = own_spreads(opened_sample)
    assert again.edge.own is not None and found.edge.own is not None
    assert again.edge.own.sd == found.edge.own.sd > 0


def test_a_second_take_is_told_on_the_command_line_or_in_the_marks_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    source = Path(__file__).parents[2] / "sample_cases" / "juniper" / "visit-1"
    folders = [tmp_path / name for name in ("first", "second", "third")]
    for number, folder in enumerate(folders):
        folder.mkdir()
        for name in ("lf-side-after.jpg", "lf-after.marks.json"):
            (folder / name).write_bytes((source / name).read_bytes())
        photo = folder / "lf-side-after.jpg"
        photo.write_bytes(photo.read_bytes() + bytes(number))  # what follows a JPEG's end is no part of the picture
    marks = folders[2] / "lf-after.marks.json"
    told = json.loads(marks.read_text(encoding="utf-8"))
    told["photos"][0]["retake"] = True
    marks.write_text(json.dumps(told), encoding="utf-8")
    for folder, more in zip(folders, ([], ["--retake"], []), strict=True):
        arguments = ["add", str(tmp_path / "book"), str(folder / "lf-after.marks.json"), "--horse", "Juniper", *more]
        assert main(arguments) == 0
    opened = open_book(tmp_path / "book")
    try:
        assert [photo.retake for photo in opened.book.every(Photo)] == [False, True, True]
        found = [each for each in take_sets(opened) if each.measure == "toe_angle"]
        assert [len(each.values) for each in found] == [3]
        assert found[0].values[0] == pytest.approx(found[0].values[1])
    finally:
        opened.close()
