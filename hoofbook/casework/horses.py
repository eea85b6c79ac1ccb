"""The place Horses: the list, and one horse as a form."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, Person, PersonRole, Yard
from hoofbook.wording.horses import GROUPS, due_words

ALL_CODES = ("horse_needs_name", "horse_number_wrong")
_SOON_DAYS = 7


@dataclass(frozen=True, slots=True)
class HorseLine:
    """One line of the list; `group` is the heading it stands under."""

    key: str
    name: str
    yard: str
    owner: str
    due: str
    late: bool
    group: str


@dataclass(frozen=True, slots=True)
class HorseForm:
    """A horse as typed; all but the name may stay empty."""

    name: str
    sex: str = ""
    born: str = ""
    breed: str = ""
    colour: str = ""
    height_cm: str = ""
    work: str = ""
    owner: str = ""
    yard: str = ""
    handling: str = ""
    interval_weeks: str = "6"


def list_horses(open_book: OpenBook, search: str = "") -> tuple[HorseLine, ...]:
    """All horses by when they are due; `search` finds parts of the horse's, owner's or yard's name."""
    today = open_book.clock.now().date()
    wanted = search.casefold().strip()
    lines = []
    for row in open_book.book.horse_lines():
        if wanted and not any(wanted in (text or "").casefold() for text in (row.name, row.owner, row.yard)):
            continue
        group = _group(row.next_due, today) if not row.status.is_away else "away"
        late = group == "late"
        lines.append(
            (
                row.next_due or date.max,
                row.name,
                HorseLine(
                    key=str(row.key),
                    name=row.name,
                    yard=row.yard or "",
                    owner=row.owner or "",
                    due=due_words(row.next_due, today, row.status),
                    late=late,
                    group=GROUPS[group],
                ),
            )
        )
    order = {GROUPS[name]: place for place, name in enumerate(("late", "today", "week", "later", "none", "away"))}
    return tuple(line for _, _, line in sorted(lines, key=lambda item: (order[item[2].group], item[0], item[1])))


def _group(due: date | None, today: date) -> str:
    if due is None:
        return "none"
    if due < today:
        return "late"
    if due == today:
        return "today"
    return "week" if due <= today + timedelta(days=_SOON_DAYS) else "later"


def read_form(open_book: OpenBook, horse: str) -> HorseForm:
    """The horse as a form to be changed."""
    kept = open_book.horse(horse)
    return HorseForm(
        name=kept.name,
        sex=kept.sex,
        born=str(kept.born or ""),
        breed=kept.breed,
        colour=kept.colour,
        height_cm=f"{kept.height_cm:g}" if kept.height_cm else "",
        work=kept.work,
        owner=open_book.book.get(Person, kept.owner).name if kept.owner else "",
        yard=open_book.book.get(Yard, kept.yard).name if kept.yard else "",
        handling=kept.handling,
        interval_weeks=str(kept.interval_weeks),
    )


def add_horse(open_book: OpenBook, form: HorseForm) -> str:
    """Adds a horse (and its owner and yard where they are new); returns its key.

    Raises:
        Refused: `horse_needs_name`, `horse_number_wrong`.
    """
    from hoofbook.records.keys import new_key

    horse = _filled(open_book, Horse(new_key(), form.name.strip()), form)
    with open_book.book.writing() as writer:
        writer.add(horse)
    return str(horse.key)


def change_horse(open_book: OpenBook, horse: str, form: HorseForm) -> None:
    """Keeps the form's changes; old values stay in the corrections log."""
    kept = open_book.horse(horse)
    changed = _filled(open_book, kept, form)
    if changed != kept:
        with open_book.book.writing() as writer:
            writer.change(changed)


def _filled(open_book: OpenBook, horse: Horse, form: HorseForm) -> Horse:
    if not form.name.strip():
        raise Refused(Refusal("horse_needs_name", {}))
    return replace(
        horse,
        name=form.name.strip(),
        sex=form.sex.strip(),
        born=_whole(form.born, "born"),
        breed=form.breed.strip(),
        colour=form.colour.strip(),
        height_cm=_number(form.height_cm, "height_cm"),
        work=form.work.strip(),
        owner=person_named(open_book, form.owner, PersonRole.OWNER),
        yard=yard_named(open_book, form.yard),
        handling=form.handling.strip(),
        interval_weeks=_whole(form.interval_weeks, "interval_weeks") or 6,
    )


def person_named(open_book: OpenBook, name: str, role: PersonRole) -> UUID | None:
    """The person of that name in that role, added where new; None for an empty name."""
    from hoofbook.records.keys import new_key

    name = name.strip()
    if not name:
        return None
    for person in open_book.book.every(Person, role=role):
        if person.name.casefold() == name.casefold():
            return person.key
    person = Person(new_key(), name, role)
    with open_book.book.writing() as writer:
        writer.add(person)
    return person.key


def yard_named(open_book: OpenBook, name: str) -> UUID | None:
    """The yard of that name, added where new; None for an empty name."""
    from hoofbook.records.keys import new_key

    name = name.strip()
    if not name:
        return None
    for yard in open_book.book.every(Yard):
        if yard.name.casefold() == name.casefold():
            return yard.key
    yard = Yard(new_key(), name)
    with open_book.book.writing() as writer:
        writer.add(yard)
    return yard.key


def _number(text: str, field: str) -> float | None:
    if not text.strip():
        return None
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError as error:
        raise Refused(Refusal("horse_number_wrong", {"field": field, "found": text.strip()})) from error
    if not 0 < value < 10000:
        raise Refused(Refusal("horse_number_wrong", {"field": field, "found": text.strip()}))
    return value


def _whole(text: str, field: str) -> int | None:
    value = _number(text, field)
    if value is not None and value != int(value):
        raise Refused(Refusal("horse_number_wrong", {"field": field, "found": text.strip()}))
    return None if value is None else int(value)
