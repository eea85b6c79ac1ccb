"""The place Photo tray: photos in, sorted to horse, visit, foot, view and moment."""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import group_of, is_set, measure_again
from hoofbook.casework.sole_sets import SET, joined, together
from hoofbook.casework.taking_in import Arrived, Filing, change_photo, photos_under, take_one
from hoofbook.casework.tiles import tile_of
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, Step
from hoofbook.terms.subjects import Horse, Photo, Visit
from hoofbook.terms.views import CardPlane, CardStand, Moment, View
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name, moment_name, view_name
from hoofbook.wording.refusals import sentence
from hoofbook.wording.remarks import sentence as remark_sentence
from hoofbook.wording.repeatability import RETAKE as TAKES
from hoofbook.wording.tray import (
    IN_SET,
    NO_PHOTOS,
    PICK_LABELS,
    SEEN_FROM,
    STATES,
    card_plane_name,
    card_stand_name,
    taken_words,
)

PLACED_BY = frozenset(("visit", "foot", "view", "moment", "picture_only"))  # they decide in which set a photo may be
_WHOLE_FIELDS: Mapping[str, Any] = {
    "foot": Foot,
    "view": View,
    "moment": Moment,
    "card_plane": CardPlane,
    "card_stands_on": CardStand,
}


@dataclass(frozen=True, slots=True)
class TrayLine:
    """One photo of the tray. `state` is "filed", "to sort", "already here" or "refused"."""

    key: str
    tile: PhotoTile
    name: str
    taken: str
    horse: str
    visit: str
    foot: str
    view: str
    moment: str
    grade: str
    remarks: tuple[str, ...]
    state: str
    seen_from: str = ""
    seen: str = ""  # the view and the side it was taken from
    take: str = ""
    in_set: str = ""
    second: bool = False  # a second take
    together: tuple[str, ...] = ()  # just after it was filed: photos of its sole set, told the same take
    same_set: tuple[str, ...] = ()  # just after it was filed: the others of the sole set it is in now


def take_in(
    open_book: OpenBook,
    paths: Sequence[Path],
    *,
    horse: str = "",
    visit: str = "",
    foot: str = "",
    view: str = "",
    moment: str = "",
    set_name: str = "",
) -> Generator[Step, None, tuple[TrayLine, ...]]:
    """Takes photos in one by one; stopping keeps those that are in. Tags and the clock sort what was not told.

    Raises:
        Refused: where nothing can be written; a fault of one photo becomes its own line.
    """
    kept = open_book.horse(horse)
    files = photos_under(paths)
    visits = open_book.book.every(Visit, horse=kept.key)
    lines = []
    for number, path in enumerate(files):
        yield Step(number, len(files), path.name)
        filing = Filing(
            kept.key,
            visit=uuid(visit) if visit else None,
            foot=Foot(foot) if foot else None,
            view=View(view) if view else None,
            moment=Moment(moment) if moment else None,
            set_name=set_name,
        )
        arrived = take_one(open_book, path, filing)
        if arrived.photo is not None and arrived.photo.visit is None and not arrived.known:
            found = visit_of_day(visits, arrived.photo.local_time)
            if found is not None:
                arrived = Arrived(path, change_photo(open_book, arrived.photo, visit=found), arrived.sighting)
        if arrived.photo is not None and not arrived.known:
            arrived = Arrived(path, joined(open_book, arrived.photo), arrived.sighting)
        lines.append(_line(open_book, arrived, {item.key: item.day for item in visits}, kept))
    yield Step(len(files), len(files), "")
    return tuple(lines)


def visit_of_day(visits: Sequence[Visit], local_time: str) -> UUID | None:
    """The visit on the day the photo's own clock shows, None where there is none."""
    return next((visit.key for visit in visits if local_time[:10] == visit.day.isoformat()), None)


def read_tray(open_book: OpenBook, horse: str = "") -> tuple[TrayLine, ...] | EmptyPlace:
    """All photos of a horse, those still to sort first."""
    kept = open_book.horse(horse)
    days = {visit.key: visit.day for visit in open_book.book.every(Visit, horse=kept.key)}
    photos = open_book.book.photos(kept.key)
    if not photos:
        return EmptyPlace(*NO_PHOTOS, action="photos_in")
    lines = [_line(open_book, Arrived(Path(photo.given_name), photo), days, kept) for photo in photos]
    return tuple(sorted(lines, key=lambda line: line.state != "to sort"))


def _line(open_book: OpenBook, arrived: Arrived, days: Mapping[UUID, date], horse: Horse) -> TrayLine:
    photo = arrived.photo
    if photo is None:
        words = sentence(arrived.refusal or Refusal("photo_unreadable", {"file": arrived.source.name}))
        tile = PhotoTile("", Path(), arrived.source, arrived.source.name, warned=True)
        return TrayLine("", tile, arrived.source.name, "", horse.name, "", "", "", "", "", (words,), "refused")
    sorted_in = photo.visit is not None and None not in (photo.foot, photo.view, photo.moment)
    state = "already here" if arrived.known else ("filed" if sorted_in else "to sort")
    remarks = tuple(remark_sentence(remark) for remark in photo.remarks)
    return TrayLine(
        key=str(photo.key),
        tile=tile_of(open_book, photo, STATES[state]),
        name=photo.given_name,
        taken=taken_words(photo.local_time),
        horse=horse.name,
        visit=day_month_year(days[photo.visit]) if photo.visit is not None and photo.visit in days else "",
        foot=foot_name(photo.foot) if photo.foot else "",
        view=view_name(photo.view) if photo.view else "",
        moment=moment_name(photo.moment) if photo.moment else "",
        grade=tile_of(open_book, photo).grade,
        remarks=remarks,
        state=state,
        seen=view_name(photo.view, from_inside=photo.from_inside) if photo.view else "",
        take=TAKES["second" if photo.retake else "first"],
        in_set=IN_SET["together" if is_set(photo) else "alone"] if photo.view is View.SOLAR else "",
        second=photo.retake,
        seen_from=SEEN_FROM["inside" if photo.from_inside else "outside"] if photo.view is View.LATERAL else "",
    )


