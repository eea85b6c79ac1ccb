"""What a file of the vet's is, by what lies in it, and which foot and day it shows as far as it tells."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.wording.vet_images import REPORT

if TYPE_CHECKING:
    from hoofbook.papers.dicom import FoundDicom

ALL_CODES = (
    "vet_image_kind_unknown",
    "vet_image_damaged",
    "vet_image_day_needed",
    "vet_image_day_ahead",
    "vet_image_foot_needed",
    "vet_image_other_side",
)
_STARTS = ((b"\xff\xd8\xff", ".jpg"), (b"\x89PNG\r\n\x1a\n", ".png"), (b"%PDF-", ".pdf"))
_PDF_HEAD, _PDF_END = 1024, 2048  # bytes within which a PDF says that it is one, and that it ends


@dataclass(frozen=True, slots=True)
class Looked:
    """`name` as it was given, `suffix` by what is in it; `told` is what a DICOM file tells of itself."""

    name: str
    suffix: str
    told: FoundDicom | None = None

    @property
    def is_paper(self) -> bool:
        return self.suffix == ".pdf" or (self.told is not None and self.told.is_paper)

    @property
    def view(self) -> str:
        if self.told is None:
            return ""
        return self.told.view or (REPORT.lower() if self.told.is_paper else "")


def look_at(copy: Path, name: str) -> Looked:
    """What the file `copy` is; `name` is what it was called.

    Refused: `vet_image_kind_unknown`, `vet_image_damaged`, `vet_image_no_picture`, `photo_too_large`.
    """
    from hoofbook.papers.dicom import is_dicom, read_dicom

    if is_dicom(copy):
        found = read_dicom(copy)
        if isinstance(found, Refusal):
            raise Refused(replace(found, facts={**found.facts, "file": name}))
        return Looked(name, ".dcm", found)
    suffix = _suffix(copy)
    if not suffix:
        raise Refused(Refusal("vet_image_kind_unknown", {"file": name, "kind": Path(name).suffix.lower() or None}))
    if not _is_whole(copy, suffix, name):
        raise Refused(Refusal("vet_image_damaged", {"file": name}))
    return Looked(name, suffix)


def _suffix(copy: Path) -> str:
    with copy.open("rb") as opened:
        head = opened.read(_PDF_HEAD)
    found = next((suffix for start, suffix in _STARTS if head.startswith(start)), "")
    return found or (".pdf" if b"%PDF-" in head else "")  # some programs write a line before it


def _is_whole(copy: Path, suffix: str, name: str) -> bool:
    from hoofbook.imaging.pixels import open_upright

    if suffix == ".pdf":
        return b"%%EOF" in copy.read_bytes()[-_PDF_END:]
    seen = open_upright(copy)
    if isinstance(seen, Refusal) and seen.code == "photo_too_large":
        raise Refused(replace(seen, facts={**seen.facts, "file": name}))
    return not isinstance(seen, Refusal)


def foot_shown(looked: Looked, told: Foot | None, *, several: bool) -> Foot | None:
    """The foot that was told, checked against the side the file tells; else the file's; None for several feet.

    A report need not be of one foot. Refused: `vet_image_other_side`, `vet_image_foot_needed`.
    """
    side = looked.told.side if looked.told else None
    if told is not None:
        if side is not None and side is not told.side:
            facts = {"file": looked.name, "side": side.value, "foot": told.value}
            raise Refused(Refusal("vet_image_other_side", facts))
        return told
    if several or looked.is_paper:
        return None
    if looked.told is None or looked.told.foot is None:
        raise Refused(Refusal("vet_image_foot_needed", {"file": looked.name, "side": side.value if side else None}))
    return looked.told.foot


def taken_on(looked: Looked, told: date | None, today: date) -> date:
    """The day that was told, else the file's. Refused: `vet_image_day_needed`, `vet_image_day_ahead`."""
    day = told or (looked.told.day if looked.told else None)
    if day is None:
        raise Refused(Refusal("vet_image_day_needed", {"file": looked.name}))
    if day > today:
        raise Refused(Refusal("vet_image_day_ahead", {"file": looked.name, "day": day.isoformat()}))
    return day
