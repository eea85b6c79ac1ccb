"""Where the time comes from, so that tests and made-again papers can say which day it is."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    def now(self) -> datetime:
        """The present moment, in UTC and aware of it."""
        ...


class SystemClock:
    """The computer's own clock."""

    def now(self) -> datetime:
        return datetime.now(UTC)


@dataclass
class FixedClock:
    """Stands at one moment until it is moved. `at` must know its zone (ValueError)."""

    at: datetime = field(default_factory=lambda: datetime(2026, 1, 1, 12, tzinfo=UTC))

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise ValueError("a clock needs a moment with its zone")

    def now(self) -> datetime:
        return self.at.astimezone(UTC)

    def advance(self, by: timedelta) -> None:
        self.at += by
