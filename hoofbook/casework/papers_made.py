"""The list of papers made for one horse: the same bytes again, and what a person says of sending them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.paper_log import kept_file, made_again
from hoofbook.casework.to_send import place_to_send
from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.shown import EmptyPlace
from hoofbook.terms.subjects import PaperMade, PaperSent
from hoofbook.wording import handover, owner, papers_place, vet_case

_PAGE_OF = {owner.PICTURE: "owner", owner.SHEET: "owner", vet_case.KIND: "vet", handover.KIND: "handover"}


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One paper: `page` names the page on which such a one is made ("": none), `kept` says that its bytes are here."""

    key: str
    title: str
    lines: tuple[str, ...]
    sent_words: str
    sent: bool
    kept: bool
    page: str


@dataclass(frozen=True, slots=True)
class PapersMade:
    horse: str
    lines: tuple[PaperLine, ...]
    read_only: bool
    empty: EmptyPlace | None = None


def read_papers_made(open_book: OpenBook, horse: str) -> PapersMade:
    """Every paper of the horse, newest first."""
    papers = open_book.book.every(PaperMade, horse=uuid(horse))
    sent = {told.paper: told.sent_on for told in open_book.book.every(PaperSent)}  # in order: the newest counts
    lines = []
    for paper in reversed(papers):
        day = sent.get(paper.key)
        lines.append(
            PaperLine(
                key=str(paper.key),
                title=papers_place.paper_title(paper, paper.made_at.astimezone()),
                lines=papers_place.paper_lines(paper),
                sent_words=papers_place.sent_words(day),
                sent=day is not None,
                kept=kept_file(open_book, paper.sha256, Path(paper.file_name).suffix.lower()).is_file(),
                page=_PAGE_OF.get(paper.kind, ""),
            )
        )
    empty = None if lines else EmptyPlace(*papers_place.NOTHING_MADE, action="owner")
    return PapersMade(horse, tuple(lines), open_book.read_only, empty)


def put_again(open_book: OpenBook, paper: str) -> Path:
    """The paper as it was made, in the To send folder of today. Refused: `paper_not_kept`, or no room to write."""
    kept = open_book.book.get(PaperMade, uuid(paper))
    out = place_to_send(open_book, kept.file_name)
    write_atomic(out, made_again(open_book, kept))
    return out


def tell_sent(open_book: OpenBook, paper: str, *, sent: bool) -> None:
    """Notes that the paper was sent today, or was not after all; what was noted before stays in the book."""
    from hoofbook.records.keys import new_key

    now = open_book.clock.now()
    with open_book.book.writing() as writer:
        writer.add(PaperSent(new_key(), uuid(paper), now, now.date() if sent else None))
