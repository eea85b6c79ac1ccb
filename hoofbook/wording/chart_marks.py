"""What stands in the plot and below it: band, dots, values, planned readings, strip, events, legend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from hoofbook.progress.change import Look, Trend, as_wanted
from hoofbook.progress.gaps import Gap
from hoofbook.progress.series import Reading
from hoofbook.terms.drawing import Anchor, Band, Line, Primitive, Role, Spot, Text
from hoofbook.terms.quantity import COVERAGE
from hoofbook.terms.subjects.visits import Shoeing
from hoofbook.wording import numbers, verdicts
from hoofbook.wording.chart_frame import (
    HALF_SIGN,
    Chart,
    event_lanes,
    high_end,
    legend_rows,
    legend_width,
    low_end,
    strip_piece,
    word_fits,
    write,
)
from hoofbook.wording.chart_room import Box, lines_at, text_box
from hoofbook.wording.places import shoeing_name

DOT = 5.0
PREDICTION = 0.9  # points wide
_LOOKS_TOLD = 6  # the newest planned readings that are written out; older ones keep their dotted line


def band(chart: Chart) -> None:
    """The fitted line with its pointwise 95 % band, over the tested readings, kept inside the plot; about it two thin
    lines between which one more reading would fall."""
    trend = chart.trend
    if trend is None:
        return
    span = (trend.last_day - trend.first_day).days
    days = [trend.first_day + timedelta(days=round(span * k / 24)) for k in range(25)]
    ends = [trend.band_at(day) for day in days]
    lower = [(chart.days.x(day), chart.inside(low)) for day, (low, _) in zip(days, ends, strict=True)]
    upper = [(chart.days.x(day), chart.inside(high)) for day, (_, high) in zip(days, ends, strict=True)]
    chart.marks.append(Band((*lower, *reversed(upper)), Role.CALM_TINT))
    chart.marks += _prediction(chart, trend, days)
    for start, end, broken in _stretches(trend.first_day, trend.last_day, chart.gaps):
        line = tuple((chart.days.x(day), chart.inside(trend.value_at(day))) for day in (start, end))
        chart.marks.append(Line(line, Role.CALM, 1.6, dashed=broken))


def _prediction(chart: Chart, trend: Trend, days: Sequence[date]) -> list[Primitive]:
    """The prediction band as thin lines; what lies outside the plot is left out, never drawn along its edge."""
    lines: list[Primitive] = []
    for side in (0, 1):
        run: list[tuple[float, float]] = []
        for value, day in [(trend.prediction_at(day)[side], day) for day in days]:
            if chart.low <= value <= chart.high:
                run.append((chart.days.x(day), chart.y(value)))
                continue
            lines += [Line(tuple(run), Role.CALM, PREDICTION)] if len(run) > 1 else []
            run = []
        lines += [Line(tuple(run), Role.CALM, PREDICTION)] if len(run) > 1 else []
    return lines


def _stretches(first: date, last: date, found: Sequence[Gap]) -> Iterator[tuple[date, date, bool]]:
    """The line from `first` to `last` in pieces, True where nothing was read."""
    at = first
    for gap in found:
        start, end = max(gap.after, first), min(gap.before, last)
        if start >= end:
            continue
        if at < start:
            yield at, start, False
        yield start, end, True
        at = end
    if at < last:
        yield at, last, False


def missed(chart: Chart) -> None:
    """A small cross on the lower edge of the plot for each visit at which this was not read."""
    for day in chart.missed:
        x = chart.days.x(day)
        chart.marks += _cross(x, chart.plot.bottom)
        chart.room.take(Box(x - 5.0, chart.plot.bottom - 5.0, x + 5.0, chart.plot.bottom))


def _cross(x: float, y: float) -> list[Primitive]:
    ends = [((x - 4.0, y - 4.0 * way), (x + 4.0, y + 4.0 * way)) for way in (1, -1)]
    return [Line(points, Role.INK, 1.6) for points in ends]


def planned_lines(chart: Chart) -> None:
    """A dotted line from each planned reading down to the axis."""
    for look in chart.progress.looks:
        x, top = chart.days.x(look.day), _below(chart, look) + 6.0
        if top < chart.plot.bottom:
            chart.marks.append(Line(((x, top), (x, chart.plot.bottom)), Role.SOFT_INK, 1.0, dashed=True))
            chart.room.take(Box(x - 1.0, top, x + 1.0, chart.plot.bottom))


def _below(chart: Chart, look: Look) -> float:
    """y of the lower end of the reading that a look fell on."""
    return chart.inside(low_end(chart.progress.tested[look.reading - 1]))


def dots(chart: Chart) -> None:
    """Readings solid with their bars, those before the goal paler, those of another moment hollow and without bars."""
    untested = {reading.key for reading in chart.progress.untested}
    for reading in chart.before.readings if chart.before else ():
        _dot(chart, reading, Role.SOFT_INK, hollow=True)
    for reading in chart.progress.series.readings:
        _dot(chart, reading, Role.SOFT_INK if reading.key in untested else Role.INK, hollow=False)


def _dot(chart: Chart, reading: Reading, role: Role, *, hollow: bool) -> None:
    x, y = chart.days.x(reading.day), chart.y(reading.value)
    if reading.u and not hollow:
        low, high = chart.inside(low_end(reading)), chart.inside(high_end(reading))
        chart.marks.append(Line(((x, low), (x, high)), role, 1.5))
        for end in (low, high):
            chart.marks.append(Line(((x - 4.0, end), (x + 4.0, end)), role, 1.5))
        chart.room.take(Box(x - 5.0, high - 1.0, x + 5.0, low + 1.0))
    chart.marks.append(Spot((x, y), DOT, role, hollow=hollow, key=reading.key))
    chart.room.take(Box(x - 6.5, y - 6.5, x + 6.5, y + 6.5))


def values(chart: Chart) -> None:
    """Each value beside its dot where there is room; where dots stand close, only the first, newest and planned."""
    size, readings = chart.size, chart.progress.series.readings
    told = set(range(len(readings)))
    if len(readings) > 1 and (chart.days.right - chart.days.left) / (len(readings) - 1) < 3.2 * size:
        planned = {look.day for look in chart.progress.looks}
        told = {k for k in told if k in (0, len(readings) - 1) or readings[k].day in planned}
    for number in sorted(told, reverse=True):
        reading = readings[number]
        x, y, gap = chart.days.x(reading.day), chart.y(reading.value), 0.75 * size
        half = COVERAGE * reading.u if reading.u else None
        words = numbers.pieces(reading.value, half, chart.unit).value
        places = [
            (x - gap, y - 0.5 * size, Anchor.END),
            (x + gap, y - 0.5 * size, Anchor.START),
            (x - gap, y + 1.1 * size, Anchor.END),
            (x + gap, y + 1.1 * size, Anchor.START),
            (x, chart.inside(high_end(reading)) - 0.5 * size, Anchor.MIDDLE),
            (x, chart.inside(low_end(reading)) + 1.1 * size, Anchor.MIDDLE),
        ]
        ways = [(Text((at_x, at_y), words, size, Role.INK, anchor, bold=True),) for at_x, at_y, anchor in places]
        chart.marks += chart.room.put(_clear_first(chart, [way for way in ways if _over_the_plot(chart, way)]))


def _clear_first(chart: Chart, ways: list[tuple[Text, ...]]) -> list[tuple[Text, ...]]:
    """The same ways, those first that no line of the trend goes through: struck-through words read as withdrawn."""
    lines = [mark.points for mark in chart.marks if isinstance(mark, Line) and mark.role is Role.CALM]
    return sorted(ways, key=lambda way: any(text_box(text).is_crossed(line) for text in way for line in lines))


def _over_the_plot(chart: Chart, lines: tuple[Text, ...]) -> bool:
    inside = Box(chart.plot.left, 0.0, chart.width, chart.plot.bottom)
    return all(text_box(line).within(inside) for line in lines)


def planned_words(chart: Chart) -> None:
    """What was said at each planned reading, beside its dotted line and clear of everything else, the newest first.

    Where the whole does not fit it says `reading 4` alone: half of a verdict is never written.
    """
    newest = True
    for look in chart.progress.looks[: -_LOOKS_TOLD - 1 : -1]:
        role = Role.SOFT_INK
        wish = as_wanted(look.verdict, chart.progress.wanted)
        if newest and wish is not None:
            role = Role.WANTED if wish else Role.AGAINST
        newest = False
        said = verdicts.look_caption(look, chart.unit)
        ways = [
            way
            for words in (said, (f"reading {look.reading}",))
            for way in _clear_first(chart, _beside_the_line(chart, look, words, role))
        ]
        chart.marks += chart.room.put(way for way in ways if _over_the_plot(chart, way))


def _beside_the_line(chart: Chart, look: Look, words: tuple[str, ...], role: Role) -> list[tuple[Text, ...]]:
    size, x = chart.size, chart.days.x(look.day)
    lowest = chart.plot.bottom - 0.5 * size - 1.3 * size * (len(words) - 1)
    count = int(max(lowest - _below(chart, look), 0.0) / (0.8 * size)) + 1
    return [
        lines_at((x + side, lowest - 0.8 * size * k), words, size, role, anchor, bold=role is not Role.SOFT_INK)
        for k in range(count)
        for side, anchor in ((0.7 * size, Anchor.START), (-0.7 * size, Anchor.END))
    ]


def strip(chart: Chart) -> None:
    """Nailed: tinted; glued: white with a dotted line; bare: a broken outline. The word stands in it where it fits."""
    size, top = chart.size, chart.strip_top
    for cycle in chart.cycles:
        left, right = strip_piece(chart, cycle)
        if right - left < 2.0:
            continue
        chart.marks += _piece(cycle.shoeing, Box(left, top, right, top + 1.6 * size))
        if word_fits(chart, cycle):
            at = ((left + right) / 2, top + 1.13 * size)
            write(chart, Text(at, shoeing_name(cycle.shoeing), size, anchor=Anchor.MIDDLE))


def _piece(shoeing: Shoeing, box: Box) -> list[Primitive]:
    corners = ((box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom))
    fill = Role.LEATHER_TINT if shoeing is Shoeing.NAILED else Role.CARD
    outline = Role.SOFT_INK if shoeing is Shoeing.BARE else Role.LEATHER
    piece: list[Primitive] = [Band(corners, fill, outline, dashed=shoeing is Shoeing.BARE)]
    if shoeing is Shoeing.GLUED:
        ends = ((box.left + 3, box.bottom - 3), (box.right - 3, box.bottom - 3))
        piece.append(Line(ends, Role.LEATHER, 1.0, dashed=True))
    return piece


def events(chart: Chart) -> None:
    """A small triangle under the strip on the day, its words below; what finds no line is said by the list beside."""
    size, top = chart.size, chart.events_top
    for event in chart.events:
        x = min(max(chart.days.x(event.day), chart.plot.left), chart.plot.right)
        chart.marks.append(Band(((x, top), (x + 4.5, top + 7.0), (x - 4.5, top + 7.0)), Role.INK))
    for number, lane in enumerate(event_lanes(chart)[: chart.lanes]):
        y = top + 7.0 + 1.05 * size + 1.25 * size * number
        for event, middle in lane:
            write(chart, Text((middle, y), event.words, size, anchor=Anchor.MIDDLE))


def legend(chart: Chart) -> None:
    """What each sign stands for, at the foot of the chart."""
    size, rows = chart.size, legend_rows(chart)[: chart.legend_rows]
    for number, row in enumerate(rows):
        y = chart.height - 0.45 * size - 1.5 * size * (len(rows) - 1 - number)
        x = 0.2 * size
        for sign, words in row:
            chart.marks += _sign(sign, x + 0.9 * size, y - 0.32 * size)
            write(chart, Text((x + HALF_SIGN + 1.4 * size, y), words, size, Role.SOFT_INK))
            x += legend_width(chart, words)


def _sign(sign: str, x: float, y: float) -> list[Primitive]:
    if sign in tuple(Shoeing):
        return _piece(Shoeing(sign), Box(x - 9, y - 6, x + 9, y + 6))
    corners = ((x - 10, y - 5), (x + 10, y - 5), (x + 10, y + 5), (x - 10, y + 5))
    thin = [Line(((x - 10, y + rise), (x + 10, y + rise)), Role.CALM, PREDICTION) for rise in (-5, 5)]
    role = Role.SOFT_INK if sign == "soft" else Role.INK
    signs: dict[str, list[Primitive]] = {
        "band": [Band(corners, Role.CALM_TINT), Line(((x - 10, y + 2), (x + 10, y - 2)), Role.CALM, 1.6)],
        "prediction": [*thin],
        "dashed": [Line(((x - 10, y), (x + 10, y)), Role.CALM, 1.6, dashed=True)],
        "missed": _cross(x, y),
        "hollow": [Spot((x, y), 4.5, Role.SOFT_INK, hollow=True)],
    }
    return signs.get(sign, [Line(((x, y - 7), (x, y + 7)), role, 1.5), Spot((x, y), 4.5, role)])
