"""The guide for taking sole photos: one page that lasts, read by tools that are not ours (qpdf, poppler).

The turn drawn is held against the protocol (25 to 35 degrees between photos); what is said of hands and horse is common
practice, no source.
"""

from __future__ import annotations

import itertools
import math
import re
from datetime import date
from pathlib import Path
from typing import Literal

import pytest

from hoofbook.papers.photo_guide import make_photo_guide
from hoofbook.terms.drawing import Line
from hoofbook.wording import photo_guide as words
from tests.papers import tools
from tests.wording.test_sole_stands import extent

SIZES = {"a4": ("595", "842"), "letter": ("612", "792")}


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_is_one_lasting_page_with_words_for_every_drawing(paper: Literal["a4", "letter"], tmp_path: Path) -> None:
    out = tmp_path / "guide.pdf"
    out.write_bytes(make_photo_guide(paper, date(2026, 3, 1)))
    assert not tools.complaints(out)
    told = tools.info(out)
    assert told["Pages"] == "1" and told["Tagged"] == "yes" and told["Title"] == "Photos of the sole"
    assert tuple(str(round(float(side))) for side in re.findall(r"[\d.]+", told["Page size"])[:2]) == SIZES[paper]
    assert all(embedded for _, embedded, _ in tools.fonts(out)) and not tools.words_outside(out)
    raw = tools.tool("qpdf", "--qdf", "--object-streams=disable", out, "-")
    assert "pdfaid:part" in raw and "pdfuaid:part" in raw and raw.count("/S /Figure") == 4
    assert tools.tool("pdfimages", "-list", out).strip().count("\n") == 1, "drawings are vectors, not pixels"
    page = tools.text(out)
    for said in (*words.READY, *words.RIGS, words.RIGS_WHY, *words.TURN, *words.CAREFUL, words.AFTER):
        assert said in page
    lower = page.lower()
    for needed in ("dry", "no flash", "kneel", "holder", "under the horse", "25 to 35", "20 cm", "flat", "let go of"):
        assert needed in lower, needed


def test_the_drawn_turn_is_what_is_wanted_and_all_drawings_stay_inside() -> None:
    turn = words.turn_drawing()
    sights = [item for item in turn.primitives if isinstance(item, Line) and len(item.points) == 2]
    angles = []
    for sight in sights:
        (x0, y0), (x1, y1) = sight.points
        angles.append(math.degrees(math.atan2(x1 - x0, y1 - y0)))
    assert [25 <= two - one <= 35 for one, two in itertools.pairwise(sorted(angles))] == [True, True]
    hands = re.search(r"two hands \((\d+) cm\) to your left", words.TURN[1])
    away = re.search(r"four hands \((\d+) cm\)", words.TURN[0])
    assert hands is not None and away is not None
    told = math.degrees(2 * math.asin(int(hands.group(1)) / 2 / int(away.group(1))))
    assert 25 <= told <= 35, "what is told in hands turns as far as what is told in degrees"
    for drawing in (turn, words.rigs_drawing(), *(rig.drawing for rig in words.rigs())):
        assert drawing.alt
        for item in drawing.primitives:
            for x, y in extent(item):
                assert -0.5 <= x <= drawing.width + 0.5 and -0.5 <= y <= drawing.height + 0.5
