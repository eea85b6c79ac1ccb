"""The photos of a Vet case, laid at one millimetre scale, labelled, marked and beside it unmarked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_facts import ToMm, as_to_mm
from hoofbook.casework.pair_looks import Looks
from hoofbook.casework.photo_days import one_per_visit
from hoofbook.casework.photo_lost import opening
from hoofbook.casework.taking_in import PREVIEW
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.casework.vet_frames import Frame, bar_px, common_frame, marks_box, side_words, toe_points_right, whole
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.drawing_moved import moved
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Scale, Shot
from hoofbook.terms.quantity import Definition, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment, View
from hoofbook.wording import vet_case as words
from hoofbook.wording.numbers import amount
from hoofbook.wording.vet_method import Taken
from hoofbook.wording.vet_numbers import strip_value

if TYPE_CHECKING:
    from hoofbook.imaging.pixels import Pixels
    from hoofbook.papers.vet_case import PaperPicture, Strip, Twins

PAGE_1_RATIO, STRIP_RATIO = 87 / 61, 1 / 1.1
PAGE_1_PX, STRIP_PX = 1080, 420  # 310 dpi at half the width of a page: a 2016 px copy holds that for most photos
_STRIP_LONGEST, _LAID_AT_ONCE = 16, 4


@dataclass(frozen=True, slots=True)
class Seen:
    """One photo as it is laid; `to_mm` None where nothing gives millimetres."""

    photo: Photo
    shot: Shot
    day: date
    to_mm: ToMm | None


class CaseLooks:
    """Looks at photos of one case, each once, and lays them."""

    def __init__(self, open_book: OpenBook, facts: CaseFacts) -> None:
        self.archive = open_book.archive
        self.facts = facts
        self._looks = Looks(open_book, facts.horse.key)
        self._seen: dict[UUID, Seen] = {}
        self._laid: dict[tuple[UUID, Frame], Pixels] = {}

    def at(self, photo: Photo) -> Seen:
        if photo.key not in self._seen:
            self._seen[photo.key] = self._look(photo)
        return self._seen[photo.key]

    def drawing(self, photo: Photo) -> Drawing | None:
        """The measured lines, in photo px; None for a photo without marks."""
        return self._looks.at(photo).drawing if photo.key in self.facts.passes else None

    def scale(self, photo: Photo) -> Scale | None:
        """How a marked photo got its millimetres and from where it was taken."""
        return self._looks.at(photo).scale if photo.key in self.facts.passes else None

    def distance_mm(self, photo: Photo) -> float | None:
        """Lens to foot, by the card."""
        scale = self.scale(photo)
        return scale.distance_mm if scale else None

    def laid(self, photo: Photo, frame: Frame) -> Pixels:
        """The photo's pixels in its frame, kept for a moment: most pictures are wanted with marks and without."""
        from hoofbook.imaging.paper_photo import laid_on_paper

        wanted = (photo.key, frame)
        if wanted not in self._laid:
            if len(self._laid) >= _LAID_AT_ONCE:
                del self._laid[next(iter(self._laid))]
            path, copy = self.archive.path(photo), self.archive.preview(photo.sha256, PREVIEW)
            with opening(self.facts.day_of(photo), photo.given_name):
                self._laid[wanted] = laid_on_paper(path, frame.to_picture, frame.size, covered=photo.covered, copy=copy)
        return self._laid[wanted]

    def marked_by(self, photo: Photo) -> str:
        marks = self.facts.passes.get(photo.key)
        return marks.marked_by if marks else ""

    def _look(self, photo: Photo) -> Seen:
        from hoofbook.measure.comparison import own_frame

        look, day = self._looks.at(photo), self.facts.day_of(photo)
        found = None if photo.view in (None, View.WHOLE) else own_frame(look.shot, look.together)
        if found is None or isinstance(found, Refusal) or found.px_per_mm_now is None:
            return Seen(photo, look.shot, day, None)
        return Seen(photo, look.shot, day, as_to_mm(found.now_to_mm))

    def taken(self, photos: Sequence[Photo]) -> tuple[Taken, ...]:
        """How the measured ones among these photos were taken, for the method's words."""
        found = []
        for photo in photos:
            marks = self.facts.passes.get(photo.key)
            if marks is not None and self.drawing(photo) is not None:
                far = self.distance_mm(photo)
                found.append(Taken(photo, far, marks.card_size_mm, marks.marked_by, marks.placing_px))
        return tuple(found)


def page_1_pictures(looks: CaseLooks, photos: Sequence[Photo]) -> tuple[PaperPicture, ...]:
    """The photos of page 1, those of one view at one scale, cut, labelled and with their measured lines."""
    from hoofbook.papers.vet_case import PaperPicture

    pictures = []
    for photo, frame in _framed(looks, photos, PAGE_1_RATIO, PAGE_1_PX):
        seen = looks.at(photo)
        alt = words.photo_alt(looks.facts.name, photo, seen.day, marked=looks.drawing(photo) is not None)
        title = ", ".join((words.row_title(photo.foot) if photo.foot else "", words.view_words(photo)))
        lines = (words.photo_moment(photo, seen.day), *(() if frame.px_per_mm else (words.NOT_TO_SCALE,)))
        pictures.append(PaperPicture(_marked(looks, seen, frame), alt, title, lines))
    return tuple(pictures)


