"""What a Vet case is made from: everything asked of the book once, cut to the feet and visits that were chosen."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.photo_days import day_of
from hoofbook.casework.readings import HorseReadings, read_readings
from hoofbook.casework.readings_made import trim_days
from hoofbook.casework.trims_since import trims_to_photos
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.subjects import (
    Correction,
    Event,
    Finding,
    FootWork,
    Horse,
    MarkingPass,
    MeasureKept,
    PaperMade,
    Person,
    PersonRole,
    Photo,
    Sighting,
    SolePared,
    SoleState,
    VetImage,
    VetValue,
    Visit,
    Yard,
)
from hoofbook.wording.names import name_on_paper
from hoofbook.wording.vet_case import KIND

if TYPE_CHECKING:
    from hoofbook.records.lists import History

VISITS_IN_CASE = 8
_NOT_YET_SAID = ("", "false", "[]", "null", SoleState.NOT_LOOKED.value, SolePared.NOT_SAID.value)
_NO_MATTER_OF_RECORD = ("finished", "next_due", "interval_weeks", "owner", "payer", "contact", "vet", "yard", "visit")
# what shows another foot or its mirror image than it is filed as must not stand in a vet's paper
_WRONG_FOOT = ("foot_tag_differs", "photo_mirrored", "toe_points_wrong_way")


@dataclass(frozen=True, slots=True)
class CaseFacts:
    """One horse for one case. Visits, findings, events and photos are the chosen ones, oldest first.

    `trims` counts the trims of a foot between films of a day and the newest photo of that foot; `vet_images` are the
    vet's of these feet, or of no one foot.
    """

    horse: Horse
    owner: Person | None
    yard: str
    vet: str
    person: str
    phone: str
    today: date
    feet: tuple[Foot, ...]
    readings: HorseReadings
    visits: tuple[Visit, ...]
    earlier: tuple[Visit, ...]
    works: Mapping[tuple[UUID, Foot], FootWork]
    findings: tuple[Finding, ...]
    events: tuple[Event, ...]
    vet_values: tuple[VetValue, ...]
    vet_images: tuple[VetImage, ...]
    photos: tuple[Photo, ...]
    sightings: Mapping[UUID, Sighting]
    passes: Mapping[UUID, MarkingPass]
    measures: tuple[MeasureKept, ...]
    corrections: tuple[Correction, ...]
    last_made: PaperMade | None
    trims: Mapping[tuple[date, Foot], int | None]

    @property
    def newest_day(self) -> date:
        return self.visits[-1].day if self.visits else self.today

    @property
    def name(self) -> str:
        """The horse's name as paper has room for it."""
        return name_on_paper(self.horse.name)

    def day_of(self, photo: Photo) -> date:
        return day_of(photo, self.readings.history.visits)


def read_facts(
    open_book: OpenBook, horse: UUID, feet: Sequence[Foot], since: date | None, most: int | None
) -> CaseFacts:
    """Everything of one horse that a case may hold; `feet` empty: those followed, else those photographed.

    `since` is the first visit's day, `most` the number of visits at most (the newest ones).
    """
    book, farrier = open_book.book, farrier_of(open_book)
    readings = read_readings(open_book, horse)
    history, kept = readings.history, readings.history.horse
    chosen = tuple(feet) or usual_feet(readings)
    shown, first = _visits(history.visits, since, most)
    photos = _photos(history.photos, history.visits, chosen, first)
    keys = {visit.key for visit in shown}
    return CaseFacts(
        horse=kept,
        owner=book.get(Person, kept.owner) if kept.owner else None,
        yard=book.get(Yard, kept.yard).name if kept.yard else "",
        vet=book.get(Person, kept.vet).name if kept.vet else "",
        person=farrier.name if farrier else open_book.person,
        phone=farrier.phone if farrier else "",
        today=open_book.clock.now().date(),
        feet=chosen,
        readings=readings,
        visits=shown,
        earlier=tuple(visit for visit in history.visits if visit.key not in keys),
        works={(work.visit, work.foot): work for work in history.works},
        findings=tuple(item for item in history.findings if item.visit in keys),
        events=tuple(event for event in history.events if event.day >= first and event.foot in (None, *chosen)),
        vet_values=tuple(value for value in history.vet_values if value.foot in chosen),
        vet_images=tuple(image for image in history.vet_images if image.foot in (None, *chosen)),
        photos=photos,
        sightings=book.sightings(horse),
        passes=book.latest_passes(horse),
        measures=book.measures(horse),
        corrections=tuple(item for item in book.corrections_among(_subject_keys(readings)) if is_correction(item)),
        last_made=next((paper for paper in reversed(history.papers) if paper.kind == KIND), None),
        trims=trims_to_photos(_films(history), photos, history.visits, trim_days(history.visits, history.works)),
    )


