"""Makes the sample book from the sample case, through the same path as a person's own photos and marks."""

from __future__ import annotations

import json
from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any
from uuid import UUID

from hoofbook.casework.adding import Wishes, add_files
from hoofbook.casework.foot_work import add_visit, works_of, write_foot
from hoofbook.casework.horses import HorseForm, add_horse, person_named
from hoofbook.casework.open_book import OpenBook, make_book, write_as_of
from hoofbook.casework.vet_case import allow_showing, keep_phone
from hoofbook.housekeeping.clock import FixedClock
from hoofbook.housekeeping.settings import load
from hoofbook.housekeeping.shipped import sample_case
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.shown import Step
from hoofbook.terms.subjects import (
    Event,
    EventKind,
    Finding,
    Goal,
    HandMeasure,
    HorseStatus,
    PersonRole,
    Shoeing,
    SolePared,
    SoleState,
    VetValue,
    Visit,
    VisitKind,
    Wanted,
    Work,
)
from hoofbook.terms.views import Moment

CASES = ("larkspur", "copper", "juniper")
HORSE = "Larkspur"
PHONE = "01632 960 114"  # one of the numbers that Britain keeps for stories (Ofcom, from memory)
TAKEN_BY = "Demo Farrier"
ASKED = "May she winter without pads? Please look at your films of 24 Sep beside these."
_STATES = {
    "soft": SoleState.SOFT,
    "live": SoleState.LIVE,
    "waxy": SoleState.LIVE,
    "packed": SoleState.PACKED,
    "chalky": SoleState.CHALKY,
}
_WORK = {"glued": Work.NEW_GLUED.value}  # the trade says only how


@dataclass(frozen=True, slots=True)
class SampleBook:
    """Where the sample book lies and the key of its first horse."""

    folder: Path
    horse: str


def make_sample_book(folder: Path) -> Generator[Step, None, SampleBook]:
    """Makes the sample book in `folder`, which must not hold a book yet.

    Raises:
        Refused: `book_exists`, a read-only folder, a full disk, missing sample cases.
    """
    folders = [sample_case(name) for name in CASES]
    cases = [json.loads((place / "case.json").read_text(encoding="utf-8")) for place in folders]
    last = max(date.fromisoformat(case["visits"][-1]["date"]) for case in cases)
    now = datetime.combine(last, time(16), UTC)
    open_book = make_book(folder, replace(load(), person=cases[0]["farrier"]), FixedClock(now))
    try:
        write_as_of(folder, now)
        horses = [_add_case(open_book, case) for case in cases]
        keep_phone(open_book, PHONE)
        allow_showing(open_book, horses[0], last.isoformat())
        yield from _add_photos(open_book, list(zip(folders, cases, strict=True)))
        return SampleBook(folder, horses[0])
    finally:
        open_book.close()


def _add_case(open_book: OpenBook, case: Mapping[str, Any]) -> str:
    """The records of one horse; returns its key."""
    horse = _add_horse(open_book, case)
    visits = {row["visit"]: _add_visit(open_book, horse, row) for row in case["visits"]}
    _add_journal(open_book, UUID(horse), case, visits)
    return horse


def _add_photos(open_book: OpenBook, cases: Sequence[tuple[Path, Mapping[str, Any]]]) -> Generator[Step, None, None]:
    """Marks files as they are; the photos with planted faults as somebody in a hurry would file them."""
    todo: list[tuple[Path, Wishes, str]] = []
    for folder, case in cases:
        name, days = case["horse"]["name"], {row["visit"]: row["date"] for row in case["visits"]}
        for path in sorted(folder.glob("visit-*/*.marks.json")):
            todo.append((path, Wishes(), f"{name}, {path.parent.name}, {path.stem.removesuffix('.marks')}"))
        for path in sorted(folder.glob("faults/*.jpg")):
            view = "solar" if "sole" in path.stem else "lateral"
            todo.append((path, Wishes(name, days[int(path.stem.split("-")[1])], "LF", view, "after trim"), path.stem))
    for number, (path, wishes, words) in enumerate(todo):
        yield Step(number, len(todo), words)
        for _ in add_files(open_book, [path], wishes):
            pass
    yield Step(len(todo), len(todo), "")


def _add_horse(open_book: OpenBook, case: Mapping[str, Any]) -> str:
    told = case["horse"]
    born = date.fromisoformat(case["visits"][-1]["date"]).year - told["age_years"]
    form = HorseForm(
        told["name"],
        sex=told["sex"],
        born=str(born),
        breed=told["breed"],
        height_cm=str(told["height_cm"]),
        work=told["use"],
        owner=case["owner"],
        yard=case["yard"],
    )
    key = add_horse(open_book, form)
    vet = person_named(open_book, case["vet"], PersonRole.VET)
    due = case["visits"][-1]["next_due"]
    horse = open_book.horse(key)
    with open_book.book.writing() as writer:
        writer.change(
            replace(
                horse,
                vet=vet,
                status=HorseStatus(told.get("status", HorseStatus.ACTIVE)),
                next_due=date.fromisoformat(due) if due else None,
                note=case.get("goal_in_words", ""),
            )
        )
        writer.add_all(_goal(horse.key, row) for row in case["goals"])
    return key


