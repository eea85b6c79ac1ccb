"""The placing part: seeded trials with a known spread, and what must not count."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoofbook.measure import priors
from hoofbook.progress.agreement import Standing
from hoofbook.progress.placing import placing_spreads
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.views import View

SIDE = {
    "toe_ground": (900, 2000),
    "heel_ground": (2400, 2010),
    "toe_hairline": (1500, 900),
    "heel_hairline": (2500, 1500),
}


def placed(random: np.random.Generator, edge: float, hairline: float, far: float = 0.0) -> Marking:
    """A marking about the true places; `far` moves marks that may lie anywhere along a line."""
    marks = {
        name: Mark(*(place + random.normal(0, hairline if "hairline" in name else edge, 2)))
        for name, place in SIDE.items()
    }
    sliding = {name: Mark(*(np.array([500.0, 2200.0]) + random.normal(0, far, 2))) for name in ("ground_a", "ground_b")}
    return Marking({**marks, **sliding})


def test_a_known_spread_is_found_again() -> None:
    """60 photos marked twice: 480 degrees of freedom, so 6 % of the spread at two standard errors."""
    random = np.random.default_rng(5)
    photos = [
        (View.LATERAL, (4032, 3024), [placed(random, 1.1, 2.2, 300.0), placed(random, 1.1, 2.2, 300.0)])
        for _ in range(60)
    ]
    found = placing_spreads(photos)
    assert found.photos == 60
    assert (found.edge.standing, found.hairline.standing) == (Standing.OWN, Standing.OWN)
    assert found.edge.sd == pytest.approx(1.1, rel=0.08)
    assert found.hairline.sd == pytest.approx(2.2, rel=0.08)
    assert found.own is not None and found.own.edge == found.edge.sd


def test_smaller_photos_are_brought_to_one_size() -> None:
    random = np.random.default_rng(6)
    one, other = placed(random, 1.0, 2.0), placed(random, 1.0, 2.0)
    half = [
        Marking({name: Mark(mark.x / 2, mark.y / 2) for name, mark in marking.marks.items()})
        for marking in (one, other)
    ]
    whole = placing_spreads([(View.LATERAL, (4032, 3024), [one, other])] * 5)
    small = placing_spreads([(View.LATERAL, (2016, 1512), half)] * 5)
    assert small.edge.sd == pytest.approx(whole.edge.sd)


def test_until_five_photos_were_marked_again_all_is_assumed() -> None:
    random = np.random.default_rng(7)
    four = [(View.LATERAL, (4032, 3024), [placed(random, 0.5, 0.5), placed(random, 0.5, 0.5)]) for _ in range(4)]
    found = placing_spreads(four)
    assert found.own is None
    assert found.edge.sd == priors.PLACING_EDGE_PX
    # the person's part of a hairline cannot be seen in that person's own repeats
    assert found.hairline.sd == pytest.approx(priors.PLACING_HAIRLINE_PX * math.sqrt(0.75))
    assert found.edge.own is not None and found.edge.own.sd < 1.0


def test_numbered_marks_and_lone_ones_say_nothing() -> None:
    one = Marking({"rim_01": Mark(10.0, 10.0), "toe_tip": Mark(5.0, 5.0), "frog_apex": Mark(7.0, 7.0)})
    other = Marking({"rim_01": Mark(90.0, 10.0), "toe_tip": Mark(50.0, 5.0)})
    found = placing_spreads([(View.SOLAR, (4032, 3024), [one, other])])
    assert (found.photos, found.edge.own, found.hairline.own) == (0, None, None)
    assert placing_spreads([]).own is None
