"""From where a foot was photographed, and when in the visit."""

from __future__ import annotations

from enum import StrEnum


class View(StrEnum):
    """Direction from which a photo was taken (standard anatomical terms)."""

    LATERAL = "lateral"
    DORSAL = "dorsal"
    PALMAR = "palmar"
    PLANTAR = "plantar"
    SOLAR = "solar"
    ALONG_SOLE = "along_sole"
    WHOLE = "whole"  # the standing horse or a portrait: never measured


class Moment(StrEnum):
    """When in a visit a photo was taken. Each moment is compared only with itself."""

    AS_ARRIVED = "as arrived"
    BEFORE_TRIM = "before trim"
    AFTER_TRIM = "after trim"
    FINISHED = "finished"
    BETWEEN_VISITS = "between visits"


class CardPlane(StrEnum):
    """Where the scale card stood, as told by the person who took the photo."""

    MID_LINE = "mid-line"
    NEAR_WALL = "near wall"
    BEARING_PLANE = "bearing plane"
    UNSURE = "unsure"


class CardStand(StrEnum):
    """What the card's lower edge stood on, as told by the person who took the photo."""

    FLOOR = "floor"
    FOOT = "foot"
    UNKNOWN = "unknown"


class Grade(StrEnum):
    """What a photo is good for."""

    FULL = "full"
    ANGLES_AND_RATIOS = "angles and ratios"
    PICTURE_ONLY = "picture only"
