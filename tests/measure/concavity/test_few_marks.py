"""Three places of the wall edge, three of the sole edge and the frog apex are enough for the whole sole.

Photos, marks and true depths come from the parametric hoof of sample_cases/make; nothing of them is computed here.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoofbook.terms.marks import Marking
from tests.measure.concavity.dense_truth import compared

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
