"""Do the stated intervals hold the truth? Trials drawn through OpenCV's projection, no picture rendered.

    python tests/benchmarks/coverage.py [--trials 2000] [--seed 1]

Every trial draws a foot, a camera and a card from the spreads that `hoofbook/measure/priors.py` states (normal, but
for lens height, which is even between 60 and 300 mm), projects them with `cv2.projectPoints`, adds noise, tells the
program only what a user would tell, and asks whether the 95 % interval holds the true measure. The bound is that of
the best linear estimate with the true spreads (Bayesian Cramer-Rao, van Trees, Detection, Estimation and Modulation
Theory I, 1968, section 2.4), worked out at the truth of each trial from OpenCV's projection alone.
Asked for: coverage 93-97 % for each measure and class; median U95 at most 1.15 times the bound's. Exit code 1 if not.
"""

from __future__ import annotations

import argparse
import math
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import cv2
import numpy as np
from numpy.typing import NDArray

from hoofbook.measure import measure_shot, priors
from hoofbook.terms.card import CardCorner, CardFace, CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark, Marking
from hoofbook.terms.measured import Shot, Told
from hoofbook.terms.views import CardPlane, CardStand, View

Array = NDArray[np.float64]
SIZE = (4032, 3024)
MARKS = ("toe_ground", "toe_hairline", "heel_ground", "heel_hairline")
HAIRLINES = ("toe_hairline", "heel_hairline")
MEASURES = (
    "toe_angle", "heel_angle", "toe_heel_angle_difference", "toe_length", "heel_length", "toe_height", "heel_height",
    "height_ratio", "length_ratio", "coronary_band_angle", "bearing_length",
)  # fmt: skip
LOW, HIGH, MOST_OVER_BOUND = 0.93, 0.97, 1.15
CORNERS = np.array([((i % 6 + 1) * 16.0 - 56.0, (i // 6 + 1) * 16.0 - 40.0) for i in range(24)])


@dataclass(frozen=True)
class Case:
    """One distance class: from where, with which lens, and how the heel separation is known."""

    name: str
    distance: float
    focal_35mm: float
    heel_u: float
    heel_told: bool
    print_told: bool
    card_told: bool = True  # that it stands on the floor in the mid plane; else nothing is told of it


CASES = (
    Case("0.8 m, heels assumed", 800.0, 26.0, 6.0, False, False),
    Case("1.0 m, heels assumed", 1000.0, 52.0, 6.0, False, False),
    Case("1.3 m, heels assumed", 1300.0, 52.0, 6.0, False, False),
    Case("1.0 m, heels and print told", 1000.0, 52.0, 3.0, True, True),
    Case("1.0 m, card's place not told", 1000.0, 52.0, 6.0, False, False, card_told=False),
)

# Unknowns of a trial, each standard normal after division by its spread, or free (spread 0 = flat).
UNKNOWN = (
    "focal", "cx", "cy", "k1", "turn_x", "turn_y", "turn_z", "lens_x", "lens_y", "lens_z",
    "print_x", "print_y", "lean", "yaw", "cut_roll", "grit_roll", "drop", "offset", "card_x",
    "heel", "own_toe_ground", "own_toe_hairline", "own_heel_ground", "own_heel_hairline", "slide",
    "x_toe_ground", "y_toe_ground", "x_toe_hairline", "y_toe_hairline",
    "x_heel_ground", "y_heel_ground", "x_heel_hairline", "y_heel_hairline", "hair_x", "hair_y",
)  # fmt: skip
AT = {name: i for i, name in enumerate(UNKNOWN)}
SLIDES = {"toe_ground": 1.0, "toe_hairline": 0.8, "heel_ground": 0.0, "heel_hairline": 0.0}


def spreads(case: Case, slide: float) -> Array:
    """Prior standard deviations in the order of UNKNOWN; infinite where nothing is known before."""
    known = {
        "focal": priors.FOCAL, "cx": priors.CENTRE * max(SIZE), "cy": priors.CENTRE * max(SIZE), "k1": priors.K1,
        "print_x": priors.PRINT_TOLD_MM / 112.0 if case.print_told else priors.PRINT_UNCHECKED,
        "print_y": priors.PRINT_TOLD_MM / 80.0 if case.print_told else priors.PRINT_UNCHECKED,
        "lean": math.radians(priors.LEAN_STAND_DEG), "yaw": math.radians(priors.YAW_DEG),
        "cut_roll": math.radians(priors.CUT_ROLL_DEG), "grit_roll": math.radians(priors.GRIT_ROLL_DEG),
        "drop": priors.CUT_MM, "offset": priors.OFFSET_MID_LINE_MM,
        "heel": math.sqrt(case.heel_u**2 - priors.MID_PLANE_MM**2),
        **{f"own_{name}": priors.MID_PLANE_MM for name in MARKS}, "slide": slide,
        "y_toe_ground": priors.FLOOR_MM, "y_heel_ground": priors.FLOOR_MM, "hair_x": 1.0, "hair_y": 1.0,
    }  # fmt: skip
    if not case.card_told:
        known |= {
            "lean": math.radians(priors.LEAN_UNKNOWN_DEG), "cut_roll": math.radians(priors.ROLL_UNKNOWN_DEG),
            "grit_roll": 0.0, "drop": priors.DROP_UNKNOWN_MM, "offset": priors.OFFSET_UNSURE_MM,
        }  # fmt: skip
    return np.array([max(known[name], 1e-9) if name in known else math.inf for name in UNKNOWN])


def rotation(x: float, y: float, z: float) -> Array:
    return np.asarray(cv2.Rodrigues(np.array([x, y, z], dtype=float))[0])


@dataclass(frozen=True)
class World:
    """What a trial's unknowns are small changes of: the looking direction and the nominal focal length."""

    look: Array
    focal: float


def seen(u: Array, world: World, person_px: float) -> tuple[Array, Array]:
    """Pixels of the 24 card corners (24, 2) and the four marks (4, 2) for one set of unknowns, by OpenCV."""
    v = {name: u[i] for name, i in AT.items()}
    printed = CORNERS * np.array([v["print_x"], v["print_y"]])
    flat = np.stack([printed[:, 0], 48.0 * v["print_y"] + v["drop"] - printed[:, 1], np.zeros(24)], axis=1)
    stood = rotation(0, v["yaw"], 0) @ rotation(-v["lean"], 0, 0) @ rotation(0, 0, v["cut_roll"] + v["grit_roll"])
    card = flat @ stood.T + np.array([v["card_x"], 0.0, v["offset"]])
    marks = []
    for name in MARKS:
        depth = v[f"own_{name}"] + (v["heel"] if name.startswith("heel") else 0.0)
        marks.append([v[f"x_{name}"] - SLIDES[name] * v["slide"], v[f"y_{name}"], depth])
    points = np.concatenate([card, np.array(marks)])
    turned = rotation(v["turn_x"], v["turn_y"], v["turn_z"]) @ world.look
    camera = (points - np.array([v["lens_x"], v["lens_y"], v["lens_z"]])) @ turned.T
    focal = world.focal * math.exp(v["focal"])
    matrix = np.array([[focal, 0, v["cx"]], [0, focal, v["cy"]], [0, 0, 1.0]])
    still = np.zeros(3)
    pixels = cv2.projectPoints(camera, still, still, matrix, np.array([v["k1"], 0, 0, 0, 0]))[0].reshape(-1, 2)
    hair = np.array([v["hair_x"], v["hair_y"]]) * person_px
    pixels[25] += hair
    pixels[27] += hair
    return pixels[:24], pixels[24:]


def truths(u: Array) -> dict[str, float]:
    """The measures of a foot from its true points, by plain trigonometry."""
    at = {name: np.array([u[AT[f"x_{name}"]], u[AT[f"y_{name}"]]]) for name in MARKS}
    toe, heel = at["toe_hairline"] - at["toe_ground"], at["heel_hairline"] - at["heel_ground"]
    crown, base = at["toe_hairline"] - at["heel_hairline"], at["heel_ground"] - at["toe_ground"]
    toe_angle, heel_angle = (math.degrees(math.atan2(w[1], w[0])) for w in (toe, heel))
    return {
        "toe_angle": toe_angle,
        "heel_angle": heel_angle,
        "toe_heel_angle_difference": toe_angle - heel_angle,
        "toe_length": math.hypot(*toe),
        "heel_length": math.hypot(*heel),
        "toe_height": float(toe[1]),
        "heel_height": float(heel[1]),
        "height_ratio": float(toe[1] / heel[1]),
        "length_ratio": math.hypot(*toe) / math.hypot(*heel),
        "coronary_band_angle": math.degrees(math.atan2(crown[1], -crown[0])),
        "bearing_length": math.hypot(*base),
    }


@dataclass(frozen=True)
class Trial:
    shot: Shot
    truth: dict[str, float]
    bound: Callable[[], dict[str, float]]


def draw(
    case: Case, rng: np.random.Generator, key: str, put: Mapping[str, float] | None = None, lowest: float = 60.0
) -> Trial:
    """One photo: truth, what the program is told of it, and the best linear bound of its measures.

    `put` sets unknowns to values that the program is not told of (a card that leans elsewhere than said).
    """
    focal = case.focal_35mm * math.hypot(*SIZE) / 43.27
    place = np.array([case.distance * math.sin(turn := math.radians(rng.normal(0, 3))), rng.uniform(lowest, 300), 0.0])
    place += np.array([rng.uniform(0, 80), 0, case.distance * math.cos(turn)])
    forward = np.array([rng.uniform(-60, 40), rng.uniform(20, 70), 0.0]) - place
    forward = forward / np.linalg.norm(forward)
    right = np.cross(forward, [0.0, 1.0, 0.0])
    right = right / np.linalg.norm(right)
    look = rotation(0, 0, math.radians(rng.normal(0, 1.5))) @ np.array([right, np.cross(forward, right), forward])
    sight = math.atan2(place[0], place[2])
    spread = spreads(case, priors.TOE_RADIUS_MM * (1.0 / math.cos(sight) - 1.0))
    u = np.where(np.isfinite(spread), rng.normal(size=len(spread)) * np.where(np.isfinite(spread), spread, 0.0), 0.0)
    told_heel = 30.0 if not case.heel_told else rng.uniform(24.0, 36.0)
    mean = np.zeros_like(u)
    mean[[AT["cx"], AT["cy"]]] = (SIZE[0] - 1) / 2.0, (SIZE[1] - 1) / 2.0
    mean[[AT["print_x"], AT["print_y"]]] = 1.0
    mean[AT["heel"]] = told_heel
    u = u + mean
    u[[AT["lens_x"], AT["lens_y"], AT["lens_z"]]] = place
    u[AT["card_x"]] = rng.uniform(-150, -100)
    _put_foot(u, rng)
    for name, value in (put or {}).items():
        u[AT[name]] = value
    return _told(case, rng, key, Drawn(u, spread, World(look, focal), told_heel))


def _put_foot(u: Array, rng: np.random.Generator) -> None:
    toe, heel = math.radians(rng.uniform(45, 58)), math.radians(rng.uniform(34, 55))
    length, high, base = rng.uniform(75, 100), rng.uniform(22, 45), rng.uniform(95, 125)
    u[AT["x_toe_hairline"]] = length * math.cos(toe)
    u[AT["y_toe_hairline"]] = length * math.sin(toe)
    u[AT["x_heel_ground"]] = base
    u[AT["x_heel_hairline"]] = base + high / math.tan(heel)
    u[AT["y_heel_hairline"]] = high


@dataclass(frozen=True)
class Drawn:
    """A trial's unknowns, their spreads, what they are small changes of, and the heel separation a user would tell."""

    u: Array
    spread: Array
    world: World
    told_heel: float


def _told(case: Case, rng: np.random.Generator, key: str, drawn: Drawn) -> Trial:
    u, world = drawn.u, drawn.world
    hair, edge = priors.PLACING_HAIRLINE_PX, priors.PLACING_EDGE_PX
    person = hair * priors.PLACING_PERSON_SHARE
    own = np.array([math.sqrt(hair**2 - person**2) if name in HAIRLINES else edge for name in MARKS])
    corner = rng.uniform(0.03, 0.12)
    card, marks = seen(u, world, person)
    noisy_card = card + rng.normal(0, corner, card.shape)
    noisy = marks + rng.normal(size=marks.shape) * own[:, None]
    sighting = CardSighting(
        CardFace.FRONT,
        tuple(
            CardCorner(f"c{i:02d}", (float(x + 56), float(y + 40)), (float(p[0]), float(p[1])), corner)
            for i, ((x, y), p) in enumerate(zip(CORNERS, noisy_card, strict=True))
        ),
        tuple(range(17)), (), 2.0, SIZE, "projected",
    )  # fmt: skip
    shot = Shot(
        key=key,
        view=View.LATERAL,
        photo_size=SIZE,
        marking=Marking({n: Mark(float(p[0]), float(p[1])) for n, p in zip(MARKS, noisy, strict=True)}),
        foot=Foot.LF,
        sighting=sighting,
        card_plane=CardPlane.MID_LINE if case.card_told else CardPlane.UNSURE,
        card_stands_on=CardStand.FLOOR if case.card_told else CardStand.UNKNOWN,
        focal_35mm=case.focal_35mm,
        card_size_mm=(112.0, 80.0) if case.print_told else None,
        heel_half_separation=Told(drawn.told_heel, case.heel_u) if case.heel_told else None,
    )

    def pixels(at: Array) -> Array:
        parts = seen(at, world, person)
        return np.concatenate([parts[0].ravel(), parts[1].ravel()])

    noise = np.concatenate([np.full(48, corner), np.repeat(own, 2)])
    return Trial(shot, truths(u), lambda: _bound(u, drawn.spread, noise, pixels))


def _bound(u: Array, spread: Array, noise: Array, pixels: Callable[[Array], Array]) -> dict[str, float]:
    """Standard deviation of the best linear estimate of each measure, from derivatives at the truth."""
    size = np.where(np.isfinite(spread), np.minimum(spread, 1.0), 1.0) * 1e-3
    size[[AT["turn_x"], AT["turn_y"], AT["turn_z"]]] = 1e-6
    moves = np.diag(size)
    by_pixel = np.stack([(pixels(u + m) - pixels(u - m)) / (2 * m.sum()) for m in moves], axis=1) / noise[:, None]
    values = [(truths(u + m), truths(u - m), m.sum()) for m in moves]
    known = np.where(np.isfinite(spread), 1.0 / spread**2, 0.0)
    scale = np.where(np.isfinite(spread), spread, 1.0 / np.maximum(np.linalg.norm(by_pixel, axis=0), 1e-9))
    whole = (by_pixel.T @ by_pixel + np.diag(known)) * np.outer(scale, scale)
    inverse = np.linalg.inv(whole)
    found = {}
    for name in MEASURES:
        slope = np.array([(a[name] - b[name]) / (2 * step) for a, b, step in values]) * scale
        found[name] = math.sqrt(float(slope @ inverse @ slope))
    return found


@dataclass(frozen=True)
class Row:
    case: str
    measure: str
    coverage: float
    median_u95: float
    over_bound: float
    rms_over_bound: float

    @property
    def holds(self) -> bool:
        return LOW <= self.coverage <= HIGH and self.over_bound <= MOST_OVER_BOUND


def run(case: Case, trials: int, seed: int) -> tuple[list[Row], int]:
    """The table's rows of one class, and how many trials gave no answer."""
    rng = np.random.default_rng(seed)
    inside: dict[str, list[bool]] = {name: [] for name in MEASURES}
    stated, bounds, errors = ({name: [] for name in MEASURES} for _ in range(3))
    unanswered = 0
    for i in range(trials):
        trial = draw(case, rng, f"{case.name} {i}")
        measured = measure_shot(trial.shot)
        bound = trial.bound()
        unanswered += len(measured.quantities) < len(MEASURES)
        for quantity in measured.quantities:
            true = trial.truth[quantity.name]
            inside[quantity.name].append(quantity.low <= true <= quantity.high)
            stated[quantity.name].append(quantity.expanded)
            bounds[quantity.name].append(1.959963984540054 * bound[quantity.name])
            errors[quantity.name].append(quantity.value - true)
    rows = [
        Row(
            case.name,
            name,
            float(np.mean(inside[name])),
            float(np.median(stated[name])),
            float(np.median(stated[name]) / np.median(bounds[name])),
            float(np.sqrt(np.mean(np.square(errors[name]))) * 1.96 / np.sqrt(np.mean(np.square(bounds[name])))),
        )
        for name in MEASURES
    ]
    return rows, unanswered


def main() -> int:
    parser = argparse.ArgumentParser(description="Coverage of the side view's 95 % intervals.")
    parser.add_argument("--trials", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", type=int, help="one class by its number from 1")
    told = parser.parse_args()
    print(f"{told.trials} trials a class; wanted: coverage {LOW:.0%}-{HIGH:.0%}, U95 <= {MOST_OVER_BOUND} x bound")
    held = True
    for number, case in enumerate(CASES):
        if told.only not in (None, number + 1):
            continue
        rows, unanswered = run(case, told.trials, told.seed + number)
        print(f"\n{case.name}" + (f" ({unanswered} trials without every measure)" if unanswered else ""))
        print(f"{'measure':28s} {'coverage':>9s} {'median U95':>11s} {'U95/bound':>10s} {'rms/bound':>10s}")
        for row in rows:
            mark = "" if row.holds else "  <- outside"
            print(
                f"{row.measure:28s} {row.coverage:9.1%} {row.median_u95:11.3f} {row.over_bound:10.3f}"
                f" {row.rms_over_bound:10.3f}{mark}"
            )
            held = held and row.holds
        held = held and not unanswered
    print("\nheld" if held else "\nNOT HELD")
    return 0 if held else 1


if __name__ == "__main__":
    sys.exit(main())
