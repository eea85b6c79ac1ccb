"""Whether the photos of a sole set were taken from places far enough apart: said, and drawn as seen from above."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hoofbook.measure.concavity.stands import Move, Side, Stands, Verdict
from hoofbook.terms.drawing import Anchor, Arc, Band, Drawing, Line, Primitive, Role, Spot, Text

TITLE = "Where the photos were taken from"
SEEN_FROM_ABOVE = "seen from above"
SEEN_FROM_THE_SIDE = "seen from the side"
ONE_PHOTO = "One photo cannot tell how hollow the sole is. Take two more, each turned on by 25 to 35 degrees."
NOT_PLACED = "Nothing tells where {photos} taken: no card in the picture and too few marks. Mark the same places there."
ALL_UNPLACED = "the photos were"
HAND_MM = 101.6  # the hand that horses are measured in (4 inches; the inch is 25.4 mm by definition)
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_WAYS = {
    Side.LEFT: "further to your left",
    Side.RIGHT: "further to your right",
    Side.HIGHER: "higher",
    Side.LOWER: "lower",
}
_FAN = 62.0  # degrees to each side that the drawing has room for


def said_of_stands(stands: Stands, numbers: Mapping[str, int]) -> tuple[str, ...]:
    """The verdict on the places of the photos, then what to take again or add. `numbers` of the photos by key."""
    said = [_verdict(stands)]
    said += [_move(move, numbers[move.key]) for move in stands.moves]
    if stands.unplaced:
        photos = [numbers[key] for key in stands.unplaced]
        named = f"photo {photos[0]} was" if len(photos) == 1 else f"photos {_and([str(n) for n in photos])} were"
        said.append(NOT_PLACED.format(photos=named))
    return tuple(said)


def said_of_unplaced(photos: int) -> str:
    """Where fewer than two photos of a set can be placed."""
    return ONE_PHOTO if photos < 2 else NOT_PLACED.format(photos=ALL_UNPLACED)


def _verdict(stands: Stands) -> str:
    """`Good enough: three photos, 28° and 31° apart.`"""
    apart = f"{_and([f'{gap:.0f}°' for gap in stands.gaps_deg])} apart"
    count = len(stands.stands)
    photos = f"{_COUNTS[count] if count < len(_COUNTS) else count} photos, {apart}"
    if stands.verdict is Verdict.GOOD:
        return f"Good enough: {photos}."
    if stands.verdict is Verdict.FAIR:
        return f"It can be measured, with a wider ± than need be: {photos}. Wanted are three photos, 25 to 35° apart."
    return f"Not good enough: {photos}, nearly the same place. How hollow the sole is cannot be told from there."


def _move(move: Move, number: int) -> str:
    """`Take photo 2 again from two hands (20 cm) further to your left, aimed at the same place.`"""
    if move.mm is None:
        far = f"turned on by {move.degrees:.0f}°, {_WAYS[move.side]}"
    else:
        far = f"{_hands(move.mm)} {_WAYS[move.side]}"
    if move.retake:
        return f"Take photo {number} again from {far}, aimed at the same place."
    return f"Take one more photo from {far} than photo {number}, aimed at the same place."


def _hands(mm: float) -> str:
    """`two hands (20 cm)`, to half a hand: nearer nobody stands."""
    halves = max(1, round(2.0 * mm / HAND_MM))
    whole, half = divmod(halves, 2)
    named = _COUNTS[whole] if whole < len(_COUNTS) else str(whole)
    if whole == 0:
        counted = "half a hand"
    elif whole == 1:
        counted = "a hand and a half" if half else "a hand"
    else:
        counted = f"{named} and a half hands" if half else f"{named} hands"
    return f"{counted} ({5 * halves} cm)"


def _and(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def stands_drawing(
    stands: Stands, numbers: Mapping[str, int], *, width: float, height: float, text_size: float
) -> Drawing:
    """The cameras round the foot with their numbers and the angles between them; broken: where to stand next."""
    plan = _Plan(stands, width, height, text_size)
    marks: list[Primitive] = [*plan.foot()]
    for stand in stands.stands:
        at = plan.place(stand.at_deg)
        marks.append(Line((plan.middle, at), Role.LINE, 1.0))
        marks += plan.camera(stand.at_deg, Role.INK, dashed=False)
        marks.append(plan.label(stand.at_deg, str(numbers[stand.key]), Role.INK))
    for (one, two), gap in zip(zip(stands.stands[:-1], stands.stands[1:], strict=True), stands.gaps_deg, strict=True):
        marks += plan.between(one.at_deg, two.at_deg, f"{gap:.0f}°")
    for move in stands.moves:
        start = next(stand.at_deg for stand in stands.stands if stand.key == move.key)
        marks += plan.camera(move.to_deg, Role.LEATHER, dashed=True)
        marks.append(plan.label(move.to_deg, "here", Role.LEATHER))
        marks += plan.way(start, move.to_deg)
    view = SEEN_FROM_ABOVE if stands.sideways else SEEN_FROM_THE_SIDE
    marks.append(Text((width / 2, height - 0.35 * text_size), view, 0.85 * text_size, Role.SOFT_INK, Anchor.MIDDLE))
    return Drawing(width, height, tuple(marks), f"{TITLE}: {' '.join(said_of_stands(stands, numbers))}")


class _Plan:
    """Where angles lie in the drawing: the foot above and the cameras below it, or beside it where they go up."""

    def __init__(self, stands: Stands, width: float, height: float, text_size: float) -> None:
        self.sideways, self.text_size = stands.sideways, text_size
        angles = [abs(stand.at_deg) for stand in stands.stands] + [abs(move.to_deg) for move in stands.moves]
        self._share = min(1.0, _FAN / max(*angles, 1.0))
        low = height - 1.6 * text_size  # room for the words at the foot
        if self.sideways:
            self.middle = (width / 2, 1.3 * text_size)
            self.radius = min(low - self.middle[1] - 2.6 * text_size, 0.43 * width / math.sin(math.radians(_FAN)))
        else:
            self.middle = (2.2 * text_size, low / 2)
            self.radius = min(width - self.middle[0] - 3.5 * text_size, 0.40 * low / math.sin(math.radians(_FAN)))

    def place(self, degrees: float, share: float = 1.0) -> tuple[float, float]:
        angle, radius = math.radians(degrees * self._share), self.radius * share
        if self.sideways:
            return self.middle[0] + radius * math.sin(angle), self.middle[1] + radius * math.cos(angle)
        return self.middle[0] + radius * math.cos(angle), self.middle[1] - radius * math.sin(angle)

    def foot(self) -> list[Primitive]:
        """The foot edge on: its sole towards the cameras."""
        x, y = self.middle
        half, deep = 1.5 * self.text_size, 0.9 * self.text_size
        if self.sideways:
            corners = ((x - half, y), (x + half, y), (x + 0.7 * half, y - deep), (x - 0.7 * half, y - deep))
        else:
            corners = ((x, y - half), (x, y + half), (x - deep, y + 0.7 * half), (x - deep, y - 0.7 * half))
        return [Band(corners, Role.CALM_TINT, Role.INK)]

    def camera(self, degrees: float, role: Role, *, dashed: bool) -> list[Primitive]:
        """A camera at its place, its lens towards the foot."""
        x, y = self.place(degrees)
        away = (x - self.middle[0]) / self.radius, (y - self.middle[1]) / self.radius
        across = (-away[1], away[0])
        wide, deep = 0.62 * self.text_size, 0.5 * self.text_size

        def at(side: float, back: float) -> tuple[float, float]:
            return x + side * across[0] + back * away[0], y + side * across[1] + back * away[1]

        box = (at(-wide, 0), at(wide, 0), at(wide, deep), at(-wide, deep))
        lens = Spot(at(0, 0), 0.24 * self.text_size, role, hollow=dashed)
        if dashed:
            return [Line((*box, box[0]), role, 1.2, dashed=True), lens]
        return [Band(box, role), lens]

    def label(self, degrees: float, words: str, role: Role) -> Text:
        x, y = self.place(degrees, 1.0 + 1.35 * self.text_size / self.radius)
        anchor = Anchor.MIDDLE if self.sideways else Anchor.START
        return Text((x, y + 0.35 * self.text_size), words, self.text_size, role, anchor, bold=True)

    def between(self, one: float, two: float, words: str) -> list[Primitive]:
        """The angle between two lines of sight; beside them where there is no room between."""
        share = 0.56
        start, end = self._screen(one), self._screen(two)
        bow = Arc(self.middle, self.radius * share, start, end - start, Role.CALM, 1.4)
        (ax, ay), (bx, by) = self.place(one, share), self.place(two, share)
        size = 0.9 * self.text_size
        if math.hypot(bx - ax, by - ay) > 2.1 * size:
            x, y = self.place((one + two) / 2, share + 0.95 * self.text_size / self.radius)
            return [bow, Text((x, y + 0.35 * size), words, size, Role.SOFT_INK, Anchor.MIDDLE)]
        if not self.sideways:
            away = (ay if one + two < 0 else by) + (1.1 if one + two < 0 else -0.5) * size
            return [bow, Text((ax, away), words, size, Role.SOFT_INK, Anchor.MIDDLE)]
        left = one + two < 0
        at = (ax - 0.5 * size, ay) if left else (bx + 0.5 * size, by)
        return [
            bow,
            Text((at[0], at[1] + 0.35 * size), words, size, Role.SOFT_INK, Anchor.END if left else Anchor.START),
        ]

    def _screen(self, degrees: float) -> float:
        """The angle as `Arc` counts it."""
        return degrees * self._share - 90.0 if self.sideways else degrees * self._share

    def way(self, start: float, end: float) -> list[Primitive]:
        """A bow with a head from where the photo was taken to where it is wanted."""
        share = 1.0 + 0.25 * self.text_size / self.radius
        gap = math.copysign(min(abs(end - start) / 4.0, 7.0), end - start)
        first, last = start + gap, end - gap
        tip, back = self.place(last, share), last - math.copysign(min(abs(end - start) / 4.0, 5.0), end - start)
        spread = 0.3 * self.text_size / self.radius
        head = (tip, self.place(back, share + spread), self.place(back, share - spread))
        bow = Arc(
            self.middle, self.radius * share, self._screen(first), (last - first) * self._share, Role.LEATHER, 1.4
        )
        return [bow, Band(head, Role.LEATHER)]
