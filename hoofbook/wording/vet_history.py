"""What was seen and done, as a vet reads it: timeline, findings, standing and moving, shoeing record, films."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from uuid import UUID

from hoofbook.terms.feet import Foot
from hoofbook.terms.shown import Table
from hoofbook.terms.subjects import (
    Event,
    EventKind,
    Finding,
    FootWork,
    SolePared,
    SoleState,
    VetValue,
    Visit,
)
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import shoeing_name

Works = Mapping[tuple[UUID, Foot], FootWork]
"""Work by visit and foot."""

TIMELINE_HEADS = ("Date", "Days", "What", "Told, seen and done")
FINDING_HEADS = ("Date", "Foot", "Seen", "Place", "Size, grade", "Note")
GAIT_HEADS = ("Date", "Stance", "Landing", "Digital pulse", "Walked off", "Lameness grade, with its scale")
NOT_LOOKED = "not looked"
SHOEING_HEADS = ("Date", "Feet", "Work", "Shoe", "Nails", "Pad, packing, glue", "Sole, before → after", "Note")
VET_HEADS = ("Films", "Foot", "Value", "Told by", "Trims until the photos")
NAILS_COUNTED = "Nails are counted from the toe."
QUOTED_ONLY = (
    "As the vet told them: not measured, computed or checked here. Trims are those between the films and the newest "
    "photo of that foot."
)
NOTHING_SEEN = "nothing written down at any visit"
NO_FINDINGS = "No finding is written down for these feet."
NO_GAIT = "Nothing is written down about standing or moving, and no lameness grade was given."
NO_GRADE = "no grade given"
NO_VISITS = "No visit is in the book yet."
_NAIL = re.compile(r"\bnail ([OI])([1-9])\b")
_VET_EVENTS = (EventKind.VET_FILMS, EventKind.VET_DIRECTION, EventKind.VET_ANSWER)


def grouped(words: Iterable[tuple[Foot, str]]) -> list[tuple[str, str]]:
    """Feet of which the same is said, together: `[("LF, RF", "reset, nailed"), ("LH", "trim")]`."""
    groups: dict[str, list[str]] = {}
    for foot, said in words:
        if said:
            groups.setdefault(said, []).append(foot.value)
    return [(", ".join(feet), said) for said, feet in groups.items()]


def grouped_words(words: Iterable[tuple[Foot, str]]) -> str:
    return "; ".join(f"{feet}: {said}" for feet, said in grouped(words))


def finding_words(finding: Finding) -> str:
    """`old bruise, inside toe, 12 mm`"""
    parts = (finding.term, plain_place(finding.place), _size(finding), finding.note)
    return ", ".join(part for part in parts if part)


def plain_place(place: str) -> str:
    """`nail O3` as a vet reads it: `nail, lateral 3`"""
    return _NAIL.sub(lambda found: f"nail, {'lateral' if found.group(1) == 'O' else 'medial'} {found.group(2)}", place)


def _size(finding: Finding) -> str:
    words = [f"{finding.size_mm:g} mm" if finding.size_mm is not None else ""]
    if finding.grade_scale:
        words.append(grade_words(finding))
    elif finding.severity:
        words.append(finding.severity)
    return ", ".join(word for word in words if word)


def grade_words(finding: Finding) -> str:
    """A grade never stands without its scale: `3 on the scale 0-5 (AAEP)`"""
    return f"{finding.severity} on the scale {finding.grade_scale}"


def first_seen(visits: Sequence[Visit], findings: Sequence[Finding], feet: Sequence[Foot]) -> str:
    """The first findings of these feet with their day: `14 Jan 2025: flat sole (LF, RF); old bruise (RF)`"""
    for visit in visits:
        seen = [item for item in findings if item.visit == visit.key and item.foot in feet]
        if seen:
            said = grouped((item.foot, finding_words(item)) for item in seen)
            return f"{day_month_year(visit.day)}: " + "; ".join(f"{words} ({places})" for places, words in said)
    return NOTHING_SEEN


def last_done(visits: Sequence[Visit], works: Works, feet: Sequence[Foot]) -> str:
    """The newest work on these feet: `30 Sep 2025: LF, RF: reset, nailed, 5 nails, sole: loose flakes only`"""
    for visit in reversed(visits):
        said = [(foot, done_words(works[visit.key, foot])) for foot in feet if (visit.key, foot) in works]
        if any(words for _, words in said):
            return f"{day_month_year(visit.day)}: {grouped_words(said)}"
    return "no work on these feet is written down"


def done_words(work: FootWork) -> str:
    """`reset, nailed, 5 nails; no pad; sole pared: loose flakes only`"""
    words = [work_words(work), work.shoe]
    if work.shoe or work.shoeing:
        words.append(", ".join(part for part in (work.pad, work.packing, work.adhesive) if part) or "no pad noted")
    words.append(f"sole pared: {work.sole_pared.value}" if work.sole_pared is not SolePared.NOT_SAID else "")
    return "; ".join(word for word in words if word)


def work_words(work: FootWork) -> str:
    """`reset, nailed, 5 nails`; `trim, left bare`; `` where nothing was said."""
    if work.work is None:
        return ""
    words = [work.work.value]
    if work.shoeing and work.shoeing.value not in work.work.value:
        words.append(shoeing_name(work.shoeing))
    if work.nails:
        words.append(f"{len(work.nails)} nails")
    return ", ".join(words)


def soundness(visits: Sequence[Visit], findings: Sequence[Finding], person: str) -> str:
    """What is known of sound or lame at the newest visit, with scale and who looked."""
    graded = [item for item in findings if item.grade_scale]
    days = {visit.key: visit.day for visit in visits}
    if graded:
        newest = max(graded, key=lambda item: days.get(item.visit, date.min))
        note = f", {newest.note}" if newest.note else ""
        said = f"{newest.term}, {newest.foot.value}: {grade_words(newest)}{note}"
        return f"{said}, {day_month_year(days[newest.visit])}" if newest.visit in days else said
    seen = [visit for visit in visits if visit.walked_off]
    if not seen:
        return f"not looked; {NO_GRADE}"
    by = f", as {person} saw it" if person else ""
    return f"walked off {_walked(seen[-1])}, {day_month_year(seen[-1].day)}{by}; {NO_GRADE}"


def _walked(visit: Visit) -> str:
    return "the same as it came" if visit.walked_off == "same" else visit.walked_off


def timeline(
    visits: Sequence[Visit],
    works: Works,
    findings: Sequence[Finding],
    events: Sequence[Event],
    feet: Sequence[Foot],
) -> Table:
    """Visits and day-book entries, oldest first, with the days between visits and the day of the cycle of entries."""
    ordered = sorted(visits, key=lambda visit: visit.day)
    rows: list[tuple[date, int, tuple[str, ...], str]] = []
    for place, visit in enumerate(ordered):
        days = str((visit.day - ordered[place - 1].day).days) if place else ""
        seen = [item for item in findings if item.visit == visit.key and item.foot in feet]
        row = (day_month_year(visit.day), days, visit_kind(visit), visit_words(visit, works, seen, feet))
        rows.append((visit.day, 1, row, ""))
    for event in events:
        before = [visit.day for visit in ordered if visit.day <= event.day]
        days = f"day {(event.day - before[-1]).days}" if before else ""
        row = (day_month_year(event.day), days, event_kind(event), event_words(event))
        rows.append((event.day, 0, row, "event"))
    rows.sort(key=lambda row: (row[0], row[1]))
    emphasis = {place: row[3] for place, row in enumerate(rows) if row[3]}
    return Table(TIMELINE_HEADS, tuple(row[2] for row in rows), emphasis=emphasis)


def earlier_words(visits: Sequence[Visit]) -> str:
    """How many visits are not shown, and from when: those stand in the full record."""
    days = sorted(visit.day for visit in visits)
    count = "1 other visit" if len(days) == 1 else f"{len(days)} other visits"
    reach = day_month_year(days[0]) if len(days) == 1 else f"{day_month_year(days[0])} to {day_month_year(days[-1])}"
    return f"{count} ({reach}) not shown here; they can be asked for."


def visit_kind(visit: Visit) -> str:
    return {"routine": "Visit"}.get(visit.kind.value, f"Visit: {visit.kind.value}")


def visit_words(visit: Visit, works: Works, seen: Sequence[Finding], feet: Sequence[Foot]) -> str:
    """One visit in a line or two; what was told, found and done, nothing that was not said."""
    words = [
        f"Told: {visit.since_last}" if visit.since_last else "",
        f"weather {visit.weather}" if visit.weather else "",
        "; ".join(f"{feet_of} {said}" for feet_of, said in grouped((item.foot, finding_words(item)) for item in seen)),
        grouped_words((foot, work_words(works[visit.key, foot])) for foot in feet if (visit.key, foot) in works),
        f"walked off {_walked(visit)}" if visit.walked_off else "",
        visit.note.strip().rstrip("."),
        f"advice: {visit.advice.strip().rstrip('.')}" if visit.advice else "",
    ]
    return ". ".join(_capital(word) for word in words if word) + "." if any(words) else ""


def event_kind(event: Event) -> str:
    foot = f", {event.foot.value}" if event.foot else ""
    return f"{_capital(event.kind.value)}{foot}"


def event_words(event: Event) -> str:
    by = f" (told by {event.told_by})" if event.told_by else ""
    return f"{event.words}{by}".strip()


def of_note(visit: Visit) -> str:
    return f"the note of {day_month_year(visit.day)}"


def of_finding(visit: Visit) -> str:
    return f"a finding of {day_month_year(visit.day)}"


def of_event(event: Event) -> str:
    return f"the day book of {day_month_year(event.day)}"


def is_of_the_vet(event: Event) -> bool:
    """True for entries that quote the vet: there a vet's words belong."""
    return event.kind in _VET_EVENTS


