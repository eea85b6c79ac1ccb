"""What the vet answered, typed in with its day: an entry of the day book that quotes the vet."""

from __future__ import annotations

from datetime import date

from hoofbook.casework.open_book import OpenBook
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Event, EventKind

ALL_CODES = ("visit_day_wrong", "vet_answer_empty", "day_to_come")


def keep_answer(open_book: OpenBook, horse: str, day: str, words: str, told_by: str = "") -> None:
    """Keeps the answer of `day` (ISO, empty: today) word for word; without `told_by` it is the horse's own vet's.

    Refused: codes in `ALL_CODES`, an unknown horse.
    """
    from hoofbook.records.keys import new_key
    from hoofbook.terms.subjects import Person

    kept, today = open_book.horse(horse), open_book.clock.now().date()
    said = words.strip()
    if not said:
        raise Refused(Refusal("vet_answer_empty", {}))
    when = _day(day, today)
    if when > today:
        raise Refused(Refusal("day_to_come", {"found": when.isoformat()}))
    vet = told_by.strip() or (open_book.book.get(Person, kept.vet).name if kept.vet else "")
    with open_book.book.writing() as writer:
        writer.add(Event(new_key(), kept.key, when, EventKind.VET_ANSWER, None, said, vet))


def _day(text: str, today: date) -> date:
    try:
        return date.fromisoformat(text.strip()) if text.strip() else today
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error
