"""The frame of a Cycle by cycle chart: how its room is shared out, the value axis and the months."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from hoofbook.progress.change import Progress, Trend
from hoofbook.progress.gaps import Gap
from hoofbook.progress.series import Reading, Series
from hoofbook.terms.drawing import Anchor, Line, Primitive, Role, Text
from hoofbook.terms.quantity import COVERAGE, Unit
from hoofbook.terms.subjects.visits import Shoeing
from hoofbook.wording import numbers
from hoofbook.wording.chart_room import Box, Room, text_box, text_width
from hoofbook.wording.dates import MONTHS, month
from hoofbook.wording.places import definition_name, moment_name, shoeing_name

HALF_SIGN = 10.0  # points: half as wide as a sign of the legend, whatever the size of the words
FEWEST_FOR_TREND = 4
MOST_TICKS = 7
_STEPS = (1.0, 2.0, 5.0)
_LANES = 3
_LEAST_PLOT = 7.0
NOT_FROM_ZERO = "close up, not from 0"
MISSED = "visit without this reading"


@dataclass(frozen=True, slots=True)
class Cycle:
    """How the foot went home from a visit: one piece of the strip, from its day to the next visit."""

    start: date
    end: date
    shoeing: Shoeing


@dataclass(frozen=True, slots=True)
class ChartEvent:
    """Something from the day book, written under the strip."""

    day: date
    words: str


@dataclass(frozen=True, slots=True)
class Days:
    """Days to x: `first` stands at `left`, `last` at `right`; days before and after go on in proportion."""

    first: date
    last: date
    left: float
    right: float

    @property
    def points_a_day(self) -> float:
        return (self.right - self.left) / max((self.last - self.first).days, 1)

    def x(self, day: date) -> float:
        if self.first == self.last:
            return (self.left + self.right) / 2 + (day - self.first).days
        return self.left + self.points_a_day * (day - self.first).days

    def month_starts(self, left: float, right: float) -> Iterator[date]:
        """First days of the months that lie between two x."""
        before = math.ceil((self.left - left) / self.points_a_day)
        day = (self.first - timedelta(days=min(before, 400))).replace(day=1)
        while self.x(day) <= right:
            if self.x(day) >= left:
                yield day
            day = date(day.year + day.month // 12, day.month % 12 + 1, 1)


@dataclass(slots=True)
class Chart:
    """One Cycle by cycle chart while it is being drawn."""

    progress: Progress
    before: Series | None
    cycles: Sequence[Cycle]
    events: Sequence[ChartEvent]
    width: float
    height: float
    size: float
    from_zero: bool
    legend: bool
    unit: Unit
    room: Room
    gaps: Sequence[Gap] = ()
    missed: Sequence[date] = ()
    marks: list[Primitive] = field(default_factory=list)
    days: Days = field(init=False)
    plot: Box = field(init=False)
    low: float = 0.0
    step: float = 1.0
    high: float = 1.0
    lanes: int = 0
    legend_rows: int = 0

    def y(self, value: float) -> float:
        return self.plot.bottom - (value - self.low) / (self.high - self.low) * (self.plot.bottom - self.plot.top)

    def inside(self, value: float) -> float:
        return self.y(min(max(value, self.low), self.high))

    @property
    def readings(self) -> list[Reading]:
        return [*self.progress.series.readings, *(self.before.readings if self.before else ())]

    @property
    def trend(self) -> Trend | None:
        return self.progress.trend if len(self.progress.tested) >= FEWEST_FOR_TREND else None

    @property
    def strip_top(self) -> float:
        return self.plot.bottom + 1.9 * self.size

    @property
    def events_top(self) -> float:
        return self.strip_top + (2.0 * self.size if self.cycles else 0.0)


def low_end(reading: Reading) -> float:
    return reading.value - COVERAGE * (reading.u or 0.0)


def high_end(reading: Reading) -> float:
    return reading.value + COVERAGE * (reading.u or 0.0)


def lay_out(chart: Chart) -> None:
    """Shares out the height between plot, months, strip, events and legend; asks again once their lines are known.

    Where the plot would be left with less than `_LEAST_PLOT` lines of text, the legend goes first, then all but one
    line of events: the plot is what the chart is for.
    """
    chart.lanes, chart.legend_rows = int(bool(chart.events)), int(chart.legend)
    _share_out(chart)
    chart.lanes = min(len(event_lanes(chart)), _LANES)
    chart.legend_rows = len(legend_rows(chart)) if chart.legend else 0
    _share_out(chart)
    least = _LEAST_PLOT * chart.size
    if chart.legend_rows and chart.plot.bottom - chart.plot.top < least:
        chart.legend_rows = 0
        _share_out(chart)
    if chart.lanes > 1 and chart.plot.bottom - chart.plot.top < least:
        chart.lanes = 1
        _share_out(chart)


def _share_out(chart: Chart) -> None:
    size = chart.size
    below = 1.9 * size + (2.0 * size if chart.cycles else 0.0) + 1.5 * size * chart.legend_rows + 0.3 * size
    below += (0.9 * size + 1.25 * size * chart.lanes) if chart.lanes else 0.0
    tall = max(chart.height - below - 2.0 * size, 4 * size)
    top = max([*map(high_end, chart.readings), *_band_ends(chart)])
    least = min([*map(low_end, chart.readings), *_band_ends(chart)])
    chart.low, chart.high, chart.step = scale(least, top, chart.from_zero, tall, size)
    words = [tick_words(chart, value) for value in ticks(chart)] + [numbers.unit_sign(chart.unit).strip()]
    left = max(text_width(word, size) for word in words) + 1.0 * size
    chart.plot = Box(left, 2.0 * size, chart.width - 0.4 * size, 2.0 * size + tall)
    days = [reading.day for reading in chart.readings]
    ends = [cycle.end for cycle in chart.cycles] + [event.day for event in chart.events] + [*chart.missed]
    first, last = min([*days, *(event.day for event in chart.events)]), max([*days, *ends])
    chart.days = Days(first, last, left + 2.6 * size, chart.plot.right - 1.2 * size)


def _band_ends(chart: Chart) -> list[float]:
    """Ends of the trend's bands, as far as they do not squeeze the readings flat."""
    if chart.trend is None:
        return []
    seen = [end(reading) for reading in chart.progress.series.readings for end in (low_end, high_end)]
    reach = max(seen) - min(0.0, *seen)
    days = (chart.trend.first_day, chart.trend.last_day)
    ends = [end for day in days for at in (chart.trend.band_at, chart.trend.prediction_at) for end in at(day)]
    return [end for end in ends if min(seen) - 0.3 * reach <= end <= max(seen) + 0.3 * reach]


