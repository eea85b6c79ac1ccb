"""Photos of one horse as measuring sees them, each looked at once and kept until its marks or filing change."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import UUID
from weakref import WeakKeyDictionary

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.own_placing import own_spreads
from hoofbook.casework.shots import Group, group_of, heel_of, measure_shots
from hoofbook.casework.tiles import preview_of
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.measured import Measured, Scale, ScaleSource, Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import View

if TYPE_CHECKING:
    from hoofbook.progress.likeness import Light
    from hoofbook.records.book import Book

_MOST_KEPT = 400


@dataclass(frozen=True, slots=True)
class Look:
    """One photo as measuring sees it, with the photos of its set (empty for a single photo)."""

    photo: Photo
    shot: Shot
    together: tuple[Shot, ...]
    measured: Measured
    scale: Scale

    @property
    def drawing(self) -> Drawing | None:
        return self.measured.drawings.get(self.shot.key)

    @property
    def to_scale(self) -> bool:
        """Whether something in the photo gives millimetres."""
        return self.scale.px_per_mm is not None


@dataclass(frozen=True, slots=True)
class _Together:
    """The photos of a group and what was measured of them: the very same shots for all of them, so solved once."""

    shots: tuple[Shot, ...]
    measured: Measured


_groups: WeakKeyDictionary[Book, dict[Hashable, _Together]] = WeakKeyDictionary()
_lights: WeakKeyDictionary[Book, dict[Hashable, Light | None]] = WeakKeyDictionary()


class Looks:
    """Looks at photos of one horse; what the book is asked is asked once."""

    def __init__(self, open_book: OpenBook, horse: UUID) -> None:
        book = open_book.book
        self._open_book = open_book
        self._photos = book.photos(horse)
        self._sightings = book.sightings(horse)
        self.passes = book.latest_passes(horse)
        self._measures = book.measures(horse)
        self._placing = own_spreads(open_book).own
        self._groups = _groups.setdefault(book, {})
        self._lights = _lights.setdefault(book, {})
        self._looks: dict[UUID, Look] = {}

    def at(self, photo: Photo) -> Look:
        """The photo measured with its set; by the card alone where nothing is marked."""
        if photo.key not in self._looks:
            group = self._together(photo)
            shot = next(item for item in group.shots if item.key == str(photo.key))
            scale = group.measured.scales.get(shot.key) or _by_card(shot)
            together = group.shots if len(group.shots) > 1 else ()
            self._looks[photo.key] = Look(photo, shot, together, group.measured, scale)
        return self._looks[photo.key]

    def _together(self, photo: Photo) -> _Together:
        members = group_of(photo, self._photos)
        same_foot = (kept.quantity for kept in self._measures if (kept.visit, kept.foot) == (photo.visit, photo.foot))
        group = Group(members, self._sightings, self.passes, heel_of(same_foot), self._placing)
        known = (tuple(self._state(member) for member in members), group.heel, group.placing)
        if known not in self._groups:
            if len(self._groups) >= _MOST_KEPT:
                self._groups.clear()
            shots = group.shots()
            marked = any(member.key in self.passes for member in members)
            self._groups[known] = _Together(shots, measure_shots(shots) if marked else Measured())
        return self._groups[known]

    def light(self, photo: Photo) -> Light | None:
        """What the card's white sends back in this photo; None where it cannot be told."""
        from hoofbook.imaging.card_light import card_light

        seen = self._sightings.get(photo.key)
        known = (photo.sha256, seen.key if seen else None)
        if known not in self._lights:
            self._lights[known] = card_light(preview_of(self._open_book, photo), seen.card if seen else None)
        return self._lights[known]

    def _state(self, photo: Photo) -> Hashable:
        """Changes with whatever the measuring of this photo depends on."""
        seen, marks = self._sightings.get(photo.key), self.passes.get(photo.key)
        return photo.key, photo.revision, seen.key if seen else None, marks.key if marks else None


def _by_card(shot: Shot) -> Scale:
    """What the card alone tells. On a lifted foot it may lie at any angle, so it says nothing of the foot's turn."""
    from hoofbook.measure.camera import fit_card
    from hoofbook.measure.solving import scale_of_card

    fit = fit_card(shot)
    if isinstance(fit, Refusal):
        return Scale(ScaleSource.NONE)
    scale = scale_of_card(ScaleSource.CARD, fit)
    if shot.view not in (View.SOLAR, View.ALONG_SOLE):
        return scale
    return Scale(scale.source, scale.px_per_mm, distance_mm=scale.distance_mm)
