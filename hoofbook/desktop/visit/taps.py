"""What was tapped, so that each tap can be taken back and done again. Plain values, no window."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Tap:
    """One choice: where, and its kept value before and after ("" = nothing kept)."""

    foot: str
    field: str
    old: str
    new: str


Choice = tuple[str, str, str]


class Taps:
    """Steps of one or more taps, with a place between those done and those taken back."""

    def __init__(self) -> None:
        self._steps: list[tuple[Tap, ...]] = []
        self._done = 0

    def add(self, step: tuple[Tap, ...]) -> None:
        """A new step drops what was taken back before it."""
        if step:
            del self._steps[self._done :]
            self._steps.append(step)
            self._done += 1

    def undo(self) -> tuple[Choice, ...]:
        """The choices (foot, field, value) that take the last step back; empty when there is none."""
        if not self._done:
            return ()
        self._done -= 1
        return tuple((tap.foot, tap.field, tap.old) for tap in reversed(self._steps[self._done]))

    def redo(self) -> tuple[Choice, ...]:
        """The choices that do the next step again; empty when there is none."""
        if self._done == len(self._steps):
            return ()
        self._done += 1
        return tuple((tap.foot, tap.field, tap.new) for tap in self._steps[self._done - 1])

    def clear(self) -> None:
        self._steps.clear()
        self._done = 0
