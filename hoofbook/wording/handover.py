"""Words of a Handover: what it tells its maker, and what came of taking one in."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

from hoofbook.terms.refusal import Remark
from hoofbook.terms.subjects import Horse, Person
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.refusals import SENTENCES, sentence

KIND = "Handover"
QUESTION = "Handover: everything that was seen, done and measured so far, for whoever goes on."
DESCRIPTION = "Records of one horse's feet: records.json for a program, case.pdf and tables for people, photos."
READ_ONLY = "The book is for looking only, so it is not noted there that this Handover was made."
VETS_AS_THEY_CAME = "The vet's images go as they came, with whatever is written in them. Look through them once."
FILE_HEADS = ("file", "given_name", "sha256", "original_sha256")
STEP_CASE, STEP_CHECKSUMS = "the case on paper", "checksums"
# in the window
TITLE = "Hand this horse over"
WORDS = (
    "Everything this book holds of the horse, for the next farrier or your other computer: records, measures, photos "
    "without their place, and the case on paper. Another book can take it in."
)
MADE_FOR = "For whom"
MADE_FOR_HINT = "Name of who gets it"
VETS_TOO = "the vet's images too"
TICK = "Also"
MAKING = "Packing the Handover"
STOPPED = "Stopped. Nothing was kept of it."
TAKE_TITLE = "Take one in"
TAKE_WORDS = (
    "A Handover that somebody gave you, as a zip or a folder. It is looked through first; nothing in your book is "
    "written over."
)
CHOOSE_ZIP, CHOOSE_FOLDER = "Choose a zip", "Choose a folder"
TAKE_IT_IN = "Take it in"
LEAVE_IT = "Leave it"
LOOKING = "Looking it through…"
TAKING = "Taking it in"
TAKING_STOPPED = "Stopped. Your book is as it was."
AS_NEW = "new here"
ZIP_FILES = "Handover"
TABLES: Mapping[str, str] = MappingProxyType(
    {
        "horse": "horse",
        "person": "people",
        "yard": "yard",
        "foot": "feet",
        "goal": "goals",
        "foot_limit": "limits",
        "visit": "visits",
        "foot_work": "work",
        "finding": "findings",
        "event": "day-book",
        "hand_measure": "hand-measures",
        "correction": "corrections",
    }
)
"""Table of the book to the name of its CSV file (without ending)."""

_COUNTED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "visit": ("visit", "visits"),
        "photo": ("photo", "photos"),
        "marking_pass": ("set of marks", "sets of marks"),
        "measure": ("measure", "measures"),
        "finding": ("finding", "findings"),
        "event": ("entry of the day book", "entries of the day book"),
        "hand_measure": ("number read by hand", "numbers read by hand"),
        "vet_value": ("value of the vet's", "values of the vet's"),
        "vet_image": ("image of the vet's", "images of the vet's"),
    }
)

_STAYED_OUT: Mapping[str, str] = MappingProxyType(
    {
        "foot": "{count} records of feet",
        "foot_work": "{count} records of work on a foot",
        "goal": "{count} goals",
        "foot_limit": "{count} limits",
    }
)


def vets_stay(count: int) -> str:
    what = "One of the vet's images stays" if count == 1 else f"{count} of the vet's images stay"
    return f"{what} here: the vet's go on only when you say so."


def set_aside_stay(count: int) -> str:
    if count == 1:
        return "One photo that was set aside stays here, with its marks."
    return f"{count} photos that were set aside stay here, with their marks."


def came_from(person: str, day: date) -> str:
    """`Made by Demo Farrier on 30 Sep 2025`"""
    return f"Made by {person or 'somebody unnamed'} on {day_month_year(day)}"


def who_is(role: str, name: str) -> str:
    """`Owner A. K. is`"""
    return f"{role.capitalize()} {name} is"


def permission_words(owner: Person | None) -> str:
    """What the owner allowed, or that it is not noted; nothing is held back for it."""
    if owner is None:
        return "No owner is named, so nobody's permission is noted. Ask the owner before you pass it on."
    if owner.consent_vet is not None:
        return (
            f"Owner {owner.name} allowed on {day_month_year(owner.consent_vet)} that it is shown to a vet or the next "
            "farrier."
        )
    kept = f" (only, on {day_month_year(owner.consent_keep)}, that it is kept)" if owner.consent_keep else ""
    return f"It is not noted that owner {owner.name} lets it be passed on{kept}. Ask before you pass it on."


def permission_received(owner: Person | None) -> str:
    """The same for whoever takes it in; empty where the owner allowed it."""
    if owner is not None and owner.consent_vet is not None:
        return ""
    whose = f"owner {owner.name}" if owner else "the owner"
    return f"It is not noted in this Handover that {whose} let it be passed on. Ask the owner."


def counted(counts: Mapping[str, int]) -> str:
    """`2 visits, 14 photos`: what a person would count, by table of the book; "nothing new" where there is none."""
    said = [
        f"{number} {words[number != 1]}" for table, words in _COUNTED.items() if (number := counts.get(table, 0)) > 0
    ]
    return ", ".join(said) or "nothing new"


def taken_words(file: str, horse: str, new: bool, counts: Mapping[str, int]) -> str:
    made = "a new horse" if new else "a horse of this book"
    return f"From “{file}” into {horse} ({made}): {counted(counts)}."


def already_words(count: int) -> str:
    if count == 1:
        return "1 record was here already and stayed as it is."
    return f"{count} records were here already and stayed as they are."


def stayed_out(table: str, count: int) -> str:
    """Rows of a table that say what this book says already in words of its own."""
    return f"{_STAYED_OUT[table].format(count=count)} stayed out, because this book has its own."


def same_day_words(days: int) -> str:
    return f"{days} visits fall on days on which this book has a visit of its own; both stand."


def matched_words(role: str, name: str, other: str) -> str:
    return f"{role.capitalize()} {name}: taken as {other} of this book."


def horse_words(horse: Horse) -> str:
    """`Larkspur, mare, born 2014, chip 000`"""
    born = f"born {horse.born}" if horse.born else ""
    return ", ".join(part for part in (horse.name, horse.sex, born, horse.identity) if part)


def is_known_remark(remark: Remark) -> bool:
    """Whether there is a sentence for a remark that comes from elsewhere, and its facts fit in."""
    if remark.code not in SENTENCES:
        return False
    try:
        sentence(remark)
    except (ValueError, TypeError, LookupError):
        return False
    return True
