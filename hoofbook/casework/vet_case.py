"""The Vet case: one horse's question, photos, measures and history on paper for a vet, in three sizes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.paper_log import log_paper
from hoofbook.casework.vet_chosen import all_photos, chosen_photos
from hoofbook.casework.vet_facts import VISITS_IN_CASE, CaseFacts, farrier_of, read_facts
from hoofbook.casework.vet_films import ask_before, film_told, image_blocks
from hoofbook.casework.vet_lines import figures
from hoofbook.casework.vet_look_again import look_again
from hoofbook.casework.vet_pages import parts_of
from hoofbook.casework.vet_pictures import PAGE_1_RATIO, CaseLooks, page_1_pictures
from hoofbook.casework.vet_tables import attached_of
from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import EventKind, Person, PersonRole, Photo
from hoofbook.wording import vet_case as words
from hoofbook.wording import vet_history
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.vet_gaps import NOT_LOGGED

if TYPE_CHECKING:
    from hoofbook.papers.vet_case import Attached, VetCase

LONGEST_QUESTION, LONGEST_LINE = 300, 220  # characters that page 1 has room for
ALL_CODES = (
    "vet_case_size_unknown",
    "vet_case_urgency_unknown",
    "vet_case_words_long",
    "word_unknown",
    "paper_not_pdf",
    "visit_day_wrong",
    "owner_needed",
    "day_to_come",
    "no_visit_since",
)


@dataclass(frozen=True, slots=True)
class VetWishes:
    """What a person says for one case.

    `feet` are short names (empty: those followed, with their partners); `since` is the day (ISO) of the first visit to
    show; `since_when` and `gait` stand in place of what the book would say; `taken_by` took the photos; `vets_images`
    lets the vet's own films and reports go along.
    """

    question: str = ""
    urgency: str = "advice"
    size: str = "case"
    feet: tuple[str, ...] = ()
    since: str = ""
    since_when: str = ""
    gait: str = ""
    taken_by: str = ""
    vets_images: bool = True


@dataclass(frozen=True, slots=True)
class VetCaseMade:
    """The file written, the tables beside it, and sentences to look at before it is sent."""

    file: Path
    beside: tuple[Path, ...]
    look_again: tuple[str, ...]


def make_vet_case(open_book: OpenBook, horse: str, wishes: VetWishes, out: Path) -> VetCaseMade:
    """Writes the case as PDF, its tables as CSV beside it, and notes in the book that it was made.

    Raises:
        Refused: codes in `ALL_CODES`, an unknown horse, or where it cannot be written.
    """
    from hoofbook.papers import vet_case as paper

    named_pdf(out)
    facts = case_facts(open_book, horse, wishes)
    case, photos = _case(open_book, facts, wishes)
    made = paper.make_vet_case(case)
    write_atomic(out, made)
    beside = []
    for item in case.attached:
        file = out.with_name(f"{out.stem}-{item.name}")
        write_atomic(file, item.data)
        beside.append(file.resolve())
    again = case_look_again(facts, wishes, photos)
    if open_book.read_only:
        again = (*again, NOT_LOGGED)
    else:
        told = [f"{row.label}: {', '.join(value for value, _ in row.values)}" for row in case.figures]
        log_paper(
            open_book, facts.horse.key, words.KIND, made, file_name=out.name, made_for=facts.vet, numbers=told
        )  # fmt: skip
    return VetCaseMade(out.resolve(), tuple(beside), again)


def vet_case_pages(open_book: OpenBook, horse: str, wishes: VetWishes) -> tuple[tuple[bytes, ...], tuple[str, ...]]:
    """The pages as PNG pictures, to look at before the case is made, and what to look at again. Refused: as above."""
    from hoofbook.papers import vet_case as paper

    facts = case_facts(open_book, horse, wishes)
    case, photos = _case(open_book, facts, wishes)
    again = case_look_again(facts, wishes, photos)
    return paper.vet_case_pages(case), again


def vet_case_bytes(open_book: OpenBook, horse: str, wishes: VetWishes) -> tuple[bytes, tuple[Attached, ...]]:
    """The case as PDF and its tables, neither written nor noted: part of something larger. Refused: as above."""
    from hoofbook.papers import vet_case as paper

    case, _ = _case(open_book, case_facts(open_book, horse, wishes), wishes)
    return paper.make_vet_case(case), case.attached


def named_pdf(out: Path) -> None:
    """Refused: `paper_not_pdf`."""
    if out.suffix.lower() != ".pdf":
        raise Refused(Refusal("paper_not_pdf", {"file": out.name}))


def allow_showing(open_book: OpenBook, horse: str, day: str) -> None:
    """Notes that the owner said on `day` (ISO) that the horse's notes and photos may be shown to a vet.

    Refused: `owner_needed`, `visit_day_wrong`, `day_to_come`.
    """
    kept = open_book.horse(horse)
    if kept.owner is None:
        raise Refused(Refusal("owner_needed", {"horse": kept.name}))
    allowed = _day(day)
    if allowed > open_book.clock.now().date():
        raise Refused(Refusal("day_to_come", {"found": day}))
    with open_book.book.writing() as writer:
        writer.change(replace(writer.get(Person, kept.owner), consent_vet=allowed))


def keep_phone(open_book: OpenBook, phone: str) -> None:
    """Keeps the phone number that stands on papers with the farrier who has this book."""
    from hoofbook.records.keys import new_key

    kept = farrier_of(open_book)
    with open_book.book.writing() as writer:
        if kept is not None:
            writer.change(replace(kept, phone=phone.strip()))
        else:
            writer.add(Person(new_key(), open_book.person, PersonRole.FARRIER, phone.strip()))


def case_facts(open_book: OpenBook, horse: str, wishes: VetWishes) -> CaseFacts:
    """Everything that a case of these wishes may show. Refused: as `make_vet_case`."""
    for code, given, known in (
        ("vet_case_size_unknown", wishes.size, words.SIZES),
        ("vet_case_urgency_unknown", wishes.urgency, words.URGENCIES),
    ):
        if given not in known:
            raise Refused(Refusal(code, {"found": given, "known": ", ".join(known)}))
    for text, most in (
        (wishes.question, LONGEST_QUESTION),
        (wishes.since_when, LONGEST_LINE),
        (wishes.gait, LONGEST_LINE),
    ):
        if len(text) > most:
            raise Refused(Refusal("vet_case_words_long", {"length": len(text), "most": most}))
    most_visits = None if wishes.size == "full" else VISITS_IN_CASE
    since = _day(wishes.since) if wishes.since else None
    facts = read_facts(open_book, uuid(horse), _feet(wishes.feet), since, most_visits)
    if since is not None and not facts.visits:
        raise Refused(Refusal("no_visit_since", {"day": wishes.since}))
    return facts


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise Refused(Refusal("visit_day_wrong", {"found": text})) from error


def _feet(given: tuple[str, ...]) -> tuple[Foot, ...]:
    known = [foot.value for foot in Foot]
    for name in given:
        if name not in known:
            raise Refused(Refusal("word_unknown", {"field": "foot", "found": name, "known": ", ".join(known)}))
    return tuple(foot for foot in Foot if foot.value in given)


def _case(open_book: OpenBook, facts: CaseFacts, wishes: VetWishes) -> tuple[VetCase, tuple[Photo, ...]]:
    from hoofbook.papers.vet_case import VetCase

    looks = CaseLooks(open_book, facts)
    first = chosen_photos(facts)
    heads, rows = figures(facts)
    case = VetCase(
        horse=facts.name,
        facts=words.facts_line(facts.horse, facts.owner.name if facts.owner else "", facts.yard, facts.today),
        day=facts.today,
        made_on=day_month_year(facts.today),
        person=facts.person,
        phone=facts.phone or words.NO_PHONE,
        over_question=words.question_line(facts.feet, wishes.urgency),
        question=wishes.question.strip() or words.NO_QUESTION,
        rows=_rows(facts, wishes),
        pictures=page_1_pictures(looks, first),
        figure_heads=heads,
        figures=rows,
        quoted=vet_history.quoted_line(facts.vet_values)[:2],
        small_print=words.small_print(measured=bool(rows), pictures=bool(first)),
        ratio=PAGE_1_RATIO,
    )
    if wishes.size == "call":
        return case, first
    full = wishes.size == "full"
    shown = all_photos(facts) if full else first
    images = tuple(image_blocks(open_book, facts, full=full)) if wishes.vets_images else ()
    parts = parts_of(facts, looks, shown, wishes.taken_by.strip(), images=images, full=full)
    return replace(case, parts=parts, attached=attached_of(facts, full=full, images=bool(images))), tuple(
        {photo.key: photo for photo in (*first, *shown)}.values()
    )


def case_look_again(facts: CaseFacts, wishes: VetWishes, photos: tuple[Photo, ...]) -> tuple[str, ...]:
    """Sentences to look at before it is sent; `photos` are those shown."""
    again = look_again(facts, wishes.question, (wishes.since_when, wishes.gait), photos)
    return (*again, *ask_before(facts)) if wishes.vets_images and wishes.size != "call" else again


def _rows(facts: CaseFacts, wishes: VetWishes) -> tuple[tuple[str, str, str], ...]:
    """The facts of page 1: label, words, what of it stands bold."""
    history = facts.readings.history
    since = wishes.since_when.strip() or vet_history.first_seen(history.visits, history.findings, facts.feet)
    gait = wishes.gait.strip() or vet_history.soundness(facts.visits, facts.findings, facts.person)
    directions = [event for event in facts.events if event.kind is EventKind.VET_DIRECTION]
    owner, allowed = (facts.owner.name, facts.owner.consent_vet) if facts.owner else ("", None)
    rows = [
        (words.LABELS["since"], since, ""),
        (words.LABELS["gait"], gait, ""),
        (words.LABELS["done"], vet_history.last_done(facts.visits, facts.works, facts.feet), ""),
        (words.LABELS["films"], *film_told(facts)),
        (words.LABELS["permission"], words.permission_words(owner, allowed), ""),
    ]
    if directions:
        last = directions[-1]
        rows.append((words.LABELS["direction"], f"{day_month_year(last.day)}: {vet_history.event_words(last)}", ""))
    return tuple(rows)
