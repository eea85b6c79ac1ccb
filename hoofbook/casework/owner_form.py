"""The form of an owner's paper: what can be chosen, and the paper as it would come out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.owner_facts import OwnerFacts, OwnerWishes, read_owner_facts
from hoofbook.casework.papers import make_owner_paper, owner_picture_bytes, owner_sheet_pages, practice_of
from hoofbook.casework.to_send import place_to_send
from hoofbook.housekeeping.files import safe_name
from hoofbook.terms.refusal import Refused
from hoofbook.terms.shown import EmptyPlace, Pick
from hoofbook.terms.subjects import Photo
from hoofbook.wording import owner as words
from hoofbook.wording import papers_place

PICTURE, SHEET = "picture", "sheet"
_SUFFIX = {PICTURE: ".jpg", SHEET: ".pdf"}


@dataclass(frozen=True, slots=True)
class OwnerForm:
    """What the form shows. `photos` are the keys of the earlier and the later one, `hidden` how many parts of each
    nobody shall see; `pages` the paper as pictures; `look_again` sentences to read before it is sent."""

    horse: str
    kind: Pick
    form: Pick
    feet: Pick
    views: Pick
    then: Pick
    now: Pick
    advice: Pick
    ticks: Pick
    photos: tuple[str, str] = ("", "")
    hidden: tuple[int, int] = (0, 0)
    pages: tuple[bytes, ...] = ()
    look_again: tuple[str, ...] = ()
    file_name: str = ""
    read_only: bool = False
    empty: EmptyPlace | None = None


def read_owner_form(open_book: OpenBook, horse: str, wishes: OwnerWishes, kind: str) -> OwnerForm:
    """The form with the paper as wished (`kind` picture or sheet).

    Raises:
        Refused: what cannot be on the paper as wished (advice, words too long).
    """
    plain = _plain_form(open_book, horse, wishes, kind)
    try:
        facts = read_owner_facts(open_book, horse, wishes)
    except Refused as error:
        if error.refusal.code != "pair_missing":
            raise
        return replace(plain, empty=EmptyPlace(*papers_place.NO_OWNER_PAPER, action="photos_in"))
    if kind == SHEET:
        pages = owner_sheet_pages(open_book, facts, wishes)
    else:
        pages = (owner_picture_bytes(open_book, facts, wishes, _SUFFIX[PICTURE]),)
    again = papers_place.look_again(
        next_due=facts.horse.next_due, practice=practice_of(open_book, wishes), note=wishes.note
    )
    return _filled(open_book, plain, facts, pages, again)


def make_from_form(open_book: OpenBook, horse: str, wishes: OwnerWishes, kind: str, out: Path | None = None) -> Path:
    """The paper in `out`, or in the To send folder of today. Refused: as `make_owner_paper`."""
    name = _file_name(open_book, horse, kind)
    return make_owner_paper(open_book, horse, wishes, out or place_to_send(open_book, name))


def _plain_form(open_book: OpenBook, horse: str, wishes: OwnerWishes, kind: str) -> OwnerForm:
    ticks = [name for name, ticked in (("owner", wishes.name_owner), ("blood", wishes.with_blood)) if ticked]
    return OwnerForm(
        horse=horse,
        kind=Pick("kind", papers_place.KIND, tuple(papers_place.KINDS), tuple(papers_place.KINDS.values()), kind),
        form=Pick(
            "form", papers_place.FORM, tuple(papers_place.FORMS), tuple(papers_place.FORMS.values()), wishes.form
        ),
        feet=Pick("feet", "", (), ()),
        views=Pick("views", "", (), ()),
        then=Pick("then", papers_place.EARLIER, (), ()),
        now=Pick("now", papers_place.LATER, (), ()),
        advice=Pick(
            "advice",
            papers_place.CARE,
            tuple(words.ADVICE),
            tuple(words.ADVICE),
            ",".join(wishes.advice),
            many=True,
        ),
        ticks=Pick(
            "ticks",
            papers_place.TICKS,
            ("owner", "blood"),
            (papers_place.NAME_THE_OWNER, papers_place.WITH_BLOOD),
            ",".join(ticks),
            many=True,
        ),
        file_name=_file_name(open_book, horse, kind),
        read_only=open_book.read_only,
    )


def _pick(field: str, label: str, choices: Mapping[str, str], chosen: str) -> Pick:
    return Pick(field, label, tuple(choices), tuple(choices.values()), chosen)


def _filled(
    open_book: OpenBook, form: OwnerForm, facts: OwnerFacts, pages: tuple[bytes, ...], again: Sequence[str]
) -> OwnerForm:
    sheet = facts.sheet
    keys = tuple(tile.key for tile in sheet.strip)
    days = tuple(tile.caption for tile in sheet.strip)
    chosen = (facts.then.key, facts.now.key)
    photos = [open_book.book.get(Photo, uuid(key)) for key in chosen]
    return replace(
        form,
        feet=replace(sheet.feet, field="feet"),
        views=replace(sheet.views, field="views"),
        then=Pick("then", papers_place.EARLIER, keys, days, chosen[0]),
        now=Pick("now", papers_place.LATER, keys, days, chosen[1]),
        photos=chosen,
        hidden=(len(photos[0].covered), len(photos[1].covered)),
        pages=pages,
        look_again=(
            *((sheet.banner,) if sheet.banner else ()),
            *again,
        ),
    )


def _file_name(open_book: OpenBook, horse: str, kind: str) -> str:
    return f"{safe_name(open_book.horse(horse).name)}-owner-{kind}{_SUFFIX[kind]}"
