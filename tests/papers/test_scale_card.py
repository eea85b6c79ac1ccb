"""The printed card is the board that OpenCV knows, in exact millimetres.

Reference: OpenCV's own CharucoBoard((7, 5), 16, 12, DICT_4X4_50) and its detector; facts: 24 inner corners from
(16, 16) to (96, 64) mm, diagonal 93.2952 mm (run on OpenCV 5.0.0).
"""

from __future__ import annotations

import json
from typing import Any, Literal

import numpy as np
import pytest
import typst

from hoofbook.housekeeping.shipped import resource
from hoofbook.imaging import cv2
from hoofbook.papers.pdf import make_pdf
from hoofbook.papers.scale_card import TEMPLATE, card_data

PPI = 254.0  # ten pixels to the millimetre
PAGES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def pages(paper: Literal["a4", "letter"]) -> list[Any]:
    """The pages as grey pictures, ten pixels to the millimetre."""
    made = typst.compile(
        str(resource("paper", TEMPLATE)),
        font_paths=[str(resource("fonts"))],
        ignore_system_fonts=True,
        format="png",
        ppi=PPI,
        sys_inputs={"data": json.dumps(card_data(paper))},
    )
    return [cv2.imdecode(np.frombuffer(page, np.uint8), cv2.IMREAD_GRAYSCALE) for page in made]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_card_is_opencvs_board_to_a_tenth_of_a_millimetre(paper: Literal["a4", "letter"]) -> None:
    sheets = pages(paper)
    assert len(sheets) == 2
    for sheet, first in zip(sheets, (0, 26), strict=True):
        height, width = sheet.shape
        assert (width / 10, height / 10) == pytest.approx(PAGES_MM[paper], abs=0.1)
        board = cv2.aruco.CharucoBoard(
            (7, 5), 16.0, 12.0, cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50), np.arange(first, first + 17)
        )
        corners, ids, _, markers = cv2.aruco.CharucoDetector(board).detectBoard(sheet)
        assert len(ids) == 24 and {int(marker) for marker in markers.ravel()} >= set(range(first, first + 17))
        places = corners.reshape(-1, 2) / 10
        steps = places - places[0]
        true = np.array([[x * 16.0, y * 16.0] for y in range(4) for x in range(6)])
        assert np.abs(steps - true).max() < 0.1
        assert np.hypot(*steps[-1]) == pytest.approx(93.2952, abs=0.1)


def test_the_check_bar_is_a_hundred_millimetres() -> None:
    sheet = pages("a4")[0]
    longest = max(_longest_dark_run(row) for row in sheet[1300:1800])
    assert longest / 10 == pytest.approx(100.0, abs=0.4)  # the end strokes are 0.25 mm wide


def _longest_dark_run(row: Any) -> int:
    dark = np.flatnonzero(np.diff(np.concatenate([[0], (row < 128).astype(int), [0]])))
    return int((dark[1::2] - dark[::2]).max(initial=0))


def test_every_tag_decodes_as_what_it_says() -> None:
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    _, ids, _ = detector.detectMarkers(pages("a4")[1])
    assert {20, 21, 22, 23, 24, 25} <= {int(marker) for marker in ids.ravel()}


def test_the_pdf_comes_from_a_child_process_with_its_data_unharmed() -> None:
    data = card_data("a4")
    data["words"] = {**data["words"], "title": "#1 *x* $a$ \\ ]"}
    made = make_pdf(TEMPLATE, data)
    assert made.startswith(b"%PDF-") and made.rstrip().endswith(b"%%EOF")
