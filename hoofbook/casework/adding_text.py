"""What came of taking photos in, for the command line."""

from __future__ import annotations

from typing import Any

from hoofbook.casework.adding import Added
from hoofbook.casework.taking_in import Arrived
from hoofbook.wording.places import photo_caption
from hoofbook.wording.refusals import sentence
from hoofbook.wording.remarks import sentence as remark_sentence
from hoofbook.wording.tray import STATES


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
    if arrived.refusal is not None or arrived.photo is None:
        return sentence(arrived.refusal) if arrived.refusal else STATES["refused"]
    words = photo_caption(arrived.photo.foot, arrived.photo.view, arrived.photo.moment) or STATES["to sort"]
    return f"{words} ({STATES['already here']})" if arrived.known else words


def document(added: Added) -> dict[str, Any]:
    """The JSON document of `hoofbook add`."""
    return {
        "photos": [
            {
                "file": arrived.source.name,
                "state": "refused" if arrived.refusal else ("already here" if arrived.known else "taken in"),
                "foot": arrived.photo.foot.value if arrived.photo and arrived.photo.foot else None,
                "view": arrived.photo.view.value if arrived.photo and arrived.photo.view else None,
                "moment": arrived.photo.moment.value if arrived.photo and arrived.photo.moment else None,
                "warnings": [
                    {"code": remark.code, "text": remark_sentence(remark)}
                    for remark in (arrived.photo.remarks if arrived.photo else ())
                ],
                "reason": sentence(arrived.refusal) if arrived.refusal else None,
            }
            for arrived in added.photos
        ]
    }