def _goal(horse: UUID, row: Mapping[str, Any]) -> Goal:
    from hoofbook.records.keys import new_key

    return Goal(
        new_key(),
        horse,
        Foot(row["foot"]),
        row["measure"],
        Definition(row["definition"]),
        Wanted(row["wanted"]),
        date.fromisoformat(row["set"]),
        less=Foot(row["less"]) if "less" in row else None,
    )


def _add_visit(open_book: OpenBook, horse: str, row: Mapping[str, Any]) -> Visit:
    from hoofbook.records.keys import new_key

    key = UUID(add_visit(open_book, horse, date.fromisoformat(row["date"])))
    visit = open_book.book.get(Visit, key)
    due = date.fromisoformat(row["next_due"]) if row["next_due"] else None
    with open_book.book.writing() as writer:
        visit = writer.change(
            replace(
                visit,
                kind=VisitKind(row.get("visit_kind", visit.kind)),
                stance=row.get("stance", ""),
                advice=row.get("advice", ""),
                note=row.get("notes", ""),
                weather="wet" if row["sole"]["wet"] else "",
                watch_next=row.get("watch_next", ""),
                since_last=row.get("since_last", ""),
                walked_off=row.get("walked_off", ""),
                interval_weeks=round((due - visit.day).days / 7) or None if due else None,
                next_due=due,
                finished=True,
            )
        )
        for seen in row["seen"]:
            more = {name: seen[name] for name in ("size_mm", "severity", "grade_scale", "note") if name in seen}
            writer.add(Finding(new_key(), key, Foot(seen["foot"]), seen["seen"], place=seen["place"] or "", **more))
    for foot, told in row["work"].items():
        _add_work(open_book, key, Foot(foot), told, row["sole"])
    return visit


def _add_work(open_book: OpenBook, visit: UUID, foot: Foot, told: Mapping[str, Any], sole: Mapping[str, Any]) -> None:
    work = Work(_WORK.get(told["work"], told["work"]))
    fields: dict[str, Any] = {"work": work}
    if foot.is_fore:
        fields |= {
            "sole_before": _STATES[sole["before"][0]],
            "sole_after": _STATES[sole["after"][0]],
            "sole_pared": SolePared(sole["pared"]),
            "sole_wet": bool(sole["wet"]),
            "shoe": told.get("shoe") or "",
            "pad": told.get("pad") or "",
            "nails": _nails(told.get("nails") or 0),
            "reason": told.get("note") or "",
        }
    write_foot(open_book, visit, foot, None, fields)
    if work is Work.RESET:  # a reset shoe goes home as it came: nailed here, since nails are written down
        shoeing = Shoeing.NAILED if told.get("nails") else Shoeing.GLUED
        write_foot(open_book, visit, foot, works_of(open_book, visit)[foot], {"shoeing": shoeing})


def _nails(count: int) -> tuple[str, ...]:
    """The usual places, outside first, counted from the toe."""
    outside = (count + 1) // 2
    return tuple(f"O{place}" for place in range(1, outside + 1)) + tuple(
        f"I{place}" for place in range(1, count - outside + 1)
    )


def _add_journal(open_book: OpenBook, horse: UUID, case: Mapping[str, Any], visits: Mapping[int, Visit]) -> None:
    from hoofbook.records.keys import new_key

    with open_book.book.writing() as writer:
        for row in case["visits"]:
            visit = visits[row["visit"]]
            for told in row["hand_measures"]:
                writer.add(
                    HandMeasure(
                        new_key(),
                        horse,
                        visit.key,
                        visit.day,
                        Foot(told["foot"]),
                        Moment(told["moment"]),
                        told["measure"],
                        Definition(told["definition"] or ""),
                        told["value"],
                        read_by=case["farrier"],
                        note=told["how"],
                    )
                )
        for told in case["events"]:
            day, foot = date.fromisoformat(told["date"]), Foot(told["foot"]) if told["foot"] else None
            by = told.get("told_by", "")
            writer.add(Event(new_key(), horse, day, EventKind(told["kind"]), foot, told["text"], by))
        for day in sorted({told["date"] for told in case["vets_values"]}):
            words = f"By {case['vet']}, kept with the vet."
            writer.add(Event(new_key(), horse, date.fromisoformat(day), EventKind.VET_FILMS, None, words))
        for told in case["vets_values"]:
            for name, value in (("sole depth", told["sole_depth_mm"]), ("cup", told["cup_mm"])):
                day, foot = date.fromisoformat(told["date"]), Foot(told["foot"])
                writer.add(VetValue(new_key(), horse, foot, day, name, value, told_by=told["from"]))
