"""Random sets: error and coverage against the figures of the method's simulation study (see study.py)."""

from __future__ import annotations

import numpy as np
import pytest

from tests.measure.concavity.study import ROWS, errors


@pytest.mark.parametrize("name", ["3 photos 25", "3 photos 35"])
def test_error_and_stated_uncertainty(name: str) -> None:
    """40 seeded sets a row: the error's rms has a spread of 11 %, the covered share one of 3.4 %."""
    row = ROWS[name]
    assert row.rms is not None
    error, u, refused = errors(row, 40)
    assert refused == 0
    assert np.sqrt(np.mean(error**2)) < 1.1 * row.rms
    assert np.mean(np.abs(error) < 1.96 * u) >= 0.9
    assert np.mean((error / u) ** 2) == pytest.approx(1.0, abs=0.45)  # two spreads of chi-square with 40 degrees