def _films(history: History) -> set[tuple[date, Foot]]:
    """Day and foot of everything of the vet's that shows one foot."""
    values = {(value.film_day, value.foot) for value in history.vet_values}
    return values | {(image.day, image.foot) for image in history.vet_images if image.foot is not None}


def _photos(every: Sequence[Photo], visits: Sequence[Visit], feet: Sequence[Foot], first: date) -> tuple[Photo, ...]:
    """Photos of these feet from a day on, without those that show another foot than they are filed as."""
    own = (photo for photo in every if photo.foot in feet and day_of(photo, visits) >= first)
    return tuple(photo for photo in own if not any(remark.code in _WRONG_FOOT for remark in photo.remarks))


def _visits(every: Sequence[Visit], since: date | None, most: int | None) -> tuple[tuple[Visit, ...], date]:
    """The visits to show, oldest first, and the day from which on other entries are shown too."""
    visits = sorted((visit for visit in every if since is None or visit.day >= since), key=_by_day)
    shown = tuple(visits[-most:] if most else visits)
    if len(shown) == len(every):
        return shown, date.min
    return shown, shown[0].day if shown else since or date.min


def _by_day(visit: Visit) -> tuple[date, UUID]:
    return visit.day, visit.key


def usual_feet(readings: HorseReadings) -> tuple[Foot, ...]:
    """The feet that are followed, with their partners where those were photographed; else the feet that were
    photographed, else both fores."""
    followed = {foot for place in (key[0] for key in readings.goals) for foot in _feet_of(place)}
    seen = {photo.foot for photo in readings.history.photos if photo.foot}
    chosen = {*followed, *(foot.partner for foot in followed if foot.partner in seen)} or seen
    return tuple(foot for foot in Foot if foot in chosen) or (Foot.LF, Foot.RF)


def _feet_of(place: Foot | Pair) -> tuple[Foot, ...]:
    return (place.foot, place.less) if isinstance(place, Pair) else (place,)


def _subject_keys(readings: HorseReadings) -> set[UUID]:
    history = readings.history
    kinds = (
        (history.horse,),
        history.visits,
        history.works,
        history.findings,
        history.photos,
        history.events,
        history.hand_measures,
        history.vet_values,
        history.vet_images,
        history.goals,
    )
    return {item.key for kind in kinds for item in kind}


def is_correction(item: Correction) -> bool:
    """True where a value that had been said was changed; filling in what was empty is none."""
    return item.old not in _NOT_YET_SAID and item.field_name not in _NO_MATTER_OF_RECORD


def farrier_of(open_book: OpenBook) -> Person | None:
    """The farrier who has this book, as kept in it; in a sample book, or where no name is set up, the one it has."""
    known = open_book.book.every(Person, role=PersonRole.FARRIER)
    own = [person for person in known if person.name.casefold() == open_book.person.casefold()]
    if not own and (open_book.is_sample or not open_book.person) and len(known) == 1:
        return known[0]
    return own[0] if own else None
