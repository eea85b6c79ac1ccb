"""What a vet reads: places as vets name them, grades only with their scale, and words that belong to the vet.

Trade words are common practice, no source; the AAEP scale of 0 to 5 is named as published.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from uuid import uuid4

import pytest

from hoofbook.progress.change import judge
from hoofbook.progress.series import Reading, build_series
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.refusal import Remark
from hoofbook.terms.subjects import Correction, Finding, FootWork, Photo, Shoeing, VetValue, Visit, Wanted, Work
from hoofbook.terms.views import Moment
from hoofbook.wording import vet_case, vet_history, vet_method, vet_numbers
from hoofbook.wording.plain_words import VETS_WORDS, grade_without_scale, look_again, vets_words

DAY = date(2025, 9, 30)


@pytest.mark.parametrize("word", VETS_WORDS)
def test_every_word_of_the_list_is_found_whatever_stands_round_it(word: str) -> None:
    assert vets_words(f"I think it is {word.upper()}, perhaps.") == (word.upper(),)
    assert vets_words(f"un{word}ly") == ()


def test_words_of_the_trade_are_left_alone() -> None:
    assert (
        vets_words("Flat sole, old bruise inside toe, wall broken, risen clench, under-run heel, thrush, seedy toe")
        == ()
    )
    assert vets_words("abscesses and infections") == ("abscesses", "infections")
    said = look_again("the question", ("laminitis",))
    assert said.startswith("The question holds “laminitis”") and "It stays as you wrote it" in said


@pytest.mark.parametrize("text", ["lame 2 LF", "grade 3 at trot", "Lame 1.5 on hard"])
def test_a_grade_without_its_scale_is_noticed(text: str) -> None:
    assert grade_without_scale(text)


@pytest.mark.parametrize(
    "text", ["lame 2/5 LF", "grade 3 of 5", "lame 4 out of 10", "sound on 2 circles", "lame since 2 May"]
)
def test_a_grade_with_its_scale_is_not(text: str) -> None:
    assert not grade_without_scale(text)


@pytest.mark.parametrize("measure", [name for name in MEASURES if "concavity" in name])
def test_no_concavity_stands_without_its_caution(measure: str) -> None:
    name = vet_numbers.one_line_name(measure, Definition.FROM_SOLE_EDGE)
    assert name.startswith("External") and "(not sole thickness)" in name and name.endswith("from the sole edge")


def test_no_measure_says_inside_or_outside() -> None:
    names = [vet_numbers.one_line_name(name, Definition.ONE) for name in MEASURES]
    assert not [name for name in names if "inside" in name or "outside" in name]
    assert vet_numbers.one_line_name("medial_wall_height", Definition.ONE) == "Wall height, medial"


def test_nails_and_places_are_lateral_and_medial() -> None:
    assert vet_history.nail_words(("O1", "O2", "O3", "I1", "I2")) == "5: lateral 1 2 3, medial 1 2"
    assert vet_history.nail_words(()) == ""
    assert vet_history.plain_place("nail O3") == "nail, lateral 3"


def test_feet_done_alike_are_told_once() -> None:
    visit = Visit(uuid4(), uuid4(), DAY)
    works = {
        (visit.key, foot): FootWork(
            uuid4(), visit.key, foot, work=Work.RESET, shoeing=Shoeing.NAILED, nails=("O1", "I1")
        )
        for foot in (Foot.LF, Foot.RF)
    }
    assert vet_history.last_done([visit], works, [Foot.LF, Foot.RF]).startswith(
        "30 Sep 2025: LF, RF: reset, nailed, 2 nails"
    )
    table = vet_history.shoeing_table([visit], works, [Foot.LF, Foot.RF])
    assert table is not None and [row[1] for row in table.rows] == ["LF, RF"]
    assert vet_history.shoeing_table([visit], {}, [Foot.LF]) is None


def test_a_lameness_grade_never_stands_without_its_scale() -> None:
    visit = Visit(uuid4(), uuid4(), DAY, walked_off="same")
    lame = Finding(
        uuid4(), visit.key, Foot.LF, "lame at trot", severity="3", grade_scale="0-5 (AAEP)", note="vet's view"
    )
    said = vet_history.soundness([visit], [lame], "Ann")
    assert said == "lame at trot, LF: 3 on the scale 0-5 (AAEP), vet's view, 30 Sep 2025"
    plain = vet_history.soundness([visit], [], "Ann")
    assert plain == "walked off the same as it came, 30 Sep 2025, as Ann saw it; no grade given"
    assert vet_history.soundness([], [], "Ann") == "not looked; no grade given"


def test_what_was_never_looked_at_is_said_and_not_shown_as_nothing_found() -> None:
    visits = [Visit(uuid4(), uuid4(), DAY, walked_off="same")]
    found = vet_history.gait_table(visits, {}, [], [Foot.LF])
    assert found is not None
    table, note = found
    assert note == "Not looked at on any of these visits: stance, landing, digital pulse. No lameness grade was given."
    assert vet_history.always_walked_off(table) == "Walked off the same as it came at the visit."
    assert vet_history.gait_table([Visit(uuid4(), uuid4(), DAY)], {}, [], [Foot.LF]) is None


@pytest.mark.parametrize(
    ("trims", "words"),
    [(0, "No trim between"), (1, "One trim between"), (3, "3 trims between"), (None, "")],
)
def test_trims_between_films_and_photos(trims: int | None, words: str) -> None:
    assert vet_case.film_words(DAY, trims)[1].startswith(words)
    assert vet_case.film_words(None, None) == ("none known to the practitioner", "")


def test_vets_values_are_quoted_by_film_newest_first() -> None:
    horse = uuid4()
    values = [
        VetValue(uuid4(), horse, Foot.LF, date(2025, 2, 20), "sole depth", 9.0),
        VetValue(uuid4(), horse, Foot.LF, DAY, "palmar angle", 3.5, unit="°"),
    ]
    assert vet_history.quoted_line(values) == (
        "films 30 Sep 2025: LF palmar angle 3.5°",
        "films 20 Feb 2025: LF sole depth 9 mm",
    )


def readings(values: list[float]) -> list[Reading]:
    return [
        Reading(date(2025, 1 + place, 1), value, 0.2, Moment.AFTER_TRIM, 42, "toe_length", Definition.ONE, Foot.LF)
        for place, value in enumerate(values)
    ]


def test_only_goals_get_a_verdict_and_it_says_when_the_next_falls() -> None:
    series = build_series(readings([80.0, 82.0, 84.0, 86.0, 88.0]), measure="toe_length", foot=Foot.LF)
    assert vet_numbers.change_line(Foot.LF, judge(series)) == "LF listed without verdict"
    told = vet_numbers.change_line(Foot.LF, judge(series, wanted=Wanted.LESS))
    assert told.startswith("LF +8.0 mm") and told.endswith("next verdict at reading 7")
    assert "at reading 4, 1 Apr 2025" in told
    early = build_series(readings([80.0, 82.0]), measure="toe_length", foot=Foot.LF)
    assert vet_numbers.change_line(Foot.LF, judge(early, wanted=Wanted.LESS)).endswith("verdict at reading 4")


def test_a_correction_is_told_with_old_and_new() -> None:
    changed = Correction(uuid4(), "hand_measure", uuid4(), "value", "4.1", "4.3", "Ann", datetime(2025, 9, 30, 12))
    table = vet_method.correction_table([changed])
    assert table is not None
    assert table.rows == (("30 Sep 2025", "Ann", "hand reading: value", "4.1", "4.3"),)
    assert vet_method.correction_table([]) is None


def test_a_value_without_its_spread_is_told_apart_from_an_exact_one() -> None:
    known = judge(build_series(readings([80.0, 82.0]), measure="toe_length", foot=Foot.LF))
    bare = [replace(reading, u=None) for reading in readings([80.0, 82.0])]
    typed = judge(build_series(bare, measure="toe_length", foot=Foot.LF))
    assert "without ±" not in vet_numbers.measures_note([known])
    assert vet_numbers.measures_note([known, typed]).endswith("with nothing said of how exact it is.")


def test_a_vet_is_told_what_is_the_matter_with_a_photo_and_not_to_take_it_again() -> None:
    codes = ("card_not_found", "photo_shrunk", "photo_without_date")
    photo = Photo(
        uuid4(), uuid4(), "0" * 64, ".jpg", 8, 8, None, Foot.LF, remarks=tuple(Remark(code) for code in codes)
    )
    how = vet_case.photo_how(photo, vet_case.PhotoFacts())
    assert "can't see the card well enough." in how and "so the ± is wider." in how
    assert how.count("tells no time") == 1 and "does not say when" not in how
    for asked in ("Wipe", "Ask for the original", "Choose its visit"):
        assert asked not in how
