"""What was seen and done on four feet at a visit: read, and kept one tap at a time.

What was seen (findings, sole, landing) is never copied from last time. What was done is offered as last time, hollow,
until the person confirms it; nothing hollow is kept in the book.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Pick
from hoofbook.terms.subjects import FootWork, Shoeing, SolePared, SoleState, Visit, VisitKind, Work
from hoofbook.wording.visit import DONE, SEEN, WEEKS, WHOLE, Choice

ALL_CODES = ("choice_unknown", "visit_finished")
COPIED = ("work", "sole_pared")  # never findings, sole state, grades or measurements
_EMPTY: Mapping[str, Any] = {"sole_before": SoleState.NOT_LOOKED, "sole_after": SoleState.NOT_LOOKED}
_KINDS: Mapping[str, type] = {"work": Work, "sole_pared": SolePared, "sole_before": SoleState, "sole_after": SoleState}
_SHOEING = {
    Work.NEW_NAILED: Shoeing.NAILED,
    Work.NEW_GLUED: Shoeing.GLUED,
    Work.TRIM: Shoeing.BARE,
    Work.SHOES_OFF: Shoeing.BARE,
}


@dataclass(frozen=True, slots=True)
class VisitState:
    """A visit with its feet, and the visit before it."""

    visit: Visit
    works: Mapping[Foot, FootWork]
    previous: Visit | None
    previous_works: Mapping[Foot, FootWork]


def read_state(open_book: OpenBook, visit: str) -> VisitState:
    """The visit and the one before it, as kept. Refused: `key_unknown`."""
    book = open_book.book
    kept = book.get(Visit, uuid(visit))
    before = [other for other in book.every(Visit, horse=kept.horse) if (other.day, other.key) < (kept.day, kept.key)]
    previous = max(before, key=lambda other: (other.day, other.key)) if before else None
    return VisitState(
        kept, works_of(open_book, kept.key), previous, works_of(open_book, previous.key) if previous else {}
    )


def works_of(open_book: OpenBook, visit: UUID) -> dict[Foot, FootWork]:
    return {work.foot: work for work in open_book.book.every(FootWork, visit=visit)}


def add_visit(open_book: OpenBook, horse: str, day: date | None = None) -> str:
    """A visit on `day` (today); the one already there on that day is returned instead of a second."""
    from hoofbook.records.keys import new_key

    kept = open_book.horse(horse)
    day = day or open_book.clock.now().date()
    visits = open_book.book.every(Visit, horse=kept.key)
    for visit in visits:
        if visit.day == day:
            return str(visit.key)
    added = Visit(new_key(), kept.key, day, VisitKind.ROUTINE if visits else VisitKind.FIRST)
    with open_book.book.writing() as writer:
        writer.add(added)
    return str(added.key)


def pick_of(choice: Choice, value: str, hollow: str = "") -> Pick:
    """A row of choices with what is chosen; `hollow` is last time's, shown where nothing is chosen."""
    return Pick(
        choice.field,
        choice.label,
        tuple(str(kept) for kept, _ in choice.options),
        tuple(label for _, label in choice.options),
        value or hollow,
        hollow=bool(hollow) and not value,
        hint=choice.hint,
    )


def foot_picks(state: VisitState, foot: Foot, choices: tuple[Choice, ...]) -> tuple[Pick, ...]:
    """The choices of one foot; only the copied fields are offered hollow, and only until the visit is finished."""
    work, last = state.works.get(foot), state.previous_works.get(foot)
    picks = []
    for choice in choices:
        hollow = kept_value(last, choice.field) if choice.field in COPIED and not state.visit.finished else ""
        picks.append(pick_of(choice, kept_value(work, choice.field), hollow))
    return tuple(picks)


def kept_value(work: FootWork | None, field: str) -> str:
    """A foot's field as its option, empty where nothing was said."""
    value = getattr(work, field, None) if work else None
    return "" if value is None or value in (SoleState.NOT_LOOKED, SolePared.NOT_SAID) else str(value)


