"""The four feet."""

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
