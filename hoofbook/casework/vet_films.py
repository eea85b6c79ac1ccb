"""What a Vet case shows and says of the vet's own films, pictures and reports."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.casework.vet_previews import vet_picture
from hoofbook.terms.subjects import VetImage
from hoofbook.wording import vet_images as words
from hoofbook.wording.vet_case import film_words

if TYPE_CHECKING:
    from hoofbook.papers.vet_case import Block

IN_CASE, IN_FULL = 6, 60
_LONGEST = 1400  # px: sharp at the width of half a page


def film_told(facts: CaseFacts) -> tuple[str, str]:
    """The newest film's day and, in bold, the most trims of one foot between it and the photos, for page 1."""
    values = [(value.film_day, value.foot, value.note) for value in facts.vet_values]
    images = [(image.day, image.foot, "") for image in facts.vet_images if image.foot is not None]
    newest = max((day for day, _, _ in (*values, *images)), default=None)
    own = [(foot, note) for day, foot, note in (*values, *images) if day == newest]
    counts = [facts.trims[newest, foot] for foot, _ in own if newest is not None]
    trims = max((count for count in counts if count is not None), default=None)
    return film_words(newest, trims, next((note for _, note in own if note), ""))


def shown_images(facts: CaseFacts, *, full: bool) -> tuple[VetImage, ...]:
    """Those that a case shows, newest first, feet in their usual order within a day."""
    feet = {foot: place for place, foot in enumerate(facts.feet)}
    ordered = sorted(facts.vet_images, key=lambda image: feet[image.foot] if image.foot else len(feet))
    ordered.sort(key=lambda image: image.day, reverse=True)
    return tuple(ordered[: IN_FULL if full else IN_CASE])


def image_blocks(open_book: OpenBook, facts: CaseFacts, *, full: bool) -> Iterator[Block]:
    """Each image beside its day, foot, view, who it came from and the trims since; none where there is no image."""
    from hoofbook.imaging.film_picture import smaller_jpeg
    from hoofbook.papers.vet_case import Given, PaperPicture, Words

    shown = shown_images(facts, full=full)
    if not shown:
        return
    left = len(facts.vet_images) - len(shown)
    yield Words((words.MADE_FOR_LOOKING, *((words.more_images(left),) if left else ())), small=True)
    pictures = []
    for image in shown:
        trims = facts.trims[image.day, image.foot] if image.foot else None
        title, lines = words.paper_label(image, trims)
        data = smaller_jpeg(vet_picture(open_book, image).data, _LONGEST)
        pictures.append(PaperPicture(data, words.paper_alt(facts.horse.name, image), title, lines))
    yield Given(tuple(pictures), large=full)


def ask_before(facts: CaseFacts) -> tuple[str, ...]:
    """What to think of before the vet's images are sent: nothing where they go back to whom they came from."""
    vet = facts.vet.casefold()
    others = [image.received_from for image in facts.vet_images if not vet or image.received_from.casefold() != vet]
    return (words.pass_on(others, facts.vet),) if others else ()
