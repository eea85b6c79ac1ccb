"""On which line of a photo a mark of another photo must lie: the ray of that mark, as the other lens sees it pass.

The line is cut to where the foot can be, so that it says something and crosses little else. Frame *photo*: the line is
a chain of a few points, since a lens bends it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoofbook.measure.concavity.proposing import View, middle_of, views_of
from hoofbook.measure.projection import Array, project
from hoofbook.terms.marks import MarkState
from hoofbook.terms.measured import Shot

REACH_MM = 50.0  # before and behind the middle of the foot, along the ray: no foot is deeper, seen from its sole
_POINTS = 9


@dataclass(frozen=True, slots=True)
class SeenAlong:
    """The line of one mark in the target photo: `points` (x, y) in frame photo, `source_key` = photo that bears it."""

    source_key: str
    points: tuple[tuple[float, float], ...]


def epipolar_lines(shots: Sequence[Shot], target: int) -> Mapping[str, SeenAlong]:
    """Lines of every mark that another photo shows and `shots[target]` has not settled, by the name of the mark.

    Poses are those of the solved set, before that those of the cards. The first photo of the set that bears a mark
    gives its line. Empty where neither joins the photos.
    """
    here_shot = shots[target]
    settled = {name for name, mark in here_shot.marking.marks.items() if mark.state is not MarkState.PROPOSED}
    sources: dict[str, str] = {}
    for shot in (shot for shot in shots if shot.key != here_shot.key):
        for name in shot.marking.confirmed:
            if name not in settled:
                sources.setdefault(name, shot.key)
    if not sources:
        return {}
    views, on_card, _ = views_of(shots, here_shot)
    here = views.get(here_shot.key)
    if here is None:
        return {}
    middle = middle_of(views, on_card)
    found = {}
    for name, key in sources.items():
        points = _line(views[key], here, name, middle) if key in views else ()
        if len(points) >= 2:
            found[name] = SeenAlong(key, points)
    return found


def _line(source: View, here: View, name: str, middle: Array) -> tuple[tuple[float, float], ...]:
    """Where the lens of `here` sees the ray of a mark pass through the room of the foot round `middle`."""
    way, lens = source.ray(name), source.pose.lens
    depths = float(way @ (middle - lens)) + np.linspace(-REACH_MM, REACH_MM, _POINTS)
    places = lens + depths[depths > 1.0][:, None] * way
    in_front = here.pose.to_camera(places)[:, 2] > 1.0
    pixels = project(places[in_front], here.camera, here.pose)
    width, height = here.shot.photo_size
    pixels = pixels[np.isfinite(pixels).all(axis=1)]
    inside = (pixels >= 0.0).all(axis=1) & (pixels[:, 0] < width) & (pixels[:, 1] < height)
    return tuple((float(x), float(y)) for x, y in pixels[inside])
