"""What an owner's picture and sheet say, read from the book once for both."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pair_by_day import pair_of_days
from hoofbook.casework.pair_choice import chosen_foot_and_view, comparable_photos
from hoofbook.casework.pair_facts import numbers_of
from hoofbook.casework.readings import read_readings
from hoofbook.casework.then_and_now import PairSheet, PairSide, read_pair
from hoofbook.progress.change import Progress
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import CoverBox, Horse, Person, Photo
from hoofbook.wording import owner as words
from hoofbook.wording.pairs import NOT_TO_SCALE

ALL_CODES = ("pair_missing", "two_days_needed", "photos_show_blood", "advice_unknown", "owner_note_long")
LONGEST_NOTE = 300  # letters that the one page has room for


@dataclass(frozen=True, slots=True)
class OwnerWishes:
    """What a person chooses. `foot`, `view` are short names ("" = the goal's); `then`, `now` are days, or `photos` the
    keys of both; `covered` are boxes to hide in the earlier and the later photo beside those kept with the photos, as
    shares of the upright photo; `advice` are keys of `wording.owner.ADVICE`; `with_blood` takes photos that show blood
    too."""

    foot: str = ""
    view: str = ""
    then: str = ""
    now: str = ""
    photos: tuple[str, str] | None = None
    form: str = "portrait"
    practice: str = ""
    name_owner: bool = False
    note: str = ""
    advice: tuple[str, ...] = ()
    covered: tuple[tuple[CoverBox, ...], tuple[CoverBox, ...]] = ((), ())
    with_blood: bool = False


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


def read_owner_facts(open_book: OpenBook, horse: str, wishes: OwnerWishes) -> OwnerFacts:
    """The pair, the one sentence and what stands beside them. Refused: `ALL_CODES`, and as `pair_of_days`."""
    for key in wishes.advice:
        if key not in words.ADVICE:
            raise Refused(Refusal("advice_unknown", {"found": key, "known": ", ".join(words.ADVICE)}))
    if len(wishes.note) > LONGEST_NOTE:
        raise Refused(Refusal("owner_note_long", {"length": len(wishes.note), "most": LONGEST_NOTE}))
    kept = open_book.horse(horse)
    foot, view = _chosen(open_book, kept, wishes)
    if wishes.photos:
        if wishes.photos[0] == wishes.photos[1]:
            raise Refused(Refusal("two_days_needed", {}))
        _look_for_blood(open_book, wishes, wishes.photos)
        sheet = read_pair(open_book, horse, foot, view, then=wishes.photos[0], now=wishes.photos[1])
    else:
        sheet = pair_of_days(
            open_book, kept.key, foot, view, then=wishes.then, now=wishes.now, with_blood=wishes.with_blood
        )
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


def _look_for_blood(open_book: OpenBook, wishes: OwnerWishes, photos: tuple[str, str]) -> None:
    """Refused where a photo chosen by hand shows blood and that was not asked for."""
    shown = [open_book.book.get(Photo, uuid(key)) for key in photos]
    if not wishes.with_blood and any(photo.shows_blood for photo in shown):
        raise Refused(Refusal("photos_show_blood", {}))


def _chosen(open_book: OpenBook, horse: Horse, wishes: OwnerWishes) -> tuple[str, str]:
    """Foot and view as wished, else those that Then and now would show."""
    if wishes.foot and wishes.view:
        return wishes.foot, wishes.view
    known = wishes.foot in [foot.value for foot in Foot]
    photos, readings = comparable_photos(open_book, horse.key), read_readings(open_book, horse.key)
    foot, view = chosen_foot_and_view(photos, readings, wishes.foot if known else "", "")
    if foot is None or view is None:
        raise Refused(Refusal("pair_missing", {}))
    return wishes.foot or foot.value, wishes.view or view.value


def _progress(open_book: OpenBook, horse: Horse, sheet: PairSheet) -> Progress | None:
    """How the goal stands that the pair's view shows; None where no goal of this foot can be seen in it."""
    assert sheet.then is not None and sheet.now is not None
    readings = read_readings(open_book, horse.key)
    then, now = (open_book.book.get(Photo, uuid(side.key)) for side in (sheet.then, sheet.now))
    shown = {number.followable for number in numbers_of(readings, (then, now))}
    return next((progress for followed, (_, progress) in readings.goals.items() if followed in shown), None)
