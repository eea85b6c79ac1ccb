"""The form of a Vet case: what can be chosen for a horse, and what the paper says where nothing is written."""

from __future__ import annotations

from dataclasses import dataclass

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.vet_case import allow_showing
from hoofbook.casework.vet_facts import CaseFacts, read_facts
from hoofbook.housekeeping.files import safe_name
from hoofbook.terms.feet import Foot
from hoofbook.terms.shown import Pick
from hoofbook.wording import vet_case as words
from hoofbook.wording import vet_history, vet_sheet
from hoofbook.wording.places import foot_name

_NEWEST_VISITS = 8


@dataclass(frozen=True, slots=True)
class VetForm:
    """What the form shows.

    `feet` has many chosen; `since` names days of visits (ISO, "" = as many as the size shows). `since_when` and `gait`
    are what the book would say, `phone` and `permission` what it knows, `allowed` whether the owner did allow.
    """

    horse: str
    feet: Pick
    size: Pick
    urgency: Pick
    since: Pick
    since_when: str
    gait: str
    taken_by: str
    phone: str
    permission: str
    allowed: bool
    read_only: bool
    file_name: str


def read_vet_form(open_book: OpenBook, horse: str, feet: tuple[str, ...] = ()) -> VetForm:
    """The form as it opens, or with other feet chosen. Refused: `key_unknown`, `not_in_book`."""
    chosen = tuple(foot for foot in Foot if foot.value in feet)
    facts = read_facts(open_book, uuid(horse), chosen, None, None)
    history = facts.readings.history
    owner = facts.owner
    return VetForm(
        horse=horse,
        feet=_feet(facts),
        size=Pick("size", vet_sheet.SIZE, tuple(words.SIZES), tuple(vet_sheet.SIZES.values()), "case"),
        urgency=Pick("urgency", vet_sheet.URGENCY, tuple(words.URGENCIES), tuple(words.URGENCIES), "advice"),
        since=_since(facts),
        since_when=vet_history.first_seen(history.visits, history.findings, facts.feet),
        gait=vet_history.soundness(facts.visits, facts.findings, facts.person),
        taken_by=facts.person,
        phone=facts.phone,
        permission=words.permission_words(owner.name if owner else "", owner.consent_vet if owner else None),
        allowed=owner is not None and owner.consent_vet is not None,
        read_only=open_book.read_only,
        file_name=f"{safe_name(facts.horse.name)}-vet-case.pdf",
    )


def allow_today(open_book: OpenBook, horse: str) -> None:
    """Notes that the owner said today that it may be shown. Refused: `owner_needed`."""
    allow_showing(open_book, horse, open_book.clock.now().date().isoformat())


def _feet(facts: CaseFacts) -> Pick:
    chosen = ",".join(foot.value for foot in facts.feet)
    names = tuple(foot_name(foot) for foot in Foot)
    return Pick("feet", vet_sheet.FEET, tuple(foot.value for foot in Foot), names, chosen, many=True)


def _since(facts: CaseFacts) -> Pick:
    days = [visit.day for visit in facts.visits[-_NEWEST_VISITS:]]
    options = ("", *(day.isoformat() for day in days))
    return Pick("since", vet_sheet.SINCE, options, (vet_sheet.AS_MANY, *map(vet_sheet.visit_day, days)), "")
