"""The invented case Larkspur: dates, true shapes of both forefeet at each visit, sole states."""

from __future__ import annotations

import dataclasses
import datetime

from hoof import HoofShape


@dataclasses.dataclass(frozen=True)
class Visit:
    """One visit's true values; ``None`` where nothing was photographed."""

    date: str
    lf_concavity: float
    rf_concavity: float | None
    toe_after: float
    toe_before: float | None
    lf_toe_angle: float
    lf_heel_angle: float
    lf_heel_height: float
    wall_above_sole: float
    flaky: float
    waxy: float


VISITS = {
    1: Visit("2025-01-14", 1.2, 2.0, 86.0, None, 48.5, 40.6, 34.6, 1.45, 0.85, 0.10),
    2: Visit("2025-02-25", 1.8, None, 85.0, 98.0, 48.9, 41.1, 35.2, 1.30, 0.80, 0.15),
    3: Visit("2025-04-16", 2.1, 1.9, 84.5, 99.5, 49.4, 41.6, 35.6, 1.60, 0.95, 0.05),
    4: Visit("2025-05-27", 3.0, None, 84.0, 97.0, 49.7, 42.4, 36.3, 1.25, 0.90, 0.10),
    5: Visit("2025-07-08", 3.6, 2.1, 83.5, 97.5, 50.2, 42.9, 37.1, 1.50, 0.35, 0.75),
    6: Visit("2025-08-19", 4.2, None, 83.0, 96.5, 50.6, 43.6, 37.8, 1.15, 0.30, 0.80),
    7: Visit("2025-09-30", 5.0, 2.1, 83.0, 95.5, 51.0, 44.1, 38.4, 1.40, 0.40, 0.70),
}
HEEL_HALF_WIDTH = {"LF": (29.0, 0.45), "RF": (27.5, 0.15)}  # at visit 1, more per visit
RF_TOE = {1: (85.0, 49.6), 3: (84.0, 49.5), 4: (84.0, 49.7), 5: (83.5, 49.6), 6: (83.5, 49.7), 7: (83.5, 49.8)}
OLD_NAILS = {1: 3, 2: 3, 3: 4, 4: 3, 5: 2, 6: 0, 7: 3}
WALL_LONGER = 2.0  # mm, the check set
TOE_ROLLED = 2.16  # mm at the unrolled toe: the rolled edge itself, farther back, lies 2.0 mm up


def _heels(foot: str, visit: int) -> tuple[float, float]:
    first, more = HEEL_HALF_WIDTH[foot]
    ground = first + more * (visit - 1)
    return ground, ground + 1.6


def _common(foot: str, visit: int) -> dict[str, float | int]:
    ground, hair = _heels(foot, visit)
    return {
        "heel_half_width": ground,
        "heel_hair_half_width": hair,
        "old_nails": OLD_NAILS[visit],
        "seed": visit + (100 if foot == "RF" else 0),
    }


def after_trim(foot: str, visit: int) -> HoofShape:
    row = VISITS[visit]
    tilt = {"sole_tilt_x": 0.0035 + 0.0011 * (visit % 4), "sole_tilt_z": 0.0045 - 0.0016 * (visit % 5)}
    if foot == "LF":
        return HoofShape(
            row.toe_after,
            row.lf_toe_angle,
            row.lf_heel_angle,
            row.lf_heel_height,
            bearing_length=107.5 - 0.35 * visit,
            half_width=63.5 - 0.1 * visit,
            concavity=row.lf_concavity,
            wall_above_sole=row.wall_above_sole,
            frog_apex_x=40.0 - 0.3 * visit,
            worn=0.0,
            **tilt,
            **_common(foot, visit),
        )
    toe, angle = RF_TOE[visit]
    concavity = row.rf_concavity if row.rf_concavity is not None else 2.05
    return HoofShape(
        toe,
        angle,
        41.7,
        35.8,
        bearing_length=106.5,
        half_width=62.5,
        concavity=concavity,
        wall_above_sole=2.9 - row.wall_above_sole,
        frog_apex_x=39.0,
        worn=0.0,
        **tilt,
        **_common(foot, visit),
    )


def before_trim(foot: str, visit: int) -> HoofShape:
    """Overgrown: longer toe at a lower angle, higher heels run forward, chipped edge."""
    trimmed = after_trim(foot, visit)
    toe = VISITS[visit].toe_before
    if toe is None:
        raise ValueError(f"no photo before trim at visit {visit}")
    return dataclasses.replace(
        trimmed,
        toe_length=toe,
        toe_angle=trimmed.toe_angle - 1.5,
        heel_angle=trimmed.heel_angle - 2.2,
        heel_height=trimmed.heel_height + 4.6,
        bearing_length=trimmed.bearing_length + 3.2,
        half_width=trimmed.half_width + 2.0,
        worn=0.8,
        wall_above_sole=trimmed.wall_above_sole + 3.0,
    )


def finished(foot: str, visit: int) -> HoofShape:
    """Shod with a steel shoe (8 mm) on a leather pad (4 mm)."""
    return dataclasses.replace(after_trim(foot, visit), shod=True, floor_drop=12.0)


def wall_longer() -> HoofShape:
    """Left fore of visit 7 with the same sole and the whole wall 2 mm longer."""
    shape = after_trim("LF", 7)
    return dataclasses.replace(shape, wall_above_sole=shape.wall_above_sole + WALL_LONGER)


def toe_rolled() -> HoofShape:
    """As `wall_longer`, and the toe rasped up by two millimetres; the sole is still the same."""
    return dataclasses.replace(wall_longer(), toe_rolled=TOE_ROLLED)


def local_time(visit: int, hour: int, minute: int, second: int) -> tuple[datetime.datetime, str]:
    """Local time of a photo and its offset (British time: summer 2025-03-30 to 2025-10-26)."""
    return local(VISITS[visit].date, hour, minute, second)


def local(date: str, hour: int, minute: int, second: int) -> tuple[datetime.datetime, str]:
    """Local time at that day and its offset (British time: summer 2025-03-30 to 2025-10-26)."""
    day = datetime.date.fromisoformat(date)
    summer = datetime.date(2025, 3, 30) <= day < datetime.date(2025, 10, 26)
    return datetime.datetime.combine(day, datetime.time(hour, minute, second)), "+01:00" if summer else "+00:00"