def finding_table(visits: Sequence[Visit], findings: Sequence[Finding], feet: Sequence[Foot]) -> Table | None:
    """Findings by day; the same finding of two feet in one row. None where there is none."""
    rows = []
    for visit in visits:
        groups: dict[tuple[str, ...], list[str]] = {}
        for item in findings:
            if item.visit == visit.key and item.foot in feet:
                said = (item.term, plain_place(item.place), _size(item), item.note)
                groups.setdefault(said, []).append(item.foot.value)
        day = day_month_year(visit.day)
        rows += [(day, ", ".join(places), *said) for said, places in groups.items()]
    return Table(FINDING_HEADS, tuple(rows)) if rows else None


def gait_table(
    visits: Sequence[Visit], works: Works, findings: Sequence[Finding], feet: Sequence[Foot]
) -> tuple[Table, str] | None:
    """What was seen of the horse standing and moving, by visit, and what was never looked at. None where nothing was.

    A column that nobody ever filled stays empty and is told in the sentence.
    """
    rows = []
    for visit in visits:
        own = [(foot, works[visit.key, foot]) for foot in feet if (visit.key, foot) in works]
        graded = [item for item in findings if item.visit == visit.key and item.grade_scale]
        row = (
            visit.stance,
            grouped_words((foot, work.landing) for foot, work in own),
            grouped_words((foot, work.pulse) for foot, work in own),
            visit.walked_off,
            "; ".join(
                f"{item.foot.value} {grade_words(item)}{', ' if item.note else ''}{item.note}" for item in graded
            ),
        )
        if any(row):
            rows.append((day_month_year(visit.day), *row))
    if not rows:
        return None
    filled = [any(row[place] for row in rows) for place in range(len(GAIT_HEADS))]
    blank = [*(NOT_LOOKED if is_filled else "" for is_filled in filled[:-1]), NO_GRADE if filled[-1] else ""]
    told = [tuple(cell or empty for cell, empty in zip(row, blank, strict=True)) for row in rows]
    never = [head.lower() for head, is_filled in zip(GAIT_HEADS[:-1], filled[:-1], strict=True) if not is_filled]
    words = f"Not looked at on any of these visits: {', '.join(never)}. " if never else ""
    return Table(GAIT_HEADS, tuple(told)), words + ("" if filled[-1] else "No lameness grade was given.")


