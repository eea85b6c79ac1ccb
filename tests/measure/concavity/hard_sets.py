"""The hard sole sets of the sample cases: which photos belong to each, from its marks file."""

from __future__ import annotations

import json
from pathlib import Path

from .test_sample_sets import CASES


def _hard_sets() -> dict[str, list[Path]]:
    found = {}
    for file in sorted((CASES / "hard").glob("*/*.marks.json")):
        photos = json.loads(file.read_text(encoding="utf-8"))["photos"]
        places = [(file.parent / photo["file"]).resolve() for photo in photos]
        name = file.relative_to(CASES).as_posix().removesuffix(".marks.json")
        found[name] = [place.with_name(place.stem + ".truth.json") for place in places]
    return found


HARD = _hard_sets()
"""Truth files of each hard set's photos by its name."""
