"""What is known of a pair of photos: their values, whether they may be compared, the window to show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from hoofbook.casework.readings import Followable, HorseReadings
from hoofbook.progress.change import pair_change
from hoofbook.progress.likeness import Point, RankedPair
from hoofbook.progress.series import Reading
from hoofbook.terms.measured import Shot
from hoofbook.terms.quantity import MEASURES, Definition, Unit
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment, View
from hoofbook.wording.pairs import (
    CARD_ELSEWHERE,
    DIFFERENT_STATE,
    DISTANCE_ALIKE,
    DISTANCE_OTHER,
    LIGHT_ALIKE,
    LIGHT_OTHER,
    NOT_TO_SCALE,
    ONLY_MOVED,
    OTHER_DAY_OF_CYCLE,
    SLANTED,
    STRAIGHT,
    TURNED_OTHERWISE,
    change_sentence,
    number_label,
    other_moments,
    reading_text,
    same_moment,
    value_words,
)
from hoofbook.wording.places import measure_name
from hoofbook.wording.refusals import sentence

if TYPE_CHECKING:
    from hoofbook.measure.comparison import Alignment

ToMm = tuple[tuple[float, float, float], tuple[float, float, float]]
_MARGIN = 0.15
_WITHOUT_SCALE = (Unit.DEG, Unit.RATIO)  # what a photo without millimetres can tell
_NUMBERS = {
    View.SOLAR: (("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE), ("foot_width", Definition.ONE)),
    View.LATERAL: (
        ("new_horn_length", Definition.ONE),
        ("toe_angle", Definition.ONE),
        ("toe_length", Definition.ONE),
        ("heel_angle", Definition.ONE),
        ("heel_height", Definition.ONE),
    ),
}


@dataclass(frozen=True, slots=True)
class PairNumber:
    """One measure of both photos: `texts` are label, then, now and the sentence about the change."""

    followable: Followable
    texts: tuple[str, str, str, str]


def numbers_of(readings: HorseReadings, pair: tuple[Photo, Photo]) -> list[PairNumber]:
    """The measures of this view that both photos' visits have, with the change of the pair or why there is none."""
    then, now = pair
    found = []
    for measure, definition in _NUMBERS.get(now.view or View.WHOLE, ()):
        one, other = (_reading(readings, photo, measure, definition) for photo in (then, now))
        if one is None or other is None or now.foot is None:
            continue
        change = pair_change(one, other, readings.own.get((measure, definition)))
        words = sentence(change) if isinstance(change, Refusal) else change_sentence(change, MEASURES[measure])
        texts = (number_label(other), reading_text(one), reading_text(other), words)
        found.append(PairNumber((now.foot, measure, definition), texts))
    return found


def values_of(readings: HorseReadings, photo: Photo, *, to_scale: bool = True) -> tuple[tuple[str, str, str], ...]:
    """The measures of the photo's view at its visit: key, label and words with ±; no lengths where nothing in the
    photo gives millimetres."""
    found = []
    for measure, definition in _NUMBERS.get(photo.view or View.WHOLE, ()):
        reading = _reading(readings, photo, measure, definition)
        if reading is not None and (to_scale or MEASURES[measure] in _WITHOUT_SCALE):
            found.append((f"{measure}|{definition.value}", measure_name(measure), value_words(reading)))
    return tuple(found)


def _reading(readings: HorseReadings, photo: Photo, measure: str, definition: Definition) -> Reading | None:
    for reading in readings.readings:
        if (
            reading.visit == str(photo.visit)
            and (reading.foot, reading.measure, reading.definition, reading.moment)
            == (photo.foot, measure, definition, photo.moment)
            and (not reading.photos or str(photo.key) in reading.photos)
        ):
            return reading
    return None


