from __future__ import annotations

import itertools
import random
from datetime import date, timedelta
from pathlib import Path

import pytest

from hoofbook.progress.change import Followed, Progress, judge, judge_goals
from hoofbook.progress.gaps import Gap, gaps
from hoofbook.progress.series import Series
from hoofbook.terms.drawing import Band, Drawing, Line, Role, Spot, Text
from hoofbook.terms.drawing_svg import places
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.subjects.visits import Shoeing
from hoofbook.terms.views import Moment
from hoofbook.wording.chart_frame import NOT_FROM_ZERO
from hoofbook.wording.chart_marks import PREDICTION
from hoofbook.wording.chart_room import text_box, text_width
from hoofbook.wording.charts import ChartEvent, Cycle, cycle_chart, sparkline

from ..progress.lives import LARKSPUR_DAYS, LARKSPUR_LF, even_days, reading, series_of

SIZES = [
    (width, height, size) for width in (420, 560, 780, 1000) for height in (300, 420, 560) for size in (14, 17, 20)
]
EVENTS = (
    ChartEvent(date(2025, 2, 20), "vet's films"),
    ChartEvent(date(2025, 3, 22), "RF lost, day 25"),
    ChartEvent(date(2025, 3, 30), "call"),
    ChartEvent(date(2025, 9, 24), "vet's films"),
)


