"""Three or more visits of one foot and view in one millimetre frame: as a row, or one after the other as its year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pair_facts import fitted_to_mm, frame_of_marks
from hoofbook.casework.pair_looks import Look, Looks
from hoofbook.casework.pair_sheet import MOST_MEASURES, NO_MEASURES, SCALE_BAR_MM, PairSide
from hoofbook.casework.pair_sides import measures_of, side_of
from hoofbook.casework.photo_days import by_day, day_of, one_per_visit
from hoofbook.casework.readings import read_readings
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Pick
from hoofbook.terms.subjects import Photo, Visit
from hoofbook.terms.views import Moment, View
from hoofbook.wording.pairs import (
    NOT_LAID,
    SAME_DAY,
    left_out_of_year,
    many_moments,
    pair_title,
    row_subtitle,
    ways_of_row,
)
from hoofbook.wording.refusals import sentence

if TYPE_CHECKING:
    from hoofbook.measure.together import Together

ALL_CODES = ("pair_missing", "year_too_short")
_WHOLE = (-100.0, -75.0, 100.0, 75.0)  # the window where no photo gives millimetres


@dataclass(frozen=True, slots=True)
class RowSheet:
    """Photos by day, laid in one frame. `laid` says which of them lie in its millimetres; the others are shown whole.

    `left_out` says which visits are not shown and why; `measures` what is written into the pictures.
    """

    title: str
    subtitle: str
    sides: tuple[PairSide, ...]
    laid: tuple[bool, ...]
    drawings: tuple[Drawing | None, ...]
    frame_mm: tuple[float, float, float, float]
    to_scale: bool
    way: str
    banner: str = ""
    left_out: tuple[str, ...] = ()
    measures: Pick = NO_MEASURES
    scale_bar_mm: float = SCALE_BAR_MM

    @property
    def scaled(self) -> tuple[bool, ...]:
        """Which of the photos stand at the scale of the bar."""
        return tuple(self.to_scale and laid for laid in self.laid)


def read_row(open_book: OpenBook, horse: str, photos: Sequence[str]) -> RowSheet:
    """The photos named by their keys, by day. One that shares neither card nor hairline with the others is shown all
    the same, whole and named as not to scale.

    Raises:
        Refused: `pair_missing` for fewer than two photos of one foot and view.
    """
    own = [photo for photo in open_book.book.photos(uuid(horse)) if str(photo.key) in photos]
    if len(own) < 2 or len({(photo.foot, photo.view) for photo in own}) > 1:
        raise Refused(Refusal("pair_missing", {}))
    return _sheet(open_book, by_day(own, _visits(open_book, horse)))


def read_year(open_book: OpenBook, horse: str, foot: str, view: str, *, like: str = "") -> RowSheet:
    """One photo of every visit of this foot and view at one moment: that of the photo `like`, else after trim where
    there are two, else the moment most photos have. Visits that cannot be laid over the others are named, not shown.

    Raises:
        Refused: `year_too_short` where no two can be laid together.
    """
    visits = _visits(open_book, horse)
    own = open_book.book.photos(uuid(horse), foot=Foot(foot), view=View(view))
    moment, inside = _moment(own, like, visits)
    alike = [photo for photo in own if photo.moment is moment and photo.from_inside is inside]
    sheet = _sheet(open_book, one_per_visit(alike, visits)) if alike else None
    if sheet is None or sum(sheet.laid) < 2:
        raise Refused(Refusal("year_too_short", {}))
    return _only_laid(sheet)


def _visits(open_book: OpenBook, horse: str) -> tuple[Visit, ...]:
    return open_book.book.every(Visit, horse=uuid(horse))


def _moment(photos: Sequence[Photo], like: str, visits: Sequence[Visit]) -> tuple[Moment | None, bool]:
    named = next((photo for photo in photos if str(photo.key) == like), None)
    if named is not None:
        return named.moment, named.from_inside
    strip = one_per_visit(photos, visits)
    counts = {moment: sum(photo.moment is moment for photo in strip) for moment in Moment}
    most = max(counts, key=lambda moment: counts[moment])
    moment = Moment.AFTER_TRIM if counts[Moment.AFTER_TRIM] > 1 else most
    sides = [photo.from_inside for photo in strip if photo.moment is moment]
    return moment, sum(sides) * 2 > len(sides)


def _sheet(open_book: OpenBook, photos: Sequence[Photo]) -> RowSheet:
    from hoofbook.measure.together import lay_together

    horse = photos[0].horse
    looks, readings = Looks(open_book, horse), read_readings(open_book, horse)
    looked = [looks.at(photo) for photo in photos]
    shots = [look.shot for look in looked]
    found = lay_together(shots, {look.shot.key: look.together for look in looked})
    together = None if isinstance(found, Refusal) else found
    frame = _frame(looked, together)
    laid = tuple(together is not None and shot.key in together.to_mm for shot in shots)
    sides = []
    for photo, is_laid in zip(photos, laid, strict=True):
        to_mm = together.to_mm[str(photo.key)] if together and is_laid else None
        side = side_of(open_book, photo, readings, looks, to_mm)
        sides.append(side if is_laid else _whole(side, photo, frame))
    days = [day_of(photo, readings.history.visits) for photo in photos]
    first = photos[0]
    assert first.foot is not None and first.view is not None
    measures = measures_of(readings, photos, sides)
    return with_row_measures(
        RowSheet(
            title=pair_title(first.foot, first.view, from_inside=first.from_inside),
            subtitle=row_subtitle(len(photos), days[0], days[-1]),
            sides=tuple(sides),
            laid=laid,
            drawings=tuple(look.drawing for look in looked),
            frame_mm=frame,
            to_scale=together is not None and together.to_scale,
            way=ways_of_row([together.ways.get(shot.key, "") if together else "" for shot in shots]),
            banner=_banner(photos, days),
            left_out=_reasons(photos, days, found),
            measures=measures,
        ),
        tuple(measures.chosen.split(",")),
    )


def _frame(looked: Sequence[Look], together: Together | None) -> tuple[float, float, float, float]:
    if together is None:
        return _WHOLE
    laid = [look.shot for look in looked if look.shot.key in together.to_mm]
    return frame_of_marks(laid, [together.to_mm[shot.key] for shot in laid]) or _WHOLE


def _whole(side: PairSide, photo: Photo, frame: tuple[float, float, float, float]) -> PairSide:
    """A photo that shares no millimetres with the others: whole, and named as not to scale."""
    lines = side.where_lines if not side.to_scale else (*side.where_lines, NOT_LAID)
    return replace(side, to_mm=fitted_to_mm(photo, frame), where_lines=lines)


def _reasons(photos: Sequence[Photo], days: Sequence[date], found: Together | Refusal) -> tuple[str, ...]:
    left = {} if isinstance(found, Refusal) else found.left_out
    return tuple(
        left_out_of_year(day, sentence(left[str(photo.key)]))
        for photo, day in zip(photos, days, strict=True)
        if str(photo.key) in left
    )


def _banner(photos: Sequence[Photo], days: Sequence[date]) -> str:
    if len(set(days)) == 1:
        return SAME_DAY
    moments = {photo.moment for photo in photos if photo.moment is not None}
    return many_moments(sorted(moments, key=list(Moment).index)) if len(moments) > 1 else ""


def _only_laid(sheet: RowSheet) -> RowSheet:
    kept = [place for place, laid in enumerate(sheet.laid) if laid]
    days = [date.fromisoformat(sheet.sides[place].day) for place in kept]
    return replace(
        sheet,
        subtitle=row_subtitle(len(days), days[0], days[-1]),
        sides=tuple(sheet.sides[place] for place in kept),
        laid=tuple(True for _ in kept),
        drawings=tuple(sheet.drawings[place] for place in kept),
    )


def with_row_measures(sheet: RowSheet, chosen: tuple[str, ...]) -> RowSheet:
    """The sheet with these measures (at most two, the last ones chosen) in every caption; none is a choice too."""
    kept = chosen[-MOST_MEASURES:]
    return replace(
        sheet,
        sides=tuple(side.with_measures(kept) for side in sheet.sides),
        measures=replace(sheet.measures, chosen=",".join(key for key in sheet.measures.options if key in kept)),
    )
