"""Dated readings of one measure of one foot, and the one place that decides what may be compared."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from statistics import median
from types import MappingProxyType
from typing import TYPE_CHECKING

from hoofbook.terms.feet import Place
from hoofbook.terms.quantity import Definition, Part, Quantity
from hoofbook.terms.refusal import Fact, Refusal, Remark
from hoofbook.terms.subjects.visits import SolePared, SoleState
from hoofbook.terms.views import CardPlane, Moment

if TYPE_CHECKING:
    from hoofbook.progress.agreement import Shrunk

DAYS_SINCE_TRIM_APART = 5  # readings further apart in the cycle are another thing (growth alone would move them)
MOMENTS_IN_THE_CYCLE = (Moment.AS_ARRIVED, Moment.BEFORE_TRIM, Moment.BETWEEN_VISITS)
HAND = "hand"  # method of numbers read by hand

ALL_CODES = (
    "another_foot",
    "another_measure",
    "another_definition",
    "another_moment",
    "hand_and_photo",
    "another_method",
    "another_shod_state",
    "days_since_trim_unknown",
    "another_day_of_cycle",
    "sole_pared_to_live_sole",
    "sole_opened_by_vet",
    "sole_wet",
    "card_plane_unsure",
    "another_person",
    "sole_state_differs",
    "interval_differs",
)


@dataclass(frozen=True, slots=True)
class Reading:
    """One measure of one foot at one visit and moment (the mean where it was taken more than once).

    `value` in the measure's unit (mm, deg, ratio, mm3); `u` its standard uncertainty in the same unit, None where
    nobody stated one; `parts` its sources (shared sources cancel between visits). `days_since_trim` counts from the
    trim before this visit. `key` names the reading and `visit` its visit; `repeats` are the readings meant.
    """

    day: date
    value: float
    u: float | None
    moment: Moment
    days_since_trim: int | None = None
    measure: str = ""
    definition: Definition = Definition.ONE
    foot: Place | None = None
    method: str = ""
    key: str = ""
    visit: str = ""
    shod: bool = False
    parts: tuple[Part, ...] = ()
    repeats: int = 1
    sole_pared: SolePared = SolePared.NOT_SAID
    sole_state: SoleState = SoleState.NOT_LOOKED
    sole_wet: bool = False
    card_plane: CardPlane | None = None  # None = no card was needed
    person: str = ""
    retake: bool = False  # card and foot were put down and the photo taken once more
    photos: tuple[str, ...] = ()

    @classmethod
    def of(cls, quantity: Quantity, day: date, moment: Moment, **more: object) -> Reading:
        """The reading that one computed quantity stands for; `more` are further fields of the reading."""
        known: dict[str, object] = {
            "measure": quantity.name,
            "definition": quantity.definition,
            "method": quantity.method,
            "parts": quantity.parts,
            "photos": quantity.photos,
        }
        return cls(day=day, value=quantity.value, u=quantity.u, moment=moment, **{**known, **more})  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class Series:
    """Readings that may stand on one line, by day, and those that may not, each with its reason."""

    measure: str
    definition: Definition
    moment: Moment
    readings: tuple[Reading, ...] = ()
    left_out: tuple[tuple[Reading, Refusal], ...] = ()
    foot: Place | None = None
    own: Shrunk | None = None  # how well such readings repeat by the book's own second takes

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(reading.day for reading in self.readings)


def comparable(a: Reading, b: Reading) -> Refusal | None:
    """None where the two readings may be compared, else why not (the first reason found).

    This is the only place that decides it. Both readings of one foot, measure and definition, at one moment, both by
    hand or both by the same version of the method, both shod or both bare; for moments inside a cycle also within
    `DAYS_SINCE_TRIM_APART` days of each other since the trim.
    """
    if _likeness(a) != _likeness(b):
        for code, one, other in _differences(a, b):
            if one != other:
                return Refusal(code, MappingProxyType({"one": one, "other": other}), a.measure)
    if a.moment in MOMENTS_IN_THE_CYCLE:
        return _same_day_of_cycle(a, b)
    return None


def _likeness(reading: Reading) -> tuple[object, ...]:
    """Equal for two readings that `_differences` finds no difference between (a quick question before the slow one)."""
    return reading.foot or "", reading.measure, reading.moment, reading.definition, reading.method, reading.shod


def _differences(a: Reading, b: Reading) -> tuple[tuple[str, str, str], ...]:
    return (
        ("another_foot", a.foot or "", b.foot or ""),
        ("another_measure", a.measure, b.measure),
        ("another_moment", a.moment, b.moment),
        ("another_definition", a.definition, b.definition),
        ("hand_and_photo", _hand(a), _hand(b)),
        ("another_method", a.method, b.method),
        ("another_shod_state", _shod(a), _shod(b)),
    )


def _hand(reading: Reading) -> str:
    by_hand = reading.method.split(" ")[0] == HAND or reading.definition is Definition.HAND_GAUGE
    return "by hand" if by_hand else "from photos"


def _shod(reading: Reading) -> str:
    return "shod" if reading.shod else "bare"


def _same_day_of_cycle(a: Reading, b: Reading) -> Refusal | None:
    if a.days_since_trim is None or b.days_since_trim is None:
        unknown = a.day if a.days_since_trim is None else b.day
        return Refusal("days_since_trim_unknown", MappingProxyType({"day": unknown.isoformat()}), a.measure)
    if abs(a.days_since_trim - b.days_since_trim) > DAYS_SINCE_TRIM_APART:
        facts = {"one": a.days_since_trim, "other": b.days_since_trim, "apart": DAYS_SINCE_TRIM_APART}
        return Refusal("another_day_of_cycle", MappingProxyType(facts), a.measure)
    return None


def build_series(
    readings: Iterable[Reading],
    *,
    measure: str,
    definition: Definition = Definition.ONE,
    moment: Moment = Moment.AFTER_TRIM,
    foot: Place | None = None,
) -> Series:
    """One reading per visit, by day; those unlike most of the others are left out with their reason.

    What the series is asked for (`measure`, `definition`, `moment`, `foot`) decides first. Where readings differ
    otherwise (method, shod, day of the cycle), the largest group alike is kept, the earlier of two equal ones; values
    play no part in it. Where there are readings from photos, those by hand are left out.
    """
    kept: list[Reading] = []
    left: list[tuple[Reading, Refusal]] = []
    for reading in one_per_visit(readings):
        refusal = _unlike_wished(reading, (foot or reading.foot or "", measure, moment, definition))
        if refusal is None:
            kept.append(reading)
        else:
            left.append((reading, refusal))
    if kept:
        photos = [reading for reading in kept if _hand(reading) == "from photos"]
        anchor = _most_alike(photos or kept)  # numbers typed in, however many, never push photos off their line
        judged = [(reading, comparable(anchor, reading)) for reading in kept]
        kept = [reading for reading, refusal in judged if refusal is None]
        left += [(reading, refusal) for reading, refusal in judged if refusal is not None]
    left.sort(key=lambda pair: (pair[0].day, pair[0].key))
    return Series(measure, definition, moment, tuple(kept), tuple(left), foot)


def _unlike_wished(reading: Reading, wished: tuple[Place | str, str, Moment, Definition]) -> Refusal | None:
    """Why a reading is not of the foot, measure, moment and definition asked for."""
    if wished != (reading.foot or "", reading.measure, reading.moment, reading.definition):
        for (code, _, other), one in zip(_differences(reading, reading), wished, strict=False):
            if one != other:
                return Refusal(code, MappingProxyType({"one": one, "other": other}), wished[1])
    return _same_day_of_cycle(reading, reading) if reading.moment in MOMENTS_IN_THE_CYCLE else None


def _most_alike(readings: Sequence[Reading]) -> Reading:
    """The reading with which most others may be compared; the earliest of equals."""
    alike = [_likeness(reading) for reading in readings]
    group, _ = Counter(alike).most_common(1)[0]
    members = [reading for reading, likeness in zip(readings, alike, strict=True) if likeness == group]
    if members[0].moment not in MOMENTS_IN_THE_CYCLE:
        return members[0]
    days = sorted(r.days_since_trim for r in members if r.days_since_trim is not None)

    def near(reading: Reading) -> int:
        day = reading.days_since_trim
        if day is None:
            return 0
        return bisect_right(days, day + DAYS_SINCE_TRIM_APART) - bisect_left(days, day - DAYS_SINCE_TRIM_APART)

    return max(members, key=near)


def one_per_visit(readings: Iterable[Reading]) -> list[Reading]:
    """Readings by day; repeats of one visit (alike in all that `comparable` asks) are made into their mean."""
    groups: dict[tuple[object, ...], list[Reading]] = defaultdict(list)
    for reading in readings:
        groups[
            (
                reading.visit or reading.day,
                reading.foot,
                reading.measure,
                reading.moment,
                reading.definition,
                reading.method,
                reading.shod,
            )
        ].append(reading)
    means = [group[0] if len(group) == 1 else mean_reading(group) for group in groups.values()]
    return sorted(means, key=lambda reading: (reading.day, reading.key))


def mean_reading(readings: Sequence[Reading]) -> Reading:
    """The mean of repeats. Parts of one source are averaged with their signs before squaring, so what the repeats
    share stays and what each has of its own shrinks; without parts the stated u count as independent (JCGM 100, 5.2).
    """
    first, count = readings[0], len(readings)
    value = math.fsum(reading.value for reading in readings) / count
    parts: tuple[Part, ...] = ()
    u: float | None
    if all(reading.parts for reading in readings):
        parts = tuple(Part(source, share / count) for source, share in _summed_parts(readings).items())
        u = math.sqrt(math.fsum(part.u**2 for part in parts))
    elif all(reading.u is not None for reading in readings):
        u = math.sqrt(math.fsum((reading.u or 0.0) ** 2 for reading in readings)) / count
    else:
        u = None
    people = {reading.person for reading in readings}
    return replace(
        first,
        value=value,
        u=u,
        parts=parts,
        repeats=sum(reading.repeats for reading in readings),
        key=" ".join(sorted(reading.key for reading in readings if reading.key)),
        photos=tuple(dict.fromkeys(photo for reading in readings for photo in reading.photos)),
        sole_wet=any(reading.sole_wet for reading in readings),
        person=first.person if len(people) == 1 else " and ".join(sorted(people)),
        card_plane=CardPlane.UNSURE if any(r.card_plane is CardPlane.UNSURE for r in readings) else first.card_plane,
    )


def _summed_parts(readings: Sequence[Reading]) -> Mapping[str, float]:
    total: dict[str, float] = defaultdict(float)
    for reading in readings:
        for part in reading.parts:
            total[part.source] += part.u
    return total


def own_u(readings: Sequence[Reading]) -> list[float]:
    """What of each stated u can scatter between these readings, in the measure's unit; 0 where none is stated.

    A source that all of them share moves them together: only how far its share departs from the mean share counts.
    """
    if len(readings) < 2 or not all(reading.parts for reading in readings):
        return [reading.u or 0.0 for reading in readings]
    shares = [_summed_parts((reading,)) for reading in readings]
    shared = set(shares[0]).intersection(*shares[1:])
    means = {source: math.fsum(share[source] for share in shares) / len(shares) for source in shared}
    return [math.sqrt(math.fsum((u - means.get(source, 0.0)) ** 2 for source, u in share.items())) for share in shares]


def u_of_difference(one: Reading, other: Reading) -> float | None:
    """Standard uncertainty of `one` less `other`; None where one of them states none.

    Sources that both share are subtracted with their signs before squaring (JCGM 100, 5.2.2): a card printed too small
    shifts both readings and drops out.
    """
    if one.parts and other.parts:
        shares: dict[str, float] = defaultdict(float)
        for reading, sign in ((one, 1.0), (other, -1.0)):
            for part in reading.parts:
                shares[part.source] += sign * part.u
        return math.sqrt(math.fsum(share * share for share in shares.values()))
    return None if one.u is None or other.u is None else math.hypot(one.u, other.u)


def flags(series: Series) -> dict[str, tuple[Remark, ...]]:
    """What stands beside each reading because it could fool us, by reading key; nothing of it leaves a reading out."""
    people = Counter(reading.person for reading in series.readings if reading.person)
    usual = people.most_common(1)[0][0] if people else ""
    days = [reading.days_since_trim for reading in series.readings if reading.days_since_trim is not None]
    usual_days = round(median(days)) if days else None
    found = {}
    for reading in series.readings:
        remarks = (*_flags_of(reading, usual), *_interval_flag(reading, usual_days))
        if remarks:
            found[reading.key] = remarks
    return found


def _flags_of(reading: Reading, usual_person: str) -> Iterable[Remark]:
    day = MappingProxyType({"day": reading.day.isoformat()})
    if reading.sole_pared is SolePared.TO_LIVE:
        yield Remark("sole_pared_to_live_sole", day)
    if reading.sole_pared is SolePared.BY_VET:
        yield Remark("sole_opened_by_vet", day)
    if reading.sole_wet:
        yield Remark("sole_wet", day)
    if reading.sole_state in (SoleState.CHALKY, SoleState.PACKED) and reading.moment is Moment.AFTER_TRIM:
        yield Remark("sole_state_differs", MappingProxyType({**day, "state": reading.sole_state.value}))
    if reading.card_plane is CardPlane.UNSURE:
        yield Remark("card_plane_unsure", day)
    if usual_person and reading.person and reading.person != usual_person:
        yield Remark("another_person", MappingProxyType({**day, "person": reading.person}))


def _interval_flag(reading: Reading, usual: int | None) -> Iterable[Remark]:
    """A trim that came much sooner or later than usual: a longer cycle leaves more to take off, and a lower heel."""
    days = reading.days_since_trim
    if usual is not None and days is not None and abs(days - usual) > DAYS_SINCE_TRIM_APART:
        facts: dict[str, Fact] = {"day": reading.day.isoformat(), "days": days, "usual": usual}
        yield Remark("interval_differs", MappingProxyType(facts))