def file_photo(
    open_book: OpenBook,
    photo: str,
    *,
    visit: str | None = None,
    foot: str | None = None,
    view: str | None = None,
    moment: str | None = None,
    set_name: str | None = None,
    picture_only: bool | None = None,
    card_plane: str | None = None,
    card_stands_on: str | None = None,
    seen_from: str | None = None,
    take: str | None = None,
    in_set: str | None = None,
) -> TrayLine:
    """Files a photo elsewhere in one action (the old filing stays in the log) and measures it again.

    `seen_from`: "inside" where the lens of a side view stood on the foot's inside, else "outside". `take`: "second"
    where card and foot were put down and the photo taken once more, else "first"; it is told of a whole sole set.
    `in_set`: "together" with the other sole photos of the same foot and moment, or "alone".
    """
    kept = open_book.book.get(Photo, uuid(photo))
    told = {"foot": foot, "view": view, "moment": moment, "card_plane": card_plane, "card_stands_on": card_stands_on}
    fields: dict[str, Any] = {name: _WHOLE_FIELDS[name](v) if v else None for name, v in told.items() if v is not None}
    if visit is not None:
        fields["visit"] = uuid(visit) if visit else None
    if seen_from is not None:
        fields["from_inside"] = seen_from == "inside"
    plain = {"set_name": set_name, "picture_only": picture_only}
    fields |= {name: value for name, value in plain.items() if value is not None}
    if in_set is not None:
        fields["set_name"] = SET if in_set == "together" else ""
    if fields.get("foot") is not None and fields["foot"] is not kept.foot:
        fields["foot_checked"] = False
    return _filed(open_book, kept, fields, None if take is None else take == "second")


def _filed(open_book: OpenBook, kept: Photo, fields: Mapping[str, Any], second: bool | None) -> TrayLine:
    """Changes the filing, then measures anew what the photo was measured with before and what it is measured with
    now."""
    book = open_book.book
    before = group_of(kept, book.photos(kept.horse, visit=kept.visit, foot=kept.foot))
    others = [other for other in before if other.key != kept.key]
    changed = change_photo(open_book, kept, **fields)
    if fields.get("set_name") == SET:
        changed = together(open_book, changed)
    elif PLACED_BY & fields.keys():
        changed = joined(open_book, changed)
    if second is not None:
        changed = _tell_take(open_book, changed, others, second)
    measure_again(open_book, [*(book.get(Photo, other.key) for other in others), changed])
    days = {item.key: item.day for item in book.every(Visit, horse=changed.horse)}
    line = _line(open_book, Arrived(Path(changed.given_name), changed), days, open_book.horse(str(changed.horse)))
    now = group_of(changed, book.photos(kept.horse, visit=changed.visit, foot=changed.foot))
    same_set = tuple(str(other.key) for other in now if other.key != changed.key)
    return replace(line, together=() if second is None else tuple(str(o.key) for o in others), same_set=same_set)


def _tell_take(open_book: OpenBook, changed: Photo, others: Sequence[Photo], second: bool) -> Photo:
    """The photo and those measured together with it become one take, or stop to be a second one."""
    for other in others:
        change_photo(open_book, other, retake=second)
    return change_photo(open_book, changed, retake=second)


def choices(open_book: OpenBook, horse: str) -> tuple[Pick, ...]:
    """What a photo can be filed under."""
    kept = open_book.horse(horse)
    visits = sorted(open_book.book.every(Visit, horse=kept.key), key=lambda visit: visit.day, reverse=True)
    return (
        Pick(
            "visit",
            PICK_LABELS["visit"],
            tuple(str(item.key) for item in visits),
            tuple(day_month_year(item.day) for item in visits),
        ),
        _pick("foot", [(foot.value, foot_name(foot)) for foot in Foot]),
        _pick("view", [(view.value, view_name(view)) for view in View]),
        _pick("seen_from", list(SEEN_FROM.items())),
        _pick("in_set", list(IN_SET.items())),
        _pick("moment", [(moment.value, moment_name(moment)) for moment in Moment]),
        _pick("card_plane", [(plane.value, card_plane_name(plane)) for plane in CardPlane]),
        _pick("card_stands_on", [(stand.value, card_stand_name(stand)) for stand in CardStand]),
        _pick("take", list(TAKES.items())),
    )


def _pick(field: str, options: Sequence[tuple[str, str]]) -> Pick:
    return Pick(field, PICK_LABELS[field], tuple(one for one, _ in options), tuple(label for _, label in options))
