"""Finds the scale card and the tags in a photo: markers first on a reduced copy, corners refined at full size.

Every decoded marker gives a first homography; from it all edges of all markers and all inner corners are looked up
at full size, and those that do not agree with the rest are left out. So a card half under mud still gives its scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hoofbook.imaging import cv2
from hoofbook.imaging.card_edges import MarkerEdges, edge_width, measure_edges
from hoofbook.imaging.card_geometry import (
    CardPicture,
    Floats,
    dictionary,
    fit,
    inner_corners,
    marker_corners,
    marker_outwards,
    plane_from,
)
from hoofbook.imaging.card_reading import grow
from hoofbook.terms.card import (
    BACK_IDS,
    FOOT_TAGS,
    FRONT_IDS,
    MOMENT_TAGS,
    PATTERN_MM,
    CardCorner,
    CardFace,
    CardSighting,
)
from hoofbook.terms.refusal import Refusal

DETECTOR = f"hoofbook card 1, OpenCV {cv2.__version__}"
LEAST_MARKERS = 3
_SEARCH_PX = 2048  # the longer side of the copy in which markers are looked for
_SMALLEST_PX_PER_MM = 1.2  # below it a marker's cell is under 2.5 px: what is read there is chance
# Windows of the local threshold (from, to, step, px). A 3 px window follows noise and costs more than all others.
_QUICK = (11, 11, 10)
_THOROUGH = (3, 23, 10)
_WIDEST_MM = 3.0  # a cell of the markers is 2 mm: beyond this, neighbouring edges run into each other
_UNJUDGED_MM = 2.0  # taken where mud or a cut margin hides every outer edge: as wide as can still be read at all
_TAGS = (*FOOT_TAGS, *MOMENT_TAGS)
_SPREAD_FLOOR_PX = 0.03  # what is left of the best corner on a clean picture


@dataclass(frozen=True)
class _Markers:
    """Decoded markers of one picture: id and (4, 2) corners in full-size px."""

    ids: tuple[int, ...]
    corners: tuple[Floats, ...]


@dataclass(frozen=True)
class _Board:
    face: CardFace
    decoded: tuple[int, ...]
    picture: CardPicture


def find_card(grey: NDArray[np.uint8], *, focal_hint: float | None = None) -> CardSighting | Refusal:
    """The card in an upright grey picture (h, w), as raw corners in frame photo with their spread.

    `focal_hint` in px scales the lens term of the plane fit (default: the longer side). Refusals: `photo_mirrored`
    (the card shows only in the flipped picture), `card_too_small`, `card_blurred`, `card_not_found`; facts carry
    `markers`, the number of the card's markers that were read.
    """
    height, width = grey.shape[:2]
    shrink = max(1, math.ceil(max(width, height) / _SEARCH_PX - 0.01))
    small = (
        grey
        if shrink == 1
        else np.asarray(cv2.resize(grey, (width // shrink, height // shrink), interpolation=cv2.INTER_AREA), np.uint8)
    )
    middle, unit = ((width - 1) / 2, (height - 1) / 2), focal_hint or float(max(width, height))
    ratio = width / small.shape[1]
    markers = _read_markers(small, ratio)
    seen = _best(markers, middle, unit)
    if not seen:
        markers = _read_markers(small, ratio, windows=_THOROUGH)
        seen = _best(markers, middle, unit)
    for guess in seen:
        if len(guess.decoded) > len(FRONT_IDS) // 2:
            return _sighting(grey, guess, markers)
        board, all_markers = _once_more(grey, guess, markers)
        picture, read = grow(grey, board.picture, board.face, board.decoded)
        if len(read) >= LEAST_MARKERS:
            return _sighting(grey, _Board(board.face, read, picture), all_markers)
    return _why_not(seen, small, middle, unit, ratio)


def _read_markers(
    picture: NDArray[np.uint8],
    shrink: float,
    corner: tuple[int, int] = (0, 0),
    *,
    windows: tuple[int, int, int] = _QUICK,
) -> _Markers:
    parameters = cv2.aruco.DetectorParameters()
    parameters.minMarkerPerimeterRate = 0.012 * max(1.0, 2016 / max(picture.shape))
    parameters.adaptiveThreshWinSizeMin, parameters.adaptiveThreshWinSizeMax, parameters.adaptiveThreshWinSizeStep = (
        windows
    )
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    found, ids, _ = cv2.aruco.ArucoDetector(dictionary(), parameters).detectMarkers(picture)
    if len(found) == 0:
        return _Markers((), ())
    moved = tuple((np.asarray(four, float).reshape(4, 2) + 0.5) * shrink - 0.5 + corner for four in found)
    return _Markers(tuple(int(number) for number in np.asarray(ids).ravel()), moved)


def _best(markers: _Markers, middle: tuple[float, float], unit: float) -> list[_Board]:
    """Sets of markers that lie together as on a card, the largest first, at most three (one may be chance)."""
    found: dict[tuple[int, ...], _Board] = {}
    for face, ids in ((CardFace.FRONT, FRONT_IDS), (CardFace.BACK, BACK_IDS)):
        own = [k for k, number in enumerate(markers.ids) if number in ids]
        placed: set[int] = set()
        for k in own:
            if k in placed:
                continue
            agreeing = _agreeing(markers, own, k, first=ids[0], middle=middle, unit=unit)
            picture = _plane(markers, agreeing, ids[0], middle, unit)
            if len(agreeing) >= LEAST_MARKERS:
                placed.update(agreeing)
            if picture is not None:
                decoded = tuple(sorted({markers.ids[j] for j in agreeing}))
                found[tuple(sorted(agreeing))] = _Board(face, decoded, picture)
    return sorted(found.values(), key=lambda board: -len(board.decoded))[:3]


def _plane(
    markers: _Markers, chosen: list[int], first: int, middle: tuple[float, float], unit: float
) -> CardPicture | None:
    card = np.concatenate([marker_corners()[markers.ids[k] - first] for k in chosen])
    return plane_from(card, np.concatenate([markers.corners[k] for k in chosen]), middle, unit)


def _agreeing(
    markers: _Markers, own: list[int], seed: int, *, first: int, middle: tuple[float, float], unit: float
) -> list[int]:
    """Markers that lie where the marker `seed` and its agreeing neighbours put them."""
    which = np.array([markers.ids[k] - first for k in own])
    seen = np.stack([markers.corners[k] for k in own])
    side = np.hypot(*(seen[:, 0] - seen[:, 2]).T) / math.sqrt(2)
    centres = marker_corners().mean(axis=1)
    far = np.hypot(*(centres[which] - centres[markers.ids[seed] - first]).T) / 32
    # One marker alone gives a steady affine map, but hardly any perspective: so much may a far marker be off.
    first_map = np.column_stack([marker_corners()[markers.ids[seed] - first], np.ones(4)])
    affine = np.linalg.lstsq(first_map, markers.corners[seed], rcond=None)[0]
    places = np.concatenate([marker_corners()[which], np.ones((len(own), 4, 1))], axis=2) @ affine
    limits = (0.3 + 0.35 * far + 0.1 * far**2, 0.3, 0.15)
    kept: list[int] = []
    for tolerance in limits:  # of a marker's side
        if kept:
            picture = _plane(markers, kept, first, middle, unit)
            if picture is None:
                return [seed]
            places = picture.project(marker_corners()[which].reshape(-1, 2)).reshape(-1, 4, 2)
        off = places - seen
        worst = np.hypot(off[..., 0], off[..., 1]).max(axis=1)
        kept = [k for k, fine in zip(own, worst < tolerance * side, strict=True) if fine]
        if not kept:
            return [seed]
    return kept


def _px_per_mm(picture: CardPicture) -> float:
    return float(picture.scale_at(np.array([PATTERN_MM]) / 2)[0])


def _why_not(
    seen: list[_Board], small: NDArray[np.uint8], middle: tuple[float, float], unit: float, shrink: float
) -> Refusal:
    mirrored = _best(_read_markers(np.ascontiguousarray(small[:, ::-1]), shrink), middle, unit)
    if mirrored and len(mirrored[0].decoded) >= LEAST_MARKERS:
        return Refusal("photo_mirrored", {"markers": len(mirrored[0].decoded)})
    count = len(seen[0].decoded) if seen else 0
    if seen and count > 1:
        scale = _px_per_mm(seen[0].picture)
        if scale < 2.5:
            return Refusal("card_too_small", {"px_per_mm": round(scale, 2), "markers": count})
    return Refusal("card_not_found", {"markers": count})


def _once_more(grey: NDArray[np.uint8], seen: _Board, markers: _Markers) -> tuple[_Board, _Markers]:
    """Few markers read (a small card on a reduced copy, mud): the card's window is searched again at full size."""
    corners = np.array([[-24, -24], [136, -24], [136, 104], [-24, 104]], float)
    near = np.concatenate([four for k, four in zip(markers.ids, markers.corners, strict=True) if k in seen.decoded])
    places = np.concatenate([seen.picture.project(corners), near])
    low = np.maximum(np.floor(places.min(axis=0)).astype(int), 0)
    high = np.minimum(np.ceil(places.max(axis=0)).astype(int) + 1, [grey.shape[1], grey.shape[0]])
    if (high - low < 32).any():
        return seen, markers
    window = np.ascontiguousarray(grey[low[1] : high[1], low[0] : high[0]])
    again = _read_markers(window, 1.0, (int(low[0]), int(low[1])), windows=_THOROUGH)
    tags = [k for k, number in enumerate(markers.ids) if number in _TAGS and number not in again.ids]
    merged = _Markers(
        again.ids + tuple(markers.ids[k] for k in tags), again.corners + tuple(markers.corners[k] for k in tags)
    )
    better = _best(merged, seen.picture.middle, seen.picture.unit)
    if not better or len(better[0].decoded) < len(seen.decoded):
        return seen, markers
    return better[0], merged


