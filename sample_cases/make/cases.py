"""Which photos there are, and how card and phone stood for each of them (seeded)."""

from __future__ import annotations

import dataclasses
import datetime
import zlib

import card as cards
import copper
import juniper
import numpy as np
import scenario
from camera import Camera, look, nominal_focal
from hoof import HoofShape

TELE, MAIN = 77, 26
LONG, SHORT = 2016, 1512
SLIDES = np.array([0.8, -0.6, 0.0])  # way of a card that slips, card frame
NEAR_WALL = 57.0  # mm from the mid plane to the near quarter, where a card beside it stands


@dataclasses.dataclass(frozen=True)
class Plan:
    """One photo to render. ``name`` is its path below sample_cases without the ending."""

    name: str
    foot: str
    view: str
    moment: str
    visit: int
    shape: HoofShape
    taken: datetime.datetime
    offset: str
    orientation: int = 1
    card: str = "standing"  # standing, beside (the near wall), leaning, held, none
    tag: bool = False
    number: int = 0  # place in a sole set, 1..3
    wanted_turn: float | None = None
    lens_height: float | None = None
    set_name: str = ""
    horse: str = "Larkspur"
    colours: str = "brown"
    flaky: float = 0.5
    waxy: float = 0.3
    from_inside: bool = False
    slipped: float = 0.0  # mm by which the card slid on the foot, in its own plane, before this photo
    moved: bool = False  # foot and card together were moved from photo to photo, before a near, sharp floor
    wet: float = 0.0  # wet sole, lit by a flash beside the lens

    @property
    def standing(self) -> bool:
        return self.view == "lateral"

    @property
    def hand(self) -> str:
        """The foot that shows this side when seen from outside: a left foot from inside looks like a right one."""
        if not self.from_inside:
            return self.foot
        return ("R" if self.foot.startswith("L") else "L") + self.foot[1:]

    @property
    def face(self) -> str:
        return "back" if self.moment == "after trim" else "front"

    @property
    def group(self) -> str:
        """Photos that share phone state: one visit, foot, view and moment."""
        return self.set_name or self.name

    def seed(self, what: str, shared: bool = False) -> int:
        return zlib.crc32(f"{self.group if shared else self.name}:{what}".encode())


@dataclasses.dataclass(frozen=True)
class Setup:
    """Everything that is true about one photo beside the foot's shape."""

    camera: Camera
    turn: float
    tilt: float
    distance: float
    card_pose: tuple[np.ndarray, np.ndarray] | None
    lean: float
    yaw: float
    offset: float
    tag_pose: tuple[np.ndarray, np.ndarray] | None


def _lens(plan: Plan, width: int, height: int, focal_35mm: int) -> tuple[float, tuple[float, float], float]:
    random = np.random.default_rng(plan.seed("lens", shared=True))
    focal = nominal_focal(focal_35mm, width, height) * (1 + np.clip(random.normal(0, 0.015), -0.03, 0.03))
    middle = ((width - 1) / 2 + random.normal(0, 0.004) * width, (height - 1) / 2 + random.normal(0, 0.004) * width)
    return float(focal), (float(middle[0]), float(middle[1])), float(random.uniform(-0.08, 0.05))


def _standing_card(plan: Plan, random: np.random.Generator) -> tuple[float, float, float, float, bool]:
    """Floor-edge middle x, lean, yaw, offset and whether the card stands behind the heel."""
    lean, yaw, offset = (float(random.normal(0, sd)) for sd in (1.5, 2.0, 3.0))
    behind = random.random() < 0.6
    heel = plan.shape.heel_hairline[0] + 17.0
    gap = random.uniform(12.0, 24.0) + 9.0 * (plan.shape.feather - 1.0)
    middle = heel + gap + 64.0 if behind else -gap - 64.0
    if plan.card == "leaning":
        lean, yaw, offset, behind, middle = 11.0, 1.5, 60.0, False, -62.0
    if plan.card == "beside":
        offset += NEAR_WALL
    return float(middle), lean, yaw, offset, behind


