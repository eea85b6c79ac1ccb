"""What it would take to show a change of a size that a person names: visits, or photos a visit."""

from __future__ import annotations

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.readings import read_readings
from hoofbook.casework.typed_number import typed_number
from hoofbook.progress.power import outlook
from hoofbook.terms.feet import place_of
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.wording.cycle_words import NOT_A_GOAL
from hoofbook.wording.power import outlook_sentences


def what_it_takes(
    open_book: OpenBook, horse: str, foot: str, *, measure: str, definition: str, size: str
) -> tuple[str, ...]:
    """Sentences: how surely the next planned reading would show a change of `size` in total, and what would do.

    `size` as typed, in the measure's unit; its sign plays no part.

    Raises:
        Refused: `chance_needs_a_size`, `chance_needs_a_reading`.
    """
    number = typed_number(size, measure)
    progress = read_readings(open_book, uuid(horse)).progress(place_of(foot), measure, Definition(definition))
    found = outlook(progress, change=None if number is None else abs(number))
    if isinstance(found, Refusal):
        raise Refused(found)
    said = outlook_sentences(found, measure, MEASURES[measure])
    return said if progress.next_look is not None else (NOT_A_GOAL, *said)
