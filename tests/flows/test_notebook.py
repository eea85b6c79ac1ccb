"""Numbers from a notebook: contradictions found, verdicts as in the book, taken into a book and out of it again."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from hoofbook.__main__ import main
from hoofbook.casework.notebook import take_readings, write_readings
from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.progress_text import ProgressReport, Told, progress_of_book, progress_of_file
from hoofbook.casework.readings import read_readings
from hoofbook.casework.readings_file import read_readings_file
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.subjects import Goal, HandMeasure, MeasuredAnew, Wanted

HEAD = "horse,foot,measure,definition,date,moment,days_since_trim,value,unit,u,goal,wanted\n"


def row(measure: str, value: float, day: str = "2025-03-04", moment: str = "before trim", unit: str = "deg") -> str:
    return f"Reed,LF,{measure},,{day},{moment},42,{value},{unit},0.5,no,\n"


def printed(tmp_path: Path) -> Path:
    """Dareh-Shori trim study (Iran J Vet Surg), angles of the wall and of the bone before the trim and their difference
    as printed: T 48.65, S 50.05, but T - S printed -2 where the parts give -1.40."""
    path = tmp_path / "printed.csv"
    path.write_text(
        HEAD + row("toe_angle", 48.65) + row("heel_angle", 50.05) + row("toe_heel_angle_difference", -2.0),
        encoding="utf-8",
    )
    return path


def test_published_figures_that_contradict_themselves_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["progress", str(printed(tmp_path)), "--json"]) == 0
    found = {series["measure"]: series for series in json.loads(capsys.readouterr().out)["series"]}
    wrong = found["toe_heel_angle_difference"]
    assert wrong["readings"] == []
    assert [each["code"] for each in wrong["refusals"]] == ["difference_contradicts_parts"]
    assert "-1.40" in wrong["refusals"][0]["reason"].replace("−", "-")
    assert len(found["toe_angle"]["readings"]) == 1
    assert main(["progress", str(printed(tmp_path))]) == 0
    assert "not what its two parts give" in capsys.readouterr().out


def test_the_true_difference_stands(tmp_path: Path) -> None:
    path = tmp_path / "true.csv"
    path.write_text(
        HEAD + row("toe_angle", 48.65) + row("heel_angle", 50.05) + row("toe_heel_angle_difference", -1.4),
        encoding="utf-8",
    )
    told = {item.progress.series.measure: item for item in progress_of_file(path).told}
    assert len(told["toe_heel_angle_difference"].progress.series.readings) == 1


def goals_of(report: ProgressReport) -> dict[tuple[str, str, str], Told]:
    found = {}
    for told in report.told:
        if told.is_goal and told.progress.series.foot is not None:
            series = told.progress.series
            found[series.foot.value, series.measure, series.definition.value] = told
    return found


@pytest.mark.parametrize("horse", ["Larkspur", "Copper", "Juniper"])
def test_a_file_gives_the_verdicts_of_the_book_for_the_same_numbers(
    opened_sample: OpenBook, tmp_path: Path, horse: str
) -> None:
    """Values, days and goals are the same; only the ± differs in kind: the book knows which part of it two readings
    share and takes that out of the weights, a table tells each whole. Verdicts are equal look by look, and the changes
    lie within a twentieth of the interval (the weights of a line differ a little)."""
    book = progress_of_book(opened_sample, horse)
    target = tmp_path / "readings.csv"
    assert write_readings(book, target) > 0
    file = goals_of(progress_of_file(target))
    assert file.keys() == goals_of(book).keys()
    for where, told in goals_of(book).items():
        same = file[where].progress
        assert [r.value for r in same.tested] == pytest.approx([r.value for r in told.progress.tested], abs=1e-12)
        assert [look.verdict for look in same.looks] == [look.verdict for look in told.progress.looks]
        assert same.verdict is told.progress.verdict
        assert same.as_wanted is told.progress.as_wanted
        assert same.next_look == told.progress.next_look
        if told.progress.change is not None and told.progress.low is not None and told.progress.high is not None:
            reach = told.progress.high - told.progress.low
            assert same.change == pytest.approx(told.progress.change, abs=0.05 * reach)


def test_a_notebook_goes_into_a_book_once_and_never_onto_a_photo_line(
    tmp_path: Path, opened_sample: OpenBook, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "old.csv"
    path.write_text(
        HEAD
        + "".join(
            f"Larkspur,LF,toe_angle,,2024-{month:02d}-10,after trim,42,{50 + month / 10},deg,0.7,yes,more\n"
            for month in (5, 6, 8, 9)
        )
        + "Larkspur,LF-RF,toe_angle,,2024-05-10,after trim,42,1.5,deg,0.7,no,\n",
        encoding="utf-8",
    )
    before = progress_of_book(opened_sample, "Larkspur", foot="LF", measure="toe_angle").told
    taken = take_readings(opened_sample, path)
    assert (taken.kept, taken.known) == (4, 0)
    assert [refusal.code for _, refusal in taken.refused] == ["pair_rows_not_kept"]
    again = take_readings(opened_sample, path)
    assert (again.kept, again.known) == (0, 4)
    hands = opened_sample.book.every(HandMeasure, horse=opened_sample.horse_named("Larkspur").key)
    assert sum(hand.measure == "toe_angle" for hand in hands) == 4
    after = progress_of_book(opened_sample, "Larkspur", foot="LF", measure="toe_angle").told
    by_hand = next(item for item in after if item.progress.series.definition == "hand_gauge")
    assert [r.method for r in by_hand.progress.series.readings] == ["hand"] * 4
    assert by_hand.is_goal
    assert [look.reading for look in by_hand.progress.looks] == [4]
    photo = next(item for item in after if item.progress.series.definition == "")
    assert [r.value for r in photo.progress.series.readings] == [r.value for r in before[0].progress.series.readings]


def test_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = printed(tmp_path)
    assert main(["add", str(tmp_path / "book"), str(path)]) == 2
    out = capsys.readouterr().out
    assert "2 readings kept as read by hand" in out
    assert "line 4" in out
    target = tmp_path / "out.csv"
    path.write_text(HEAD + row("toe_angle", 50.0, moment="after trim"), encoding="utf-8")
    assert main(["add", str(tmp_path / "book"), str(path)]) == 0
    assert main(["progress", str(tmp_path / "book"), "--export", str(target)]) == 0
    assert target.read_text(encoding="utf-8-sig").startswith("horse,foot,measure")


def test_one_horse_is_not_held_against_another(tmp_path: Path, opened_sample: OpenBook) -> None:
    path = tmp_path / "two.csv"
    reed = row("toe_angle", 48.65) + row("heel_angle", 50.05) + row("toe_heel_angle_difference", -1.4)
    sedge = row("toe_angle", 55.0) + row("heel_angle", 45.0) + row("toe_heel_angle_difference", -1.4)
    path.write_text(HEAD + reed + sedge.replace("Reed", "Sedge"), encoding="utf-8")
    taken = take_readings(opened_sample, path)
    assert [line for line, _ in taken.refused] == [7]
    assert taken.kept == 5


def test_what_was_refused_stands_in_the_document_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["add", str(tmp_path / "book"), str(printed(tmp_path)), "--json"]) == 2
    [told] = json.loads(capsys.readouterr().out)["readings"]
    assert (told["file"], told["kept"], told["known"]) == ("printed.csv", 2, 0)
    assert [(each["line"], each["code"]) for each in told["refused"]] == [(4, "difference_contradicts_parts")]
    assert "not what its two parts give" in told["refused"][0]["reason"]


def test_photos_and_numbers_given_together_are_both_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    photo = sample_case("larkspur") / "visit-1" / "lf-side-after.jpg"
    book, told = str(tmp_path / "book"), ("--horse", "Reed", "--visit", "2025-03-04")
    assert main(["add", book, str(printed(tmp_path)), str(photo), *told, "--json"]) == 2
    document = json.loads(capsys.readouterr().out)
    assert [each["state"] for each in document["photos"]] == ["taken in"]
    assert [(each["kept"], len(each["refused"])) for each in document["readings"]] == [(2, 1)]
    assert main(["add", book, str(printed(tmp_path)), str(photo), *told]) == 2
    out = capsys.readouterr().out
    assert "2 were here already" in out and "1 were already in the book" in out


@pytest.mark.parametrize("wrong", ["numbers", "numbers first", "marks", "photo", "no horse", "day"])
def test_no_book_is_made_where_something_given_is_wrong(tmp_path: Path, wrong: str) -> None:
    good, bad, marks = tmp_path / "good.csv", tmp_path / "bad.csv", tmp_path / "bad.marks.json"
    good.write_text(HEAD + row("toe_angle", 50.0), encoding="utf-8")
    bad.write_text(HEAD + row("toe_angle", 50.0).replace("Reed", ""), encoding="utf-8")
    marks.write_text("{", encoding="utf-8")
    photo = str(sample_case("larkspur") / "visit-1" / "lf-side-after.jpg")
    files = {
        "numbers": [good, bad],
        "numbers first": [bad, good],
        "marks": [good, marks],
        "photo": [good, tmp_path / "gone.jpg", "--horse", "Reed"],
        "no horse": [good, photo],
        "day": [good, photo, "--horse", "Reed", "--visit", "yesterday"],
    }[wrong]
    assert main(["add", str(tmp_path / "book"), *map(str, files)]) == 2
    assert not (tmp_path / "book").exists()


def test_no_book_is_made_for_rows_of_which_none_can_be_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "pairs.csv"
    path.write_text(HEAD + row("toe_angle", 1.5).replace("LF", "LF-RF"), encoding="utf-8")
    assert main(["add", str(tmp_path / "book"), str(path)]) == 2
    assert "line 2" in capsys.readouterr().out
    assert not (tmp_path / "book").exists()


def test_two_files_go_in_together_or_not_at_all(opened_sample: OpenBook, tmp_path: Path) -> None:
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text(HEAD + row("toe_angle", 50.0), encoding="utf-8")
    bad.write_text(HEAD + row("toe_angle", 95.0), encoding="utf-8")
    folder = opened_sample.folder
    opened_sample.close()
    assert main(["add", str(folder), str(good), str(bad)]) == 2
    again = open_book(folder)
    try:
        assert again.book.horse_by_name("Reed") is None
    finally:
        again.close()


def test_a_row_beyond_the_day_of_the_book_is_refused(own_sample_book: Path, tmp_path: Path) -> None:
    """The sample book stands at 30 September 2025, whatever day it is."""
    path = tmp_path / "later.csv"
    path.write_text(HEAD + row("toe_angle", 50.0, "2025-10-05"), encoding="utf-8")
    assert main(["add", str(own_sample_book), str(path)]) == 2


def test_rows_are_held_against_what_the_book_holds(tmp_path: Path, opened_sample: OpenBook) -> None:
    """The printed figures of the study, entered one after the other in either order."""
    parts, difference = tmp_path / "parts.csv", tmp_path / "difference.csv"
    parts.write_text(HEAD + row("toe_angle", 48.65) + row("heel_angle", 50.05), encoding="utf-8")
    difference.write_text(HEAD + row("toe_heel_angle_difference", -2.0), encoding="utf-8")
    assert take_readings(opened_sample, parts).refused == ()
    taken = take_readings(opened_sample, difference)
    assert [(line, refusal.code) for line, refusal in taken.refused] == [(2, "difference_contradicts_parts")]
    for path in (parts, difference):
        path.write_text(path.read_text(encoding="utf-8").replace("Reed", "Sedge"), encoding="utf-8")
    assert take_readings(opened_sample, difference).refused == ()
    taken = take_readings(opened_sample, parts)
    assert taken.kept == 0
    assert {refusal.code for _, refusal in taken.refused} == {"difference_contradicts_parts"}


def test_days_since_the_trim_are_kept_as_told_and_come_out_again(tmp_path: Path, opened_sample: OpenBook) -> None:
    path, out = tmp_path / "days.csv", tmp_path / "out.csv"
    path.write_text(HEAD + row("toe_angle", 50.0, moment="after trim"), encoding="utf-8")
    take_readings(opened_sample, path)
    horse = opened_sample.horse_named("Reed").key
    assert [hand.days_since_trim for hand in opened_sample.book.every(HandMeasure, horse=horse)] == [42]
    [reading] = read_readings(opened_sample, horse).readings
    assert reading.days_since_trim == 42
    write_readings(progress_of_book(opened_sample, "Reed"), out)
    assert [each.days_since_trim for each in read_readings_file(out)] == [42]


def test_goals_of_pairs_come_through_a_file_into_another_book(tmp_path: Path, opened_sample: OpenBook) -> None:
    """Juniper is followed by the difference of her fores; beside it a goal of one foot, of the same measure."""

    def goals(book: OpenBook, name: str) -> set[tuple[object, ...]]:
        every = book.book.every(Goal, horse=book.horse_named(name).key)
        kept = [replace(g, definition=g.definition or Definition.HAND_GAUGE) for g in every if not g.ended_on]
        return {(g.foot, g.less, g.measure, g.definition, g.wanted) for g in kept}

    path, other = tmp_path / "out.csv", tmp_path / "one foot.csv"
    write_readings(progress_of_book(opened_sample, "Juniper"), path)
    assert any(g[1] is not None for g in goals(opened_sample, "Juniper"))
    assert main(["add", str(tmp_path / "book"), str(path)]) == 2  # differences follow from both feet and are not kept
    other.write_text(HEAD + row("toe_angle", 50.0).replace("Reed", "Juniper").replace(",no,", ",yes,keep"), "utf-8")
    assert main(["add", str(tmp_path / "book"), str(other)]) == 0
    book = open_book(tmp_path / "book")
    try:
        one_foot = (Foot.LF, None, "toe_angle", Definition.HAND_GAUGE, Wanted.KEEP)
        assert goals(book, "Juniper") == goals(opened_sample, "Juniper") | {one_foot}
    finally:
        book.close()


def test_every_moment_has_its_own_series(
    tmp_path: Path, opened_sample: OpenBook, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "moments.csv"
    days = ("2025-01-10", "2025-02-20", "2025-04-01")
    rows = [(day, moment) for day in days for moment in ("before trim", "after trim")]
    path.write_text(
        HEAD + "".join(row("toe_angle", 50.0 + n, day, moment) for n, (day, moment) in enumerate(rows)),
        encoding="utf-8",
    )
    take_readings(opened_sample, path)
    report = progress_of_book(opened_sample, "Reed")
    found = {item.progress.series.moment.value: item for item in report.told}
    assert set(found) == {"before trim", "after trim"}
    assert [r.value for r in found["before trim"].progress.series.readings] == [50.0, 52.0, 54.0]
    assert [r.value for r in found["after trim"].progress.series.readings] == [51.0, 53.0, 55.0]
    assert all(item.progress.verdict is None for item in report.told)
    assert write_readings(report, tmp_path / "out.csv") == len(rows)
    folder = opened_sample.folder
    opened_sample.close()
    assert main(["progress", str(folder), "--horse", "Reed"]) == 0
    out = capsys.readouterr().out
    assert "3, before trim" in out and "3, after trim" in out


def test_what_was_measured_anew_is_told_until_it_was_seen(
    opened_sample: OpenBook, capsys: pytest.CaptureFixture[str]
) -> None:
    horse = opened_sample.horse_named("Larkspur").key
    row = MeasuredAnew(
        new_key(), horse, Foot.LF, None, "toe_angle", Definition.ONE, opened_sample.clock.now(), "side view 1",
        "side view 2", "It was so.", "It is otherwise.",
    )  # fmt: skip
    with opened_sample.book.writing() as writer:
        writer.add(row)
    folder = opened_sample.folder
    opened_sample.close()
    assert main(["progress", str(folder), "--horse", "Larkspur"]) == 0
    out = capsys.readouterr().out
    assert "Before: It was so." in out and "Now: It is otherwise." in out
    assert main(["progress", str(folder), "--horse", "Copper"]) == 0
    assert "It was so." not in capsys.readouterr().out
