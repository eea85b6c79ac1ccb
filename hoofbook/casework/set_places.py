"""From where the photos of a sole set were taken: said and drawn, after they come in and while they are marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.shots import group_of, is_set, read_group
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.measured import Shot
from hoofbook.terms.shown import Section
from hoofbook.wording import sole_stands as words
from hoofbook.wording.bench import photo_title
from hoofbook.wording.refusals import sentence


def places_section(shots: Sequence[Shot]) -> Section:
    """Whether the photos of a set were taken from places far enough apart, and where to stand for a better one."""
    from hoofbook.measure.concavity.stands import stands_of

    stands = stands_of(shots)
    if stands is None:
        return Section(words.TITLE, (words.said_of_unplaced(len(shots)),))
    found, numbers = stands, {shot.key: number for number, shot in enumerate(shots, 1)}

    def make(width: float, height: float, text_size: float) -> Drawing:
        return words.stands_drawing(found, numbers, width=width, height=height, text_size=text_size)

    return Section(words.TITLE, words.said_of_stands(stands, numbers), make=make)


def missing_words(shots: Sequence[Shot]) -> tuple[str, ...]:
    """What must be marked or taken again before the whole sole can be measured; nothing where it can be tried."""
    from hoofbook.measure.concavity.readiness import missing_for_map

    return tuple(sentence(refusal) for refusal in missing_for_map(shots))


def may_be_mapped(shots: Sequence[Shot]) -> bool:
    """True where the marks for the whole sole are there; whether they join is found when it is measured."""
    from hoofbook.measure.concavity.readiness import missing_for_map

    return not missing_for_map(shots, marks_alone=True)


def places_of_new(open_book: OpenBook, horse: str, photos: Sequence[str]) -> tuple[Section, ...]:
    """The sets among photos that have just come in, each named by its foot."""
    kept = open_book.book.photos(uuid(horse))
    found, done = [], set()
    for photo in kept:
        if str(photo.key) not in photos or photo.key in done or not is_set(photo):
            continue
        group = group_of(photo, kept)
        done |= {member.key for member in group}
        section = places_section(read_group(open_book, photo).shots())
        title = photo_title(photo.foot, photo.view, len(group))
        found.append(replace(section, title=f"{title}: {words.TITLE[0].lower()}{words.TITLE[1:]}"))
    return tuple(found)
