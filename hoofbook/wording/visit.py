"""Words of the place Visit: what can be picked, and how each choice reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Unit
from hoofbook.terms.subjects import (
    Event,
    EventKind,
    Finding,
    FootWork,
    Photo,
    Shoeing,
    SolePared,
    SoleState,
    Visit,
    Work,
)
from hoofbook.terms.views import View
from hoofbook.wording.dates import day_month, day_month_year
from hoofbook.wording.numbers import amount
from hoofbook.wording.places import foot_name, shoeing_name, view_name

WHOLE_MM = 5.0  # a size seen by eye or ruler is told to the millimetre


@dataclass(frozen=True, slots=True)
class Choice:
    """A field that is picked from a few words: as kept, and as read."""

    field: str
    label: str
    options: tuple[tuple[str, str], ...]
    hint: str = ""
    fores_only: bool = False


SOLE_STATES = (
    (SoleState.CHALKY, "chalky"),
    (SoleState.PACKED, "packed"),
    (SoleState.LIVE, "live"),
    (SoleState.SOFT, "soft"),
    (SoleState.BRUISED, "bruised"),
)
SEEN = (
    Choice(
        "shoe_on_arrival",
        "Shoes",
        (("tight", "tight"), ("risen", "risen"), ("loose", "loose"), ("lost", "lost"), ("bare", "bare")),
        "as arrived",
    ),
    Choice(
        "sole_before",
        "Sole",
        SOLE_STATES,
        "as found",
    ),
    Choice("landing", "Lands", (("heel-first", "heel"), ("flat", "flat"), ("toe-first", "toe")), "on the"),
)
DONE = (
    Choice(
        "work",
        "Work",
        (
            (Work.TRIM, "trim"),
            (Work.RESET, "reset"),
            (Work.NEW_NAILED, "new"),
            (Work.NEW_GLUED, "glued"),
            (Work.SHOES_OFF, "off"),
        ),
    ),
    Choice(
        "sole_pared",
        "Sole pared",
        (
            (SolePared.NONE, "none"),
            (SolePared.LOOSE, "loose"),
            (SolePared.TO_LIVE, "to live"),
            (SolePared.BY_VET, "by vet"),
        ),
    ),
    Choice(
        "sole_after",
        "Sole",
        SOLE_STATES,
        "after the trim",
    ),
)
WHOLE = (
    Choice(
        "since_last",
        "Since last time",
        (
            ("nothing new", "nothing new"),
            ("sore after", "sore after"),
            ("lost shoe", "lost shoe"),
            ("vet seen", "vet seen"),
        ),
    ),
    Choice("weather", "Ground", (("dry", "dry"), ("wet", "wet"), ("frost", "frost"))),
    Choice("walked_off", "Walked off", (("same", "same"), ("better", "better"), ("worse", "worse"))),
)
WEEKS = Choice("interval_weeks", "Next in weeks", tuple((str(weeks), str(weeks)) for weeks in range(4, 9)))
TABLE_HEADS = ("Visit", "After", "Fore feet", "Hind feet", "Sole, before → after trim", "Seen", "Photos")
NO_VISITS = (
    "No visit yet",
    "A visit keeps what you saw, what you did and the photos of that day. Start one when you arrive.",
    "Add visit",
)


def watch_title(day: date) -> str:
    return f"You wrote on {day_month(day)}"


def visit_subtitle(visit: Visit, previous: date | None) -> str:
    """`routine · 42 days`"""
    return visit.kind.value + (f" · {(visit.day - previous).days} days" if previous else "")


def missing_photo(foot: Foot, view: View) -> str:
    return f"{foot_name(foot)}: no {view_name(view).lower()} photo after trim yet"


def photos_in(photos: Sequence[Photo]) -> str:
    """`side and sole in`"""
    views = list(dict.fromkeys(view_name(photo.view).lower() for photo in photos if photo.view))
    if not views:
        return "no photo yet"
    return (" and ".join([", ".join(views[:-1]), views[-1]]) if len(views) > 1 else views[0]) + " in"


def visit_row(
    visit: Visit,
    previous: date | None,
    works: Mapping[Foot, FootWork],
    seen: Sequence[Finding],
    photos: int,
) -> tuple[str, ...]:
    """One row of the list of visits."""
    after = f"{(visit.day - previous).days} d" if previous else ""
    fores = [works[foot] for foot in (Foot.LF, Foot.RF) if foot in works]
    hinds = [works[foot] for foot in (Foot.LH, Foot.RH) if foot in works]
    words = [f"{finding.foot.value} {finding_words(finding)}" for finding in seen]
    return (
        day_month_year(visit.day),
        after,
        _pair_words(fores),
        _pair_words(hinds),
        _sole_words(fores),
        "; ".join(words) or visit.note,
        str(photos) if photos else "",
    )


def finding_words(finding: Finding) -> str:
    """`wall broken outside quarter`; `bulb higher inside, 7 mm`; `lame at trot, 3 on the scale 0-5 (AAEP)`

    A grade is never told without the name of its scale.
    """
    words = [" ".join(part for part in (finding.term, finding.place) if part)]
    if finding.size_mm is not None:
        words.append(amount(finding.size_mm, Unit.MM, like=WHOLE_MM))
    if finding.severity and finding.grade_scale:
        words.append(f"{finding.severity} on the scale {finding.grade_scale}")
    return ", ".join(words)


def _pair_words(works: Sequence[FootWork]) -> str:
    said = list(dict.fromkeys(work_words(work) for work in works))
    return " / ".join(word for word in said if word)


def work_words(work: FootWork) -> str:
    """`nailed, reset`; `nailed, new, 5 nails`; `trim`"""
    if work.work is None:
        return ""
    if work.shoeing in (None, Shoeing.BARE):
        return work.work.value
    words = [shoeing_name(work.shoeing)]
    if work.work in (Work.NEW_NAILED, Work.NEW_GLUED):
        words.append("new")
    elif work.work is Work.RESET:
        words.append("reset")
    if work.nails:
        words.append(f"{len(work.nails)} nails")
    return ", ".join(words)


def _sole_words(works: Sequence[FootWork]) -> str:
    said = []
    for work in works:
        if work.sole_before is SoleState.NOT_LOOKED and work.sole_after is SoleState.NOT_LOOKED:
            continue
        words = f"{_state(work.sole_before)} → {_state(work.sole_after)}"
        if work.sole_pared is not SolePared.NOT_SAID:
            words += ", not pared" if work.sole_pared is SolePared.NONE else f", {work.sole_pared.value}"
        said.append(words)
    return " / ".join(dict.fromkeys(said))


def _state(state: SoleState) -> str:
    return {SoleState.CHALKY: "chalky", SoleState.LIVE: "live", SoleState.NOT_LOOKED: "?"}.get(state, state.value)


def event_row(event: Event, previous: date | None) -> tuple[str, ...]:
    """A day-book entry among the visits; its words span the columns from the third on."""
    where = f", {foot_name(event.foot).lower()}" if event.foot else ""
    kind = event.kind.value if event.kind is not EventKind.NOTE else "note"
    after = f"day {(event.day - previous).days}" if previous else ""
    return (day_month_year(event.day), after, f"Day book: {kind}{where}. {event.words}".strip(), "", "", "", "")
