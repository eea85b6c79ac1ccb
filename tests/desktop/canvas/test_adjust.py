"""Contrast and brightness are for looking: monotone, plain at zero."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from hoofbook.desktop.canvas.adjust import Adjustment, table


def test_nothing_asked_changes_nothing():
    assert table(Adjustment()) == bytes(range(256))
    assert Adjustment().plain


@given(st.integers(-100, 100), st.integers(-100, 100))
def test_brighter_never_becomes_darker(contrast, brightness):
    values = list(table(Adjustment(contrast, brightness)))
    assert values == sorted(values)
    assert len(values) == 256


def test_more_contrast_spreads_and_more_light_lifts():
    assert table(Adjustment(50, 0))[160] > 160 and table(Adjustment(50, 0))[96] < 96
    assert table(Adjustment(0, 30))[100] > 100