def larkspur() -> Progress:
    rows = [reading(d, v, 0.32) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    return judge_goals([Followed(series_of(rows), Wanted.MORE)])[0]


def before() -> Series:
    values = (8.9, 9.6, 9.0, 9.8, 10.1, 10.9)
    return series_of(
        [
            reading(d, v, 0.4, moment=Moment.BEFORE_TRIM, key=f"before {d}")
            for d, v in zip(LARKSPUR_DAYS[1:], values, strict=True)
        ]
    )


def cycles(days: list[date]) -> list[Cycle]:
    kinds = itertools.cycle([Shoeing.NAILED, Shoeing.NAILED, Shoeing.GLUED, Shoeing.BARE])
    return [Cycle(a, b, kind) for (a, b), kind in zip(itertools.pairwise(days), kinds, strict=False)]


def texts(drawing: Drawing) -> list[Text]:
    return [mark for mark in drawing.primitives if isinstance(mark, Text)]


def spots(drawing: Drawing) -> dict[str, Spot]:
    return {mark.key: mark for mark in drawing.primitives if isinstance(mark, Spot) and mark.key}


def assert_readable(drawing: Drawing) -> None:
    boxes = [(text.words, text_box(text)) for text in texts(drawing)]
    for words, box in boxes:
        assert box.left >= -1 and box.right <= drawing.width + 1, words
        assert box.top >= -1 and box.bottom <= drawing.height + 1, words
    for (one, first), (other, second) in itertools.combinations(boxes, 2):
        assert not first.grown(-0.5).meets(second.grown(-0.5)), f"{one!r} lies on {other!r}"


@pytest.mark.parametrize(("width", "height", "size"), SIZES)
@pytest.mark.parametrize("shown", [False, True])
def test_no_words_lie_on_others_in_any_window(width: int, height: int, size: int, shown: bool) -> None:
    drawing = cycle_chart(
        larkspur(),
        width=width,
        height=height,
        text_size=size,
        before=before() if shown else None,
        cycles=cycles([*LARKSPUR_DAYS, date(2025, 11, 11)]),
        events=EVENTS,
    )
    assert_readable(drawing)
    assert len(spots(drawing)) == (13 if shown else 7)


@pytest.mark.parametrize("count", [1, 2, 3, 8, 25, 40])
def test_no_words_lie_on_others_with_few_or_many_readings(count: int) -> None:
    chance = random.Random(count)
    rows = [reading(d, 2 + 0.1 * i + chance.gauss(0, 0.6), 0.4) for i, d in enumerate(even_days(count))]
    found = judge_goals([Followed(series_of(rows), Wanted.LESS)])[0]
    for width, size in ((460, 14), (900, 14), (900, 20)):
        assert_readable(
            cycle_chart(found, width=width, height=420, text_size=size, cycles=cycles(even_days(count + 1)))
        )


def test_dots_lie_by_date_and_value_from_nought() -> None:
    drawing = cycle_chart(larkspur(), width=780, height=520)
    found = list(spots(drawing).values())
    days = [(d - LARKSPUR_DAYS[0]).days for d in LARKSPUR_DAYS]
    first, last = found[0].centre, found[-1].centre
    for spot, day, value in zip(found, days, LARKSPUR_LF, strict=True):
        share = day / days[-1]
        assert spot.centre[0] == pytest.approx(first[0] + share * (last[0] - first[0]))
        rise = (value - LARKSPUR_LF[0]) / (LARKSPUR_LF[-1] - LARKSPUR_LF[0])
        assert spot.centre[1] == pytest.approx(first[1] + rise * (last[1] - first[1]))
    per_mm = (first[1] - last[1]) / (LARKSPUR_LF[-1] - LARKSPUR_LF[0])
    nought = first[1] + per_mm * LARKSPUR_LF[0]
    axis = next(text for text in texts(drawing) if text.words == "0")
    assert axis.at[1] == pytest.approx(nought, abs=6)
    assert [place.key for place in places(drawing)] == [r.key for r in larkspur().series.readings]


def test_bars_are_the_95_percent_interval() -> None:
    drawing = cycle_chart(larkspur(), width=780, height=520)
    found = list(spots(drawing).values())
    per_mm = (found[0].centre[1] - found[-1].centre[1]) / (LARKSPUR_LF[-1] - LARKSPUR_LF[0])
    x = found[3].centre[0]
    bars = [
        mark
        for mark in drawing.primitives
        if isinstance(mark, Line) and mark.role is Role.INK and mark.points[0][0] == mark.points[1][0] == x
    ]
    low, high = sorted(point[1] for point in bars[0].points)
    assert (high - low) / 2 == pytest.approx(1.96 * 0.32 * per_mm, rel=1e-3)


def test_another_moment_is_hollow_and_never_joined() -> None:
    drawing = cycle_chart(larkspur(), width=780, height=520, before=before())
    hollow = [spot for spot in spots(drawing).values() if spot.hollow]
    assert [spot.key for spot in hollow] == [r.key for r in before().readings]
    places_of = {spot.centre for spot in hollow}
    for mark in drawing.primitives:
        if isinstance(mark, Line):
            assert not places_of & set(mark.points)
    assert any("before trim, another moment" in text.words for text in texts(drawing))
    hidden = cycle_chart(larkspur(), width=780, height=520)
    assert not any(spot.hollow for spot in spots(hidden).values())


def test_planned_readings_are_written_in_and_only_a_shown_change_has_colour() -> None:
    drawing = cycle_chart(larkspur(), width=780, height=520)
    words = {text.words: text.role for text in texts(drawing)}
    assert words["reading 7: increase shown"] is Role.WANTED
    assert words["reading 4: no change shown"] is Role.SOFT_INK
    assert any(word.startswith("(smallest we could see: ") for word in words)
    coloured = [mark for mark in drawing.primitives if mark.role in (Role.WANTED, Role.AGAINST)]
    assert [text.words for text in coloured if isinstance(text, Text)] == ["reading 7: increase shown"]
    plain = cycle_chart(judge(larkspur().series), width=780, height=520)
    assert not any(mark.role in (Role.WANTED, Role.AGAINST) for mark in plain.primitives)


@pytest.mark.parametrize(("width", "height", "size"), SIZES)
def test_half_a_verdict_is_never_written(width: int, height: int, size: int) -> None:
    drawing = cycle_chart(larkspur(), width=width, height=height, text_size=size)
    words = [text.words for text in texts(drawing)]
    halves = sum(word.endswith("no change shown") for word in words)
    assert halves == sum(word.startswith("(smallest we could see") for word in words)


def struck_through(drawing: Drawing) -> list[str]:
    """Words through whose letters (their middle half) a line of the trend goes."""
    lines = [mark.points for mark in drawing.primitives if isinstance(mark, Line) and mark.role is Role.CALM]
    found = []
    for text in texts(drawing):
        box = text_box(text)
        quarter = (box.bottom - box.top) / 4
        for (x0, y0), (x1, y1) in (piece for line in lines for piece in itertools.pairwise(line)):
            places = [(x0 + (x1 - x0) * k / 50, y0 + (y1 - y0) * k / 50) for k in range(51)]
            if any(box.left < x < box.right and box.top + quarter < y < box.bottom - quarter for x, y in places):
                found.append(text.words)
                break
    return found


def test_no_line_goes_through_a_verdict_where_there_is_room_beside_it() -> None:
    """The sample story's right fore: four readings whose reach of one more reading lies along the floor."""
    days = [LARKSPUR_DAYS[k] for k in (0, 2, 4, 6)]
    rows = [reading(d, v, 0.2) for d, v in zip(days, (2.0, 1.7, 2.4, 2.3), strict=True)]
    progress = judge_goals([Followed(series_of(rows), Wanted.MORE)])[0]
    for width, height, size in ((650, 190, 11.0), (780, 420, 14.0), (1000, 560, 17.0)):
        drawing = cycle_chart(progress, width=width, height=height, text_size=size)
        words = [text.words for text in texts(drawing)]
        assert any(word.startswith("(smallest we could see") for word in words), "told whole"
        assert not [word for word in struck_through(drawing) if word.startswith(("reading", "("))]


@pytest.mark.parametrize("size", [10.0, 11.0, 14.0, 20.0])
def test_words_of_the_legend_keep_clear_of_their_sign(size: float) -> None:
    drawing = cycle_chart(larkspur(), width=900, height=520, text_size=size)
    words = next(text for text in texts(drawing) if text.words == "trend and its band")
    sign = [mark for mark in drawing.primitives if isinstance(mark, Band) and mark.role is Role.CALM_TINT][-1]
    assert words.at[0] - max(x for x, _ in sign.points) >= 0.25 * size


def test_strip_says_nailed_glued_bare() -> None:
    drawing = cycle_chart(larkspur(), width=900, height=520, cycles=cycles([*LARKSPUR_DAYS, date(2025, 11, 11)]))
    words = [text.words for text in texts(drawing)]
    assert words.count("nailed") == 4
    assert words.count("glued") == 2
    assert words.count("bare") == 1
    tinted = [mark for mark in drawing.primitives if isinstance(mark, Band) and mark.role is Role.LEATHER_TINT]
    assert len(tinted) == 4


def test_empty_and_single() -> None:
    empty = judge(Series("toe_angle", larkspur().series.definition, Moment.AFTER_TRIM), wanted=Wanted.MORE)
    assert [text.words for text in texts(cycle_chart(empty, width=400, height=300))] == ["No reading yet."]
    one = judge(series_of([reading(LARKSPUR_DAYS[0], 1.2)]), wanted=Wanted.MORE)
    assert len(spots(cycle_chart(one, width=400, height=300))) == 1
    nothing = sparkline((), width=200, height=60)
    assert (nothing.primitives, nothing.alt) == ((), "No reading yet.")


def test_sparkline_is_ink_from_nought() -> None:
    rows = larkspur().series.readings
    drawing = sparkline(rows, width=200, height=80)
    assert {mark.role for mark in drawing.primitives} <= {Role.INK, Role.SOFT_INK, Role.LINE}
    found = list(spots(drawing).values())
    base = next(mark for mark in drawing.primitives if isinstance(mark, Line)).points[0][1]
    ratio = (base - found[0].centre[1]) / (base - found[-1].centre[1])
    assert ratio == pytest.approx(LARKSPUR_LF[0] / LARKSPUR_LF[-1])
    assert [text.words for text in texts(drawing)] == ["Jan", "Sep"]
    assert "30 Sep 2025, after trim: 5.0 mm ± 0.6" in drawing.alt
    assert_readable(drawing)


def test_long_spans_of_time() -> None:
    rows = [reading(date(2012, 3, 1) + timedelta(days=400 * i), 50 + i, 0.3) for i in range(12)]
    assert_readable(cycle_chart(judge(series_of(rows)), width=500, height=300, text_size=17))


def test_words_are_never_wider_than_thought() -> None:
    """The estimate against the shipped fonts themselves: never less, at most a quarter more."""
    from PIL import ImageFont

    fonts = Path(__file__).parents[2] / "resources" / "fonts"
    words = {
        text.words for text in texts(cycle_chart(larkspur(), width=900, height=560, before=before(), events=EVENTS))
    }
    words |= {"nailed", "glued", "bare", "Nov 2025", "−10.5", "wet month, sole held", "mmmm", "WWW"}
    for name, bold in (("Inter-Regular.ttf", False), ("Inter-SemiBold.ttf", True)):
        font = ImageFont.truetype(str(fonts / name), 100)
        for word in words:
            real = font.getlength(word)
            assert real <= text_width(word, 100.0, bold=bold), word
            if len(word) > 4:
                assert text_width(word, 100.0, bold=bold) <= 1.25 * real, word


def lines(drawing: Drawing, *, dashed: bool, width: float) -> list[Line]:
    found = [mark for mark in drawing.primitives if isinstance(mark, Line) and mark.role is Role.CALM]
    return [line for line in found if line.dashed is dashed and line.width == width]


def missed_visits() -> tuple[Progress, tuple[Gap, ...]]:
    """Larkspur without the readings of 16 Apr and 27 May."""
    kept = [item for item in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True) if item[0] not in LARKSPUR_DAYS[2:4]]
    progress = judge_goals([Followed(series_of([reading(d, v, 0.32) for d, v in kept]), Wanted.MORE)])[0]
    return progress, gaps(progress.series, LARKSPUR_DAYS)


