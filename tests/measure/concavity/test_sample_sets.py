"""The sample cases' sole sets: true marks against the truth that was rendered, through the card as it is found.

Truth (3-D places, planes, measures) comes from the parametric hoof of sample_cases/make and is projected there by
cv2.projectPoints; nothing of it is computed here.
"""

from __future__ import annotations

import json
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

from hoofbook.measure.concavity import measure_set
from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Measured, Shot
from hoofbook.terms.quantity import Definition
from hoofbook.terms.views import CardStand, View

CASES = Path(__file__).parents[3] / "sample_cases"
APEX = "sole_concavity_at_frog_apex"
DEFINITIONS = (Definition.FROM_SOLE_EDGE.value, Definition.FROM_WALL_EDGE.value)


def sole_sets() -> dict[str, list[Path]]:
    """Truth files of each set of two sole photos or more with the card in them, by a name for the test's report.

    The hard sets, each with one thing wrong, have tests of their own (`test_hard_sets`).
    """
    found: dict[str, list[Path]] = defaultdict(list)
    for path in sorted(CASES.glob("*/**/*sole*.truth.json")):
        truth = json.loads(path.read_text(encoding="utf-8"))
        if (
            truth["view"] == "solar"
            and truth.get("set")
            and truth["card"]["present"]
            and not {"faults", "hard"} & set(path.parts)
        ):
            found[f"{path.parent.relative_to(CASES).as_posix()}/{truth['set']}"].append(path)
    return {name: paths for name, paths in found.items() if len(paths) >= 2}


SETS = sole_sets()


def true_sighting(truth: dict[str, Any]) -> CardSighting:
    """The 24 inner corners where they truly are."""
    corners = tuple(
        CardCorner(f"c{int(name):02d}", (16.0 * (int(name) % 6 + 1), 16.0 * (int(name) // 6 + 1)), (x, y), 0.05)
        for name, (x, y) in truth["card"]["corners_px"].items()
    )
    size = truth["camera"]["width"], truth["camera"]["height"]
    return CardSighting(CardFace.BACK, corners, (), (), 2.0, size, "truth")


def true_marks(truth: dict[str, Any]) -> Marking:
    return Marking({name: Mark(*mark["px"]) for name, mark in truth["marks"].items() if mark["visible"]})


def shot_of(path: Path, truth: dict[str, Any], sighting: CardSighting, marking: Marking, placing: float | None) -> Shot:
    return Shot(
        key=path.name.removesuffix(".truth.json"),
        view=View.SOLAR,
        photo_size=(truth["camera"]["width"], truth["camera"]["height"]),
        marking=marking,
        foot=Foot(truth["foot"]),
        sighting=sighting,
        card_stands_on=CardStand.FOOT,
        focal_35mm=truth["camera"]["focal_35mm_tag"],
        placing_px=placing,
        set_name=truth["set"],
    )


def truths(paths: list[Path]) -> list[dict[str, Any]]:
    return [json.loads(path.read_text(encoding="utf-8")) for path in paths]


def close_to_truth(measured: Measured, truth: dict[str, Any], within_mm: float) -> None:
    for definition in DEFINITIONS:
        quantity = measured.quantity(APEX, definition)
        assert quantity is not None, measured.refusals
        assert quantity.value == pytest.approx(truth["measures"][f"{APEX}_{definition}"], abs=within_mm)


def test_there_are_sets_of_both_feet() -> None:
    assert {truths(paths)[0]["foot"] for paths in SETS.values()} == {"LF", "RF"}
    assert len(SETS) >= 11


@pytest.mark.parametrize("name", SETS)
def test_true_marks_and_true_corners(name: str) -> None:
    paths = SETS[name]
    told = truths(paths)
    measured = measure_set(
        [shot_of(p, t, true_sighting(t), true_marks(t), 0.5) for p, t in zip(paths, told, strict=True)]
    )
    close_to_truth(measured, told[0], 0.02)
    for quantity in measured.quantities:
        key = f"{quantity.name}_{quantity.definition.value}" if quantity.definition.value else quantity.name
        if key in told[0]["measures"] and "frog_" not in key:
            assert quantity.value == pytest.approx(told[0]["measures"][key], abs=0.1), key


def found_sightings(paths: list[Path]) -> list[CardSighting]:
    """The card as it is found in the rendered photos; the test is left out only while a photo is not there."""
    card = pytest.importorskip("hoofbook.imaging.card")
    pixels = pytest.importorskip("hoofbook.imaging.pixels")
    photos = [path.with_name(path.name.replace(".truth.json", ".jpg")) for path in paths]
    missing = [photo.name for photo in photos if not photo.exists()]
    if missing:
        pytest.skip(f"not rendered: {', '.join(missing)}")
    found = [card.find_card(pixels.open_grey(photo)) for photo in photos]
    assert all(isinstance(each, CardSighting) for each in found), found
    return found


@pytest.mark.parametrize("name", SETS)
def test_true_marks_and_the_card_as_found(name: str) -> None:
    paths = SETS[name]
    told = truths(paths)
    sightings = found_sightings(paths)
    measured = measure_set(
        [shot_of(p, t, s, true_marks(t), 0.5) for p, t, s in zip(paths, told, sightings, strict=True)]
    )
    close_to_truth(measured, told[0], 0.05)


def test_a_wall_two_millimetres_longer_leaves_the_sole_edge_value() -> None:
    longer = next(paths for name, paths in SETS.items() if "wall-longer" in name)
    told = truths(longer)
    same = next(
        paths
        for name, paths in SETS.items()
        if "wall-longer" not in name
        and truths(paths)[0]["foot"] == told[0]["foot"]
        and truths(paths)[0]["measures"][f"{APEX}_from_sole_edge"] == told[0]["measures"][f"{APEX}_from_sole_edge"]
    )
    both = []
    for paths in (same, longer):
        sightings = found_sightings(paths)
        marks = [_placed(path, truth) for path, truth in zip(paths, truths(paths), strict=True)]
        both.append(
            measure_set(
                [shot_of(p, t, s, m, 0.5) for p, t, s, m in zip(paths, truths(paths), sightings, marks, strict=True)]
            )
        )
    before, after = (measured.quantity(APEX, "from_sole_edge") for measured in both)
    assert before is not None and after is not None
    assert abs(after.value - before.value) < min(before.expanded, after.expanded)
    walls = [measured.quantity(APEX, "from_wall_edge") for measured in both]
    assert walls[0] is not None and walls[1] is not None
    assert walls[1].value - walls[0].value == pytest.approx(2.0, abs=before.expanded + after.expanded)


def _placed(path: Path, truth: dict[str, Any]) -> Marking:
    """Marks as a careful person placed them: from the marks file beside the truth."""
    photo = path.name.replace(".truth.json", ".jpg")
    for file in sorted(path.parent.glob("*.marks.json")):
        for entry in json.loads(file.read_text(encoding="utf-8"))["photos"]:
            if entry["file"] == photo:
                return Marking({name: Mark(*place) for name, place in entry["marks"].items()})
    raise AssertionError(f"no marks file names {photo} of {truth['horse']}")
