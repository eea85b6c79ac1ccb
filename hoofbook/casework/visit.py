"""The place Visit: the list of visits, and one visit on one sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from hoofbook.casework import foot_work
from hoofbook.casework.foot_work import VisitState, foot_picks, pick_of, read_state
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.tiles import tile_of
from hoofbook.terms.feet import Foot
from hoofbook.terms.shown import EmptyPlace, PhotoTile, Pick, Table
from hoofbook.terms.subjects import MarkingPass, Photo
from hoofbook.terms.views import Moment, View
from hoofbook.wording.cautions import TRIM
from hoofbook.wording.dates import weekday_day_month_year
from hoofbook.wording.places import foot_name
from hoofbook.wording.visit import (
    DONE,
    NO_VISITS,
    SEEN,
    TABLE_HEADS,
    WEEKS,
    WHOLE,
    event_row,
    missing_photo,
    photos_in,
    visit_row,
    visit_subtitle,
    watch_title,
)

add_visit = foot_work.add_visit


@dataclass(frozen=True, slots=True)
class FootColumn:
    """One foot on the sheet: its newest photo of the visit, what was seen, what was done."""

    foot: str
    title: str
    tile: PhotoTile | None
    photo_note: str
    seen: tuple[Pick, ...]
    done: tuple[Pick, ...]


@dataclass(frozen=True, slots=True)
class VisitSheet:
    key: str
    horse: str
    title: str
    subtitle: str
    watch_last: str
    watch_last_title: str
    visit_picks: tuple[Pick, ...]
    feet: tuple[FootColumn, ...]
    note: str
    watch_next: str
    due_words: str
    hollow_count: int
    finished: bool
    missing_photos: tuple[str, ...]
    sole_caution: str


def list_visits(open_book: OpenBook, horse: str) -> Table | EmptyPlace:
    """Visits, newest first, with the day-book entries of the days between."""
    history = open_book.book.history(uuid(horse))
    if not history.visits:
        return EmptyPlace(*NO_VISITS, action="add_visit")
    rows: list[tuple[date, int, tuple[str, ...], str, str]] = []
    visits = sorted(history.visits, key=lambda visit: visit.day)
    for place, visit in enumerate(visits):
        works = {work.foot: work for work in history.works if work.visit == visit.key}
        seen = [finding for finding in history.findings if finding.visit == visit.key]
        photos = sum(1 for photo in history.photos if photo.visit == visit.key)
        previous = visits[place - 1].day if place else None
        rows.append((visit.day, 1, visit_row(visit, previous, works, seen, photos), str(visit.key), ""))
    for event in history.events:
        before = [visit.day for visit in visits if visit.day <= event.day]
        rows.append((event.day, 0, event_row(event, before[-1] if before else None), "", "event"))
    rows.sort(key=lambda row: (row[0], row[1]), reverse=True)
    return Table(
        TABLE_HEADS,
        tuple(row[2] for row in rows),
        tuple(row[3] for row in rows),
        {place: row[4] for place, row in enumerate(rows) if row[4]},
    )


def read_visit(open_book: OpenBook, visit: str) -> VisitSheet:
    """One visit with everything that can be tapped."""
    state = read_state(open_book, visit)
    photos = open_book.book.photos(state.visit.horse, visit=state.visit.key)
    passes = open_book.book.latest_passes(state.visit.horse)
    feet = tuple(_column(open_book, state, foot, photos, passes) for foot in Foot)
    picks = (*(pick_of(choice, getattr(state.visit, choice.field)) for choice in WHOLE), _weeks(state))
    hollow = sum(pick.hollow for column in feet for pick in (*column.seen, *column.done)) + picks[-1].hollow
    previous = state.previous
    return VisitSheet(
        key=str(state.visit.key),
        horse=str(state.visit.horse),
        title=weekday_day_month_year(state.visit.day),
        subtitle=visit_subtitle(state.visit, previous.day if previous else None),
        watch_last=previous.watch_next if previous else "",
        watch_last_title=watch_title(previous.day) if previous else "",
        visit_picks=picks,
        feet=feet,
        note=state.visit.note,
        watch_next=state.visit.watch_next,
        due_words=_due_words(state),
        hollow_count=hollow,
        finished=state.visit.finished,
        missing_photos=_missing(open_book, state, photos),
        sole_caution=TRIM,
    )


def _column(
    open_book: OpenBook,
    state: VisitState,
    foot: Foot,
    photos: Sequence[Photo],
    passes: Mapping[UUID, MarkingPass],
) -> FootColumn:
    own = [photo for photo in photos if photo.foot is foot]
    best = sorted(own, key=lambda photo: (photo.view is View.LATERAL, photo.moment is Moment.AFTER_TRIM), reverse=True)
    return FootColumn(
        foot.value,
        foot_name(foot),
        tile_of(open_book, best[0], marks=passes.get(best[0].key)) if best else None,
        photos_in(own),
        foot_picks(state, foot, SEEN),
        foot_picks(state, foot, DONE),
    )


def _weeks(state: VisitState) -> Pick:
    chosen = state.visit.interval_weeks
    last = state.previous.interval_weeks if state.previous and not state.visit.finished else None
    return pick_of(WEEKS, str(chosen) if chosen else "", str(last) if last else "")


def _due_words(state: VisitState) -> str:
    if state.visit.next_due:
        return weekday_day_month_year(state.visit.next_due)
    weeks = state.previous.interval_weeks if state.previous else None
    return weekday_day_month_year(state.visit.day + timedelta(weeks=weeks)) if weeks else ""


def _missing(open_book: OpenBook, state: VisitState, photos: Sequence[Photo]) -> tuple[str, ...]:
    """Views that this horse usually has after the trim and that are not there yet today."""
    usual = {
        (photo.foot, photo.view)
        for photo in open_book.book.photos(state.visit.horse)
        if photo.moment is Moment.AFTER_TRIM and photo.foot and photo.view and not photo.remarks
    }
    here = {(photo.foot, photo.view) for photo in photos if photo.moment is Moment.AFTER_TRIM}
    goals = {goal.foot for goal in open_book.book.history(state.visit.horse).goals if goal.ended_on is None}
    lacking = sorted((foot.value, view.value) for foot, view in usual - here if foot in goals and foot and view)
    return tuple(missing_photo(Foot(foot), View(view)) for foot, view in lacking)


def choose(open_book: OpenBook, visit: str, foot: str, field: str, value: str) -> VisitSheet:
    """Keeps one tap (`foot` empty: the whole visit; `value` empty: cleared) and returns the sheet."""
    foot_work.choose(open_book, visit, foot, field, value)
    return read_visit(open_book, visit)


def write_words(open_book: OpenBook, visit: str, field: str, text: str) -> VisitSheet:
    """Keeps the note, the advice or what to watch next time."""
    foot_work.write_words(open_book, visit, field, text)
    return read_visit(open_book, visit)


def confirm_hollow(open_book: OpenBook, visit: str) -> VisitSheet:
    """Keeps all that is offered as last time."""
    foot_work.confirm_hollow(open_book, visit)
    return read_visit(open_book, visit)


same_again = confirm_hollow


def finish_visit(open_book: OpenBook, visit: str) -> VisitSheet:
    foot_work.finish_visit(open_book, visit)
    return read_visit(open_book, visit)