def choose(open_book: OpenBook, visit: str, foot: str, field: str, value: str) -> None:
    """Keeps one tap: `foot` empty for the whole visit, `value` empty to clear.

    Raises:
        Refused: `choice_unknown`.
    """
    if not foot:
        _choose_whole(open_book, open_book.book.get(Visit, uuid(visit)), field, value)
        return
    key = uuid(visit)
    _check(SEEN + DONE, field, value)
    kept = works_of(open_book, key).get(Foot(foot))
    write_foot(open_book, key, Foot(foot), kept, {field: _foot_value(field, value)})


def write_foot(
    open_book: OpenBook, visit: UUID, foot: Foot, kept: FootWork | None, fields: Mapping[str, Any]
) -> FootWork:
    """Keeps changed fields of one foot's work, made first where there is none."""
    from hoofbook.records.keys import new_key

    base = kept or FootWork(new_key(), visit, foot)
    changed = replace(base, **fields)
    if "work" in fields:
        changed = replace(changed, shoeing=_SHOEING.get(fields["work"], changed.shoeing))
    with open_book.book.writing() as writer:
        if kept is None:
            writer.add(changed)
        elif changed != kept:
            writer.change(changed)
    return changed


def _foot_value(field: str, value: str) -> Any:
    if not value:
        return {**_EMPTY, "work": None, "sole_pared": SolePared.NOT_SAID}.get(field, "")
    return _KINDS[field](value) if field in _KINDS else value


def _choose_whole(open_book: OpenBook, visit: Visit, field: str, value: str) -> None:
    _check((*WHOLE, WEEKS), field, value)
    if field == WEEKS.field:
        weeks = int(value) if value else None
        changed = replace(
            visit, interval_weeks=weeks, next_due=visit.day + timedelta(weeks=weeks) if weeks is not None else None
        )
    else:
        told: dict[str, Any] = {field: value}
        changed = replace(visit, **told)
    if changed != visit:
        with open_book.book.writing() as writer:
            writer.change(changed)
            if changed.next_due != visit.next_due:
                horse = open_book.horse(str(visit.horse))
                writer.change(replace(horse, next_due=changed.next_due))


def _check(choices: tuple[Choice, ...], field: str, value: str) -> None:
    for choice in choices:
        if choice.field == field and (not value or any(str(kept) == value for kept, _ in choice.options)):
            return
    raise Refused(Refusal("choice_unknown", {"field": field, "value": value}))


def write_words(open_book: OpenBook, visit: str, field: str, text: str) -> None:
    """Keeps free words of a visit: `note`, `watch_next` or `advice`."""
    if field not in ("note", "watch_next", "advice"):
        raise Refused(Refusal("choice_unknown", {"field": field, "value": text}))
    kept = open_book.book.get(Visit, uuid(visit))
    if getattr(kept, field) != text.strip():
        with open_book.book.writing() as writer:
            told: dict[str, Any] = {field: text.strip()}
            writer.change(replace(kept, **told))


def confirm_hollow(open_book: OpenBook, visit: str) -> None:
    """Keeps everything that is offered as last time."""
    state = read_state(open_book, visit)
    for foot, last in state.previous_works.items():
        work = state.works.get(foot)
        fields = {
            field: getattr(last, field) for field in COPIED if not kept_value(work, field) and kept_value(last, field)
        }
        if fields:
            material = {name: getattr(last, name) for name in ("shoe", "nails", "pad", "packing", "shoeing")}
            write_foot(open_book, state.visit.key, foot, work, {**material, **fields} if work is None else fields)
    weeks = state.previous.interval_weeks if state.previous else None
    if state.visit.interval_weeks is None and weeks is not None:
        choose(open_book, visit, "", WEEKS.field, str(weeks))


def finish_visit(open_book: OpenBook, visit: str) -> None:
    """Marks the visit as done; what is still hollow is dropped, what is untouched stays "not looked"."""
    kept = open_book.book.get(Visit, uuid(visit))
    if not kept.finished:
        with open_book.book.writing() as writer:
            writer.change(replace(kept, finished=True))