def _sighting(grey: NDArray[np.uint8], seen: _Board, markers: _Markers) -> CardSighting | Refusal:
    scale = _px_per_mm(seen.picture)
    if scale < _SMALLEST_PX_PER_MM:
        return Refusal("card_too_small", {"px_per_mm": round(scale, 2), "markers": len(seen.decoded)})
    first = FRONT_IDS[0] if seen.face is CardFace.FRONT else BACK_IDS[0]
    picture, corners = seen.picture, _Corners.empty()
    for _ in range(2):  # the second look starts from a plane that is right to a tenth of a pixel
        corners = _look(grey, picture, scale)
        if len(corners.px) < 8:
            return Refusal("card_not_found", {"markers": len(seen.decoded)})
        picture, off = fit(picture, corners.mm, corners.outwards, corners.px, corners.spread)
        corners = corners.kept(off, scale)
    width = edge_width(grey, picture, scale, corners.contrast)
    width = _UNJUDGED_MM * scale if math.isnan(width) else width
    if width > _WIDEST_MM * scale:
        return Refusal("card_blurred", {"edge_width_px": round(width, 1), "markers": len(seen.decoded)})
    if len(corners.px) < 8:
        return Refusal("card_not_found", {"markers": len(seen.decoded)})
    height, across = grey.shape[:2]
    return CardSighting(
        face=seen.face,
        corners=corners.named(picture, first),
        markers=seen.decoded,
        tags=_tags(markers, scale),
        edge_width_px=float(width),
        photo_size=(across, height),
        detector=DETECTOR,
    )


