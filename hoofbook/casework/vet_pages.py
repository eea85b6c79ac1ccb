"""The pages of a Vet case after the first: history, measures, photos, method, in the order in which a vet reads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from hoofbook import PRODUCT_NAME, __version__
from hoofbook.casework.how_measured import about
from hoofbook.casework.readings import followed_place
from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.casework.vet_lines import gauge_of, goal_lines, table_lines
from hoofbook.casework.vet_pictures import CaseLooks, strip, twins, unmarked
from hoofbook.progress.change import Progress
from hoofbook.progress.series import HAND
from hoofbook.terms.feet import Foot, Pair
from hoofbook.terms.shown import Table
from hoofbook.terms.subjects import Photo
from hoofbook.wording import charts, cycles, vet_history, vet_images, vet_method, vet_numbers
from hoofbook.wording.vet_case import NAMED_ON_PAGE_1, TITLES, strip_note
from hoofbook.wording.vet_gaps import news

if TYPE_CHECKING:
    from hoofbook.papers.vet_case import Block, Grid, Part

CHART = (720.0, 256.0)  # set to the width of the page, its words come out at seven points
_NEWEST_CORRECTIONS = 12
_TIMELINE, _FINDINGS, _GAIT = (0.0, 0.0, 0.0, 1.0), (0.0, 0.0, 2.0, 1.5, 1.5, 2.0), (0.0, 1.0, 1.0, 1.0, 1.0, 1.4)
_SHOEING = (0.0, 0.0, 1.1, 1.5, 1.5, 1.4, 1.7, 1.6)
_MEASURES = (2.1, 0.0, 1.2, 1.2, 0.0, 1.6, 0.0, 1.4)
_VET, _CORRECTIONS = (0.0, 0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 0.8, 1.4, 1.4)


def parts_of(
    facts: CaseFacts, looks: CaseLooks, photos: Sequence[Photo], taken_by: str, *, images: Sequence[Block], full: bool
) -> tuple[Part, ...]:
    """All sections that have something to say; `full` = every measure, photo and correction. `images` are the vet's."""
    from hoofbook.papers.vet_case import Part

    lines = table_lines(facts, every=full)
    sections: tuple[tuple[str, Iterator[Block]], ...] = (
        ("new", _new(facts)),
        ("timeline", _timeline(facts)),
        ("findings", _findings(facts)),
        ("gait", _gait(facts)),
        ("shoeing", _shoeing(facts)),
        ("measures", _measures(facts, lines)),
        ("chart", _charts(facts)),
        ("strip", _strips(facts, looks)),
        ("vet", _vet(facts)),
        ("images", iter(images)),
        ("twins", _twins(looks, photos, taken_by, full=full)),
        ("photos", _photos(looks, photos, taken_by, full=full)),
        ("method", _method(facts, looks, photos, lines)),
        ("corrections", _corrections(facts, full=full)),
        ("consent", _consent(facts)),
        ("limits", _limits()),
    )
    titles, named = {**TITLES, "images": vet_images.TITLE}, (*NAMED_ON_PAGE_1, "images")
    parts = (Part(titles[name], tuple(blocks), name in named) for name, blocks in sections)
    return tuple(part for part in parts if part.blocks)


def _grid(table: Table, widths: tuple[float, ...], note: str = "") -> Grid:
    """The table without the columns in which no row says anything."""
    from hoofbook.papers.vet_case import Grid

    kept = [place for place in range(len(table.heads)) if any(row[place] for row in table.rows)]
    rows = tuple(tuple(row[place] for place in kept) for row in table.rows)
    heads = tuple(table.heads[place] for place in kept)
    return Grid(Table(heads, rows, emphasis=table.emphasis), tuple(widths[place] for place in kept), note)


