"""What the place How measured says of the book's own repeatability, and when the Photo tray asks for a second take."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from hoofbook.casework.marked_again import BlindPair, blind_pairs
from hoofbook.casework.open_book import OpenBook, uuid
from hoofbook.casework.own_placing import own_spreads
from hoofbook.casework.own_scatter import Measure, TakeSet, scatter_of, take_sets
from hoofbook.housekeeping import settings
from hoofbook.progress.agreement import (
    ENOUGH_SETS,
    IccForm,
    intraclass,
    limits_of_agreement,
    measurement_error,
    person_effect,
    within,
)
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.shown import Section
from hoofbook.terms.subjects import Goal, Photo, Visit
from hoofbook.terms.views import View
from hoofbook.wording import repeatability as words
from hoofbook.wording.agreement_plot import agreement_plot

SHOWN: tuple[Measure, ...] = (
    ("toe_angle", Definition.ONE),
    ("heel_angle", Definition.ONE),
    ("toe_length", Definition.ONE),
    ("heel_height", Definition.ONE),
    ("sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE),
)
FRESH = timedelta(days=7)  # a visit longer ago is no occasion to ask for one photo more
REMEMBERED = 20  # visits at which it was asked


@dataclass(frozen=True, slots=True)
class TakeAsked:
    """One calm line for the Photo tray and the visit it belongs to."""

    visit: str
    words: str


def ask_for_take(open_book: OpenBook, horse: str) -> TakeAsked | None:
    """A second take to ask for at the newest visit, once a visit: while the book has few, none was taken at this visit
    and the visit is not long past. None else."""
    photos = [photo for photo in open_book.book.photos(uuid(horse)) if photo.visit and photo.view and photo.foot]
    if open_book.read_only or not photos:
        return None
    newest = max(photos, key=lambda photo: photo.local_time).visit
    assert newest is not None
    there = [photo for photo in photos if photo.visit == newest]
    if str(newest) in settings.load().asked_takes.split() or any(photo.retake for photo in there):
        return None
    old = open_book.clock.now().date() - open_book.book.get(Visit, newest).day > FRESH
    sets = len({(found.visit, found.foot) for found in take_sets(open_book)})
    if old or sets >= ENOUGH_SETS:
        return None
    chosen = _photo_to_repeat(there, open_book.book.every(Goal, horse=uuid(horse)))
    assert chosen.foot is not None and chosen.view is not None
    return TakeAsked(str(newest), words.ask_for_take(chosen.foot, chosen.view, sets))


def _photo_to_repeat(photos: Sequence[Photo], goals: Sequence[Goal]) -> Photo:
    """Of a followed foot before others, a side view before others, the earliest."""
    followed = {goal.foot for goal in goals if goal.ended_on is None}
    return min(photos, key=lambda p: (p.foot not in followed, p.view is not View.LATERAL, p.local_time))


def asked(visit: str) -> None:
    """Remembers that a second take was asked for at this visit, on this computer."""
    kept = settings.load()
    told = [key for key in kept.asked_takes.split() if key != visit]
    settings.save(replace(kept, asked_takes=" ".join([*told, visit][-REMEMBERED:])))


def own_figures(open_book: OpenBook, measure: str = "") -> tuple[Section, ...]:
    """What is assumed and what is own, for the usual measures and `measure`; takes against each other; how marks are
    placed again. The plot is of `measure` where more than two second takes have it, else of the one with most.
    """
    sets: dict[Measure, list[TakeSet]] = {}
    for each in take_sets(open_book):
        sets.setdefault((each.measure, each.definition), []).append(each)
    more = [key for key in sets if key[0] == measure and key not in SHOWN]
    rows = tuple(words.row(*key, scatter_of(key[0], sets.get(key, ()))) for key in (*SHOWN, *more))
    said = (words.HEAD, words.WHY, words.SAME_DAY) if sets else (words.HEAD, words.NONE_YET, words.WHY)
    sections = [Section(words.TITLE, said, rows)]
    asked_for = [key for key in sets if key[0] == measure and len(sets[key]) > 2]
    shown = [key for key in sets if key in SHOWN] or list(sets)
    most = max(asked_for or shown, key=lambda key: len(sets[key]), default=None)
    if most is not None:
        sections += _agreement(most, sets[most])
    return (*sections, *_placing(open_book))


def _agreement(measure: Measure, sets: Sequence[TakeSet]) -> list[Section]:
    """Plot, limits, error of one reading and intraclass correlation of one measure."""
    pairs = [(each.values[0], each.values[1]) for each in sets]
    limits = limits_of_agreement(pairs)
    if isinstance(limits, Refusal):
        return []
    said = [words.limits_words(*measure, limits)]
    error = measurement_error([each.values for each in sets])
    if not isinstance(error, Refusal):
        said.append(words.error_words(measure[0], error))
    icc = intraclass(pairs, IccForm.ONE_SINGLE)
    if not isinstance(icc, Refusal):
        said.append(words.icc_words(icc))

    def make(width: float, height: float, text_size: float) -> Drawing:
        return agreement_plot(*measure, limits, width=width, height=height, text_size=text_size)

    return [Section(words.AGREEMENT_TITLE, tuple(said), make=make)]


def _placing(open_book: OpenBook) -> list[Section]:
    """How marks are placed again by one person, and how far two people are apart; kept apart from second takes."""
    pairs, spreads = blind_pairs(open_book), own_spreads(open_book)
    if not spreads.photos and not pairs:
        return [Section(words.PLACING_TITLE, (words.BLIND_WHY, words.BLIND_NONE))]
    rows = [words.sort_row(sort, found) for sort, found in spreads.by_sort()]
    for measure in SHOWN:
        spread = within([(pair.first, pair.again) for pair in pairs if pair.one_person and pair.key == measure])
        if not isinstance(spread, Refusal):
            rows.append(words.placing_row(*measure, spread))
    said = (words.BLIND_WHY,) if spreads.photos else (words.BLIND_WHY, words.BLIND_OTHERS)
    return [Section(words.PLACING_TITLE, said, tuple(rows)), *_people([pair for pair in pairs if not pair.one_person])]


def _people(pairs: Sequence[BlindPair]) -> Iterable[Section]:
    """How much two people differ on the same photos, and how well they agree: each two people a section."""
    for who in dict.fromkeys(pair.people for pair in pairs):
        rows = []
        for measure in SHOWN:
            values = [(pair.first, pair.again) for pair in pairs if (pair.people, pair.key) == (who, measure)]
            effect, icc = person_effect(values), intraclass(values, IccForm.TWO_SINGLE)
            if not isinstance(effect, Refusal):
                rows.append(words.person_row(*measure, effect, None if isinstance(icc, Refusal) else icc))
        photos = len({pair.photo for pair in pairs if pair.people == who})
        said = words.PEOPLE_WHY if rows else words.few_of_two(photos)
        yield Section(words.people_title(*who), (said,), tuple(rows))
