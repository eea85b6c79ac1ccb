"""The four feet and their pairs."""

from __future__ import annotations

from enum import StrEnum


class Side(StrEnum):
    """Side of the horse on which a foot stands."""

    LEFT = "left"
    RIGHT = "right"


class Foot(StrEnum):
    """One of the four feet, by its short trade name."""

    LF = "LF"
    RF = "RF"
    LH = "LH"
    RH = "RH"

    @property
    def side(self) -> Side:
        return Side.LEFT if self in (Foot.LF, Foot.LH) else Side.RIGHT

    @property
    def is_fore(self) -> bool:
        return self in (Foot.LF, Foot.RF)

    @property
    def partner(self) -> Foot:
        """The other foot of the pair (left fore with right fore, left hind with right hind)."""
        return {Foot.LF: Foot.RF, Foot.RF: Foot.LF, Foot.LH: Foot.RH, Foot.RH: Foot.LH}[self]


class Pair(StrEnum):
    """Two feet of a pair with a direction: the measure of the first less that of the second."""

    LF_LESS_RF = "LF-RF"
    RF_LESS_LF = "RF-LF"
    LH_LESS_RH = "LH-RH"
    RH_LESS_LH = "RH-LH"

    @classmethod
    def of(cls, foot: Foot) -> Pair:
        """`foot` less its partner."""
        return cls(f"{foot.value}-{foot.partner.value}")

    @property
    def foot(self) -> Foot:
        return Foot(self.value[:2])

    @property
    def less(self) -> Foot:
        return Foot(self.value[3:])


Place = Foot | Pair
"""Where a series belongs: one foot, or the difference of two."""


def place_of(text: str) -> Place:
    """A foot or a pair from its short name; ValueError where it is neither."""
    return Pair(text) if "-" in text else Foot(text)