def _tags(markers: _Markers, scale: float) -> tuple[int, ...]:
    """Foot and moment tags of a size that can have been printed (5 to 60 mm): smaller or larger ones are chance."""
    sides = [float(np.hypot(*(four[0] - four[2]))) / math.sqrt(2) / scale for four in markers.corners]
    found = {number for number, side in zip(markers.ids, sides, strict=True) if number in _TAGS and 5 < side < 60}
    return tuple(sorted(found))


@dataclass(frozen=True)
class _Corners:
    """Corners seen at full size: places in both frames, spread, and which they are (0-67 markers', 68-91 inner)."""

    which: NDArray[np.int64]
    mm: Floats
    outwards: Floats
    px: Floats
    spread: Floats
    contrast: float

    @classmethod
    def empty(cls) -> _Corners:
        none = np.zeros((0, 2))
        return cls(np.zeros(0, np.int64), none, none, none, np.zeros(0), float("nan"))

    def kept(self, off: Floats, scale: float) -> _Corners:
        """Without those off the common plane, and with spreads widened where the rest scatters more than stated."""
        limit = max(4.5 * 1.4826 * float(np.median(off / self.spread)), 3.0) * self.spread + 0.02 * scale
        fine = off < limit
        spread = self.spread.copy()
        for group in (self.which < 68, self.which >= 68):
            used = group & fine
            if used.sum() >= 6:
                # median of the length of a 2-D normal residual is 1.177 sd of one coordinate
                factor = float(np.median(off[used] / self.spread[used])) / 1.177
                spread[group] *= max(1.0, factor)
        return _Corners(
            self.which[fine], self.mm[fine], self.outwards[fine], self.px[fine], spread[fine], self.contrast
        )

    def named(self, picture: CardPicture, first: int) -> tuple[CardCorner, ...]:
        """Marker corners are given at the nominal edge: the growth common to all markers is taken off again."""
        shift = picture.project(self.mm, self.outwards) - picture.project(self.mm)
        places = self.px - shift
        return tuple(
            CardCorner(_name(int(k), first), (float(mm[0]), float(mm[1])), (float(px[0]), float(px[1])), float(s))
            for k, mm, px, s in zip(self.which, self.mm, places, self.spread, strict=True)
        )


