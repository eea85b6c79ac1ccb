"""Sentences about what it takes to show a change: figures from progress, words from here."""

from __future__ import annotations

import re
from datetime import date

from hoofbook.progress.change import judge
from hoofbook.progress.power import Chance, Outlook, Scatter, outlook
from hoofbook.terms.quantity import Unit
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.wording import power
from tests.progress.lives import APEX, even_days, reading, series_of


def chance(reading_number: int, share: float, repeats: int = 1, change: float = 2.0) -> Chance:
    return Chance(reading_number, reading_number - 6, repeats, change, share, 3.1, date(2026, 5, 3))


def said(next_one: float, later: float, with_repeats: int | None, own: float = 0.4) -> tuple[str, ...]:
    chances = (chance(7, next_one), chance(13, later))
    enough = next((c for c in chances if c.chance >= 0.8), None)
    repeated = chance(7, 0.83, with_repeats) if with_repeats else None
    found = Outlook(chances, enough, repeated, Scatter(own, 0.8, 1, ("between_visit_scatter",)))
    return power.outlook_sentences(found, APEX, Unit.MM)


def test_a_chance_in_words() -> None:
    assert power.chance_sentence(chance(13, 0.841), Unit.MM) == (
        "A change of 2.0 mm by reading 13 would be shown with a chance of 84 %."
    )
    assert power.chance_sentence(chance(13, 0.841, change=-2.0), Unit.MM, inches=True).startswith("A change of 0.08 in")


def test_nothing_is_certain() -> None:
    assert power.percent(0.9999999) == "more than 99 %"
    assert power.percent(1e-9) == "less than 1 %"
    assert (power.percent(0.01), power.percent(0.99)) == ("1 %", "99 %")


def test_what_it_takes() -> None:
    assert said(0.31, 0.93, 3) == (
        "A change of 2.0 mm by reading 7 would be shown with a chance of 31 %.",
        "80 % is reached at reading 13, after 7 more visits (about May 2026, at the visits' own pace).",
        "With 3 sets of photos a visit from now on, reading 7 would do.",
        "This rests on a scatter between visits of 0.8 mm (assumed until this foot has readings enough).",
    )
    assert said(0.31, 0.5, None)[1:3] == (
        "No planned reading up to 13 reaches 80 %; at reading 13 that takes a change of 3.1 mm.",
        "More sets of photos a visit (up to 12) would not make reading 7 enough.",
    )
    assert said(0.31, 0.93, None, own=0.0)[2].startswith("No ± is known of a single reading")
    assert len(said(0.9, 0.99, 1)) == 2
    alike = Outlook((chance(7, 0.9),), chance(7, 0.9), chance(7, 0.9), Scatter(0.4, 0.0, 1, ()))
    assert power.outlook_sentences(alike, "toe_angle", Unit.DEG)[1].endswith("scatter no more than their ± says.")


def test_the_figures_are_those_of_the_outlook() -> None:
    rows = [reading(day, 3.0 + 0.2 * (-1) ** i, 0.5) for i, day in enumerate(even_days(4))]
    found = outlook(judge(series_of(rows), wanted=Wanted.MORE), change=2.0)
    assert isinstance(found, Outlook)
    first = power.outlook_sentences(found, APEX, Unit.MM)[0]
    told = re.search(r"chance of (\d+) %", first)
    assert told is not None
    assert int(told.group(1)) == round(100 * found.chances[0].chance)
