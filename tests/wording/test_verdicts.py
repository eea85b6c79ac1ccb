from __future__ import annotations

import re

import pytest

from hoofbook.progress.change import Followed, PairChange, Progress, judge, judge_goals, pair_change
from hoofbook.terms.quantity import Unit
from hoofbook.terms.shown import Tone
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.subjects.visits import SolePared
from hoofbook.terms.views import Moment
from hoofbook.wording import verdicts

from ..progress.lives import LARKSPUR_DAYS, LARKSPUR_LF, reading, series_of
from ..progress.test_change import larkspur


def after(count: int, wanted: Wanted = Wanted.MORE, values: tuple[float, ...] = LARKSPUR_LF) -> Progress:
    rows = [reading(d, v, 0.3) for d, v in zip(LARKSPUR_DAYS, values, strict=True)][:count]
    return judge_goals([Followed(series_of(rows), wanted)])[0]


def test_a_shown_change_as_wanted() -> None:
    left, right = judge_goals(larkspur(0.3))
    chip = verdicts.chip(left)
    assert chip is not None
    assert (chip.words, chip.sign, chip.tone) == ("increase shown, as wanted", "▲", Tone.WANTED)
    assert chip.detail == ("+3.8 mm in 37 weeks.", "Next verdict at reading 13.")
    assert "between 2.7 and 4.8 mm more over 37 weeks" in chip.sentence.lower()
    other = verdicts.chip(right)
    assert other is not None
    assert (other.words, other.tone) == ("no change shown", Tone.CALM)
    assert other.detail[0].startswith("Smallest we could see: ")
    assert "no change shown (smallest we could see: " in other.sentence


def test_no_change_shown_never_stands_alone() -> None:
    for count in range(1, 8):
        found = after(count, values=(2.0, 2.3, 1.8, 2.1, 2.2, 1.9, 2.1))
        chip, headline = verdicts.chip(found), verdicts.headline(found)
        assert chip is not None
        texts = [chip.sentence, headline.words, headline.sentence, *chip.detail]
        texts += [" ".join(verdicts.look_caption(look, Unit.MM)) for look in found.looks]
        for text in texts:
            for place in re.finditer("no change shown", text):
                assert text[place.end() :].startswith(" (smallest we could see: "), text


def test_between_planned_readings_the_interval_stands_in_its_place() -> None:
    """Its ends: scipy linregress of the six values, Student's t on 4 degrees, the factor of `by_matrices`."""
    six = after(6)
    assert six.verdict is None
    chip = verdicts.chip(six)
    assert chip is not None
    assert chip.words == "between 2.3 and 3.7 mm more"
    assert chip.tone is Tone.CALM
    assert any(line.startswith("Reading 4, 27 May 2025: no change shown") for line in chip.detail)
    assert chip.detail[-1] == "Next verdict at reading 7."
    assert verdicts.interval_sentence(six) == ("Between 2.3 and 3.7 mm more over 31 weeks. Next verdict at reading 7.")


def test_against_what_was_wanted_and_without_a_goal() -> None:
    found = after(7, Wanted.LESS)
    chip = verdicts.chip(found)
    assert chip is not None
    assert (chip.words, chip.tone) == ("increase shown, against what was wanted", Tone.AGAINST)
    nothing = judge(found.series)
    assert verdicts.chip(nothing) is None
    assert verdicts.headline(nothing).words == "no goal set, so no verdict"
    assert verdicts.headline(nothing).tone is Tone.CALM


def test_first_reading_and_not_comparable() -> None:
    first = verdicts.chip(after(1))
    assert first is not None
    assert first.words == "first reading"
    rows = [reading(LARKSPUR_DAYS[0], 1.2), reading(LARKSPUR_DAYS[6], 10.9, moment=Moment.BEFORE_TRIM)]
    chip = verdicts.chip(judge(series_of(rows), wanted=Wanted.MORE))
    assert chip is not None
    assert chip.words == "not comparable"
    assert "two moments: after trim and before trim" in " ".join(chip.detail)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (1.13, 5.72, "Between 1.1 and 5.7 mm more"),
        (-5.72, -1.13, "Between 1.1 and 5.7 mm less"),
        (-0.42, 1.18, "Between 0.4 mm less and 1.2 mm more"),
        (0.0, 2.0, "Between 0.0 and 2.0 mm more"),
    ],
)
def test_interval_both_ways(low: float, high: float, words: str) -> None:
    assert verdicts._reach(low, high, Unit.MM, False) == words


def test_two_readings() -> None:
    pair = pair_change(reading(LARKSPUR_DAYS[0], 2.0, 0.5), reading(LARKSPUR_DAYS[1], 3.0, 0.5))
    assert isinstance(pair, PairChange)
    assert verdicts.pair_sentence(pair, Unit.MM) == (
        "+1.0 mm ± 2.6 from 14 Jan 2025 to 25 Feb 2025 (6 weeks): two readings, with a scatter of 0.8 mm assumed, "
        "so an interval and no verdict."
    )


def test_the_median_slope_is_told_beside_the_line() -> None:
    """scipy.stats.theilslopes of the seven values, over the days from the first to the last."""
    from scipy.stats import theilslopes

    days = [(day - LARKSPUR_DAYS[0]).days for day in LARKSPUR_DAYS]
    slope, _, low, high = (days[-1] * value for value in theilslopes(LARKSPUR_LF, days))
    told = verdicts.how_decided(after(7))[-1]
    assert told == (
        f"Beside the line, by the median of all slopes (Theil and Sen): +{slope:.1f} mm ({low:.1f} to {high:.1f} mm)."
    )
    assert verdicts.beside(after(2)) == ""


def test_owner_is_told_in_words() -> None:
    left, right = judge_goals(larkspur(0.3))
    assert verdicts.owner_sentence(left) == "About 4 mm more in 37 weeks; we can tell changes above 1.0 mm."
    assert verdicts.owner_sentence(right).startswith(
        "By less than we can measure in 37 weeks; we can tell changes above"
    )
    assert "±" not in verdicts.owner_sentence(left)


def test_what_could_fool_us() -> None:
    rows = [
        reading(LARKSPUR_DAYS[0], 1.0),
        reading(LARKSPUR_DAYS[1], 1.2, sole_wet=True),
        reading(LARKSPUR_DAYS[3], 1.9, sole_pared=SolePared.TO_LIVE, person="B. T."),
    ]
    found = verdicts.could_fool_us(judge(series_of(rows)))
    assert found[:2] == (("25 Feb", "wet, sole held"), ("27 May", "sole pared to live sole"))
    assert found[-1][0] == "Assumed"


def test_how_it_was_decided_and_how_many_were_looked_at() -> None:
    left = judge_goals(larkspur(0.3))[0]
    words = " ".join(verdicts.how_decided(left))
    assert "after trim, bare" in words
    assert "readings 4, 7, 13 and 25" in words
    assert "1 % for each of 2 goals" in words
    assert verdicts.looked_at(12, 2) == "12 measures were looked at; 2 are goals."
    assert "3 goals" in verdicts.price_of_a_goal(2)