def checks_of(pair: tuple[Photo, Photo], likeness: RankedPair, to_scale: bool) -> tuple[tuple[bool, str], ...]:
    """Whether the two can be compared, point by point; what is not known is not said."""
    then, now = pair
    checks = [_moment_check(then, now)]
    if likeness.alike(Point.STATE) is False:
        checks.append((False, DIFFERENT_STATE))
    if likeness.alike(Point.DAY_OF_CYCLE) is False:
        checks.append((False, OTHER_DAY_OF_CYCLE))
    checks.append((to_scale, ONLY_MOVED if to_scale else NOT_TO_SCALE))
    if likeness.straight is not None:
        checks.append((likeness.straight, STRAIGHT if likeness.straight else SLANTED))
    for points, good, bad in (
        ((Point.TURN, Point.TILT), "", TURNED_OTHERWISE),
        ((Point.DISTANCE,), DISTANCE_ALIKE, DISTANCE_OTHER),
        ((Point.CARD_PLANE,), "", CARD_ELSEWHERE),
        ((Point.LIGHT,), LIGHT_ALIKE, LIGHT_OTHER),
    ):
        found = [likeness.alike(point) for point in points]
        if False in found:
            checks.append((False, bad))
        elif good and None not in found:
            checks.append((True, good))
    return tuple(checks)


def _moment_check(then: Photo, now: Photo) -> tuple[bool, str]:
    moments = (then.moment or Moment.BETWEEN_VISITS, now.moment or Moment.BETWEEN_VISITS)
    same = moments[0] is moments[1]
    return (same, same_moment(moments[1], now.shod) if same else other_moments(*moments))


def as_to_mm(matrix: Any) -> ToMm:
    """A (2, 3) array as plain numbers."""
    rows = [[float(value) for value in row] for row in matrix]
    return ((rows[0][0], rows[0][1], rows[0][2]), (rows[1][0], rows[1][1], rows[1][2]))


def plain_to_mm(photo: Photo) -> ToMm:
    """Where no scale is known: the photo 200 units wide, upright, its middle at the origin."""
    scale = 200.0 / photo.width
    return ((scale, 0.0, -photo.width / 2 * scale), (0.0, scale, -photo.height / 2 * scale))


def frame_of(
    pair: tuple[Photo, Photo], shots: Sequence[Shot], alignment: Alignment | None
) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the window in shared millimetres: all marks with a margin, else the first photo."""
    if alignment is not None:
        found = frame_of_marks(shots, [as_to_mm(alignment.then_to_mm), as_to_mm(alignment.now_to_mm)])
        if found is not None:
            return found
    to_mm = as_to_mm(alignment.then_to_mm) if alignment else plain_to_mm(pair[0])
    places = [_moved(to_mm, x, y) for x in (0, pair[0].width) for y in (0, pair[0].height)]
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return (min(xs), min(ys), max(xs), max(ys))


def frame_of_marks(shots: Sequence[Shot], matrices: Sequence[ToMm]) -> tuple[float, float, float, float] | None:
    """Left, top, right, bottom round all marks with a margin, in the millimetres the matrices lead to; None where
    there are not two marks."""
    places = [
        _moved(to_mm, mark.x, mark.y)
        for shot, to_mm in zip(shots, matrices, strict=True)
        for mark in shot.marking.confirmed.values()
    ]
    if len(places) < 2:
        return None
    xs, ys = [x for x, _ in places], [y for _, y in places]
    room = _MARGIN * max(max(xs) - min(xs), max(ys) - min(ys))
    return (min(xs) - room, min(ys) - room, max(xs) + room, max(ys) + room)


def fitted_to_mm(photo: Photo, frame: tuple[float, float, float, float]) -> ToMm:
    """A photo that shares no millimetres with the others, upright and whole inside their window."""
    left, top, right, low = frame
    scale = min((right - left) / photo.width, (low - top) / photo.height)
    middle = ((left + right) / 2, (top + low) / 2)
    return (
        (scale, 0.0, middle[0] - (photo.width - 1) / 2 * scale),
        (0.0, scale, middle[1] - (photo.height - 1) / 2 * scale),
    )


def _moved(to_mm: ToMm, x: float, y: float) -> tuple[float, float]:
    (a, b, c), (d, e, f) = to_mm
    return (a * x + b * y + c, d * x + e * y + f)
