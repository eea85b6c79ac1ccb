"""The only words in which the program says whether something changed."""

from __future__ import annotations

from enum import StrEnum


class Verdict(StrEnum):
    """Said of a goal at its planned readings, never of health."""

    INCREASE_SHOWN = "increase shown"
    DECREASE_SHOWN = "decrease shown"
    NO_CHANGE_SHOWN = "no change shown"
    NOT_COMPARABLE = "not comparable"
    FIRST_READING = "first reading"

    @property
    def is_change(self) -> bool:
        return self in (Verdict.INCREASE_SHOWN, Verdict.DECREASE_SHOWN)
