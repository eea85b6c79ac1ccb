"""Colours can be read: contrast by WCAG 2.2 (relative luminance and success criterion 1.4.3: 4.5:1; 1.4.6: 7:1)."""

from __future__ import annotations

import pytest

from hoofbook.desktop.theme import SMALLEST_TEXT, TEXT_SIZES, TOKENS, Theme
from hoofbook.terms.drawing import Role

ON = {
    "paper": ("ink", "soft_ink", "leather", "wanted", "against", "calm"),
    "sidebar": ("ink", "soft_ink", "leather"),
    "card": ("ink", "soft_ink", "leather", "wanted", "against", "calm"),
    "quiet": ("ink", "soft_ink", "leather"),
    "track": ("ink", "soft_ink"),
    "leather": ("on_leather",),
    "leather_tint": ("ink", "leather"),
    "wanted_tint": ("wanted",),
    "against_tint": ("against",),
    "calm_tint": ("calm",),
}
PAIRS = [(theme, ground, ink) for theme in TOKENS for ground, inks in ON.items() for ink in inks]


def luminance(colour: str) -> float:
    """WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_is_21_to_1() -> None:
    """The example of the definition itself."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@pytest.mark.parametrize(("theme", "ground", "ink"), PAIRS)
def test_text_stands_out(theme: str, ground: str, ink: str) -> None:
    least = 7.0 if theme == "daylight" else 4.5
    assert contrast(TOKENS[theme][ground], TOKENS[theme][ink]) >= least


@pytest.mark.parametrize("size", TEXT_SIZES)
def test_small_text_never_falls_below_13_px(size: int) -> None:
    theme = Theme("light", size)
    assert min(theme.small, theme.chip) >= SMALLEST_TEXT
    assert 36 <= theme.number <= 56


def test_every_role_of_a_drawing_has_a_colour() -> None:
    for name in TOKENS:
        assert set(Theme(name).roles()) == set(Role)
