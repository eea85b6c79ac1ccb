"""Papers for the owner: the Owner picture for a telephone and the Owner sheet, logged and kept so that they can be
had again as they were."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.owner_facts import OwnerFacts, OwnerWishes, read_owner_facts
from hoofbook.casework.paper_log import log_paper
from hoofbook.casework.photo_lost import opening
from hoofbook.casework.set_up import read_logo
from hoofbook.casework.then_and_now import PairSide
from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.quantity import Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.wording import owner as words
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.names import breakable, name_on_paper
from hoofbook.wording.numbers import amount

if TYPE_CHECKING:
    from hoofbook.imaging.compose import PictureSource
    from hoofbook.imaging.owner_picture import OwnerPicture
    from hoofbook.papers.owner_sheet import OwnerSheet

ALL_CODES = ("owner_paper_kind_unknown", "owner_form_unknown")
FORMS = ("portrait", "square")
_PICTURES = (".png", ".jpg", ".jpeg")


def make_owner_paper(open_book: OpenBook, horse: str, wishes: OwnerWishes, out: Path) -> Path:
    """Writes the picture (.png, .jpg) or the sheet (.pdf) by the name of `out`, logs it and keeps its bytes.

    Raises:
        Refused: codes in `ALL_CODES`, as `read_owner_facts`, or where it cannot be written.
    """
    suffix = out.suffix.lower()
    if suffix not in (*_PICTURES, ".pdf"):
        raise Refused(Refusal("owner_paper_kind_unknown", {"file": out.name}))
    _known_form(wishes)
    facts = read_owner_facts(open_book, horse, wishes)
    if suffix == ".pdf":
        kind, made = words.SHEET, owner_sheet_bytes(open_book, facts, wishes)
    else:
        kind, made = words.PICTURE, owner_picture_bytes(open_book, facts, wishes, suffix)
        _prove(made)
    write_atomic(out, made)
    log_paper(
        open_book, facts.horse.key, kind, made, file_name=out.name, made_for=facts.owner, numbers=(facts.said,)
    )  # fmt: skip
    return out.resolve()


def owner_picture_bytes(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes, suffix: str) -> bytes:
    """The picture as PNG or JPEG bytes, made from pixels alone. Refused: `owner_form_unknown`."""
    from hoofbook.imaging.compose import encode
    from hoofbook.imaging.owner_picture import owner_picture

    _known_form(wishes)
    return encode(owner_picture(_picture(open_book, facts, wishes)).pixels, suffix)


def owner_sheet_bytes(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes) -> bytes:
    """The sheet as a PDF of one A4 page."""
    from hoofbook.papers.owner_sheet import make_owner_sheet

    return make_owner_sheet(_sheet(open_book, facts, wishes))


def owner_sheet_pages(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes) -> tuple[bytes, ...]:
    """The page as a PNG picture, to look at before it is made."""
    from hoofbook.papers.owner_sheet import owner_sheet_pages

    return owner_sheet_pages(_sheet(open_book, facts, wishes))


def _known_form(wishes: OwnerWishes) -> None:
    if wishes.form not in FORMS:
        raise Refused(Refusal("owner_form_unknown", {"found": wishes.form}))


def _prove(made: bytes) -> None:
    """Looks the finished picture through before it is written: nothing but its pixels may be in it."""
    from hoofbook.imaging.only_pixels import only_pixels

    if not only_pixels(made):
        raise RuntimeError("a picture came out with more in it than its pixels")


def _calendar(open_book: OpenBook, facts: OwnerFacts) -> str:
    """The next visit as a calendar entry; empty where none is set."""
    from hoofbook.papers.calendar_entry import calendar_entry

    horse, due = facts.horse, facts.horse.next_due
    if due is None:
        return ""
    key = f"{horse.key}-{due:%Y%m%d}"
    return calendar_entry(key, due, words.calendar_summary(horse.name), open_book.clock.now())


def _sheet(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes) -> OwnerSheet:
    from hoofbook.imaging.compose import PairPicture, encode, then_and_now
    from hoofbook.imaging.owner_picture import code_picture
    from hoofbook.papers.owner_sheet import OwnerSheet
    from hoofbook.wording.charts import sparkline

    sheet, today = facts.sheet, open_book.clock.now().date()
    dates = (_day_words(facts.then), _day_words(facts.now))
    then, now = _sources(facts, wishes)
    pair = PairPicture(
        replace(then, caption=(dates[0],)),
        replace(now, caption=(dates[1],)),
        frame_mm=sheet.frame_mm,
        scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else None,
        scale_bar_words=amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
        framed=False,
    )
    readings = facts.progress.series.readings if facts.progress else ()
    calendar = _calendar(open_book, facts)
    return OwnerSheet(
        horse=name_on_paper(facts.horse.name),
        day=today,
        practice=practice_of(open_book, wishes),
        owner=words.owner_line(facts.owner) if facts.owner else "",
        beside=words.joined(sheet.title, words.from_to(*dates)),
        dates=dates,
        said=facts.said,
        facts=words.joined(sheet.subtitle, facts.scale),
        pair=encode(then_and_now(pair), ".jpg"),
        chart=sparkline(readings, width=650, height=120, text_size=11.0) if len(readings) > 1 else None,
        chart_title=words.chart_title(facts.progress),
        next_day=words.next_visit_words(facts.horse.next_due),
        code=encode(code_picture(calendar, 4), ".png") if calendar else b"",
        care=tuple(words.ADVICE[key] for key in wishes.advice),
        note="\n".join(breakable(line) for line in wishes.note.strip().splitlines()),
        logo=read_logo(),
    )


def _sources(facts: OwnerFacts, wishes: OwnerWishes) -> tuple[PictureSource, PictureSource]:
    from hoofbook.imaging.compose import PictureSource, photo_size

    then, now = facts.then, facts.now
    for side in (then, now):
        with opening(date.fromisoformat(side.day)):
            photo_size(side.path)
    return (
        PictureSource(then.path, then.to_mm, covered=(*then.covered, *wishes.covered[0])),
        PictureSource(now.path, now.to_mm, covered=(*now.covered, *wishes.covered[1])),
    )


def _picture(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes) -> OwnerPicture:
    from hoofbook.imaging.owner_picture import OwnerPicture

    sheet, horse = facts.sheet, facts.horse
    then, now = _sources(facts, wishes)
    due = horse.next_due
    return OwnerPicture(
        then=then,
        now=now,
        frame_mm=sheet.frame_mm,
        horse=horse.name,
        beside=sheet.title,
        dates=(_day_words(facts.then), _day_words(facts.now)),
        facts=sheet.subtitle,
        said=facts.said,
        scale=facts.scale,
        next_label=words.NEXT_VISIT if due else words.NO_NEXT_VISIT,
        next_day=words.next_visit_words(due),
        caution=words.CAUTION,
        practice=practice_of(open_book, wishes),
        owner=words.owner_line(facts.owner) if facts.owner else "",
        calendar=_calendar(open_book, facts),
        bar_mm=sheet.scale_bar_mm if sheet.to_scale else None,
        bar_words=amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
        form=wishes.form,
    )


def practice_of(open_book: OpenBook, wishes: OwnerWishes) -> str:
    """The name on the paper: as wished, as set up, else the person's own."""
    return wishes.practice or open_book.settings.practice or open_book.person


def _day_words(side: PairSide) -> str:
    return day_month_year(date.fromisoformat(side.day))
