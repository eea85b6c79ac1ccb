"""Takes one photo into the book: copy and hash, look at the copy, archive it, then write its row."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.terms.card import CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import Photo, Sighting, Visit
from hoofbook.terms.views import CardPlane, CardStand, Grade, Moment, View

if TYPE_CHECKING:
    from hoofbook.housekeeping.files import Streamed
    from hoofbook.imaging.pixels import PhotoFacts
    from hoofbook.imaging.quality import Arrival

PREVIEW = "preview.jpg"
THUMBNAIL = "thumbnail.jpg"


@dataclass(frozen=True, slots=True)
class Filing:
    """Where a photo is to be filed, as far as it was told."""

    horse: UUID
    visit: UUID | None = None
    foot: Foot | None = None
    view: View | None = None
    moment: Moment | None = None
    set_name: str = ""
    card_plane: CardPlane = CardPlane.UNSURE
    card_stands_on: CardStand = CardStand.UNKNOWN
    shod: bool = False
    from_inside: bool = False
    retake: bool = False


@dataclass(frozen=True, slots=True)
class Arrived:
    """One photo after arrival. `photo` is None where it was refused; `known` says it was in the book already."""

    source: Path
    photo: Photo | None = None
    sighting: Sighting | None = None
    known: bool = False
    refusal: Refusal | None = None


def take_one(open_book: OpenBook, source: Path, filing: Filing) -> Arrived:
    """Takes one photo in. What is wrong with the photo itself comes back as a refusal; nothing is lost or half done.

    Raises:
        Refused: where the book cannot be written at all (read-only folder, full disk).
    """
    taken = open_book.archive.take_in(source)
    try:
        known = [photo for photo in open_book.book.photo_by_hash(taken.sha256) if photo.horse == filing.horse]
        if known:
            return Arrived(source, known[0], known=True)
        return _look_and_keep(open_book, source, taken, filing)
    finally:
        open_book.archive.discard(taken)


def _look_and_keep(open_book: OpenBook, source: Path, taken: Streamed, filing: Filing) -> Arrived:
    from hoofbook.imaging.card import DETECTOR, find_card
    from hoofbook.imaging.pixels import open_grey, read_facts
    from hoofbook.imaging.quality import check_arrival
    from hoofbook.records.keys import new_key

    facts = read_facts(taken.temp)
    if isinstance(facts, Refusal):
        return Arrived(source, refusal=_named(facts, source))
    grey = open_grey(taken.temp)
    if isinstance(grey, Refusal):
        return Arrived(source, refusal=_named(grey, source))
    seen = find_card(grey)
    arrival = check_arrival(
        facts,
        seen,
        grey,
        view=filing.view,
        foot=filing.foot,
        moment=filing.moment,
        visit_day=_visit_day(open_book, filing.visit),
    )
    kept = open_book.archive.keep(taken, facts.suffix)
    photo = _photo(
        open_book,
        key=new_key(),
        sha256=taken.sha256,
        facts=facts,
        arrival=arrival,
        filing=filing,
        given_name=source.name,
    )
    sighting = Sighting(
        new_key(), photo.key, DETECTOR, seen if isinstance(seen, CardSighting) else None, open_book.clock.now()
    )
    write_previews(open_book, kept, taken.sha256)
    with open_book.book.writing() as writer:
        writer.add(photo)
        writer.add(sighting)
    return Arrived(source, photo, sighting)


def _photo(
    open_book: OpenBook,
    *,
    key: UUID,
    sha256: str,
    facts: PhotoFacts,
    arrival: Arrival,
    filing: Filing,
    given_name: str,
) -> Photo:
    foot = filing.foot or arrival.suggested_foot
    return Photo(
        key=key,
        horse=filing.horse,
        sha256=sha256,
        suffix=facts.suffix,
        width=facts.width,
        height=facts.height,
        visit=filing.visit,
        foot=foot,
        view=filing.view or arrival.suggested_view,
        moment=filing.moment or arrival.suggested_moment,
        set_name=filing.set_name,
        given_name=given_name,
        taken_at=facts.taken_at,
        local_time=facts.local_time,
        utc_offset_minutes=facts.utc_offset_minutes,
        focal_35mm=facts.focal_35mm,
        camera=" ".join(part for part in (facts.camera, facts.lens) if part),
        software=facts.software,
        card_plane=filing.card_plane,
        card_stands_on=filing.card_stands_on,
        shod=filing.shod,
        from_inside=filing.from_inside,
        retake=filing.retake,
        foot_checked=arrival.suggested_foot is not None and arrival.suggested_foot is foot,
        picture_only=arrival.grade is Grade.PICTURE_ONLY,
        remarks=arrival.remarks,
        added_at=open_book.clock.now(),
    )


def _visit_day(open_book: OpenBook, visit: UUID | None) -> date | None:
    return None if visit is None else open_book.book.get(Visit, visit).day


def write_previews(open_book: OpenBook, kept: Path, sha256: str) -> None:
    """Previews can be made again at any time: a fault here never keeps a photo out."""
    from hoofbook.imaging.thumbnails import make_preview, make_thumbnail

    preview = make_preview(kept)
    if isinstance(preview, Refusal):
        return
    open_book.archive.write_preview(sha256, PREVIEW, preview)
    target = open_book.archive.preview(sha256, PREVIEW)
    thumbnail = make_thumbnail(target)
    if not isinstance(thumbnail, Refusal):
        open_book.archive.write_preview(sha256, THUMBNAIL, thumbnail)


def _named(refusal: Refusal, source: Path) -> Refusal:
    return replace(refusal, facts={**refusal.facts, "file": source.name})


def photos_under(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Files as given, and the files of given folders by name (not of folders within)."""
    found: list[Path] = []
    for path in paths:
        found += sorted(item for item in path.iterdir() if item.is_file()) if path.is_dir() else [path]
    return tuple(found)


def change_photo(open_book: OpenBook, photo: Photo, **fields: Any) -> Photo:
    """Files a photo elsewhere; the old filing stays in the corrections log."""
    changed = replace(photo, **fields)
    if changed == photo:
        return photo
    with open_book.book.writing() as writer:
        kept = writer.change(changed)
    if not isinstance(kept, Photo):
        raise Refused(Refusal("changed_elsewhere", {}))
    return kept
