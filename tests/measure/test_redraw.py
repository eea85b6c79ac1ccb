"""Marks drawn anew: propagation of distributions (JCGM 101:2008) against the stated parts (JCGM 100:2008, 5.1.2)."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from hoofbook.measure import measure_shot
from hoofbook.measure.concavity import measure_set
from hoofbook.measure.redraw import (
    MOST_DRAWS,
    moved,
    normals,
    other_errors,
    placing_sources,
    placing_u,
    shares_of,
)
from hoofbook.terms.quantity import Part, Quantity
from tests.measure.concavity.made_sets import Hoof, Session, take
from tests.measure.photos import Lens
from tests.measure.test_side_view import side_shot

DRAWS = 400
CHANCE = 4 / math.sqrt(2 * DRAWS)  # four standard errors of a standard deviation from as many draws
FIRST_ORDER = 0.05  # what first order may be off by (JCGM 101, 8.1)


def test_numbers_of_a_source_are_standard_normal_and_its_own() -> None:
    """Kolmogorov-Smirnov test of scipy against the normal distribution; different sources do not follow each other."""
    from scipy.stats import kstest

    assert kstest(normals("card print"), "norm").pvalue > 0.001
    assert len(normals("card print")) == MOST_DRAWS
    assert abs(np.corrcoef(normals("card print"), normals("lens focal"))[0, 1]) < 4 / math.sqrt(MOST_DRAWS)
    assert np.array_equal(normals("card print"), normals("card print"))


@pytest.mark.parametrize("measure", ["toe_angle", "toe_length", "heel_angle", "heel_height"])
@pytest.mark.parametrize("placing_px", [1.0, None])
def test_draws_of_a_side_view_scatter_as_its_parts_say(measure: str, placing_px: float | None) -> None:
    shot = side_shot(Lens(), placing_px=placing_px)
    at = measure_shot(shot).quantity(measure)
    assert at is not None
    shares = shares_of([shot])
    placing = placing_sources(shares)
    values = []
    for draw in range(DRAWS):
        again = measure_shot(moved(shot, shares, draw)).quantity(measure)
        assert again is not None
        values.append(again.value)
    stated = placing_u(at.parts, placing)
    assert stated > 0
    assert np.std(values, ddof=1) == pytest.approx(stated, rel=CHANCE + FIRST_ORDER)
    assert np.mean(values) == pytest.approx(at.value, abs=stated * (4 / math.sqrt(DRAWS) + FIRST_ORDER))
    expected = [
        at.value + sum(p.u * normals(p.source)[d] for p in at.parts if p.source in placing) for d in range(DRAWS)
    ]
    assert abs(np.corrcoef(values, expected)[0, 1]) > 0.99  # the same draws, one by one


def test_draws_with_all_sources_scatter_as_the_whole_reading() -> None:
    shot = side_shot(Lens())
    at = measure_shot(shot).quantity("toe_length")
    assert at is not None
    shares = shares_of([shot])
    placing = placing_sources(shares)
    values = []
    for draw in range(DRAWS):
        again = measure_shot(moved(shot, shares, draw)).quantity("toe_length")
        assert again is not None
        values.append(again.value + other_errors(at.parts, placing, draw))
    assert np.std(values, ddof=1) == pytest.approx(at.u, rel=CHANCE + FIRST_ORDER)


def test_draws_of_a_set_scatter_as_its_parts_say() -> None:
    """Fewer draws, each a whole adjustment."""
    draws = 60
    shots, _ = take(Hoof(), Session())
    measured = measure_set(shots)
    at = measured.quantity("sole_concavity_at_frog_apex", "from_sole_edge")
    assert at is not None
    shares = shares_of(shots)
    placing = placing_sources(shares)
    values = []
    for draw in range(draws):
        again = measure_set([moved(shot, shares, draw) for shot in shots])
        found = again.quantity("sole_concavity_at_frog_apex", "from_sole_edge")
        assert found is not None
        values.append(found.value)
    assert np.std(values, ddof=1) == pytest.approx(placing_u(at.parts, placing), rel=4 / math.sqrt(2 * draws) + 0.1)


def test_what_two_photos_share_moves_both_alike() -> None:
    """JCGM 100:2008, 5.2.2: in the difference of two readings only unlike shares of a common source remain."""
    one = Quantity("toe_length", 84.0, "mm", (Part("card print", 0.5), Part("photo a mark toe_ground x", 0.3)))  # type: ignore[arg-type]
    other = Quantity("toe_length", 80.0, "mm", (Part("card print", 0.5), Part("photo b mark toe_ground x", 0.3)))  # type: ignore[arg-type]
    apart = [
        other_errors(one.parts, frozenset(), draw) - other_errors(other.parts, frozenset(), draw)
        for draw in range(MOST_DRAWS)
    ]
    assert np.std(apart) == pytest.approx(0.3 * math.sqrt(2), rel=4 / math.sqrt(2 * MOST_DRAWS))


def test_marks_that_do_not_count_stay_where_they_are() -> None:
    from hoofbook.terms.marks import MarkState

    shot = side_shot(Lens())
    proposed = replace(shot.marking.marks["heel_ground"], state=MarkState.PROPOSED)
    shot = replace(shot, marking=shot.marking.with_mark("heel_ground", proposed))
    again = moved(shot, shares_of([shot]), 3)
    assert again.marking.marks["heel_ground"] == proposed
    away = again.marking.marks["toe_ground"].x - shot.marking.marks["toe_ground"].x
    assert away == pytest.approx(normals("photo one mark toe_ground x")[3])
