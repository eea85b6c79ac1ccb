"""Numbers from a notebook: contradictions found, verdicts as in the book, taken into a book and out of it again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from hoofbook.__main__ import main
from hoofbook.casework.notebook import take_readings, write_readings
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_text import ProgressReport, Told, progress_of_book, progress_of_file
from hoofbook.terms.subjects import HandMeasure

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
