"""Then and now on the sample book: the fairest pair, rows, the year, what is covered, what is not to scale."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_sheet import with_measures
from hoofbook.casework.row_by_day import row_by_days, year_of
from hoofbook.casework.row_files import export_row, export_year
from hoofbook.casework.then_and_now import PairSheet, export_pair, read_pair
from hoofbook.cli.main import run_command
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import Moment, View


def pair_of(book: OpenBook, foot: str, view: str, **named: str) -> PairSheet:
    return read_pair(book, str(book.horse_named("Larkspur").key), foot, view, **named)


def days(sheet: PairSheet) -> tuple[str, str]:
    assert sheet.then is not None and sheet.now is not None
    return sheet.then.day, sheet.now.day


def photo_on(book: OpenBook, foot: Foot, view: View, day: str) -> Photo:
    photos = book.book.photos(book.horse_named("Larkspur").key, foot=foot, view=view)
    found = [p for p in photos if p.local_time.startswith(day) and p.moment is Moment.AFTER_TRIM]
    return sorted(found, key=lambda photo: photo.local_time)[len(found) // 2]


def put(book: OpenBook, photo: Photo, **more: object) -> None:
    with book.book.writing() as writer:
        writer.change(replace(photo, **more))  # type: ignore[arg-type]


def run(*arguments: object) -> int:
    return run_command([str(argument) for argument in arguments], open_window=lambda *_: 0)


def test_the_fairest_pair_is_shown_first_and_all_visits_stand_below(opened_sample: OpenBook) -> None:
    sheet = pair_of(opened_sample, "LF", "lateral")
    assert days(sheet) == ("2025-01-14", "2025-09-30")
    assert sheet.best[0].days == "14 Jan – 30 Sep 2025" and len(sheet.best) == 3
    assert sheet.why == sheet.best[0].why
    assert sheet.why.startswith("37 weeks apart: same moment (after trim), both straight on, same distance")
    photos = opened_sample.book.photos(opened_sample.horse_named("Larkspur").key, foot=Foot.LF, view=View.LATERAL)
    shown = {str(photo.key): (photo.visit, photo.moment) for photo in photos}
    assert {shown[tile.key] for tile in sheet.strip} == set(shown.values()), "nothing is picked unseen"
    count = len(sheet.strip)
    assert sheet.pairs == count * (count - 1) // 2


def test_a_photo_with_blood_is_not_proposed_but_can_be_picked(opened_sample: OpenBook) -> None:
    last = photo_on(opened_sample, Foot.LF, View.SOLAR, "2025-09-30")
    put(opened_sample, last, shows_blood=True)
    sheet = pair_of(opened_sample, "LF", "solar")
    assert sheet.now is not None and sheet.now.day == "2025-08-19"
    assert all(str(last.key) not in (best.then, best.now) for best in sheet.best)
    assert str(last.key) in {tile.key for tile in sheet.strip}
    assert sheet.then is not None
    picked = pair_of(opened_sample, "LF", "solar", then=sheet.then.key, now=str(last.key))
    assert days(picked) == (sheet.then.day, "2025-09-30")


def test_the_goal_is_written_into_the_picture_and_may_be_exchanged(opened_sample: OpenBook) -> None:
    sheet = pair_of(opened_sample, "LF", "solar")
    assert sheet.measures.chosen == "sole_concavity_at_frog_apex|from_sole_edge"
    assert sheet.now is not None and sheet.now.caption_lines[-1].startswith("sole concavity ")
    both = with_measures(sheet, tuple(sheet.measures.options))
    assert both.now is not None and both.now.caption_lines[-1].startswith("foot width ")
    none = with_measures(sheet, ())
    assert none.now is not None and none.now.caption_lines == none.now.where_lines


def test_a_photo_without_a_card_lies_by_its_hairline_and_tells_no_lengths(opened_sample: OpenBook) -> None:
    first = photo_on(opened_sample, Foot.RF, View.LATERAL, "2025-01-14")
    bare = photo_on(opened_sample, Foot.RF, View.LATERAL, "2025-05-27")
    assert bare.given_name.endswith("no-card.jpg")
    sheet = pair_of(opened_sample, "RF", "lateral", then=str(first.key), now=str(bare.key))
    assert sheet.to_scale and sheet.now is not None
    assert "no card: scale by the hairline" in sheet.now.caption_lines
    assert not any("mm" in words for _, words in sheet.now.values)


def test_without_card_and_hairline_it_is_shown_and_named_as_not_to_scale(
    opened_sample: OpenBook, tmp_path: Path
) -> None:
    first = photo_on(opened_sample, Foot.RF, View.LATERAL, "2025-01-14")
    bare = photo_on(opened_sample, Foot.RF, View.LATERAL, "2025-05-27")
    with opened_sample.book.writing() as writer:
        writer.add(MarkingPass(new_key(), bare.key, "Demo Farrier", datetime(2025, 10, 1, tzinfo=UTC), Marking({})))
    sheet = pair_of(opened_sample, "RF", "lateral", then=str(first.key), now=str(bare.key))
    assert not sheet.to_scale and sheet.banner.startswith("Not to scale")
    assert sheet.now is not None and "not to scale: no card" in sheet.now.caption_lines
    assert not any(" mm" in text for number in sheet.numbers for text in number)
    out = export_pair(opened_sample, sheet, tmp_path / "pair.png")
    assert out.exists()
    year = year_of(opened_sample, "Larkspur", "RF", "lateral")
    assert [side.day for side in year.sides] == ["2025-01-14", "2025-09-30"]
    assert len(year.left_out) == 1 and year.left_out[0].startswith("27 May 2025 is not laid over the others.")
    row = row_by_days(opened_sample, "Larkspur", "RF", "lateral", "all")
    assert row.scaled == (True, False, True), "a row shows it all the same"
    assert "not to scale: no card" in row.sides[1].caption_lines


def test_the_year_of_a_foot_shows_every_visit_of_one_moment(opened_sample: OpenBook, tmp_path: Path) -> None:
    year = year_of(opened_sample, "Larkspur", "LF", "solar")
    assert len(year.sides) == 7 and year.left_out == () and year.banner == ""
    out = tmp_path / "year.gif"
    steps = list(steps_of(export_year(year, out)))
    assert [step.done for step in steps] == list(range(8))
    assert out.stat().st_size < 8_000_000
    with Image.open(out) as film:
        assert film.n_frames == 7 and max(film.size) <= 1000


def steps_of(work):  # type: ignore[no-untyped-def]
    yield from work


def test_a_film_that_is_stopped_leaves_nothing_behind(opened_sample: OpenBook, tmp_path: Path) -> None:
    year = year_of(opened_sample, "Larkspur", "LF", "lateral")
    folder = tmp_path / "films"
    folder.mkdir()
    work = export_year(year, folder / "year.gif")
    next(work)
    next(work)
    work.close()
    assert list(folder.iterdir()) == []


def test_what_is_covered_goes_covered_into_pair_row_and_year(opened_sample: OpenBook, tmp_path: Path) -> None:
    """The whole of one photo is covered: every picture of it is one flat colour under its words."""
    first = photo_on(opened_sample, Foot.LF, View.SOLAR, "2025-01-14")
    put(opened_sample, first, covered=((0.0, 0.0, 1.0, 1.0),))
    sheet = pair_of(opened_sample, "LF", "solar")
    pair = export_pair(opened_sample, sheet, tmp_path / "pair.png")
    row = export_row(row_by_days(opened_sample, "Larkspur", "LF", "solar", "all"), tmp_path / "row.png")
    film = tmp_path / "year.gif"
    list(steps_of(export_year(year_of(opened_sample, "Larkspur", "LF", "solar"), film)))
    for path, box in ((pair, (0.1, 0.4, 0.4, 0.8)), (row, (0.05, 0.25, 0.2, 0.4)), (film, (0.3, 0.3, 0.7, 0.7))):
        with Image.open(path) as opened:
            picture = opened.convert("RGB")
        wide, high = picture.size
        part = picture.crop((round(box[0] * wide), round(box[1] * high), round(box[2] * wide), round(box[3] * high)))
        colours = part.getcolors(1 << 20)
        assert colours is not None and max(c for c, _ in colours) > 0.95 * part.width * part.height, path.name


def test_compare_takes_the_fairest_pair_and_says_why(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "home"))
    told = ("compare", own_sample_book, "--horse", "Larkspur", "--foot", "LF")
    assert run(*told, "--view", "lateral", "--out", tmp_path / "a.png") == 0
    first = capsys.readouterr().out.splitlines()[0]
    assert first.startswith("14 Jan – 30 Sep 2025, fairest of 78 pairs. 37 weeks apart: same moment (after trim)")
    assert run(*told, "--then", "2025-02-25", "--json", "--out", tmp_path / "b.png") == 0
    document = json.loads(capsys.readouterr().out)
    assert (document["then"], document["now"]) == ("2025-02-25", "2025-09-30")
    assert "fairest" not in document["said"][0] and "31 weeks apart" in document["said"][0]
    assert run(*told, "--view", "lateral", "--year", "--out", tmp_path / "c.gif") == 0
    captured = capsys.readouterr()
    assert "16 Apr 2025 is not laid over the others" in captured.err and "c.gif" in captured.out
    assert run(*told, "--row", "2025-01-14, 2025-05-27,2025-09-30", "--out", tmp_path / "d.jpg") == 0
    assert "3 visits" in capsys.readouterr().out
    for wrong in (
        ("--year", "--out", "e.png"),
        ("--row", "2025-01-15", "--out", "e.png"),
        ("--row", "all", "--out", "e"),
    ):
        assert run(*told, *wrong) == 2
        assert capsys.readouterr().err.strip().endswith(".")


def test_a_row_of_one_photo_is_refused(opened_sample: OpenBook) -> None:
    with pytest.raises(Refused) as refused:
        row_by_days(opened_sample, "Larkspur", "LF", "solar", "2025-01-14")
    assert refused.value.refusal.code == "two_days_needed"
