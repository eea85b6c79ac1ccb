"""Words and the section drawing of the whole sole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

from hoofbook.measure.concavity.map_change import MapChange, Section
from hoofbook.progress.series import Reading
from hoofbook.terms.drawing import Anchor, Band, Drawing, Line, Primitive, Role, Text
from hoofbook.terms.quantity import COVERAGE, Definition, Quantity, Unit
from hoofbook.terms.shown import Step
from hoofbook.terms.sole_shape import SoleShape
from hoofbook.terms.subjects import SolePared, SoleState
from hoofbook.terms.views import Moment
from hoofbook.wording.dates import day_month, day_month_year
from hoofbook.wording.measures import measure_line
from hoofbook.wording.numbers import measured
from hoofbook.wording.places import moment_name

TITLE = "The whole sole"
NO_SETS = (
    "No sole set yet",
    "Three sole photos from different sides, with the scale card and marked on the Bench, show the shape of the whole "
    "sole: depth from the sole edge, place by place.",
    "How to take sole photos",
)
MAKE = "Measure the whole sole"
MAKE_OTHER = "Measure the earlier visit too"
READ_OFF = "Read off the map"
NOT_MADE = "The whole sole of this visit is not measured yet: it takes some seconds."
LACKS = "The whole sole of this visit cannot be measured yet."
TO_BENCH = "To the Bench"
VIEWS = (("depth", "depth"), ("lamp", "under a lamp"), ("change", "difference"))
POINT_HINT = "Point at a place of the sole to read its depth. Click to lay the sections through it."
LAMP_HINT = "Move the pointer round the sole: the lamp follows. It is equally strong for every visit."
CHANGE_WORDS = "A difference of two shapes, not of horn: sole sheds and wall grows. Grey: no difference shown."
CAUTION = "Depth from the sole edge, measured from outside: it shows neither sole thickness nor the bone."
SAVE_PICTURE, SAVE_GRID, SAVE_MESH = "Save picture", "Save grid (CSV)", "Save mesh (PLY)"
COMPARED_WITH = "compared with"
SECTION_ALONG, SECTION_ACROSS = "Heel to toe", "Side to side"
STOP = "Stop"
STATE = "Foot"
WORKING = "Measuring the whole sole ..."


def make_all(sets: int, of: int) -> str:
    """`Measure all 7 visits`, `Measure 3 more visits`: those of the foot whose whole sole is not measured yet."""
    return f"Measure all {sets} visits" if sets == of else f"Measure {sets} more visits"


def working(step: Step, done: int, sets: int) -> str:
    """`Measuring the whole sole ... 2 / 6`; of several visits also which one."""
    of = f" visit {done + 1} of {sets}," if sets > 1 else ""
    return f"{WORKING}{of} {step.done} / {step.total}"


def map_row(quantity: Quantity) -> tuple[str, str]:
    """Name and value; where it is taken from the wall edge that is said."""
    line = measure_line(quantity)
    by = f", {line.definition}" if quantity.definition is Definition.FROM_WALL_EDGE else ""
    return f"{line.label}{by}", f"{line.value}{line.unit} {line.plus_minus}".strip()


def state_row(reading: Reading) -> tuple[str, str]:
    """What must be alike for another visit to be compared: `bare, after trim, sole live, loose flakes only pared`"""
    words = ["shod" if reading.shod else "bare", moment_name(reading.moment).lower()]
    if reading.sole_state is not SoleState.NOT_LOOKED:
        words.append(f"sole {reading.sole_state.value}")
    if reading.sole_pared is not SolePared.NOT_SAID:
        pared = "nothing" if reading.sole_pared is SolePared.NONE else reading.sole_pared.value
        words.append(f"pared: {pared}")
    if reading.sole_wet:
        words.append("wet")
    return STATE, ", ".join(words)


def completeness_words(sole: SoleShape) -> str:
    """`96 % of the sole could be measured.`"""
    return f"{math.floor(100 * sole.completeness)} % of the sole could be measured."


def point_words(value: tuple[float, float] | None, toe: float, right: float, toward_lateral: int) -> str:
    """`4.9 mm ± 0.4, 12 mm in front of the frog apex, 8 mm to the outside`"""
    where = f"{abs(toe):.0f} mm {'in front of' if toe >= 0 else 'behind'} the frog apex"
    if toward_lateral and abs(right) >= 0.5:
        side = "outside" if (right >= 0) == (toward_lateral > 0) else "inside"
        where += f", {abs(right):.0f} mm to the {side}"
    if value is None:
        return f"Not measured here, {where}."
    return f"{measured(value[0], COVERAGE * value[1], Unit.MM)}, {where}"


def change_sentence(change: MapChange, then: date, now: date) -> str:
    """`From 14 Jan to 30 Sep 2025: 85 % of the sole differs by more than the photos can tell.`"""
    days = f"From {day_month_year(then)} to {day_month_year(now)}"
    if not change.beyond.any():
        return f"{days}: no difference shown anywhere on the sole."
    return f"{days}: over {math.ceil(100 * change.share)} % of the sole a difference is shown."


def section_chart(
    sections: tuple[Section, ...], low: float, high: float, *, size: tuple[float, float], text_size: float, title: str
) -> Drawing:
    """Depth down, place across, each section with its 95 % band; the last is drawn full, those before it soft."""
    width, height = size
    left, right, top, foot = 3.2 * text_size, width - 8.0, 1.9 * text_size, height - 1.6 * text_size
    first = min(place for section in sections for place in section.along)
    last = max(place for section in sections for place in section.along)

    def x(place: float) -> float:
        return left + (place - first) / ((last - first) or 1.0) * (right - left)

    def y(depth: float) -> float:
        return top + (depth - low) / ((high - low) or 1.0) * (foot - top)

    marks: list[Primitive] = [Text((0.0, 1.1 * text_size), title, text_size, Role.SOFT_INK)]
    step = 1 if high - low <= 6 else 2
    for depth in range(math.ceil(low), math.floor(high) + 1, step):
        marks.append(Line(((left, y(depth)), (right, y(depth))), Role.LINE, 0.7))
        words = f"{depth} mm"
        marks.append(
            Text((left - 6.0, y(depth) + 0.35 * text_size), words, 0.85 * text_size, Role.SOFT_INK, Anchor.END)
        )
    for number, section in enumerate(sections):
        full = number == len(sections) - 1
        for run in _runs(section):
            upper = tuple((x(p), y(d - COVERAGE * u)) for p, d, u in run)
            lower = tuple((x(p), y(d + COVERAGE * u)) for p, d, u in reversed(run))
            if full:
                marks.append(Band((*upper, *lower), Role.CALM_TINT))
            points = tuple((x(p), y(d)) for p, d, _ in run)
            marks.append(Line(points, Role.MEASURED if full else Role.SOFT_INK, 2.0 if full else 1.2, dashed=not full))
    return Drawing(width, height, tuple(marks), title)


def _runs(section: Section) -> list[list[tuple[float, float, float]]]:
    """Stretches without a hole, of two places or more."""
    runs: list[list[tuple[float, float, float]]] = [[]]
    for place, depth, u in zip(section.along, section.depth, section.u, strict=True):
        if math.isfinite(depth):
            runs[-1].append((place, depth, u))
        elif runs[-1]:
            runs.append([])
    return [run for run in runs if len(run) > 1]


TOE = "toe"


def sides(toward_lateral: int) -> tuple[str, str]:
    """Words at the left and right edge of the map; empty where no mark tells which is which."""
    if not toward_lateral:
        return "", ""
    return ("inside", "outside") if toward_lateral > 0 else ("outside", "inside")


def saved(name: str) -> str:
    return f"Saved as {name}."


def set_names(sets: Sequence[tuple[date, Moment | None]]) -> tuple[str, ...]:
    """`14 Jan`; with the year where there are several, with the moment where they differ."""
    years, moments = {day.year for day, _ in sets}, {moment for _, moment in sets}
    names = []
    for day, moment in sets:
        name = day_month(day) if len(years) == 1 else day_month_year(day)
        names.append(name + (f", {moment_name(moment).lower()}" if moment and len(moments) > 1 else ""))
    return tuple(names)


def depth_legend(low: float, high: float) -> str:
    """What the colours of the depth map mean."""
    reach = f"Dark is {low:.0f} mm, light {high:.0f} mm deep"
    return f"{reach}, the same on every visit of this foot; a line every millimetre."