def always_walked_off(table: Table) -> str:
    """`Walked off the same as it came at all 7 visits.` where nothing else was ever seen; else empty."""
    said = {row[4] for row in table.rows}
    others = any(cell for row in table.rows for cell in (*row[1:4], row[5]))
    if others or len(said) != 1:
        return ""
    how = next(iter(said))
    how = "the same as it came" if how == "same" else how
    count = "the visit" if len(table.rows) == 1 else f"all {len(table.rows)} visits"
    return f"Walked off {how} at {count}."


def shoeing_table(visits: Sequence[Visit], works: Works, feet: Sequence[Foot]) -> Table | None:
    """Work, shoe, nails, pad, glue and sole per foot; feet done alike share a row. None where nothing was said."""
    rows = []
    for visit in visits:
        groups: dict[tuple[str, ...], list[str]] = {}
        for foot in feet:
            work = works.get((visit.key, foot))
            if work is not None:
                groups.setdefault(_shoeing_row(work), []).append(foot.value)
        day = day_month_year(visit.day)
        rows += [(day, ", ".join(places), *said) for said, places in groups.items() if any(said)]
    return Table(SHOEING_HEADS, tuple(rows)) if rows else None


def _shoeing_row(work: FootWork) -> tuple[str, ...]:
    worn = f"old shoe worn: {work.shoe_wear}" if work.shoe_wear else ""
    arrived = f"came {work.shoe_on_arrival}" if work.shoe_on_arrival else ""
    return (
        _done(work),
        work.shoe,
        nail_words(work.nails),
        ", ".join(part for part in (work.pad, work.packing, work.adhesive) if part),
        sole_words(work),
        "; ".join(part for part in (arrived, worn, work.reason, work.note) if part),
    )