def side_setup(plan: Plan) -> Setup:
    """Phone 0.88-1.05 m away with its tele lens, standing card in the mid plane."""
    random = np.random.default_rng(plan.seed("side"))
    focal, middle, k1 = _lens(plan, LONG, SHORT, TELE)
    card_x, lean, yaw, offset, behind = _standing_card(plan, random)
    heel = plan.shape.heel_hairline[0]
    turn = plan.wanted_turn if plan.wanted_turn is not None else float(np.clip(random.normal(0.5, 3.0), -4.5, 5.5))
    height = plan.lens_height if plan.lens_height is not None else float(random.uniform(85.0, 215.0))
    distance, aim_y, roll = random.uniform(890.0, 1010.0), random.uniform(100.0, 112.0), float(random.normal(0, 0.8))
    tag_x = -34.0 if behind else heel + 58.0
    near, far = (-14.0, card_x + 64.0) if behind else (card_x - 64.0, heel + 20.0)
    if plan.card == "none":
        near, far = -60.0, heel + 80.0
    elif plan.tag:
        near, far = (tag_x - 18.0, far) if behind else (near, tag_x + 18.0)
    target = np.array([(near + far) / 2, aim_y, 0.0])
    level = np.sqrt(distance**2 - (height - aim_y) ** 2)
    angle = np.radians(turn)  # positive: phone stands further to the toe
    position = np.array([target[0] - level * np.sin(angle), height, level * np.cos(angle)])
    rotation, translation = look(position, target, np.array([0, 1.0, 0]), roll, plan.hand)
    camera = Camera(LONG, SHORT, focal, middle, k1, TELE, rotation, translation)
    pose = None
    if plan.card != "none":
        pose = cards.standing_pose(card_x, offset, lean, yaw, plan.hand, 128.0, cards.FLOOR_EDGE)
    tag = _tag_standing(plan, tag_x, random) if plan.tag else None
    tilt = float(np.degrees(np.arctan2(height - aim_y, level)))
    return Setup(camera, turn, tilt, float(distance), pose, lean, yaw, offset, tag)


