"""Writes the book of the present version that later versions must open: one of everything, nothing left at a default.

    python -m tests.databases.make

Run once per new step, before a release; a book that lies here already is never written anew.
"""

from __future__ import annotations

import dataclasses
import json
import sys
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from hoofbook.housekeeping.clock import FixedClock
from hoofbook.records import migrating
from hoofbook.records.book import DATABASE, Book
from hoofbook.records.mapping import whole_as_text
from hoofbook.records.tables import TABLES
from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.quantity import Definition, Part, Quantity, Unit
from hoofbook.terms.refusal import Remark
from hoofbook.terms.subjects import (
    Event,
    EventKind,
    Finding,
    FootRecord,
    FootWork,
    Goal,
    HandMeasure,
    Horse,
    HorseStatus,
    Limit,
    MarkingPass,
    MeasuredAnew,
    MeasureKept,
    PaperMade,
    PaperSent,
    Person,
    PersonRole,
    Photo,
    Shoeing,
    Sighting,
    SolePared,
    SoleState,
    VetImage,
    VetValue,
    Visit,
    VisitKind,
    Wanted,
    Work,
    Yard,
)
from hoofbook.terms.views import CardPlane, CardStand, Moment, View

FOLDER = Path(__file__).parent
NOON = datetime(2026, 3, 2, 12, 30, 15, 250000, tzinfo=UTC)
DAY = date(2026, 3, 2)


def key(number: int) -> UUID:
    return UUID(int=0x019_0000_0000_7000_8000_0000_0000_0000 + number)


def people() -> list[Any]:
    return [
        Person(key(1), "Cass Weaver", PersonRole.OWNER, "0000 1", "pays late", DAY, DAY, DAY, DAY),
        Person(key(2), "Dr Finch", PersonRole.VET, "0000 2", "rings back"),
        Yard(key(3), "Mill Yard", "gate code with Cass"),
    ]


def horse() -> Horse:
    return Horse(
        key(10),
        "Larkspur",
        HorseStatus.RESTING,
        sex="mare",
        born=2014,
        breed="cob",
        colour="bay",
        markings="star",
        height_cm=152.4,
        weight_kg=512.5,
        work="hacking",
        keeping="out at night",
        handling="dislikes spray",
        identity="chip 000",
        note="thin soles",
        owner=key(1),
        payer=key(1),
        contact=key(1),
        vet=key(2),
        yard=key(3),
        interval_weeks=5,
        next_due=date(2026, 4, 6),
    )


def visit_things() -> list[Any]:
    visit = Visit(
        key(20), key(10), DAY, VisitKind.WITH_VET, "lost a shoe", "soft", "wet", "square", "sound", "keep dry"
    )
    visit = dataclasses.replace(
        visit, watch_next="left fore", note="cold", interval_weeks=4, next_due=date(2026, 3, 30), finished=True
    )
    work = FootWork(key(21), key(20), Foot.LF, "steel", "heel first", "normal pulse", SoleState.CHALKY, SoleState.LIVE)
    work = dataclasses.replace(
        work,
        sole_wet=True,
        work=Work.NEW_NAILED,
        shoeing=Shoeing.NAILED,
        sole_pared=SolePared.TO_LIVE,
        shoe="3/4 fullered",
        shoe_wear="toe",
        nails=("O1", "O2", "I1"),
        pad="leather",
        packing="pine tar",
        adhesive="none",
        reason="thin sole",
        note="clenches low",
    )
    finding = Finding(key(22), key(20), Foot.LF, "ring", "20 mm below the hairline", 3.5, "2", "of 5", "old")
    return [visit, work, finding]


