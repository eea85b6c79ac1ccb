"""The place Then and now: two photos of one foot and view at one millimetre scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pair_choice import chosen_foot_and_view, chosen_pair, foot_and_view_picks
from hoofbook.casework.pair_facts import (
    PairNumber,
    ToMm,
    as_to_mm,
    checks_of,
    frame_of,
    numbers_of,
    one_per_visit,
    photo_day,
    plain_to_mm,
    value_of,
)
from hoofbook.casework.readings import HorseReadings, read_readings
from hoofbook.casework.shots import measure_shots, read_group
from hoofbook.casework.tiles import preview_of, tile_of
from hoofbook.housekeeping.files import write_atomic
from hoofbook.progress.change import Progress
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Measured, Shot
from hoofbook.terms.quantity import Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, VerdictChip
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment, View
from hoofbook.wording.numbers import amount
from hoofbook.wording.pairs import (
    LAYOUTS,
    NO_PAIR,
    NOT_TO_SCALE,
    SAME_DAY,
    WAYS,
    caption,
    decided_words,
    other_moments,
    pair_subtitle,
    pair_title,
    visit_caption,
)
from hoofbook.wording.verdicts import chip

if TYPE_CHECKING:
    from hoofbook.measure.comparison import Alignment

ALL_CODES = ("pair_missing", "picture_kind_unknown", "layout_unknown")
SCALE_BAR_MM = 50.0


@dataclass(frozen=True, slots=True)
class PairSide:
    """One of the two photos. `to_mm` takes photo px to the shared millimetres (x right, y down)."""

    key: str
    path: Path
    preview: Path
    to_mm: ToMm
    width: int
    height: int
    caption_lines: tuple[str, ...]
    value: str
    day: str


@dataclass(frozen=True, slots=True)
class PairSheet:
    horse: str
    feet: Pick
    views: Pick
    title: str = ""
    subtitle: str = ""
    then: PairSide | None = None
    now: PairSide | None = None
    way: str = ""
    to_scale: bool = False
    banner: str = ""
    checks: tuple[tuple[bool, str], ...] = ()
    numbers: tuple[tuple[str, str, str, str], ...] = ()
    noise_of: tuple[str, str, str] | None = None  # foot, measure, definition of the first number, after trim
    chip: VerdictChip | None = None
    chip_note: str = ""
    strip: tuple[PhotoTile, ...] = ()
    frame_mm: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)
    drawings: tuple[Drawing | None, Drawing | None] = (None, None)
    scale_bar_mm: float = SCALE_BAR_MM
    empty: EmptyPlace | None = None


def read_pair(
    open_book: OpenBook, horse: str, foot: str = "", view: str = "", *, then: str = "", now: str = ""
) -> PairSheet:
    """The pair to show: as named by photo keys, else the first and last visit after trim of that foot and view."""
    key = uuid(horse)
    photos = [photo for photo in open_book.book.photos(key) if photo.foot and photo.view not in (None, View.WHOLE)]
    readings = read_readings(open_book, key)
    chosen_foot, chosen_view = chosen_foot_and_view(photos, readings, foot, view)
    feet, views = foot_and_view_picks(photos, chosen_foot, chosen_view)
    sheet = PairSheet(horse, feet, views)
    own = [photo for photo in photos if (photo.foot, photo.view) == (chosen_foot, chosen_view)]
    strip = one_per_visit(own)
    pair = chosen_pair(own, strip, then, now)
    if pair is None or chosen_foot is None or chosen_view is None:
        return replace(sheet, empty=EmptyPlace(*NO_PAIR, action="photos_in"))
    return _filled(open_book, sheet, readings, pair, strip)


def _filled(
    open_book: OpenBook,
    sheet: PairSheet,
    readings: HorseReadings,
    pair: tuple[Photo, Photo],
    strip: Sequence[Photo],
) -> PairSheet:
    from hoofbook.measure.comparison import align

    then, now = pair
    looked = [_look(open_book, photo) for photo in pair]
    passes = open_book.book.latest_passes(then.horse)
    found = align(looked[0].shot, looked[1].shot, then_set=looked[0].together, now_set=looked[1].together)
    alignment = None if isinstance(found, Refusal) or found.way == "none" else found
    assert then.foot is not None and then.view is not None
    numbers = numbers_of(readings, pair)
    progress = _goal_shown(readings, then.foot, numbers)
    days = (photo_day(then), photo_day(now))
    return replace(
        sheet,
        title=pair_title(then.foot, then.view, from_inside=then.from_inside),
        subtitle=pair_subtitle(now.moment, now.shod, *days),
        then=_side(open_book, then, readings, alignment.then_to_mm if alignment else None),
        now=_side(open_book, now, readings, alignment.now_to_mm if alignment else None),
        way=WAYS[alignment.way if alignment else "none"],
        to_scale=alignment is not None,
        banner=_banner(pair, alignment),
        checks=checks_of(pair, [look.measured for look in looked], alignment is not None),
        numbers=tuple(number.texts for number in numbers),
        noise_of=_noise_of(numbers, pair),
        chip=chip(progress) if progress else None,
        chip_note=decided_words(progress.looks[-1].reading) if progress and progress.looks else "",
        strip=tuple(
            tile_of(open_book, photo, caption=visit_caption(photo_day(photo)), marks=passes.get(photo.key))
            for photo in strip
        ),
        frame_mm=frame_of(pair, [look.shot for look in looked], alignment),
        drawings=(looked[0].drawing, looked[1].drawing),
    )


def _goal_shown(readings: HorseReadings, foot: Foot, numbers: Sequence[PairNumber]) -> Progress | None:
    """How the foot's first goal stands, where its measure is among the numbers of the pair."""
    goal = next((item for item in readings.goals.items() if item[0][0] is foot), None)
    shown = goal is not None and any(number.followable == goal[0] for number in numbers)
    return goal[1][1] if goal and shown else None


