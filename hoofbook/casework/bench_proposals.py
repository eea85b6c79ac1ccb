"""What the Bench proposes: marks carried over from the last visit, and spots found again in the photos of a set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from uuid import UUID

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import Group, read_group, shot_of
from hoofbook.casework.tiles import thumbnail_of
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.subjects import MarkingPass, Photo


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
        and (item.foot, item.view, item.shod) == (photo.foot, photo.view, photo.shod)
    ]
    if not earlier:
        return Marking(), None
    like = [item for item in earlier if item.moment is photo.moment] or earlier
    previous = max(like, key=lambda item: item.local_time)
    seen = open_book.book.sightings(photo.horse)
    from hoofbook.measure.carry import carry_marks

    carried = carry_marks(
        shot_of(previous, seen.get(previous.key), passes[previous.key], heel=group.heel),
        shot_of(photo, seen.get(photo.key), None, heel=group.heel),
    )
    return carried, thumbnail_of(open_book, previous)


def propose(open_book: OpenBook, photo: str, markings: Mapping[str, Marking]) -> Marking:
    """This photo's marking plus what the other photos of its set propose, refined by matching the pictures."""
    from hoofbook.imaging.matching import match_patch
    from hoofbook.imaging.pixels import open_grey
    from hoofbook.measure.concavity import propose as proposals
    from hoofbook.terms.refusal import Refusal

    kept = open_book.book.get(Photo, uuid(photo))
    group = read_group(open_book, kept)
    shots = group.shots(markings)
    target = next(place for place, shot in enumerate(shots) if shot.key == photo)
    marking = shots[target].marking
    greys = {str(item.key): open_grey(open_book.archive.path(item)) for item in group.photos}
    here = greys[photo]
    for name, proposal in proposals(shots, target).items():
        source = next(shot for shot in shots if shot.key == proposal.source_key)
        there, mark = greys[proposal.source_key], source.marking.marks[name]
        x, y = proposal.x, proposal.y
        if not isinstance(there, Refusal) and not isinstance(here, Refusal):
            found = match_patch(there, (mark.x, mark.y), here, (x, y), proposal.radius_px, warp=proposal.warp)
            if found is not None:
                x, y = found.x, found.y
        marking = marking.with_mark(name, Mark(x, y, MarkState.PROPOSED))
    return marking