def _name(which: int, first: int) -> str:
    return f"m{which // 4 + first}.{which % 4}" if which < 68 else f"c{which - 68:02d}"


def _look(grey: NDArray[np.uint8], picture: CardPicture, scale: float) -> _Corners:
    edges = measure_edges(grey, picture)
    there = np.isfinite(edges.spread).ravel()
    own = np.flatnonzero(there)
    inner, inner_px, inner_spread = _inner(grey, picture, edges, scale)
    mm = np.concatenate([marker_corners().reshape(-1, 2)[own], inner_corners()[inner]])
    outwards = np.concatenate([marker_outwards().reshape(-1, 2)[own], np.zeros((len(inner), 2))])
    px = np.concatenate([edges.corners.reshape(-1, 2)[own], inner_px])
    spread = np.concatenate([edges.spread.ravel()[own], inner_spread])
    which = np.concatenate([own, inner + 68])
    return _Corners(which, mm, outwards, px, np.maximum(spread, _SPREAD_FLOOR_PX), edges.contrast)


def _inner(
    grey: NDArray[np.uint8], picture: CardPicture, edges: MarkerEdges, scale: float
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Inner corners where two black and two white squares really meet, refined in a window clear of the markers."""
    mm = inner_corners()
    places = picture.project(mm)
    pad = 2.2 * scale + 3
    inside = ((places > pad) & (places < np.array([grey.shape[1], grey.shape[0]]) - 1 - pad)).all(axis=1)
    chosen = np.flatnonzero(inside & _is_crossing(grey, picture, edges.contrast))
    if not len(chosen):
        return chosen, np.zeros((0, 2)), np.zeros(0)
    reach = int(np.clip(math.floor(1.7 * scale), 2, 14))
    start = np.ascontiguousarray(places[chosen].astype(np.float32).reshape(-1, 1, 2))
    refined = np.asarray(cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), (3, 40, 0.005)), float).reshape(-1, 2)
    moved = np.hypot(*(refined - places[chosen]).T)
    calm = moved < max(1.0, 0.6 * reach)
    scatter = float(np.nanmedian(edges.scatter)) if np.isfinite(edges.scatter).any() else 0.3
    spread = np.full(int(calm.sum()), scatter / math.sqrt(2 * reach))
    return chosen[calm], refined[calm], spread


def _is_crossing(grey: NDArray[np.uint8], picture: CardPicture, contrast: float) -> NDArray[np.bool_]:
    """(24,) whether light and dark alternate round the corner with most of the card's own contrast."""
    reach = 1.1
    diagonal = np.array([[-reach, -reach], [reach, -reach], [reach, reach], [-reach, reach]])
    places = picture.project((inner_corners()[:, None] + diagonal).reshape(-1, 2)).astype(np.float32)
    levels = cv2.remap(
        grey, places[:, 0], places[:, 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(127,)
    )
    one, two, three, four = np.asarray(levels, float).reshape(24, 4).T
    lesser = np.minimum(
        np.abs(one - two), np.minimum(np.abs(three - two), np.minimum(np.abs(three - four), np.abs(one - four)))
    )
    alternate = (np.sign(one - two) == np.sign(three - four)) & (np.sign(one - four) == np.sign(three - two))
    return np.asarray(alternate & (lesser > 0.4 * contrast))