def _noise_of(numbers: Sequence[PairNumber], pair: tuple[Photo, Photo]) -> tuple[str, str, str] | None:
    if not numbers or any(photo.moment is not Moment.AFTER_TRIM for photo in pair):
        return None
    place, measure, definition = numbers[0].followable
    return place.value, measure, definition.value


@dataclass(frozen=True, slots=True)
class _Look:
    """One of the two photos as measuring sees it, with the photos of its set."""

    shot: Shot
    together: tuple[Shot, ...]
    measured: Measured

    @property
    def drawing(self) -> Drawing | None:
        return self.measured.drawings.get(self.shot.key)


def _look(open_book: OpenBook, photo: Photo) -> _Look:
    group = read_group(open_book, photo)
    shots = group.shots()
    shot = next(item for item in shots if item.key == str(photo.key))
    return _Look(shot, shots if len(shots) > 1 else (), measure_shots(shots) if group.passes else Measured())


def _side(open_book: OpenBook, photo: Photo, readings: HorseReadings, to_mm: object) -> PairSide:
    assert photo.foot is not None and photo.view is not None
    value, day = value_of(readings, photo), photo_day(photo)
    return PairSide(
        key=str(photo.key),
        path=open_book.archive.path(photo),
        preview=preview_of(open_book, photo),
        to_mm=as_to_mm(to_mm) if to_mm is not None else plain_to_mm(photo),
        width=photo.width,
        height=photo.height,
        caption_lines=caption(day, photo.foot, photo.view, photo.moment, value, from_inside=photo.from_inside),
        value=value,
        day=day.isoformat(),
    )


def _banner(pair: tuple[Photo, Photo], alignment: Alignment | None) -> str:
    then, now = pair
    if then.moment and now.moment and then.moment is not now.moment:
        same = photo_day(then) == photo_day(now)
        return SAME_DAY if same else other_moments(then.moment, now.moment)
    if photo_day(then) == photo_day(now):
        return SAME_DAY
    return "" if alignment else NOT_TO_SCALE


def export_pair(
    open_book: OpenBook, sheet: PairSheet, out: Path, layout: str = "side by side", at: float = 0.5
) -> Path:
    """Writes the pair as a picture without metadata, with dates, values, scale bar and banner burnt in.

    Raises:
        Refused: `pair_missing`, `layout_unknown`, `picture_kind_unknown`, or where it cannot be written.
    """
    from hoofbook.imaging.compose import PairPicture, PictureSource, encode, then_and_now

    if sheet.then is None or sheet.now is None:
        raise Refused(Refusal("pair_missing", {}))
    if layout not in LAYOUTS:
        raise Refused(Refusal("layout_unknown", {"found": layout}))
    if out.suffix.lower() not in (".png", ".jpg", ".jpeg"):
        raise Refused(Refusal("picture_kind_unknown", {"file": out.name}))
    sides = [PictureSource(side.path, side.to_mm, side.caption_lines) for side in (sheet.then, sheet.now)]
    picture = then_and_now(
        PairPicture(
            then=sides[0],
            now=sides[1],
            layout=layout,
            frame_mm=sheet.frame_mm,
            banner=sheet.banner,
            footer=sheet.way,
            scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else None,
            scale_bar_words=amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
            at=at,
        )
    )
    write_atomic(out, encode(picture, out.suffix.lower()))
    return out.resolve()
