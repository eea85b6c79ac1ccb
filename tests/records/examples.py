"""Small invented subjects that the tests of the book are made of."""

from __future__ import annotations

import dataclasses
import hashlib
from datetime import UTC, date, datetime
from typing import Any
from uuid import UUID

from hoofbook.records.keys import new_key
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.quantity import Part, Quantity, Unit
from hoofbook.terms.subjects import Horse, MarkingPass, MeasureKept, Photo, Visit
from hoofbook.terms.views import Moment, View

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def horse(name: str = "Larkspur", **more: Any) -> Horse:
    return Horse(new_key(), name, **more)


def visit(of: Horse, day: date = date(2026, 3, 2), **more: Any) -> Visit:
    return Visit(new_key(), of.key, day, **more)


def photo(of: Horse, content: str = "photo", **more: Any) -> Photo:
    sha256 = hashlib.sha256(content.encode()).hexdigest()
    filed = {"foot": Foot.LF, "view": View.LATERAL, "moment": Moment.AFTER_TRIM, **more}
    return Photo(new_key(), of.key, sha256, ".jpg", 4032, 3024, **filed)


def marking_pass(of: Photo, at: datetime = NOON, x: float = 10.5, **more: Any) -> MarkingPass:
    return MarkingPass(new_key(), of.key, "Ann", at, Marking().with_mark("toe_ground", Mark(x, 0.1 + 0.2)), **more)


def measure(of: Horse, photos: list[UUID], name: str = "toe_angle", value: float = 50.3, **more: Any) -> MeasureKept:
    quantity = Quantity(name, value, Unit.DEG, (Part("a", 0.3),), photos=tuple(str(key) for key in photos))
    filed = {"visit": None, "foot": Foot.LF, "moment": Moment.AFTER_TRIM, **more}
    return MeasureKept(new_key(), of.key, quantity=quantity, passes=(), computed_at=NOON, **filed)


def replace_hash(photo: Photo, sha256: str) -> Photo:
    return dataclasses.replace(photo, sha256=sha256)