def test_the_trend_is_broken_where_nothing_was_read() -> None:
    progress, found = missed_visits()
    drawing = cycle_chart(progress, width=780, height=520, gaps=found, missed=LARKSPUR_DAYS[2:4])
    x = {day: spot.centre[0] for day, spot in zip(progress.series.days, spots(drawing).values(), strict=True)}
    broken = [line for line in lines(drawing, dashed=True, width=1.6) if line.points[0][1] < 460]
    solid = [line for line in lines(drawing, dashed=False, width=1.6) if line.points[0][1] < 460]
    assert [[point[0] for point in line.points] for line in broken] == [
        [pytest.approx(x[LARKSPUR_DAYS[1]]), pytest.approx(x[LARKSPUR_DAYS[4]])]
    ]
    assert [[point[0] for point in line.points] for line in solid] == [
        [pytest.approx(x[LARKSPUR_DAYS[0]]), pytest.approx(x[LARKSPUR_DAYS[1]])],
        [pytest.approx(x[LARKSPUR_DAYS[4]]), pytest.approx(x[LARKSPUR_DAYS[6]])],
    ]
    words = [text.words for text in texts(drawing)]
    assert "no reading there" in words and "visit without this reading" in words
    assert "16 Apr 2025, 27 May 2025" in drawing.alt
    whole = cycle_chart(larkspur(), width=780, height=520)
    assert "no reading there" not in [text.words for text in texts(whole)]
    assert len([line for line in lines(whole, dashed=False, width=1.6) if line.points[0][1] < 460]) == 1


