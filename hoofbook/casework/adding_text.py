"""What came of taking photos, or what a vet gave, in: for the command line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hoofbook.casework.adding import Added
from hoofbook.casework.notebook import Taken
from hoofbook.casework.taking_in import Arrived
from hoofbook.casework.vet_images import TakenVetImage
from hoofbook.wording.places import photo_caption
from hoofbook.wording.refusals import sentence
from hoofbook.wording.remarks import sentence as remark_sentence
from hoofbook.wording.tray import STATES
from hoofbook.wording.vet_images import taken_line


def lines(added: Added, *, refused_only: bool = False) -> tuple[str, ...]:
    """One line a photo, with what should be known about it beneath."""
    out: list[str] = []
    for arrived in added.photos:
        if (arrived.refusal is not None) is not refused_only:
            continue
        out.append(f"{arrived.source.name}: {_said(arrived)}")
        if arrived.photo is not None and not arrived.known:
            out += [f"  {remark_sentence(remark)}" for remark in arrived.photo.remarks]
    return tuple(out)


def _said(arrived: Arrived) -> str:
    if arrived.refusal is not None:  # a refusal is false in a condition
        return sentence(arrived.refusal)
    if arrived.photo is None:
        return STATES["refused"]
    words = photo_caption(arrived.photo.foot, arrived.photo.view, arrived.photo.moment) or STATES["to sort"]
    return f"{words} ({STATES['already here']})" if arrived.known else words


def document(added: Added) -> dict[str, Any]:
    """The JSON document of `hoofbook add`."""
    return {
        "photos": [
            {
                "file": arrived.source.name,
                "state": "refused" if arrived.photo is None else ("already here" if arrived.known else "taken in"),
                "foot": arrived.photo.foot.value if arrived.photo and arrived.photo.foot else None,
                "view": arrived.photo.view.value if arrived.photo and arrived.photo.view else None,
                "moment": arrived.photo.moment.value if arrived.photo and arrived.photo.moment else None,
                "warnings": [
                    {"code": remark.code, "text": remark_sentence(remark)}
                    for remark in (arrived.photo.remarks if arrived.photo else ())
                ],
                "reason": None if arrived.refusal is None else sentence(arrived.refusal),
            }
            for arrived in added.photos
        ]
    }


def readings_document(taken: Sequence[Taken]) -> list[dict[str, Any]]:
    """What came of readings files, for the JSON document of `hoofbook add`."""
    return [
        {
            "file": each.file,
            "kept": each.kept,
            "known": each.known,
            "refused": [
                {"line": line, "code": refusal.code, "reason": sentence(refusal)} for line, refusal in each.refused
            ],
        }
        for each in taken
    ]


def vet_lines(taken: Sequence[TakenVetImage], *, refused_only: bool = False) -> tuple[str, ...]:
    """One line a file of the vet's."""
    return tuple(
        f"{each.source.name}: {_vets_said(each)}" for each in taken if (each.refusal is not None) is refused_only
    )


def _vets_said(each: TakenVetImage) -> str:
    if each.refusal is not None:
        return sentence(each.refusal)
    return taken_line(each.image, known=each.known, shown=each.shown) if each.image else STATES["refused"]


def vet_document(taken: Sequence[TakenVetImage]) -> dict[str, Any]:
    """The JSON document of `hoofbook add --vets`."""
    return {
        "vets_images": [
            {
                "file": each.source.name,
                "state": "refused" if each.image is None else ("already here" if each.known else "taken in"),
                "day": each.image.day.isoformat() if each.image else None,
                "foot": each.image.foot.value if each.image and each.image.foot else None,
                "view": each.image.view if each.image else None,
                "received_from": each.image.received_from if each.image else None,
                "can_be_shown": each.shown if each.image else None,
                "sha256": each.image.sha256 if each.image else None,
                "note": each.image.note if each.image else None,
                "reason": None if each.refusal is None else sentence(each.refusal),
            }
            for each in taken
        ]
    }
