"""Marks of the previous visit carried into this photo as proposals: a start that the person confirms mark by mark.

Side, front and heels views: the previous marks are solved in millimetres (frame scene, each in its own plane) and seen
through this photo's camera. Where the foot stands to the card differs from visit to visit; marks already confirmed in
this photo show by how much (moved along the floor by one mark, and stretched too by two or more). Sole views: the same
in the plane of the outline, moved and turned. Without cards in both photos only confirmed marks can show the way.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from hoofbook.measure.camera import fit_card
from hoofbook.measure.lateral import add_side_depths, toe_to_heel
from hoofbook.measure.projection import Array
from hoofbook.measure.scene import Scene, scene_with_card, standing_card
from hoofbook.measure.solar import flat_card
from hoofbook.terms.marks import Mark, Marking, MarkState
from hoofbook.terms.measured import Shot
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.views import View

METHOD = "carry 1"
_FLAT_VIEWS = (View.SOLAR, View.ALONG_SOLE)


def carry_marks(previous: Shot, this: Shot) -> Marking:
    """Proposals (state PROPOSED) for every mark confirmed in `previous` and not yet in `this`; `this` keeps its own.

    Marks that would fall outside the photo are left out; with no card in one of the photos and fewer than two marks
    confirmed in both, nothing is proposed. Photos of different views propose nothing.
    """
    marking = this.marking
    if previous.view is not this.view:
        return marking
    wanted = {name: (m.x, m.y) for name, m in previous.marking.confirmed.items()}
    places = _by_cards(previous, this, wanted) if wanted else None
    if places is None:
        places = _by_common_marks(previous, this, wanted)
    for name, (x, y) in places.items():
        inside = 0 <= x < this.photo_size[0] and 0 <= y < this.photo_size[1]
        if name not in marking and inside:
            marking = marking.with_mark(name, Mark(x, y, MarkState.PROPOSED))
    return marking


def _by_cards(
    previous: Shot, this: Shot, wanted: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]] | None:
    here = {name: (m.x, m.y) for name, m in this.marking.confirmed.items()}
    before, now = _scene(previous, wanted), _scene(this, here)
    if before is None or now is None:
        return None
    solved = {name: place[0] for name, place in before.points(before.inputs.mean[None]).items()}
    x = now.inputs.mean
    common = {name: place[0] for name, place in now.points(x[None]).items() if name in solved}
    moved = _settled(solved, common, turning=this.view in _FLAT_VIEWS)
    names = list(moved)
    pixels = now.to_photo(x, np.stack([moved[name] for name in names]))
    return {name: (float(p[0]), float(p[1])) for name, p in zip(names, pixels, strict=True) if np.isfinite(p).all()}


def _scene(shot: Shot, marks: Mapping[str, tuple[float, float]]) -> Scene | None:
    fit = fit_card(shot)
    if isinstance(fit, Refusal):
        return None
    flat = shot.view in _FLAT_VIEWS
    scene = scene_with_card(shot, fit, marks, flat_card(shot) if flat else standing_card(shot))
    if shot.view is View.LATERAL:
        add_side_depths(scene, toe_to_heel(marks) or 1.0)
    return scene


def _settled(solved: Mapping[str, Array], common: Mapping[str, Array], *, turning: bool) -> dict[str, Array]:
    """The previous points put where the marks common to both photos lie: moved, by two or more marks also fitted."""
    if not common:
        return dict(solved)
    names = list(common)
    a, b = (np.stack([of[name] for name in names])[:, :2] for of in (solved, common))
    if len(names) == 1 and not turning:
        shift = np.array([b[0, 0] - a[0, 0], b[0, 1] - a[0, 1], 0.0])
        return {name: place + shift for name, place in solved.items()}
    turn, shift2 = _similarity(a, b) if len(names) > 1 else (np.eye(2), b[0] - a[0])
    return {name: np.concatenate([turn @ place[:2] + shift2, place[2:]]) for name, place in solved.items()}


def _by_common_marks(
    previous: Shot, this: Shot, wanted: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]]:
    here = this.marking.confirmed
    names = [name for name in wanted if name in here]
    if len(names) < 2:
        return {}
    a = np.array([wanted[name] for name in names])
    b = np.array([(here[name].x, here[name].y) for name in names])
    turn, shift = _similarity(a, b)
    moved = {name: turn @ np.array(place) + shift for name, place in wanted.items()}
    return {name: (float(p[0]), float(p[1])) for name, p in moved.items()}


def _similarity(a: Array, b: Array) -> tuple[Array, Array]:
    """Least-squares move, turn and scale (2, 2), (2,) of points a (n, 2) onto b (closed form in complex numbers)."""
    za, zb = a[:, 0] + 1j * a[:, 1], b[:, 0] + 1j * b[:, 1]
    ca, cb = za - za.mean(), zb - zb.mean()
    size = float(np.sum(np.abs(ca) ** 2))
    factor = complex(np.sum(np.conj(ca) * cb) / size) if size > 0.0 else 1.0 + 0.0j
    turn = np.array([[factor.real, -factor.imag], [factor.imag, factor.real]])
    return turn, b.mean(axis=0) - turn @ a.mean(axis=0)
