"""Reads a marks file: JSON that names photos, the view of each, and where its landmarks lie.

The shape is checked by msgspec, the marks by one loop that can name photo and mark. Keys that are not known are kept
in `MarksFile.raw`; a key that looks like a misspelt known one is refused, so that nothing is silently ignored.
"""

from __future__ import annotations

import difflib
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

import msgspec

from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import MARK_KINDS, NUMBERED_KINDS, Mark, Marking, is_mark_name
from hoofbook.terms.measured import Ruler, Told
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.views import CardPlane, CardStand, Moment, View

VERSION = 1
ALL_CODES = (
    "marks_file_missing",
    "marks_file_not_text",
    "marks_file_not_json",
    "marks_file_version",
    "marks_file_shape",
    "marks_file_wrong_key",
    "marks_file_unknown_mark",
    "marks_file_not_a_number",
    "marks_file_no_photos",
    "mark_outside_picture",
)


@dataclass(frozen=True, slots=True)
class ToldNumber:
    """A told number with its standard uncertainty, as written in the file."""

    value: float
    u: float


@dataclass(frozen=True, slots=True)
class RulerEntry:
    a: tuple[float, float]
    b: tuple[float, float]
    mm: float


@dataclass(frozen=True, slots=True)
class PhotoEntry:
    """One photo as the file names it; `file` is relative to the marks file's folder."""

    file: str
    view: View
    marks: dict[str, tuple[float, float]] = field(default_factory=dict)
    set: str = ""
    card_plane: CardPlane = CardPlane.UNSURE
    card_stands_on: CardStand = CardStand.UNKNOWN
    ruler: RulerEntry | None = None
    placing_px: float | None = None
    card_size_mm: tuple[float, float] | None = None
    foot_width_mm: ToldNumber | None = None
    gauge_mm: float | None = None
    shod: bool = False
    from_inside: bool = False
    retake: bool = False  # card lifted, foot put down, photographed again
    depth_mm: dict[str, ToldNumber] = field(default_factory=dict)

    @property
    def marking(self) -> Marking:
        told = self.depth_mm
        return Marking(
            MappingProxyType(
                {
                    name: Mark(
                        x,
                        y,
                        depth_mm=told[name].value if name in told else None,
                        depth_u_mm=told[name].u if name in told else None,
                    )
                    for name, (x, y) in self.marks.items()
                }
            )
        )

    @property
    def foot_width(self) -> Told | None:
        return None if self.foot_width_mm is None else Told(self.foot_width_mm.value, self.foot_width_mm.u)

    @property
    def measured_ruler(self) -> Ruler | None:
        return None if self.ruler is None else Ruler(self.ruler.a, self.ruler.b, self.ruler.mm)


@dataclass(frozen=True, slots=True)
class _Shape:
    """The file's own keys, as msgspec reads them."""

    version: int
    photos: tuple[PhotoEntry, ...]
    horse: str = ""
    foot: Foot | None = None
    moment: Moment | None = None
    date: date | None = None


@dataclass(frozen=True, slots=True)
class MarksFile:
    """A marks file that was read: `path` as given, `raw` with every key it held."""

    path: Path
    horse: str
    foot: Foot | None
    moment: Moment | None
    day: date | None
    photos: tuple[PhotoEntry, ...]
    raw: Mapping[str, Any]

    def photo_path(self, entry: PhotoEntry) -> Path:
        return self.path.parent / entry.file


def is_marks_file(path: Path) -> bool:
    """True where the name says JSON; photos are told by their content, marks files by their ending."""
    return path.suffix.lower() == ".json"


def read_marks_file(path: Path) -> MarksFile:
    """Reads and checks a marks file.

    Raises:
        Refused: with the one thing that is wrong and where it stands (codes in `ALL_CODES`).
    """
    raw = _load(path)
    if raw.get("version") != VERSION:
        raise _refused("marks_file_version", path, found=str(raw.get("version")), known=VERSION)
    _check_keys(path, raw)
    try:
        shape = msgspec.convert(raw, _Shape)
    except msgspec.ValidationError as error:
        raise _refused("marks_file_shape", path, problem=str(error)) from error
    if not shape.photos:
        raise _refused("marks_file_no_photos", path)
    for number, entry in enumerate(shape.photos, 1):
        _check_photo(path, number, entry)
    return MarksFile(path, shape.horse, shape.foot, shape.moment, shape.date, shape.photos, MappingProxyType(raw))


