"""Builds the renderer's scene of one planned photo."""

from __future__ import annotations

import pathlib

import card as cards
import numpy as np
import scene
import surroundings
from camera import Camera
from cases import Plan, Setup
from hoof import GroundSurface
from sheet import Sheet


def build(plan: Plan, made: Setup, camera: Camera, folder: pathlib.Path, hairs: int, file: pathlib.Path) -> None:
    """Fill the empty renderer with foot, card, surroundings, light and camera; the picture goes to ``file``."""
    scene.clear()
    surface = GroundSurface(plan.shape)
    scene.add_wall(plan.shape, plan.hand, plan.colours)
    scene.add_ground_side(plan.shape, surface, plan.hand, plan.flaky, plan.waxy, plan.wet)
    standing = plan.standing
    scene.add_leg(plan.shape, surface, plan.hand, hairs if standing else hairs // 3, plan.colours)
    if plan.shape.shod:
        scene.add_shoe(plan.shape, plan.hand)
    _add_cards(plan, made, folder)
    if standing:
        heel = plan.shape.heel_hairline[0]
        keep_free = [(-20.0, heel + 20.0)]
        if made.card_pose is not None:
            middle = (made.card_pose[0] @ np.array([56.0, 88.0, 0.0]) + made.card_pose[1])[0]
            keep_free.append((middle - 64.0, middle + 64.0))
        surroundings.standing(plan.shape, plan.hand, plan.seed("yard") % 100000, keep_free)
    else:
        surroundings.lifted(
            plan.hand,
            plan.seed("yard", shared=True) % 100000,
            folder,
            moved=plan.number - 1 if plan.moved else None,
            flash_at=made.camera.centre if plan.wet > 0.0 else None,
        )
    scene.set_camera(camera, plan.hand, made.distance, 13.0 if standing else 22.0 if plan.moved else 11.0)
    scene.set_render(file)


def _add_cards(plan: Plan, made: Setup, folder: pathlib.Path) -> None:
    if made.card_pose is not None:
        scene.add_sheet(
            "card",
            cards.sheet_picture(plan.face),
            (128.0, 96.0),
            (-cards.MARGIN, -cards.MARGIN),
            made.card_pose,
            plan.hand,
            folder,
        )
        if plan.standing and plan.card in ("standing", "beside"):
            scene.add_stand(56.0, cards.FLOOR_EDGE, 26.0, made.card_pose, plan.hand)
    if made.tag_pose is not None:
        picture = cards.tag_picture(plan.foot, plan.moment)
        scene.add_sheet(
            "tag", picture, cards.TAG_SHEET, (-cards.MARGIN, -cards.MARGIN), made.tag_pose, plan.hand, folder
        )
        if plan.standing:
            middle = cards.TAG_SHEET[0] / 2 - cards.MARGIN
            scene.add_stand(middle, cards.TAG_SHEET[1] - cards.MARGIN, 9.0, made.tag_pose, plan.hand)


def sheets(plan: Plan, made: Setup) -> list[Sheet]:
    """Printed sheets in the picture, to be redrawn with exact edges."""
    found = []
    if made.card_pose is not None:
        found.append(Sheet(cards.sheet_picture(plan.face), (128.0, 96.0), made.card_pose))
    if made.tag_pose is not None:
        found.append(Sheet(cards.tag_picture(plan.foot, plan.moment), cards.TAG_SHEET, made.tag_pose))
    return found