def _new(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import LabelledRows

    last = facts.last_made
    if last is None:
        return
    # keys grow with time (UUID version 7): what has a later key than the paper was entered after it was made
    rows = news(
        last.made_at.date(),
        visits=[item for item in facts.visits if item.key > last.key],
        findings=[item for item in facts.findings if item.key > last.key and item.foot in facts.feet],
        events=[item for item in facts.events if item.key > last.key],
        photos=[item for item in facts.photos if item.key > last.key],
        values=[item for item in facts.vet_values if item.key > last.key],
        images=[item for item in facts.vet_images if item.key > last.key],
        corrections=[item for item in facts.corrections if item.key > last.key],
    )
    yield LabelledRows(rows)


def _timeline(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    if facts.earlier:
        yield Words((vet_history.earlier_words(facts.earlier),), small=True)
    table = vet_history.timeline(facts.visits, facts.works, facts.findings, facts.events, facts.feet)
    yield _grid(table, _TIMELINE) if table.rows else Words((vet_history.NO_VISITS,))


def _findings(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    table = vet_history.finding_table(facts.visits, facts.findings, facts.feet)
    yield _grid(table, _FINDINGS) if table else Words((vet_history.NO_FINDINGS,))


def _gait(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    found = vet_history.gait_table(facts.visits, facts.works, facts.findings, facts.feet)
    if found is None:
        yield Words((vet_history.NO_GAIT,))
        return
    table, note = found
    same = vet_history.always_walked_off(table)
    yield Words((f"{same} {note}",)) if same else _grid(table, _GAIT, note)


def _shoeing(facts: CaseFacts) -> Iterator[Block]:
    table = vet_history.shoeing_table(facts.visits, facts.works, facts.feet)
    if table:
        nailed = any(work.nails for work in facts.works.values())
        yield _grid(table, _SHOEING, vet_history.NAILS_COUNTED if nailed else "")


def _measures(facts: CaseFacts, lines: Sequence[Progress]) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    table = vet_numbers.measure_table(lines, lambda line: gauge_of(facts, line))
    if table is None:
        yield Words((vet_numbers.NO_MEASURES,))
        return
    yield replace(_grid(table, _MEASURES, vet_numbers.measures_note(lines)), joined=True)


def _charts(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Chart

    history = facts.readings.history
    events = cycles.chart_events([event for event in facts.events if event.day >= _first_day(facts)])
    for progress in goal_lines(facts):
        place = progress.series.foot
        foot = place.foot if isinstance(place, Pair) else place
        if foot is None or len(progress.series.readings) < 2:
            continue
        works = [work for work in history.works if work.foot is foot]
        drawing = charts.cycle_chart(
            progress,
            width=CHART[0],
            height=CHART[1],
            text_size=charts.SMALLEST_TEXT,
            cycles=cycles.chart_cycles(history.visits, works),
            events=events,
        )
        yield Chart(drawing, vet_numbers.chart_title(progress), vet_numbers.chart_alt(progress))


def _first_day(facts: CaseFacts) -> date:
    return min((visit.day for visit in facts.visits), default=facts.today)


def _strips(facts: CaseFacts, looks: CaseLooks) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    wished = dict.fromkeys(
        (foot, goal.measure, goal.definition)
        for goal, _ in facts.readings.goals.values()
        for foot in _feet(followed_place(goal))
        if foot in facts.feet
    )
    found = [strip(looks, foot, measure, definition) for foot, measure, definition in wished]
    strips = [item for item in found if item is not None]
    if strips:
        named = dict.fromkeys(vet_numbers.one_line_name(measure, definition) for _, measure, definition in wished)
        yield Words((strip_note(tuple(named)),), small=True)
        yield from strips


def _feet(place: Foot | Pair) -> tuple[Foot, ...]:
    return (place.foot, place.less) if isinstance(place, Pair) else (place,)


def _twins(looks: CaseLooks, photos: Sequence[Photo], taken_by: str, *, full: bool) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    if full:
        left = len(looks.facts.photos) - len(photos)
        if left > 0:
            yield Words((vet_method.more_photos(left),), small=True)
        yield from (twins(looks, photo, taken_by) for photo in photos)


def _photos(looks: CaseLooks, photos: Sequence[Photo], taken_by: str, *, full: bool) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Photos

    if photos and not full:
        yield Photos(unmarked(looks, photos, taken_by))


def _vet(facts: CaseFacts) -> Iterator[Block]:
    table = vet_history.vet_table(facts.vet_values, facts.trims)
    if table:
        yield _grid(table, _VET, vet_history.QUOTED_ONLY)


def _method(facts: CaseFacts, looks: CaseLooks, photos: Sequence[Photo], lines: Sequence[Progress]) -> Iterator[Block]:
    from hoofbook.papers.vet_case import LabelledRows, Words

    methods = sorted({r.method for line in lines for r in line.series.readings if r.method and r.method != HAND})
    rows = list(vet_method.method_rows(looks.taken(photos), methods, f"{PRODUCT_NAME} {__version__}"))
    shown = dict.fromkeys(line.series.measure for line in lines)
    if lines:
        rows += [(section.title, " ".join(section.paragraphs)) for section in vet_method.about_numbers()]
    yield LabelledRows(tuple(rows))
    if lines:
        defined = [(measure, about(measure)[0]) for measure in shown]
        yield Words(
            tuple(f"{section.title}: {section.paragraphs[0]}" for _, section in defined if section.paragraphs),
            listed=True,
            small=True,
        )


def _corrections(facts: CaseFacts, *, full: bool) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    chosen = facts.corrections if full else facts.corrections[-_NEWEST_CORRECTIONS:]
    table = vet_method.correction_table(chosen)
    left = len(facts.corrections) - len(chosen)
    note = vet_method.more_corrections(left) if left else ""
    yield _grid(table, _CORRECTIONS, note) if table else Words((vet_method.NO_CORRECTIONS,))


def _consent(facts: CaseFacts) -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    yield Words((vet_method.consent_words(facts.owner),))


def _limits() -> Iterator[Block]:
    from hoofbook.papers.vet_case import Words

    yield Words(vet_method.NOT_CLAIMED, listed=True)
