"""The look in figures: colours by token, text sizes, fonts. Everything drawn asks here; nothing else holds a colour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from hoofbook.terms.drawing import Role

if TYPE_CHECKING:
    from PySide6.QtGui import QColor, QFont, QPalette

TEXT_SIZES = (14, 17, 20)
THEMES = ("light", "dark", "daylight")
SMALLEST_TEXT = 13
TARGET = 36  # smallest side of anything pressed
TAP = 48  # height of a row in a one-tap list
RADIUS = 14
MAT_WIDTH = 10
RING_WIDTH = 3
MOTION_MS = 150
BODY_FAMILY = "Inter"
HEADING_FAMILY = "Vollkorn"

_LIGHT = {
    "paper": "#F7F4EE",
    "sidebar": "#F0EADF",
    "card": "#FFFFFF",
    "ink": "#24211D",
    "soft_ink": "#6B645B",
    "line": "#DDD6CA",
    "leather": "#8A4B2A",
    "leather_tint": "#F3E6DB",
    "on_leather": "#FFFFFF",
    "wanted": "#0B7A5B",
    "wanted_tint": "#E2F2EC",
    "against": "#B2470E",
    "against_tint": "#FBEADF",
    "calm": "#5B6770",
    "calm_tint": "#EDF0F2",
    "track": "#EBE4D8",
    "quiet": "#FBF9F4",
    "measured": "#E69F00",
    "ground": "#56B4E9",
    "mat": "#808080",
    "veil": "#24211D",
    "ring_edge": "#FFFFFF",
}
_DARK = {
    "paper": "#1B1A18",
    "sidebar": "#201E1C",
    "card": "#262421",
    "ink": "#EEEAE3",
    "soft_ink": "#A69E93",
    "line": "#3A3733",
    "leather": "#D08A5E",
    "leather_tint": "#3A2A20",
    "on_leather": "#1B1A18",
    "wanted": "#4CC3A0",
    "wanted_tint": "#17362D",
    "against": "#F0935A",
    "against_tint": "#3B2417",
    "calm": "#9FB0BB",
    "calm_tint": "#2D3236",
    "track": "#2A2825",
    "quiet": "#211F1D",
    "measured": "#E69F00",
    "ground": "#56B4E9",
    "mat": "#5A5A5A",
    "veil": "#12110F",
    "ring_edge": "#FFFFFF",
}
_DAYLIGHT = {
    "paper": "#FFFFFF",
    "sidebar": "#FFFFFF",
    "card": "#FFFFFF",
    "ink": "#000000",
    "soft_ink": "#262626",
    "line": "#000000",
    "leather": "#6E3A1E",
    "leather_tint": "#FFFFFF",
    "on_leather": "#FFFFFF",
    "wanted": "#005B41",
    "wanted_tint": "#FFFFFF",
    "against": "#8A3200",
    "against_tint": "#FFFFFF",
    "calm": "#000000",
    "calm_tint": "#FFFFFF",
    "track": "#FFFFFF",
    "quiet": "#FFFFFF",
    "measured": "#E69F00",
    "ground": "#56B4E9",
    "mat": "#808080",
    "veil": "#000000",
    "ring_edge": "#FFFFFF",
}
TOKENS: Mapping[str, Mapping[str, str]] = MappingProxyType({"light": _LIGHT, "dark": _DARK, "daylight": _DAYLIGHT})

_ROLE_TOKENS: Mapping[Role, str] = MappingProxyType(
    {
        Role.INK: "ink",
        Role.SOFT_INK: "soft_ink",
        Role.LINE: "line",
        Role.PAPER: "paper",
        Role.CARD: "card",
        Role.MEASURED: "measured",
        Role.GROUND: "ground",
        Role.CALM: "calm",
        Role.CALM_TINT: "calm_tint",
        Role.WANTED: "wanted",
        Role.AGAINST: "against",
        Role.LEATHER: "leather",
        Role.LEATHER_TINT: "leather_tint",
    }
)


@dataclass(frozen=True, slots=True)
class Theme:
    """One look: a theme name and the text size everything scales from (logical pixels)."""

    name: str = "light"
    size: int = 17

    def hex(self, token: str) -> str:
        return TOKENS[self.name][token]

    def colour(self, token: str, alpha: float = 1.0) -> QColor:
        from PySide6.QtGui import QColor

        colour = QColor(self.hex(token))
        colour.setAlphaF(alpha)
        return colour

    @property
    def border(self) -> int:
        """Width of a border: 1 px, in daylight 2 px."""
        return 2 if self.name == "daylight" else 1

    @property
    def small(self) -> int:
        """Captions and chips, never below 13 px."""
        return max(SMALLEST_TEXT, self.size - 2)

    @property
    def chip(self) -> int:
        return max(SMALLEST_TEXT, self.size - 3)

    @property
    def heading(self) -> int:
        return round(self.size * 1.2)

    @property
    def title(self) -> int:
        return round(self.size * 1.65)

    @property
    def number(self) -> int:
        """Numbers that matter: 36 to 50 px."""
        return round(36 + (self.size - 14) * 7 / 3)

    def font(self, kind: str = "body", *, bold: bool = False) -> QFont:
        """Fonts by use: "body", "small", "value", "number" in Inter; "heading", "title" in Vollkorn."""
        from PySide6.QtGui import QFont

        pixels = {"small": self.small, "value": self.heading, "heading": self.heading, "title": self.title}
        family = HEADING_FAMILY if kind in ("heading", "title") else BODY_FAMILY
        font = QFont(family)
        font.setPixelSize(self.number if kind == "number" else pixels.get(kind, self.size))
        strong = bold or kind in ("heading", "title", "number")
        font.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
        features = ("lnum",) if family == HEADING_FAMILY else ("tnum",)
        for feature in features:
            font.setFeature(QFont.Tag.fromString(feature), 1)
        return font

    def roles(self) -> dict[Role, str]:
        """Colours for `hoofbook.terms.drawing_svg.to_svg`."""
        return {role: self.hex(token) for role, token in _ROLE_TOKENS.items()}

    def palette(self) -> QPalette:
        """For what Qt draws itself (text fields, selections, file dialogs)."""
        from PySide6.QtGui import QPalette

        palette = QPalette()
        kinds = QPalette.ColorRole
        for kind, token in (
            (kinds.Window, "paper"),
            (kinds.Base, "card"),
            (kinds.AlternateBase, "quiet"),
            (kinds.Button, "card"),
            (kinds.WindowText, "ink"),
            (kinds.Text, "ink"),
            (kinds.ButtonText, "ink"),
            (kinds.PlaceholderText, "soft_ink"),
            (kinds.Highlight, "leather"),
            (kinds.HighlightedText, "on_leather"),
            (kinds.Link, "leather"),
            (kinds.ToolTipBase, "veil"),
        ):
            palette.setColor(kind, self.colour(token))
        return palette
