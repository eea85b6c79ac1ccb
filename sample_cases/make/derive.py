"""Faults made from clean photos, and the list that says what is wrong with every planted fault."""

from __future__ import annotations

import pathlib
from typing import Any

import numpy as np
import photo
from PIL import Image

FAULTS: list[dict[str, Any]] = [
    {
        "file": "visit-2-rf-sole-filed-as-lf.jpg",
        "visit": 2,
        "fault": "wrong foot",
        "filed_as": {"foot": "LF", "view": "solar", "moment": "after trim"},
        "what": "a right fore's sole with its foot tag (21) in the picture, filed as left fore",
    },
    {
        "file": "visit-3-lf-side-after-card-leaning.jpg",
        "visit": 3,
        "fault": "card on the near side",
        "filed_as": {"foot": "LF", "view": "lateral", "moment": "after trim"},
        "what": "card stands about 60 mm nearer than the mid plane and leans back; told as mid-line",
    },
    {
        "file": "visit-4-lf-side-after-mirrored.jpg",
        "visit": 4,
        "fault": "mirrored",
        "made_from": "../visit-4/lf-side-after.jpg",
        "filed_as": {"foot": "LF", "view": "lateral", "moment": "after trim"},
        "what": "the clean photo flipped left to right, its tags kept",
    },
    {
        "file": "visit-5-lf-side-after-messenger.jpg",
        "visit": 5,
        "fault": "shrunk by a messenger",
        "made_from": "../visit-5/lf-side-after.jpg",
        "filed_as": {"foot": "LF", "view": "lateral", "moment": "after trim"},
        "what": "the clean photo at 1600 px, without lens, focal length and date, JPEG quality 70",
    },
]
MESSENGER_SIDE = 1600


def mirrored(source: pathlib.Path, target: pathlib.Path) -> None:
    """Pixels as shown flipped left to right, stored upright; camera tags as they were."""
    with Image.open(source) as image:
        tags = image.getexif()
        tags[0x0112] = 1
        tags.get_ifd(photo.EXIF_IFD)
    photo.save(np.ascontiguousarray(photo.upright(source)[:, ::-1]), target, tags, 1, 88)


def messenger(source: pathlib.Path, target: pathlib.Path) -> None:
    """Long side 1600 px, no EXIF at all, quality 70."""
    shown = Image.fromarray(np.ascontiguousarray(photo.upright(source)[..., ::-1]))
    factor = MESSENGER_SIDE / max(shown.size)
    small = shown.resize((round(shown.width * factor), round(shown.height * factor)), Image.Resampling.LANCZOS)
    photo.save(np.asarray(small)[..., ::-1], target, None, 1, 70)


def derive(out: pathlib.Path) -> None:
    """Make the derived faults whose clean photo exists, and write faults.json."""
    from truth import write_json

    folder = out / "larkspur" / "faults"
    for fault in FAULTS:
        target = folder / fault["file"]
        source = folder / fault.get("made_from", "-")
        if "made_from" in fault and source.exists() and not target.exists():
            (mirrored if fault["fault"] == "mirrored" else messenger)(source, target)
    write_json(folder / "faults.json", {"version": 1, "faults": FAULTS})