def check_inside(path: Path, entry: PhotoEntry, width: int, height: int) -> None:
    """Refuses a mark that lies outside its picture (a swapped pair or another photo's mark).

    Raises:
        Refused: `mark_outside_picture`.
    """
    for name, (x, y) in entry.marks.items():
        if not (-0.5 <= x <= width - 0.5 and -0.5 <= y <= height - 0.5):
            raise _refused("mark_outside_picture", path, photo=entry.file, mark=name, x=x, y=y, w=width, h=height)


def _load(path: Path) -> dict[str, Any]:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _refused("marks_file_missing", path) from error
    except (UnicodeDecodeError, OSError) as error:
        raise _refused("marks_file_not_text", path) from error
    try:
        raw = json.loads(text)  # NaN and Infinity come through as numbers: the loop over the marks names them
    except (json.JSONDecodeError, RecursionError) as error:
        raise _refused("marks_file_not_json", path, line=getattr(error, "lineno", 1)) from error
    if not isinstance(raw, dict):
        raise _refused("marks_file_not_json", path, line=1)
    return raw


def _check_keys(path: Path, raw: Mapping[str, Any]) -> None:
    _check_spelling(path, "the file", raw, [f.name for f in fields(_Shape)])
    photos = raw.get("photos")
    for number, entry in enumerate(photos if isinstance(photos, list) else [], 1):
        if isinstance(entry, dict):
            _check_spelling(path, f"photo {number}", entry, [f.name for f in fields(PhotoEntry)])


def _check_spelling(path: Path, place: str, given: Mapping[str, Any], known: Iterable[str]) -> None:
    names = list(known)
    for key in given:
        if key not in names and (close := difflib.get_close_matches(str(key), names, 1, 0.75)):
            raise _refused("marks_file_wrong_key", path, place=place, key=str(key), meant=close[0])


def _check_photo(path: Path, number: int, entry: PhotoEntry) -> None:
    known = [kind.name for kind in MARK_KINDS[entry.view]]
    known += [f"{group}_01" for group in NUMBERED_KINDS.get(entry.view, ())]
    for name, place in entry.marks.items():
        if not is_mark_name(entry.view, name):
            close = difflib.get_close_matches(name, known, 1, 0.0)
            raise _refused(
                "marks_file_unknown_mark",
                path,
                photo=entry.file,
                mark=name,
                view=entry.view.value,
                meant=close[0] if close else "",
            )
        if not all(math.isfinite(value) for value in place):
            raise _refused("marks_file_not_a_number", path, photo=entry.file, mark=name)
    for key, value in _numbers_of(entry):
        if not math.isfinite(value) or value <= 0:
            raise _refused("marks_file_not_a_number", path, photo=entry.file, mark=key)
    for name, told in entry.depth_mm.items():
        if not (math.isfinite(told.value) and math.isfinite(told.u) and told.u > 0):
            raise _refused("marks_file_not_a_number", path, photo=entry.file, mark=f"depth_mm {name}")


def _numbers_of(entry: PhotoEntry) -> Iterable[tuple[str, float]]:
    if entry.placing_px is not None:
        yield "placing_px", entry.placing_px
    if entry.card_size_mm is not None:
        yield from (("card_size_mm", value) for value in entry.card_size_mm)
    if entry.foot_width_mm is not None:
        yield from (("foot_width_mm", value) for value in (entry.foot_width_mm.value, entry.foot_width_mm.u))
    if entry.ruler is not None:
        yield "ruler mm", entry.ruler.mm


def _refused(code: str, path: Path, **facts: str | float | int | bool | None) -> Refused:
    return Refused(Refusal(code, MappingProxyType({"file": path.name, **facts})))