def scale(least: float, top: float, from_zero: bool, tall: float, size: float) -> tuple[float, float, float]:
    """Lower end, upper end and step of the value axis: round numbers, as many as there is room for."""
    low = min(0.0, least) if from_zero else least
    high = max(top, 0.0) if from_zero else top
    if high - low <= 0:
        high = low + 1.0
    most = min(max(int(tall / (2.0 * size)), 2), MOST_TICKS)
    step = _round_step((high - low) / most)
    return math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step, step


def _round_step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next((k * power for k in _STEPS if k * power >= least * (1 - 1e-9)), 10 * power)


def ticks(chart: Chart) -> list[float]:
    count = round((chart.high - chart.low) / chart.step)
    return [chart.low + number * chart.step for number in range(count + 1)]


def tick_words(chart: Chart, value: float) -> str:
    return numbers.figure(value, max(0, -math.floor(math.log10(chart.step) + 1e-9)))


def event_lanes(chart: Chart) -> list[list[tuple[ChartEvent, float]]]:
    """Events with the middle of their words, in as many lines as it takes for words not to meet.

    Words stand centred under their day, or pushed to the right as far as they still begin under it.
    """
    lanes: list[list[tuple[ChartEvent, float]]] = []
    ends: list[float] = []
    for event in sorted(chart.events, key=lambda item: item.day):
        width = text_width(event.words, chart.size)
        x = min(max(chart.days.x(event.day), chart.plot.left), chart.plot.right)
        wished = min(max(x - width / 2, 0.0), chart.width - width)
        furthest = max(wished, min(x - 4.5, chart.width - width))
        starts = [max(wished, end + 0.6 * chart.size) for end in ends]
        lane = next((k for k, start in enumerate(starts) if start <= furthest), len(lanes))
        left = starts[lane] if lane < len(lanes) else wished
        if lane == len(lanes):
            lanes.append([])
            ends.append(0.0)
        lanes[lane].append((event, left + width / 2))
        ends[lane] = left + width
    return lanes