def photo_things() -> list[Any]:
    photo = Photo(key(30), key(10), "ab" * 32, ".jpg", 4032, 3024, key(20), Foot.LF, View.SOLAR, Moment.AFTER_TRIM)
    photo = dataclasses.replace(
        photo,
        set_name="set 1",
        given_name="IMG_0001.JPG",
        taken_at=NOON,
        local_time="2026-03-02T14:30:15",
        utc_offset_minutes=120,
        focal_35mm=26.5,
        camera="a telephone",
        software="1.0",
        card_plane=CardPlane.BEARING_PLANE,
        card_stands_on=CardStand.FOOT,
        shod=True,
        foot_checked=True,
        picture_only=True,
        retake=True,
        from_inside=True,
        covered=((0.125, 0.25, 0.5, 0.75),),
        shows_blood=True,
        remarks=(Remark("blur", {"edge_px": 3.25, "count": 2, "words": "a little", "yes": True, "none": None}),),
        note="glare",
        added_at=NOON,
    )
    corners = (
        CardCorner("c07", (16.0, 32.0), (1000 / 3, 2000 / 7), 0.03),
        CardCorner("m31.2", (1.0, 2.0), (3.0, 4.0), 0.1),
    )
    card = CardSighting(CardFace.BACK, corners, (26, 31), (20, 25), 1.75, (4032, 3024), "detector 1")
    marks = {
        "rim_01": Mark(1234.0625, 0.1 + 0.2, MarkState.CONFIRMED, 2.5, 12.0, 1.5),
        "frog_apex": Mark(1e-9, 3023.5, MarkState.PROPOSED),
        "heel_medial": Mark(0.0, 0.0, MarkState.UNSEEN),
    }
    marking_pass = MarkingPass(
        key(32), key(30), "Ann", NOON, Marking(marks), 1.25, (1.5, 2.5), (3.5, 4.5), 100.0, 128.0, 1.0, (111.9, 80.1)
    )
    return [photo, Sighting(key(31), key(30), "detector 1", card, NOON), marking_pass]


def measures() -> list[MeasureKept]:
    parts = (Part("card print", 0.1), Part("photo mark frog_apex", -0.25))
    quantity = Quantity(
        "sole_concavity_at_frog_apex", 6.125, Unit.MM, parts, Definition.FROM_SOLE_EDGE, photos=(str(key(30)),)
    )
    few = dataclasses.replace(
        quantity, name="mean_sole_concavity", degrees_of_freedom=7.5, view="solar", method="1", assumed=("a",)
    )
    return [
        MeasureKept(key(40 + n), key(10), key(20), Foot.LF, Moment.AFTER_TRIM, each, (key(32),), NOON)
        for n, each in enumerate((quantity, few))
    ]


def journal() -> list[Any]:
    return [
        FootRecord(key(50), key(10), Foot.LF, "brittle", "upright", "3/4 fullered", "old abscess track"),
        Goal(
            key(51), key(10), Foot.LF, "sole_concavity_at_frog_apex", Definition.FROM_SOLE_EDGE, Wanted.MORE, DAY,
            "thin soles", key(20), date(2027, 3, 2), Foot.RF,
        ),
        Limit(key(56), key(10), Foot.LF, "toe_length", Definition.ONE, 95.5, DAY, "stumbles beyond"),
        MeasuredAnew(
            key(57), key(10), Foot.LF, Foot.RF, "toe_angle", Definition.ONE, NOON, "lateral 1", "lateral 2", "was",
            "is", True,
        ),
        Event(key(52), key(10), DAY, EventKind.LOST_SHOE, Foot.RF, "in the field", "Cass"),
        HandMeasure(
            key(53), key(10), key(20), DAY, Foot.LF, Moment.AFTER_TRIM, "sole_concavity_at_frog_apex",
            Definition.HAND_GAUGE, 6.0, 0.5, "Ann", "gauge 2", 3,
        ),
        VetValue(key(54), key(10), Foot.LF, DAY, "sole depth", 12.5, "mm", "Dr Finch", "film 3"),
        PaperMade(key(55), key(10), NOON, "owner sheet", "Cass", "cd" * 32, "larkspur.pdf", "1", ("5.0 ± 0.6",)),
        PaperSent(key(58), key(55), NOON, DAY),
        VetImage(
            key(59), key(10), DAY, "ef" * 32, ".dcm", Foot.LF, "lateral", "film.dcm", "Dr Finch", DAY, "this case",
            "clear",
        ),
    ]  # fmt: skip


def fill(book: Book) -> None:
    with book.writing() as writer:
        writer.add_all([*people(), horse(), *visit_things(), *photo_things(), *journal()])
        writer.keep_measures([key(30)], measures())
    with book.writing() as writer:
        writer.change(dataclasses.replace(horse(), name="Larkspur II"))


def everything(book: Book) -> dict[str, list[Any]]:
    """All subjects as plain JSON values, by class name."""
    return {
        kind.__name__: [json.loads(whole_as_text(subject)) for subject in book.every(kind)]
        for kind in sorted(TABLES, key=lambda kind: kind.__name__)
    }


def main() -> int:
    target = FOLDER / migrating.SCHEMA
    if target.exists():
        print(f"{target} is there already")
        return 2
    with tempfile.TemporaryDirectory() as place:
        with Book.make(Path(place) / "book", clock=FixedClock(NOON), person="Ann") as book:
            fill(book)
            told = everything(book)
        target.mkdir()
        (target / DATABASE).write_bytes((Path(place) / "book" / DATABASE).read_bytes())
    text = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    (target / "content.json").write_text(text, encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
