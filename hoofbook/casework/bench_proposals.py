"""What the Bench proposes: marks carried over from the last visit, and spots found again in the photos of a set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import Group, read_group, shot_of
from hoofbook.casework.tiles import thumbnail_of
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import MarkingPass, Photo

if TYPE_CHECKING:
    from hoofbook.measure.concavity import Proposal

WIDE_PX = 40.0  # a search so wide may find a like spot elsewhere
AGREE_PX = 12.0  # the sole is hollow: its spots leave the common plane by a few px


def ghost_of(
    open_book: OpenBook,
    photo: Photo,
    photos: Sequence[Photo],
    passes: Mapping[UUID, MarkingPass],
    group: Group,
) -> tuple[Marking, Path | None]:
    """Marks of the newest earlier photo of the same foot, view and moment, carried into this one as proposals."""
    if len(group.photos) > 1:
        return Marking(), None
    earlier = [
        item
        for item in photos
        if item.key in passes
        and item.local_time < photo.local_time
        and (item.foot, item.view, item.shod, item.from_inside)
        == (photo.foot, photo.view, photo.shod, photo.from_inside)
    ]
    if not earlier:
        return Marking(), None
    like = [item for item in earlier if item.moment is photo.moment] or earlier
    previous = max(like, key=lambda item: item.local_time)
    seen = open_book.book.sightings(photo.horse)
    from hoofbook.measure.carry import carry_marks

    then = shot_of(previous, seen.get(previous.key), passes[previous.key], heel=group.heel)
    now = shot_of(photo, seen.get(photo.key), None, heel=group.heel)
    if _card_right(then) is not _card_right(now):
        return Marking(), None  # the card stands on the other side of the foot: nothing says where the foot is
    return carry_marks(then, now), thumbnail_of(open_book, previous)


def _card_right(shot: Shot) -> bool | None:
    """Whether the card stands in the right half of the picture; None where it was not seen."""
    if shot.sighting is None or not shot.sighting.corners:
        return None
    middle = sum(corner.photo_px[0] for corner in shot.sighting.corners) / len(shot.sighting.corners)
    return middle > shot.photo_size[0] / 2


def propose(open_book: OpenBook, photo: str, markings: Mapping[str, Marking]) -> Marking:
    """This photo's marking plus what the other photos of its set propose, refined by matching the pictures."""
    from hoofbook.imaging.pixels import open_grey
    from hoofbook.measure.concavity import propose as proposals

    kept = open_book.book.get(Photo, uuid(photo))
    group = read_group(open_book, kept)
    shots = group.shots(markings)
    target = next(place for place, shot in enumerate(shots) if shot.key == photo)
    marking = shots[target].marking
    greys = {str(item.key): open_grey(open_book.archive.path(item)) for item in group.photos}
    found = proposals(shots, target)
    places = _looked_up(shots, found, greys, photo)
    for name, (x, y) in places.items():
        marking = marking.with_mark(name, Mark(x, y, MarkState.PROPOSED))
    return marking


def _looked_up(
    shots: Sequence[Shot], found: Mapping[str, Proposal], greys: Mapping[str, Any], here: str
) -> dict[str, tuple[float, float]]:
    """Each proposal refined by matching the pictures. Where the search was wide, the spots must agree with each other:
    those that do not are looked for once more near where the others say."""
    from hoofbook.imaging.matching import settled_places

    marks = {name: _source(shots, proposal).marking.marks[name] for name, proposal in found.items()}
    places = {
        name: _matched(marks[name], proposal, (proposal.x, proposal.y), proposal.radius_px, greys=greys, here=here)
        for name, proposal in found.items()
    }
    wide = [name for name, proposal in found.items() if proposal.radius_px > WIDE_PX]
    expected, agrees = settled_places(
        [(marks[name].x, marks[name].y) for name in wide], [places[name] for name in wide], AGREE_PX
    )
    if agrees.any():
        for name, place, agreed in zip(wide, expected, agrees, strict=True):
            if not agreed:
                near = (float(place[0]), float(place[1]))
                places[name] = _matched(marks[name], found[name], near, AGREE_PX, greys=greys, here=here)
    return places


def _source(shots: Sequence[Shot], proposal: Proposal) -> Shot:
    return next(shot for shot in shots if shot.key == proposal.source_key)


def _matched(
    mark: Mark,
    proposal: Proposal,
    near: tuple[float, float],
    radius_px: float,
    *,
    greys: Mapping[str, Any],
    here: str,
) -> tuple[float, float]:
    """The matched place, or `near` where nothing alike is found."""
    from hoofbook.imaging.matching import match_patch

    there, target = greys[proposal.source_key], greys[here]
    if isinstance(there, Refusal) or isinstance(target, Refusal):
        return near
    along = proposal.along if near == (proposal.x, proposal.y) else None  # the line runs through the first place told
    match = match_patch(
        there, (mark.x, mark.y), target, near, radius_px, warp=proposal.warp, along=along, aside_px=proposal.aside_px
    )
    return near if match is None else (match.x, match.y)