def strip_piece(chart: Chart, cycle: Cycle) -> tuple[float, float]:
    """Left and right end of a piece of the strip."""
    left = max(chart.days.x(cycle.start), chart.plot.left) + 1.0
    return left, min(chart.days.x(cycle.end), chart.plot.right) - 1.0


def word_fits(chart: Chart, cycle: Cycle) -> bool:
    left, right = strip_piece(chart, cycle)
    return text_width(shoeing_name(cycle.shoeing), chart.size) + 0.5 * chart.size <= right - left


def legend_rows(chart: Chart) -> list[list[tuple[str, str]]]:
    """Signs and their words, wrapped into lines."""
    rows: list[list[tuple[str, str]]] = [[]]
    x = 0.0
    for sign, words in _legend_entries(chart):
        width = legend_width(chart, words)
        if rows[-1] and x + width > chart.width:
            rows.append([])
            x = 0.0
        rows[-1].append((sign, words))
        x += width
    return rows


def legend_width(chart: Chart, words: str) -> float:
    return text_width(words, chart.size) + HALF_SIGN + 2.7 * chart.size


def _legend_entries(chart: Chart) -> Iterator[tuple[str, str]]:
    series = chart.progress.series
    spread = "±" if any(reading.u for reading in series.readings) else ""
    words = [moment_name(series.moment).lower(), definition_name(series.definition), spread]
    yield "dot", ", ".join(word for word in words if word)
    if chart.trend is not None:
        yield "band", "trend and its band"
        yield "prediction", "reach of one more reading"
    if chart.trend is not None and chart.gaps:
        yield "dashed", "no reading there"
    if chart.missed:
        yield "missed", MISSED
    if chart.progress.untested:
        yield "soft", "before the goal, not tested"
    if chart.before is not None:
        yield "hollow", f"{moment_name(chart.before.moment).lower()}, another moment"
    named = {cycle.shoeing for cycle in chart.cycles if word_fits(chart, cycle)}
    for shoeing in Shoeing:
        if shoeing not in named and any(cycle.shoeing is shoeing for cycle in chart.cycles):
            yield shoeing.value, shoeing_name(shoeing)


def write(chart: Chart, text: Text) -> None:
    """A text that must stand where it is; its place is taken."""
    chart.marks.append(text)
    chart.room.take(text_box(text))


def value_axis(chart: Chart) -> None:
    plot, size = chart.plot, chart.size
    right = plot.left - 0.5 * size
    for value in ticks(chart):
        y = chart.y(value)
        zero = abs(value) < chart.step / 1e6
        chart.marks.append(Line(((plot.left, y), (plot.right, y)), Role.LINE, 1.6 if zero else 1.0))
        write(chart, Text((right, y + 0.35 * size), tick_words(chart, value), size, Role.SOFT_INK, Anchor.END))
    sign = numbers.unit_sign(chart.unit).strip()
    if sign:
        write(chart, Text((right, plot.top - 0.95 * size), sign, size, Role.SOFT_INK, Anchor.END))
    if not chart.low <= 0.0 <= chart.high:  # a small change looks large: that must be said in the picture
        write(chart, Text((plot.left, plot.top - 0.95 * size), NOT_FROM_ZERO, size, Role.SOFT_INK))


def months(chart: Chart) -> None:
    """Months below the axis, as many as there is room for, with their year where the chart spans two."""
    plot, size = chart.plot, chart.size
    starts = list(chart.days.month_starts(plot.left, plot.right))
    years = bool(starts) and starts[0].year != starts[-1].year
    widest = max(text_width(f"{name} 0000" if years else name, size) for name in MONTHS) + 0.6 * size
    each = chart.days.points_a_day * 30.4
    every = next((k for k in (1, 2, 3, 4, 6, 12, 24, 60, 120) if k * each >= widest), 240)
    free = plot.left - 0.5 * size
    for start in starts:
        x = chart.days.x(start)
        chart.marks.append(Line(((x, plot.bottom), (x, plot.bottom + 4.0)), Role.LINE))
        if (start.year * 12 + start.month - 1) % every:
            continue
        words = f"{month(start)} {start.year}" if years else month(start)
        text = Text((x + 3.0, plot.bottom + 1.35 * size), words, size, Role.SOFT_INK)
        box = text_box(text)
        if box.left >= free and box.right <= chart.width:
            write(chart, text)
            free = box.right + 0.4 * size
