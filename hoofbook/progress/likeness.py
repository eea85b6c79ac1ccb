"""How alike two photos of one foot and view were taken: what a fair pair of pictures is ranked by.

No value of any measure plays a part, so a pair is never proposed for what it shows. Two photos of different moments
never rank above two of one moment, whatever else is alike: their difference is the trim and the cycle.

The limits within which two photos count as alike are our own choice (no source). What they amount to: a foot turned
by 5 degrees looks 0.4 % narrower, by 12 degrees 2.2 % (1 - cos); at 1.2 times the distance a part that lies 60 mm
nearer to a lens 0.9 m away is drawn 1.2 % smaller.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import combinations

from hoofbook.progress.series import DAYS_SINCE_TRIM_APART, MOMENTS_IN_THE_CYCLE
from hoofbook.terms.views import CardPlane, Moment, View

STANDING_ALIKE_DEG = 5.0
SOLE_ALIKE_DEG = 12.0  # a lifted foot lies in the hand a little otherwise each time
STRAIGHT_TURN_DEG, STRAIGHT_TILT_DEG = 8.0, 12.0  # as the photo check has it
DISTANCE_ALIKE_SHARE = 0.2  # same distance within a fifth (common practice, no source)
LIGHT_ALIKE_STOPS = 0.5  # brightness of the card's white, in stops (doublings of the light)
COLOUR_ALIKE_STOPS = 0.25  # red and blue against green

Light = tuple[float, float, float]
"""Light that the card's white print sends back: red, green, blue, linear, 1 = the brightest a photo can hold."""


class Point(StrEnum):
    """What two photos are compared by."""

    MOMENT = "moment"
    STATE = "state"
    SCALE = "scale"
    DAY_OF_CYCLE = "day of cycle"
    TURN = "turn"
    TILT = "tilt"
    DISTANCE = "distance"
    CARD_PLANE = "card plane"
    LIGHT = "light"


@dataclass(frozen=True, slots=True)
class Taken:
    """How one photo was taken. None: not known. Angles in degrees against square-on, `distance_mm` from lens to foot.

    `scaled`: something in the photo gives millimetres.
    """

    key: str
    day: date
    view: View
    moment: Moment | None
    shod: bool = False
    from_inside: bool = False
    scaled: bool = True
    card_plane: CardPlane = CardPlane.UNSURE
    turn_deg: float | None = None
    tilt_deg: float | None = None
    distance_mm: float | None = None
    days_since_trim: int | None = None
    light: Light | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """One point: `unlike` is 0 for the same and 1 at the limit within which two count as alike; None = not known."""

    point: Point
    unlike: float | None

    @property
    def alike(self) -> bool | None:
        return None if self.unlike is None else self.unlike <= 1.0


@dataclass(frozen=True, slots=True)
class RankedPair:
    """Two photos, the earlier first, and how alike they are, point by point; `straight` None where not known."""

    then: Taken
    now: Taken
    said: tuple[Said, ...]
    straight: bool | None

    @property
    def days(self) -> int:
        return (self.now.day - self.then.day).days

    def unlike(self, point: Point) -> float | None:
        return next((said.unlike for said in self.said if said.point is point), None)

    def alike(self, point: Point) -> bool | None:
        """None: not known, or not asked of these two."""
        return next((said.alike for said in self.said if said.point is point), None)


def ranked_pairs(photos: Iterable[Taken]) -> tuple[RankedPair, ...]:
    """Every pair of these photos, best first, whatever their order; two seen from different sides are no pair.

    First come pairs of one moment, then of one state (shod or bare), then to scale; of those, pairs with fewer points
    that are unlike or not known; of equals, after trim, both nearly square on, more days apart, and last the closer
    likeness. So a photo and its identical twin stand before every pair of that photo with another that is as near in
    time, and before every pair with one more point unlike, however far apart that is.
    """
    known = sorted({photo.key: photo for photo in photos}.values(), key=lambda photo: (photo.day, photo.key))
    pairs = [pair_of(a, b) for a, b in combinations(known, 2) if _can_be(a, b)]
    return tuple(sorted(pairs, key=_rank))


def pair_of(then: Taken, now: Taken) -> RankedPair:
    """How alike two photos of one foot and view are."""
    said = tuple(_said(then, now))
    straight: bool | None = None
    if now.view is not View.SOLAR:
        square = [_straight(photo) for photo in (then, now)]
        straight = None if None in square else all(square)
    return RankedPair(then, now, said, straight)


def _can_be(a: Taken, b: Taken) -> bool:
    return a.view is b.view and a.from_inside is b.from_inside


def _rank(pair: RankedPair) -> tuple[object, ...]:
    first = [pair.alike(point) is not True for point in (Point.MOMENT, Point.STATE, Point.SCALE)]
    return (
        *first,
        sum(said.alike is not True for said in pair.said),
        pair.now.moment is not Moment.AFTER_TRIM,
        pair.straight is False,
        -pair.days,
        math.fsum(said.unlike for said in pair.said if said.unlike is not None),
        pair.then.day,
        pair.then.key,
        pair.now.key,
    )


def _said(then: Taken, now: Taken) -> Sequence[Said]:
    angle = SOLE_ALIKE_DEG if now.view is View.SOLAR else STANDING_ALIKE_DEG
    said = [
        Said(Point.MOMENT, None if then.moment is None or now.moment is None else _same(then.moment is now.moment)),
        Said(Point.STATE, _same(then.shod is now.shod)),
        Said(Point.SCALE, _same(then.scaled and now.scaled)),
        Said(Point.TURN, _apart(then.turn_deg, now.turn_deg, angle)),
        Said(Point.TILT, _apart(then.tilt_deg, now.tilt_deg, angle)),
        Said(Point.DISTANCE, _distances(then.distance_mm, now.distance_mm)),
        Said(Point.CARD_PLANE, _same(then.card_plane is now.card_plane)),
        Said(Point.LIGHT, _lights(then.light, now.light)),
    ]
    if then.moment is now.moment and now.moment in MOMENTS_IN_THE_CYCLE:
        said.append(Said(Point.DAY_OF_CYCLE, _apart(then.days_since_trim, now.days_since_trim, DAYS_SINCE_TRIM_APART)))
    return said


def _same(same: bool) -> float:
    return 0.0 if same else 2.0  # there is nothing between


def _apart(one: float | None, other: float | None, limit: float) -> float | None:
    return None if one is None or other is None else abs(one - other) / limit


def _distances(one: float | None, other: float | None) -> float | None:
    if one is None or other is None or max(one, other) <= 0.0:
        return None
    return abs(one - other) / max(one, other) / DISTANCE_ALIKE_SHARE


def _lights(one: Light | None, other: Light | None) -> float | None:
    """The larger of brightness and colour apart, each in its limit; brightness as Y of ITU-R BT.709."""
    if one is None or other is None or min(*one, *other) <= 0.0:
        return None
    bright = [0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b in (one, other)]
    brightness = abs(math.log2(bright[0] / bright[1])) / LIGHT_ALIKE_STOPS
    tints = [(math.log2(r / g), math.log2(b / g)) for r, g, b in (one, other)]
    colour: float = max(abs(a - b) for a, b in zip(*tints, strict=True)) / COLOUR_ALIKE_STOPS
    return max(brightness, colour)


def _straight(photo: Taken) -> bool | None:
    if photo.turn_deg is None or photo.tilt_deg is None:
        return None
    return abs(photo.turn_deg) <= STRAIGHT_TURN_DEG and abs(photo.tilt_deg) <= STRAIGHT_TILT_DEG
