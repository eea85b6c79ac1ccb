"""Three places of the wall edge, three of the sole edge and the frog apex are enough for the whole sole.

Photos, marks and true depths come from the parametric hoof of sample_cases/make; nothing of them is computed here.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofbook.measure.concavity.axes import foot_axes
from hoofbook.measure.concavity.measures import shape_of
from hoofbook.measure.concavity.solving import Solved, solve
from hoofbook.terms.marks import Marking
from tests.measure.concavity.dense_truth import compared
from tests.measure.concavity.test_sample_sets import SETS, shot_of, true_marks, true_sighting, truths

HEELS = ("heel_medial", "heel_lateral")

SEVEN = (*(f"{group}_{number:02d}" for group in ("rim", "sole_edge") for number in (2, 7, 11)), "frog_apex")


def test_seven_marks_in_three_photos_give_the_map(monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.measure.concavity import dense_truth

    every = dense_truth.true_marks
    monkeypatch.setattr(
        dense_truth, "true_marks", lambda truth: Marking({n: m for n, m in every(truth).marks.items() if n in SEVEN})
    )
    found = compared("larkspur/visit-7/lf-sole-after", placed=False)
    errors = found.errors
    assert found.sole.completeness > 0.75  # the frog, which nobody marked, is asked for too
    assert float(np.median(np.abs(errors))) < 0.3
    assert float(np.mean(np.abs(errors) <= 1.96 * found.sole.u[found.cells])) > 0.8
    wide = np.ptp(np.argwhere(np.isfinite(found.sole.depth)), axis=0) * found.sole.step
    assert wide.min() > 50.0, "the sole, not a corner of it"
    true = found.true[found.cells]
    assert float(np.corrcoef(found.sole.depth[found.cells], true)[0, 1]) > 0.97


@pytest.mark.parametrize("name", sorted(SETS))
@pytest.mark.parametrize("numbers", [(2, 7, 11), (1, 6, 12), (3, 6, 10), (1, 3, 5, 7, 9, 11)])
def test_without_heel_marks_the_toe_lies_where_the_heels_say(name: str, numbers: tuple[int, ...]) -> None:
    """Against the line from the middle between the heels to the frog apex, of the true 3-D places of the hoof."""
    paths = SETS[name]
    facts = truths(paths)
    kept = {f"{group}_{number:02d}" for group in ("rim", "sole_edge") for number in numbers} | {"frog_apex"}
    shots = [
        shot_of(
            path,
            truth,
            true_sighting(truth),
            Marking({n: m for n, m in true_marks(truth).marks.items() if n in kept}),
            0.5,
        )
        for path, truth in zip(paths, facts, strict=True)
    ]
    solved = solve(shots)
    assert isinstance(solved, Solved)
    axes = foot_axes(shape_of(solved))
    assert axes is not None
    places = {n: np.array(next(t["marks"][n]["mm"] for t in facts if n in t["marks"])) for n in (*kept, *HEELS)}
    toe = places["frog_apex"] - (places[HEELS[0]] + places[HEELS[1]]) / 2.0
    names = sorted(kept)
    own, true = solved.points_of(names), np.array([places[n] for n in names])
    left, _, right = np.linalg.svd((own - own.mean(axis=0)).T @ (true - true.mean(axis=0)))  # Kabsch 1976
    told = (left @ right).T @ axes[0]
    assert np.degrees(np.arccos(np.clip(told @ toe / np.linalg.norm(toe), -1.0, 1.0))) < 20.0
