"""Words of the place Papers: its four papers, their forms, and the list of what was made."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from types import MappingProxyType

from hoofbook.terms.subjects import PaperMade
from hoofbook.wording import plain_words
from hoofbook.wording.dates import day_month_year

PAPERS = MappingProxyType({"owner": "For the owner", "vet": "Vet case", "handover": "Handover", "made": "Made so far"})
WHICH = "Which paper"

# for the owner
OWNER_TITLE = "For the owner"
OWNER_WORDS = "Two photos of one foot at one scale, what can honestly be said of them, and the next visit."
KIND = "What to make"
KINDS = MappingProxyType({"picture": "picture for a phone", "sheet": "sheet of paper"})
FORM = "Shape"
FORMS = MappingProxyType({"portrait": "upright", "square": "square"})
EARLIER, LATER = "Earlier photo", "Later photo"
TICKS = "Also"
NAME_THE_OWNER, WITH_BLOOD = "name the owner", "photos with blood or pus"
CARE = "Until the next visit"
NOTE = "Your own words"
NOTE_HINT = "Stands on the sheet as yours"
HIDE = "Hide something"
HIDE_EARLIER, HIDE_LATER = "In the earlier photo", "In the later photo"
HIDDEN_PARTS = "{count} hidden"
NO_OWNER_PAPER = (
    "No two photos yet",
    "An owner's picture shows one foot at two visits. Bring in photos of the same view from two visits.",
    "Photos in",
)
NO_PREVIEW = ("The picture comes here", "It is made anew with every choice you make.")

# making
PUT_IN_TO_SEND = "Put it in To send"
SAVE_ELSEWHERE = "Save it elsewhere"
SAVE_TITLE = "Save it as"
OPEN_TO_SEND = "Open To send"
MADE_IN = "It is in {file}. Nothing has been sent: send it yourself, then note that under {made}."
SETTING = "Making it…"

# made so far
MADE_TITLE = "Made so far"
MADE_WORDS = "Every paper is kept as it was made. Again gives the same file, to the last letter; Anew makes another."
NOTHING_MADE = (
    "Nothing made yet",
    "What you make for an owner, a vet or the next farrier is listed here, with what it said and whether it was sent.",
    "Make a picture for the owner",
)
AGAIN, ANEW, SENT, NOT_SENT = "Again", "Anew", "It was sent today", "Not sent after all"
AGAIN_IN = "The same file as then is in {file}."
NOT_KEPT = "Not kept here"


def paper_title(paper: PaperMade, made: datetime) -> str:
    """`Owner picture, 30 Sep 2025 14:05`"""
    return f"{paper.kind}, {day_month_year(made.date())} {made:%H:%M}"


def paper_lines(paper: PaperMade) -> tuple[str, ...]:
    """For whom, in which file, and what it told."""
    whose = f"For {paper.made_for} · " if paper.made_for else ""
    return (f"{whose}{paper.file_name}", *paper.numbers)


def sent_words(sent_on: date | None) -> str:
    return f"Sent on {day_month_year(sent_on)}" if sent_on else "Made, not noted as sent"


def hidden_words(label: str, count: int) -> str:
    """`In the earlier photo (2 hidden)`"""
    return f"{label} ({HIDDEN_PARTS.format(count=count)})" if count else label


YOUR_WORDS = "your own words"
NO_NEXT_VISIT = "No next visit is set, so the paper names none."
NO_PRACTICE = "No name of yours is set up, so nobody is named on the paper. Add it under Set up."


def look_again(*, next_due: date | None, practice: str, note: str) -> Sequence[str]:
    """What a person may want to mend before it is sent."""
    lines = [words for words, missing in ((NO_NEXT_VISIT, next_due is None), (NO_PRACTICE, not practice)) if missing]
    said = plain_words.vets_words(note)
    return [*lines, plain_words.look_again(YOUR_WORDS, said)] if said else lines