def unmarked(looks: CaseLooks, photos: Sequence[Photo], taken_by: str) -> tuple[PaperPicture, ...]:
    """The photos of page 1 as they lie there, without anything on them, each with its full label."""
    from hoofbook.papers.vet_case import PaperPicture

    pictures = []
    for photo, frame in _framed(looks, photos, PAGE_1_RATIO, PAGE_1_PX):
        alt = words.photo_alt(looks.facts.name, photo, looks.facts.day_of(photo))
        title, line = words.photo_label(looks.facts.name, photo, looks.facts.day_of(photo), taken_by)
        pictures.append(PaperPicture(_plain(looks, photo, frame), alt, title, (line, _how(looks, photo))))
    return tuple(pictures)


def twins(looks: CaseLooks, photo: Photo, taken_by: str) -> Twins:
    """The photo with marks, and beside it the same without anything on it."""
    from hoofbook.papers.vet_case import PaperPicture, Twins

    horse, day = looks.facts.name, looks.facts.day_of(photo)
    ((_, frame),) = _framed(looks, (photo,), PAGE_1_RATIO, PAGE_1_PX)
    return Twins(
        words.photo_label(horse, photo, day, taken_by),
        _how(looks, photo),
        PaperPicture(_marked(looks, looks.at(photo), frame), words.photo_alt(horse, photo, day, marked=True)),
        PaperPicture(_plain(looks, photo, frame), words.photo_alt(horse, photo, day)),
    )


def strip(looks: CaseLooks, foot: Foot, measure: str, definition: Definition) -> Strip | None:
    """Every visit's photo after trim of the view a measure is read from, small and at one scale; None below two."""
    from hoofbook.papers.vet_case import PaperPicture, Strip

    facts, view = looks.facts, view_of(measure)
    own = [photo for photo in facts.photos if (photo.foot, photo.view) == (foot, view)]
    trimmed = [photo for photo in own if photo.moment is Moment.AFTER_TRIM]
    after = one_per_visit(trimmed, facts.readings.history.visits)[-_STRIP_LONGEST:]
    if len(after) < 2:
        return None
    values = {reading.visit: reading for reading in facts.readings.series(foot, measure, definition).readings}
    pictures = []
    for photo, frame in _framed(looks, after, STRIP_RATIO, STRIP_PX):
        day = facts.day_of(photo)
        lines = (strip_value(values.get(str(photo.visit))), *(() if frame.px_per_mm else (words.NOT_TO_SCALE,)))
        alt = words.photo_alt(facts.name, photo, day)
        pictures.append(PaperPicture(_plain(looks, photo, frame), alt, words.strip_day(day), lines))
    return Strip(words.strip_title(foot, words.view_words(after[-1]), Moment.AFTER_TRIM), tuple(pictures))


def view_of(measure: str) -> View:
    """The view in which a followed measure is seen."""
    return View.SOLAR if "concavity" in measure or measure.startswith(("foot_", "frog_")) else View.LATERAL


def _framed(looks: CaseLooks, photos: Sequence[Photo], ratio: float, wide: int) -> list[tuple[Photo, Frame]]:
    """A frame per photo; those of one view that have millimetres share their scale."""
    seen = [looks.at(photo) for photo in photos]
    frames = []
    for item in seen:
        row = [other for other in seen if other.photo.view is item.photo.view]
        boxes = [marks_box(other.shot, other.to_mm) for other in row if other.to_mm is not None]
        if item.to_mm is not None:
            frames.append(common_frame(item.shot, item.to_mm, boxes, ratio, wide))
        else:
            frames.append(whole(item.shot, ratio, wide))
    return list(zip(photos, frames, strict=True))


def _marked(looks: CaseLooks, seen: Seen, frame: Frame) -> bytes:
    from hoofbook.imaging.paper_photo import with_drawings
    from hoofbook.papers.photo_labels import PhotoLabels, label_drawing

    photo, text_px = seen.photo, frame.size[0] / 36
    letter, under = words.side_letter(photo.foot) if photo.foot else ("?", "")
    left, right = side_words(seen.shot, frame.to_picture)
    long = bar_px(frame)
    labels = PhotoLabels(
        letter,
        under,
        letter_right=photo.view is View.LATERAL and toe_points_right(seen.shot, frame.to_picture),
        left=left,
        right=right,
        line=words.burnt_line(photo, seen.day),
        bar_px=long,
        bar_words=amount(frame.bar_mm, Unit.MM, like=10.0) if long else "",
    )
    drawings = [label_drawing(labels, frame.size, text_px)]
    drawn = looks.drawing(photo)
    if drawn is not None:
        drawings.insert(0, moved(drawn, frame.to_picture, frame.size, max(2.0, text_px / 8)))
    return with_drawings(looks.laid(photo, frame), drawings)


def _plain(looks: CaseLooks, photo: Photo, frame: Frame) -> bytes:
    from hoofbook.imaging.paper_photo import with_drawings

    return with_drawings(looks.laid(photo, frame))


def _how(looks: CaseLooks, photo: Photo) -> str:
    return words.photo_how(photo, words.PhotoFacts(looks.distance_mm(photo), looks.marked_by(photo)))
