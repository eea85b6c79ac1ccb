"""Papers for the owner: the Owner picture for a telephone and the Owner sheet, logged and kept so that they can be
had again as they were."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook import __version__
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pair_by_day import pair_by_day
from hoofbook.casework.pair_facts import numbers_of
from hoofbook.casework.readings import read_readings
from hoofbook.casework.then_and_now import PairSheet, PairSide, read_pair
from hoofbook.housekeeping.files import world_errors, write_atomic
from hoofbook.progress.change import Progress
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Horse, PaperMade, Person, Photo
from hoofbook.wording import owner as words
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.numbers import amount
from hoofbook.wording.pairs import NOT_TO_SCALE

if TYPE_CHECKING:
    from hoofbook.imaging.owner_picture import OwnerPicture

ALL_CODES = ("pair_missing", "owner_paper_kind_unknown", "owner_form_unknown", "paper_not_kept")
FORMS = ("portrait", "square")
KEPT_IN = "papers"
_PICTURES = (".png", ".jpg", ".jpeg")
CoverBox = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class OwnerWishes:
    """What a person chooses. `foot`, `view` are short names ("" = the goal's); `covered` are boxes to hide in the
    earlier and the later photo, as shares of the upright photo; `advice` are keys of `wording.owner.ADVICE`."""

    foot: str = ""
    view: str = ""
    then: str = ""
    now: str = ""
    form: str = "portrait"
    practice: str = ""
    name_owner: bool = False
    note: str = ""
    advice: tuple[str, ...] = ()
    covered: tuple[tuple[CoverBox, ...], tuple[CoverBox, ...]] = ((), ())


@dataclass(frozen=True, slots=True)
class OwnerFacts:
    """All that both papers say, read from the book once."""

    horse: Horse
    owner: str
    sheet: PairSheet
    then: PairSide
    now: PairSide
    progress: Progress | None
    said: str
    scale: str


def make_owner_paper(open_book: OpenBook, horse: str, wishes: OwnerWishes, out: Path) -> Path:
    """Writes the picture (.png, .jpg) or the sheet (.pdf) by the name of `out`, logs it and keeps its bytes.

    Raises:
        Refused: codes in `ALL_CODES`, those of `pair_by_day`, or where it cannot be written.
    """
    suffix = out.suffix.lower()
    if suffix not in _PICTURES:
        raise Refused(Refusal("owner_paper_kind_unknown", {"file": out.name}))
    facts = read_owner_facts(open_book, horse, wishes)
    made = owner_picture_bytes(open_book, facts, wishes, suffix)
    write_atomic(out, made)
    _prove(out)
    if not open_book.read_only:
        _keep(open_book, facts, words.PICTURE, out, made)
    return out.resolve()


def read_owner_facts(open_book: OpenBook, horse: str, wishes: OwnerWishes) -> OwnerFacts:
    """The pair, the one sentence and what stands beside them. Refused: as `make_owner_paper`."""
    kept = open_book.horse(horse)
    foot, view = _chosen(open_book, horse, wishes)
    sheet = pair_by_day(open_book, kept.name, foot, view, then=wishes.then, now=wishes.now)
    if sheet.then is None or sheet.now is None:
        raise Refused(Refusal("pair_missing", {}))
    progress = _progress(open_book, kept, sheet)
    days = (date.fromisoformat(sheet.then.day), date.fromisoformat(sheet.now.day))
    banner = "" if sheet.banner == NOT_TO_SCALE else sheet.banner
    person = open_book.book.get(Person, kept.owner).name if kept.owner and wishes.name_owner else ""
    return OwnerFacts(
        horse=kept,
        owner=person,
        sheet=sheet,
        then=sheet.then,
        now=sheet.now,
        progress=None if banner else progress,
        said=banner or words.change_words(progress if sheet.to_scale else None, days),
        scale=words.scale_words(sheet.to_scale),
    )


def owner_picture_bytes(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes, suffix: str) -> bytes:
    """The picture as PNG or JPEG bytes, made from pixels alone. Refused: `owner_form_unknown`."""
    from hoofbook.imaging.compose import encode
    from hoofbook.imaging.owner_picture import owner_picture

    if wishes.form not in FORMS:
        raise Refused(Refusal("owner_form_unknown", {"found": wishes.form}))
    return encode(owner_picture(_picture(open_book, facts, wishes)).pixels, suffix)


def made_again(open_book: OpenBook, paper: PaperMade) -> bytes:
    """The bytes of a paper as it was made. Refused: `paper_not_kept` where they are gone or are not the same."""
    file = kept_file(open_book, paper.sha256, Path(paper.file_name).suffix.lower())
    if not file.is_file():
        raise Refused(Refusal("paper_not_kept", {"file": paper.file_name}))
    with world_errors(file, reading=True):
        data = file.read_bytes()
    if hashlib.sha256(data).hexdigest() != paper.sha256:
        raise Refused(Refusal("paper_not_kept", {"file": paper.file_name}))
    return data


def kept_file(open_book: OpenBook, sha256: str, suffix: str) -> Path:
    return open_book.folder / KEPT_IN / sha256[:2] / f"{sha256}{suffix}"


def _prove(out: Path) -> None:
    """Reads the written picture again: nothing but its pixels may be in it."""
    from hoofbook.imaging.only_pixels import only_pixels

    if not only_pixels(out.read_bytes()):
        out.unlink()
        raise RuntimeError("a picture came out with more in it than its pixels")


def _chosen(open_book: OpenBook, horse: str, wishes: OwnerWishes) -> tuple[str, str]:
    """Foot and view as wished, else those that Then and now would show."""
    if wishes.foot and wishes.view:
        return wishes.foot, wishes.view
    known = wishes.foot in [foot.value for foot in Foot]
    first = read_pair(open_book, horse, wishes.foot if known else "")
    if first.empty is not None:
        raise Refused(Refusal("pair_missing", {}))
    return wishes.foot or first.feet.chosen, wishes.view or first.views.chosen


def _progress(open_book: OpenBook, horse: Horse, sheet: PairSheet) -> Progress | None:
    """How the goal stands that the pair's view shows; None where no goal of this foot can be seen in it."""
    assert sheet.then is not None and sheet.now is not None
    readings = read_readings(open_book, horse.key)
    then, now = (open_book.book.get(Photo, uuid(side.key)) for side in (sheet.then, sheet.now))
    shown = {number.followable for number in numbers_of(readings, (then, now))}
    return next((progress for followed, (_, progress) in readings.goals.items() if followed in shown), None)


def _picture(open_book: OpenBook, facts: OwnerFacts, wishes: OwnerWishes) -> OwnerPicture:
    from hoofbook.imaging.compose import PictureSource
    from hoofbook.imaging.owner_picture import OwnerPicture
    from hoofbook.papers.calendar_entry import calendar_entry

    sheet, horse = facts.sheet, facts.horse
    then, now = (
        PictureSource(side.path, side.to_mm, covered=boxes)
        for side, boxes in zip((facts.then, facts.now), wishes.covered, strict=True)
    )
    due = horse.next_due
    entry = f"{horse.key}-{due:%Y%m%d}" if due else ""
    summary = words.calendar_summary(horse.name)
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
        practice=wishes.practice or open_book.person,
        owner=words.owner_line(facts.owner) if facts.owner else "",
        calendar=calendar_entry(entry, due, summary, open_book.clock.now()) if due else "",
        bar_mm=sheet.scale_bar_mm if sheet.to_scale else None,
        bar_words=amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
        form=wishes.form,
    )


def _day_words(side: PairSide) -> str:
    return day_month_year(date.fromisoformat(side.day))


def _keep(open_book: OpenBook, facts: OwnerFacts, kind: str, out: Path, made: bytes) -> None:
    """The bytes first, then the row: a crash between leaves a spare file, never a row without one."""
    from hoofbook.records.keys import new_key

    digest = hashlib.sha256(made).hexdigest()
    file = kept_file(open_book, digest, out.suffix.lower())
    file.parent.mkdir(parents=True, exist_ok=True)
    write_atomic(file, made)
    now, horse = open_book.clock.now(), facts.horse.key
    with open_book.book.writing() as writer:
        writer.add(PaperMade(new_key(), horse, now, kind, facts.owner, digest, out.name, __version__))