@pytest.mark.parametrize(("width", "height", "size"), SIZES)
def test_no_words_lie_on_others_with_gaps(width: int, height: int, size: int) -> None:
    progress, found = missed_visits()
    days = [*LARKSPUR_DAYS, date(2025, 11, 11)]
    drawing = cycle_chart(
        progress,
        width=width,
        height=height,
        text_size=size,
        before=before(),
        cycles=cycles(days),
        events=EVENTS,
        gaps=found,
        missed=LARKSPUR_DAYS[2:4],
    )
    assert_readable(drawing)


def test_the_reach_of_one_more_reading_is_two_thin_lines_at_the_prediction_band() -> None:
    """Geometry alone: the lines stand where the trend says (its figures are held to a library in progress/)."""
    progress = larkspur()
    assert progress.trend is not None
    drawing = cycle_chart(progress, width=780, height=520)
    thin = [line for line in lines(drawing, dashed=False, width=PREDICTION) if len(line.points) > 2]
    found = list(spots(drawing).values())
    per_mm = (found[0].centre[1] - found[-1].centre[1]) / (LARKSPUR_LF[-1] - LARKSPUR_LF[0])
    for line in thin:
        x, y = line.points[-1]
        value = LARKSPUR_LF[0] + (found[0].centre[1] - y) / per_mm
        assert x == pytest.approx(found[-1].centre[0])
        low, high = progress.trend.prediction_at(LARKSPUR_DAYS[-1])
        assert min(abs(value - low), abs(value - high)) < 1e-6
        inner = progress.trend.band_at(LARKSPUR_DAYS[-1])
        assert value < inner[0] or value > inner[1]
    assert len(thin) == 2
    assert "reach of one more reading" in [text.words for text in texts(drawing)]


@pytest.mark.parametrize(("width", "height", "size"), SIZES)
def test_a_close_up_says_that_it_does_not_begin_at_nought(width: int, height: int, size: int) -> None:
    rows = [reading(d, 84.0 + v, 0.7) for d, v in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    found = judge(series_of(rows))
    close, whole = (cycle_chart(found, width=width, height=height, text_size=size, from_zero=z) for z in (False, True))
    assert_readable(close)
    assert NOT_FROM_ZERO in [text.words for text in texts(close)]
    assert NOT_FROM_ZERO not in [text.words for text in texts(whole)]
    rise = [
        max(s.centre[1] for s in spots(d).values()) - min(s.centre[1] for s in spots(d).values())
        for d in (close, whole)
    ]
    assert rise[0] > 5 * rise[1]


def test_a_close_up_that_holds_nought_says_nothing() -> None:
    drawing = cycle_chart(larkspur(), width=780, height=520, from_zero=False)
    low = min(
        float(text.words) for text in texts(drawing) if text.words.replace(".", "").isdigit() and len(text.words) < 3
    )
    assert (NOT_FROM_ZERO in [text.words for text in texts(drawing)]) is (low > 0)
