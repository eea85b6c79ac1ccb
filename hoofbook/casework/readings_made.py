"""Kept measures and hand measures of one horse made into dated readings."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID

from hoofbook.progress.series import HAND, Reading
from hoofbook.terms.feet import Foot
from hoofbook.terms.subjects import FootWork, HandMeasure, MarkingPass, MeasureKept, Photo, SoleState, Visit, Work
from hoofbook.terms.views import CardPlane, CardStand, Moment

if TYPE_CHECKING:
    from hoofbook.records.lists import History


def readings_of(
    history: History, measures: Iterable[MeasureKept], passes: Mapping[UUID, MarkingPass]
) -> Iterable[Reading]:
    """Kept measures and hand measures as readings with what may stand in the way of comparing them."""
    context = _Context(
        {visit.key: visit for visit in history.visits},
        {(work.visit, work.foot): work for work in history.works},
        {str(photo.key): photo for photo in history.photos},
        passes,
        trim_days(history.visits, history.works),
    )
    for kept in measures:
        visit = context.visits.get(kept.visit) if kept.visit else None
        if visit is not None:
            yield context.of_measure(kept, visit)
    for hand in history.hand_measures:
        yield context.of_hand(hand)


@dataclass(frozen=True, slots=True)
class _Context:
    visits: Mapping[UUID, Visit]
    works: Mapping[tuple[UUID, Foot], FootWork]
    photos: Mapping[str, Photo]
    passes: Mapping[UUID, MarkingPass]
    trims: Mapping[Foot, Sequence[date]]

    def of_measure(self, kept: MeasureKept, visit: Visit) -> Reading:
        photos = [self.photos[key] for key in kept.quantity.photos if key in self.photos]
        people = {self.passes[photo.key].marked_by for photo in photos if photo.key in self.passes}
        # a card held on the lifted foot gives only the scale: where it lies plays no part
        planes = {photo.card_plane for photo in photos if photo.card_stands_on is not CardStand.FOOT}
        return Reading.of(
            kept.quantity,
            visit.day,
            kept.moment,
            foot=kept.foot,
            visit=str(visit.key),
            key=f"{visit.key} {kept.quantity.name} {kept.quantity.definition} {kept.moment}",
            shod=any(photo.shod for photo in photos),
            retake=any(photo.retake for photo in photos),
            person=" and ".join(sorted(people)),
            card_plane=CardPlane.UNSURE if CardPlane.UNSURE in planes else next(iter(planes), None),
            **self._sole(visit, kept.foot, kept.moment),
        )

    def of_hand(self, hand: HandMeasure) -> Reading:
        visit = self.visits.get(hand.visit) if hand.visit else None
        context = self._sole(visit, hand.foot, hand.moment) if visit else {}
        if hand.days_since_trim is not None:
            context["days_since_trim"] = hand.days_since_trim
        return Reading(
            day=hand.day,
            value=hand.value,
            u=hand.u,
            moment=hand.moment,
            measure=hand.measure,
            definition=hand.definition,
            foot=hand.foot,
            method=HAND,
            key=str(hand.key),
            visit=str(hand.visit) if hand.visit else "",
            person=hand.read_by,
            **context,  # type: ignore[arg-type]
        )

    def _sole(self, visit: Visit, foot: Foot, moment: Moment) -> dict[str, object]:
        trims = self.trims.get(foot, ())
        before = bisect_left(trims, visit.day)
        work = self.works.get((visit.key, foot))
        found: dict[str, object] = {"days_since_trim": (visit.day - trims[before - 1]).days if before else None}
        if work is not None:
            after = moment in (Moment.AFTER_TRIM, Moment.FINISHED)
            state = work.sole_after if after else work.sole_before
            found |= {
                "sole_pared": work.sole_pared,
                "sole_state": state or SoleState.NOT_LOOKED,
                "sole_wet": work.sole_wet or visit.weather == "wet",
            }
        return found


def trim_days(visits: Iterable[Visit], works: Iterable[FootWork]) -> dict[Foot, list[date]]:
    """Days on which each foot was trimmed, oldest first."""
    days = {visit.key: visit.day for visit in visits}
    trims: dict[Foot, list[date]] = {}
    for work in works:
        if work.work not in (None, Work.NOTHING, Work.TIGHTENED, Work.BOOT, Work.PAD_ONLY, Work.REPAIR):
            trims.setdefault(work.foot, []).append(days[work.visit])
    return {foot: sorted(found) for foot, found in trims.items()}