def _tag_standing(plan: Plan, tag_x: float, random: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    yaw, lean = float(random.normal(0, 4)), float(random.uniform(2, 6))
    return cards.standing_pose(tag_x, random.normal(-4, 4), lean, yaw, plan.hand, cards.TAG_SHEET[0] + 0.0, 62.0)


def sole_setup(plan: Plan) -> Setup:
    """Phone 0.36-0.40 m away with its main lens, card across the heel bulbs, turned from photo to photo."""
    shared = np.random.default_rng(plan.seed("held", shared=True))
    random = np.random.default_rng(plan.seed("sole"))
    focal, middle, k1 = _lens(plan, SHORT, LONG, MAIN)
    bearing = plan.shape.bearing_length
    held = cards.lifted_pose(
        bearing + shared.uniform(15.0, 19.0),
        shared.uniform(2.0, 4.0),
        shared.uniform(3.0, 9.0),
        shared.normal(0, 2.0),
        shared.normal(0, 3.0),
        plan.foot,
        shared.normal(0, 4.0),
    )
    held = held[0], held[1] + held[0] @ (plan.slipped * SLIDES)
    step = shared.uniform(27.0, 33.0)
    turn = float((plan.number - 2) * step + random.normal(0, 1.5))
    tilt = float(random.normal(3.0, 4.0))
    distance, roll = random.uniform(352.0, 392.0), float(random.normal(0, 2.5))
    target = np.array([bearing * 0.5 + 51.0, 0.0, random.normal(0, 4.0)])
    side, nod = np.radians(turn), np.radians(tilt)
    away = np.array([-np.sin(nod), -np.cos(nod) * np.cos(side), np.cos(nod) * np.sin(side)])
    rotation, translation = look(target + away * distance, target, np.array([-1.0, 0, 0]), roll, plan.foot)
    camera = Camera(SHORT, LONG, focal, middle, k1, MAIN, rotation, translation)
    tag = _tag_held(held) if plan.tag else None
    return Setup(camera, turn, tilt, float(distance), None if plan.card == "none" else held, 0.0, 0.0, 0.0, tag)


def _tag_held(held: tuple[np.ndarray, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Tag sheet clipped behind the card's right edge, in nearly the same plane."""
    rotation, translation = held
    return rotation, translation + rotation @ np.array([cards.PATTERN[0] + cards.MARGIN + 5.0, 4.0, 1.2])


def setup(plan: Plan) -> Setup:
    return side_setup(plan) if plan.standing else sole_setup(plan)


def _side(visit: int, foot: str, moment: str, minute: int, **more: object) -> Plan:
    shape = {"after trim": scenario.after_trim, "before trim": scenario.before_trim, "finished": scenario.finished}[
        moment
    ](foot, visit)
    taken, offset = scenario.local_time(visit, 9 + visit % 3, minute, 7 * visit % 60)
    name = f"larkspur/visit-{visit}/{foot.lower()}-side-{moment.split()[0]}"
    row = scenario.VISITS[visit]
    plan = Plan(name, foot, "lateral", moment, visit, shape, taken, offset, tag=True, flaky=row.flaky, waxy=row.waxy)
    return dataclasses.replace(plan, **more)


def _sole(
    visit: int, foot: str, minute: int, folder: str = "", shape: HoofShape | None = None, **more: object
) -> list[Plan]:
    shape = shape or scenario.after_trim(foot, visit)
    stem = (folder or f"larkspur/visit-{visit}") + f"/{foot.lower()}-sole-after"
    plans = []
    for number in (1, 2, 3):
        taken, offset = scenario.local_time(visit, 9 + visit % 3, minute, 11 * number + visit)
        orientation = 8 if visit in (3, 6) and number == 3 else 1 if visit == 5 and number == 2 else 6
        plan = Plan(
            f"{stem}-{number}",
            foot,
            "solar",
            "after trim",
            visit,
            shape,
            taken,
            offset,
            orientation,
            "held",
            number == 1,
            number,
            set_name=stem,
            flaky=scenario.VISITS[visit].flaky,
            waxy=scenario.VISITS[visit].waxy,
        )
        plans.append(dataclasses.replace(plan, **more))
    return plans


def all_plans() -> list[Plan]:
    """Every rendered photo, the ones needed first at the front."""
    plans = [
        _side(7, "LF", "after trim", 42),
        *_sole(7, "LF", 44),
        _side(1, "LF", "after trim", 40),
        *_sole(1, "LF", 43),
    ]
    for visit in (2, 3, 4, 5):
        plans.append(_side(visit, "LF", "after trim", 41, orientation=3 if visit == 4 else 1))
        plans.extend(_sole(visit, "LF", 43))
    plans.extend(_sole(6, "LF", 43))
    plans.extend([_side(1, "RF", "after trim", 47), _side(7, "RF", "after trim", 48)])
    for visit in (1, 3, 5, 7):
        plans.extend(_sole(visit, "RF", 50))
    turns = {4: 9.5}
    for visit in range(2, 8):
        plans.append(_side(visit, "LF", "before trim", 12, wanted_turn=turns.get(visit)))
    plans.extend(special_plans())
    return [*plans, *copper_plans(), *juniper_plans(), *hard_plans()]


def copper_plans() -> list[Plan]:
    """The left fore from inside, with the crack, at each visit of the farrier."""
    plans = []
    for visit, (minute, second) in copper.TAKEN.items():
        shape = copper.after_trim(visit)
        taken, offset = scenario.local(copper.DATES[visit], 14, minute, second)
        name = f"copper/visit-{visit}/lf-inside-after"
        plan = Plan(name, "LF", "lateral", "after trim", visit, shape, taken, offset, 1, "beside", True)
        plans.append(dataclasses.replace(plan, horse="Copper", colours="chestnut", from_inside=True))
    return plans


def juniper_plans() -> list[Plan]:
    """Both fores from the side at each visit."""
    plans = []
    for visit, day in juniper.DATES.items():
        for foot, minute in (("LF", 8 + visit), ("RF", 12 + visit)):
            shape = juniper.after_trim(foot, visit)
            taken, offset = scenario.local(day, 11, minute, 9 * visit + 3)
            name = f"juniper/visit-{visit}/{foot.lower()}-side-after"
            plan = Plan(name, foot, "lateral", "after trim", visit, shape, taken, offset, tag=True)
            plans.append(dataclasses.replace(plan, horse="Juniper", colours="white"))
    return plans


SLIPS = {"3-by-1": 1.0, "3-by-3": 3.0, "3-by-10": 10.0, "2-by-5": -5.0}


def hard_plans() -> list[Plan]:
    """Sole sets that go wrong in one way each: the card slips, the foot moves, the sole is wet, the toe is rolled."""
    usual = _sole(7, "LF", 44)
    plans = []
    for name, slipped in SLIPS.items():
        plan = usual[int(name[0]) - 1]
        plans.append(dataclasses.replace(plan, name=f"hard/card-slipped/lf-sole-after-{name}", slipped=slipped))
    plans.extend(_sole(7, "LF", 53, "hard/foot-moved", moved=True))
    plans.extend(_sole(7, "LF", 54, "hard/wet-flash", wet=1.0))
    plans.extend(_sole(7, "LF", 55, "hard/toe-rolled", scenario.toe_rolled(), tag=False))
    return plans


def hard_sets(plans: list[Plan]) -> dict[str, list[Plan]]:
    """The hard sets by the path of their marks file without its ending; a set may take photos from another folder."""
    named = {plan.name: plan for plan in plans}
    first, second = (named[f"larkspur/visit-7/lf-sole-after-{number}"] for number in (1, 2))
    slid = {name: named[f"hard/card-slipped/lf-sole-after-{name}"] for name in SLIPS}
    sets = {
        "card-slipped/by-1": [first, second, slid["3-by-1"]],
        "card-slipped/by-3": [first, second, slid["3-by-3"]],
        "card-slipped/by-10": [first, second, slid["3-by-10"]],
        "card-slipped/every-pair": [first, slid["2-by-5"], slid["3-by-10"]],
    }
    for folder in ("foot-moved", "wet-flash", "toe-rolled"):
        sets[f"{folder}/lf-after"] = [plan for plan in plans if plan.name.startswith(f"hard/{folder}/")]
    return {f"hard/{name}": members for name, members in sets.items()}


def special_plans() -> list[Plan]:
    """Shod view, photos without a card, the check set and the two faults that must be rendered."""
    plans = [_side(1, "LF", "finished", 58)]
    plans.append(
        _side(4, "RF", "after trim", 49, card="none", tag=False, name="larkspur/visit-4/rf-side-after-no-card")
    )
    bare = _sole(6, "RF", 50)[1]
    name = "larkspur/visit-6/rf-sole-after-no-card"
    plans.append(dataclasses.replace(bare, card="none", tag=False, name=name, set_name=name))
    plans.extend(_sole(7, "LF", 52, "checks/wall-longer", scenario.wall_longer(), tag=False))
    faults = "larkspur/faults/visit-"
    wrong = _sole(2, "RF", 46, shape=scenario.after_trim("RF", 3))[0]
    name = faults + "2-rf-sole-filed-as-lf"
    plans.append(dataclasses.replace(wrong, name=name, set_name=name, number=2))
    name = faults + "3-lf-side-after-card-leaning"
    plans.append(_side(3, "LF", "after trim", 45, card="leaning", tag=False, name=name, lens_height=150.0))
    return plans
