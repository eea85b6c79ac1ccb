"""Could be noise: two readings with their marks placed once more by chance, again and again.

What is asked of the book comes first (`read_noise`); drawing (`draws`) and cutting pictures (`cut`) touch it no more.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.pictures import PictureBuffer
from hoofbook.casework.readings import HorseReadings, read_readings
from hoofbook.casework.shots import measure_shots, read_group
from hoofbook.progress.pair import pair_change
from hoofbook.progress.series import Reading, u_of_difference
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Pair, place_of
from hoofbook.terms.measured import Measured, Shot
from hoofbook.terms.quantity import COVERAGE, Definition
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import Step
from hoofbook.wording import noise
from hoofbook.wording.marks import mark_spoken
from hoofbook.wording.verdicts import title

ALL_CODES = ("noise_of_a_pair", "noise_needs_two", "noise_not_on_line", "noise_needs_photos", "noise_needs_marks")
DRAWS = 100
MARKS_SHOWN = 3
_SPREADS = 6.0  # half of a cut-out, in spreads of placing
_LEAST_HALF_PX = 8.0

MarkAt = tuple[str, str]
"""Photo key and mark."""


@dataclass(frozen=True, slots=True)
class MarkCut:
    """A small piece of a photo about one mark: its middle and half its side, in photo px."""

    at: MarkAt
    words: str
    middle: tuple[float, float]
    half: float


@dataclass(frozen=True, slots=True)
class NoiseSide:
    """One of the two readings: what it says, and its marks that matter most for the value."""

    words: str
    value: float
    cuts: tuple[MarkCut, ...]


@dataclass(frozen=True, slots=True)
class _Taken:
    """One reading as it is drawn anew: the photos measured together, its parts, what moves them."""

    reading: Reading
    groups: tuple[tuple[Shot, ...], ...]
    shares: tuple[Mapping[MarkAt, Sequence[tuple[str, float]]], ...]


@dataclass(frozen=True, slots=True)
class NoiseSheet:
    """Two readings before anything is drawn. `strip(differences, at, width, height, text_size)` draws the dots."""

    title: str
    then: NoiseSide
    now: NoiseSide
    sentences: tuple[str, ...]
    difference: str
    measure: str
    strip: Callable[[Sequence[float], int, float, float, float], Drawing]
    paths: Mapping[str, Path]
    stated: tuple[float, float]
    taken: tuple[_Taken, _Taken]


@dataclass(frozen=True, slots=True)
class NoiseDraw:
    """One draw: the values in words, the difference as a number, and where the shown marks would lie (photo px)."""

    then: str
    now: str
    difference: str
    value: float
    places: Mapping[MarkAt, tuple[float, float]]


@dataclass(frozen=True, slots=True)
class NoiseStep(Step):
    """Progress with the draw that was just made."""

    draw: NoiseDraw | None = None


def read_noise(
    open_book: OpenBook, horse: str, foot: str, *, measure: str, definition: str, then: str = "", now: str = ""
) -> NoiseSheet:
    """Two readings of one measure, each named by its own key or that of one of its photos; else the first that counts
    and the newest.

    Raises:
        Refused: one of `ALL_CODES`.
    """
    place = place_of(foot)
    if isinstance(place, Pair):
        raise Refused(Refusal("noise_of_a_pair", {}, measure))
    readings = read_readings(open_book, uuid(horse))
    series = readings.series(place, measure, Definition(definition))
    pair = _two(series.readings, then, now)
    taken = tuple(_taken(open_book, readings, reading) for reading in pair)
    one, other = pair
    value, u = other.value - one.value, u_of_difference(other, one) or 0.0
    visits = pair_change(one, other, series.own)
    photos = {str(photo.key): photo for photo in readings.history.photos}
    named = {shot.key for side in taken for group in side.groups for shot in group}
    return NoiseSheet(
        title=title(series),
        then=_side(taken[0]),
        now=_side(taken[1]),
        sentences=(noise.measuring_alone(value, u, measure), noise.with_visits(visits, measure)),
        difference=noise.difference_words(value, COVERAGE * u, measure),
        measure=measure,
        strip=lambda found, at, width, height, size: noise.strip(
            found, at, (value, u), measure, width=width, height=height, text_size=size
        ),
        paths={key: open_book.archive.path(photos[key]) for key in named},
        stated=(value, u),
        taken=(taken[0], taken[1]),
    )


def _two(shown: Sequence[Reading], then: str, now: str) -> tuple[Reading, Reading]:
    """The two asked for, the earlier first; what is not named is the newest, or else the first."""
    if len(shown) < 2:
        raise Refused(Refusal("noise_needs_two", {}))
    by_name = {name: reading for reading in shown for name in (reading.key, *reading.photos)}
    if any(name and name not in by_name for name in (then, now)):
        raise Refused(Refusal("noise_not_on_line", {}))
    later = by_name.get(now, shown[-1])
    earlier = by_name.get(then, shown[0])
    if earlier is later:
        earlier = shown[0] if later is not shown[0] else shown[-1]
    first, last = sorted((earlier, later), key=lambda reading: (reading.day, reading.key))
    return first, last


def _taken(open_book: OpenBook, readings: HorseReadings, reading: Reading) -> _Taken:
    from hoofbook.measure.redraw import shares_of

    photos = {str(photo.key): photo for photo in readings.history.photos}
    own = [photos[key] for key in reading.photos if key in photos]
    if not own:
        raise Refused(Refusal("noise_needs_photos", {"day": reading.day.isoformat()}, reading.measure))
    groups: dict[frozenset[str], tuple[Shot, ...]] = {}
    for photo in own:
        shots = read_group(open_book, photo).shots()
        groups[frozenset(shot.key for shot in shots)] = shots
    shares = []
    for shots in groups.values():
        measured = measure_shots(shots)
        if measured.quantity(reading.measure, reading.definition.value) is None:
            raise Refused(Refusal("noise_needs_marks", {"day": reading.day.isoformat()}, reading.measure))
        shares.append(shares_of(shots, widened=_widened(measured)))
    return _Taken(reading, tuple(groups.values()), tuple(shares))


def _widened(measured: Measured) -> float:
    told = (remark for found in measured.remarks.values() for remark in found)
    factors = [remark.facts["factor"] for remark in told if remark.code == "placing_larger_than_told"]
    return max((float(factor) for factor in factors if isinstance(factor, int | float)), default=1.0)


def _side(taken: _Taken) -> NoiseSide:
    """The marks whose placing moves the value most, each once (of a set in the photo where it moves it most) and cut
    out as wide as its spread asks."""
    weight = {part.source: part.u for part in taken.reading.parts}
    cuts: list[tuple[float, MarkCut]] = []
    for shots, shares in zip(taken.groups, taken.shares, strict=True):
        for shot in shots:
            for name, mark in shot.marking.confirmed.items():
                moves = sum(weight.get(f"photo {shot.key} mark {name} {way}", 0.0) ** 2 for way in ("x", "y"))
                spread = max((spread for _, spread in shares[shot.key, name]), default=0.0)
                half = max(_SPREADS * spread, _LEAST_HALF_PX)
                cuts.append((moves, MarkCut((shot.key, name), mark_spoken(name), (mark.x, mark.y), half)))
    cuts.sort(key=lambda pair: -pair[0])
    most: dict[str, MarkCut] = {}
    for moves, found in cuts:
        if moves > 0:
            most.setdefault(found.at[1], found)
    return NoiseSide(noise.side_words(taken.reading), taken.reading.value, tuple(most.values())[:MARKS_SHOWN])


def draws(sheet: NoiseSheet, count: int = DRAWS) -> Generator[NoiseStep, None, int]:
    """Measures both readings anew `count` times; each step carries its draw (None where the marks gave no value).

    Returns how many gave a value.
    """
    half = COVERAGE * max(sheet.stated[1], 1e-9)
    shown = {cut.at for side in (sheet.then, sheet.now) for cut in side.cuts}
    found = 0
    for number in range(count):
        drawn = [_draw(taken, number, shown) for taken in sheet.taken]
        made = None
        if all(value is not None for value, _ in drawn):
            (then, first), (now, second) = drawn
            assert then is not None and now is not None
            found += 1
            words = [noise.value_words(value, half, sheet.measure) for value in (then, now)]
            difference = noise.difference_words(now - then, half, sheet.measure)
            made = NoiseDraw(words[0], words[1], difference, now - then, {**first, **second})
        yield NoiseStep(number + 1, count, noise.step_words(number + 1, count), made)
    return found


def _draw(taken: _Taken, number: int, shown: set[MarkAt]) -> tuple[float | None, dict[MarkAt, tuple[float, float]]]:
    from hoofbook.measure.redraw import moved, other_errors, placing_sources

    values, places, placing = [], {}, frozenset[str]()
    for shots, shares in zip(taken.groups, taken.shares, strict=True):
        again = [moved(shot, shares, number) for shot in shots]
        found = measure_shots(again).quantity(taken.reading.measure, taken.reading.definition.value)
        if found is None:
            return None, {}
        values.append(found.value)
        placing |= placing_sources(shares)
        for shot in again:
            for name, mark in shot.marking.confirmed.items():
                if (shot.key, name) in shown:
                    places[shot.key, name] = (mark.x, mark.y)
    return sum(values) / len(values) + other_errors(taken.reading.parts, placing, number), places


def cut(sheet: NoiseSheet, side_px: int) -> Mapping[MarkAt, PictureBuffer]:
    """The small pieces about the shown marks, each `side_px` square; a photo that cannot be read has none."""
    from hoofbook.imaging.cut_out import cut_out

    pieces = {}
    cuts = [piece for side in (sheet.then, sheet.now) for piece in side.cuts]
    for photo in dict.fromkeys(piece.at[0] for piece in cuts):
        own = [piece for piece in cuts if piece.at[0] == photo]
        found = cut_out(sheet.paths[photo], [(*piece.middle, piece.half) for piece in own], side_px)
        if not isinstance(found, Refusal):
            for piece, pixels in zip(own, found, strict=True):
                pieces[piece.at] = PictureBuffer(side_px, side_px, pixels.data)
    return pieces
