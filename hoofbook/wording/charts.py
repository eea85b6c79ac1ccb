"""Charts as Drawings: the small one of a horse card and Cycle by cycle.

Coordinates are points of the given width and height, x right by date, y down. Values start at 0, so that a small change
looks small. A reading is a dot with its 95 % bar; readings of another moment are hollow and never joined.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.progress.change import Progress
from hoofbook.progress.gaps import Gap
from hoofbook.progress.series import Reading, Series
from hoofbook.terms.drawing import Anchor, Drawing, Line, Primitive, Role, Spot, Text
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.wording import chart_frame, chart_marks, verdicts
from hoofbook.wording.chart_frame import Chart, ChartEvent, Cycle, Days, high_end, low_end
from hoofbook.wording.chart_room import Box, Room, text_width
from hoofbook.wording.dates import day_month_year, month

__all__ = ["ChartEvent", "Cycle", "cycle_chart", "sparkline"]
SMALLEST_TEXT = 10.0
NO_READING = "No reading yet."


def sparkline(readings: Sequence[Reading], *, width: float, height: float, text_size: float = 13.0) -> Drawing:
    """The readings of one series small, in ink alone: dots with ± bars from 0 up, first and last month below."""
    if not readings:
        return Drawing(width, height, alt=NO_READING)
    size = max(text_size, SMALLEST_TEXT)
    foot = height - 1.5 * size
    days = Days(readings[0].day, readings[-1].day, 6.0, width - 6.0)
    low, high = min(0.0, *map(low_end, readings)), max(0.0, *map(high_end, readings))
    rise = (foot - 6.0) / ((high - low) or 1.0)

    def y(value: float) -> float:
        return foot - (value - low) * rise

    marks: list[Primitive] = [Line(((0.0, y(0.0)), (width, y(0.0))), Role.LINE)]
    if len(readings) > 1:
        marks.append(Line(tuple((days.x(r.day), y(r.value)) for r in readings), Role.SOFT_INK, 1.2))
    for reading in readings:
        x = days.x(reading.day)
        if reading.u:
            marks.append(Line(((x, y(low_end(reading))), (x, y(high_end(reading)))), Role.INK, 1.2))
        marks.append(Spot((x, y(reading.value)), 3.2, Role.INK, key=reading.key))
    marks += _first_and_last(readings, width, height - 0.3 * size, size)
    return Drawing(width, height, tuple(marks), _small_alt(readings))


def _first_and_last(readings: Sequence[Reading], width: float, y: float, size: float) -> list[Text]:
    first, last = readings[0].day, readings[-1].day
    years = first.year != last.year
    words = [month(day) + (f" {day.year}" if years else "") for day in (first, last)]
    if words[0] == words[1]:
        return [Text((width / 2, y), words[0], size, Role.SOFT_INK, Anchor.MIDDLE)]
    ends = [Text((width, y), words[1], size, Role.SOFT_INK, Anchor.END)]
    if text_width(words[0] + words[1], size) + size < width:
        ends.insert(0, Text((0.0, y), words[0], size, Role.SOFT_INK))
    return ends


def _small_alt(readings: Sequence[Reading]) -> str:
    unit = MEASURES.get(readings[0].measure, Unit.MM)
    words = "; ".join(verdicts.reading_words(reading, unit) for reading in readings)
    return f"{len(readings)} reading{'s' if len(readings) != 1 else ''}. {words}."


def cycle_chart(
    progress: Progress,
    *,
    width: float,
    height: float,
    text_size: float = 14.0,
    before: Series | None = None,
    cycles: Sequence[Cycle] = (),
    events: Sequence[ChartEvent] = (),
    gaps: Sequence[Gap] = (),
    missed: Sequence[date] = (),
    from_zero: bool = True,
    legend: bool = True,
) -> Drawing:
    """The chart of one measure of one foot.

    `before` are readings of another moment, drawn hollow and never joined (None: not shown). `cycles` make the strip of
    nailed, glued, bare; `events` stand under it. The trend is dashed across `gaps`; `missed` visits get a cross on the
    axis. Spots carry the key of their reading. Words that would lie on others are moved or left out; pointing at a dot
    still says them. About 24 x `text_size` of height shows all of it; in less the legend goes first.
    """
    size = max(text_size, SMALLEST_TEXT)
    if not progress.series.readings and not (before and before.readings):
        words = Text((width / 2, height / 2), NO_READING, size, Role.SOFT_INK, Anchor.MIDDLE)
        return Drawing(width, height, (words,), NO_READING)
    unit, room = verdicts.unit_of(progress.series), Room(Box(0.0, 0.0, width, height))
    chart = Chart(
        progress, before, cycles, events, width, height, size, from_zero, legend, unit, room, gaps, missed
    )  # fmt: skip
    chart_frame.lay_out(chart)
    for part in _PARTS:
        part(chart)
    return Drawing(width, height, tuple(chart.marks), _alt(chart))


_PARTS = (
    chart_frame.value_axis,
    chart_frame.months,
    chart_marks.band,
    chart_marks.planned_lines,
    chart_marks.missed,
    chart_marks.dots,
    chart_marks.strip,
    chart_marks.events,
    chart_marks.legend,
    chart_marks.planned_words,  # words last: they look for room between what stands already
    chart_marks.values,
)


def _alt(chart: Chart) -> str:
    readings = chart.progress.series.readings
    said = [verdicts.full_sentence(chart.progress)]
    said += [verdicts.reading_words(reading, chart.unit) + "." for reading in readings]
    if chart.missed:
        said.append(f"Visits without this reading: {', '.join(day_month_year(day) for day in chart.missed)}.")
    return " ".join(said)