def _done(work: FootWork) -> str:
    if work.work is None:
        return ""
    shoeing = shoeing_name(work.shoeing) if work.shoeing else ""
    return work.work.value if shoeing in work.work.value else f"{work.work.value}, {shoeing}"


def nail_words(nails: Sequence[str]) -> str:
    """`6: lateral 1 2 3, medial 1 2 3`, counted from the toe."""
    if not nails:
        return ""
    sides = [
        (name, " ".join(nail[1:] for nail in nails if nail.startswith(letter)))
        for name, letter in (("lateral", "O"), ("medial", "I"))
    ]
    return f"{len(nails)}: " + ", ".join(f"{name} {places}" for name, places in sides if places)


def sole_words(work: FootWork) -> str:
    """`chalky → live, loose flakes only, wet`"""
    states = (work.sole_before, work.sole_after)
    words = []
    if any(state is not SoleState.NOT_LOOKED for state in states):
        words.append(" → ".join(state.value for state in states))
    if work.sole_pared is not SolePared.NOT_SAID:
        words.append("not pared" if work.sole_pared is SolePared.NONE else f"pared: {work.sole_pared.value}")
    if work.sole_wet:
        words.append("wet")
    return ", ".join(words)


def vet_table(values: Sequence[VetValue], trims: Mapping[tuple[date, Foot], int | None]) -> Table | None:
    """The vet's own values by film day and foot, as quoted, with the trims since. None where there are none."""
    groups: dict[tuple[date, Foot, str], list[str]] = {}
    for value in values:
        note = f" ({value.note})" if value.note else ""
        said = f"{value.name} {value.value:g}{'' if value.unit == '°' else ' '}{value.unit}{note}"
        groups.setdefault((value.film_day, value.foot, value.told_by), []).append(said)
    rows = tuple(
        (day_month_year(day), foot.value, ", ".join(said), by, "" if (n := trims.get((day, foot))) is None else str(n))
        for (day, foot, by), said in groups.items()
    )
    return Table(VET_HEADS, rows) if rows else None


def quoted_line(values: Sequence[VetValue]) -> tuple[str, ...]:
    """The vet's values in a line per film day, newest first: `films 24 Sep 2025: LF sole depth 12 mm; RF ...`"""
    days = sorted({value.film_day for value in values}, reverse=True)
    lines = []
    for day in days:
        feet: dict[str, list[str]] = {}
        for value in values:
            if value.film_day == day:
                said = f"{value.name} {value.value:g}{'' if value.unit == '°' else ' '}{value.unit}"
                feet.setdefault(value.foot.value, []).append(said)
        words = "; ".join(f"{foot} {', '.join(said)}" for foot, said in feet.items())
        lines.append(f"films {day_month_year(day)}: {words}")
    return tuple(lines)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
