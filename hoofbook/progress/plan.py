"""When verdicts fall, and what chance of a false one each may spend.

Five in a hundred horses may be told a change that is none, once over their life and not at each look. The chance is
spent at planned readings 4, 7, 13 and 25 in shares of 10, 40, 30 and 20 % (an alpha-spending plan; Lan and DeMets 1983)
and divided by the number of goals of the horse not yet shown. After reading 25 a new baseline begins.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

PLANNED_READINGS: Mapping[int, float] = MappingProxyType({4: 0.10, 7: 0.40, 13: 0.30, 25: 0.20})
ROUND = 25
FALSE_ALARM = 0.05


def planned_after(count: int) -> int:
    """The next planned reading after `count` readings."""
    rounds, within = divmod(count, ROUND)
    return next((rounds * ROUND + look for look in PLANNED_READINGS if look > within), (rounds + 1) * ROUND + 4)


def share_at(reading: int) -> float | None:
    """Share of the false-alarm chance that is spent at this reading, None where none is planned."""
    return PLANNED_READINGS.get((reading - 1) % ROUND + 1)


def round_start(count: int) -> int:
    """How many of `count` readings lie before the baseline that the last of them is compared with."""
    return max(0, (count - 1) // ROUND * ROUND)


@lru_cache(maxsize=1024)
def planned_within(count: int) -> tuple[int, ...]:
    """Planned readings among the first `count`."""
    return tuple(reading for reading in range(1, count + 1) if share_at(reading) is not None)


def chance_at(reading: int, goals: int) -> float:
    """Chance of a false verdict (either way) that one of `goals` unshown goals may spend at this reading."""
    return FALSE_ALARM * (share_at(reading) or 0.0) / max(1, goals)
