"""Names on screen of feet, views, moments, measures and how a foot goes home: plain trade English."""

from __future__ import annotations

from hoofbook.terms.feet import Foot, Pair, Place
from hoofbook.terms.quantity import MEASURES, Definition
from hoofbook.terms.subjects.horses import Wanted
from hoofbook.terms.subjects.visits import Shoeing
from hoofbook.terms.views import Grade, Moment, View

_FEET = {Foot.LF: "Left fore", Foot.RF: "Right fore", Foot.LH: "Left hind", Foot.RH: "Right hind"}
_VIEWS = {
    View.LATERAL: "Side",
    View.DORSAL: "Front",
    View.PALMAR: "Heels",
    View.PLANTAR: "Heels",
    View.SOLAR: "Sole",
    View.ALONG_SOLE: "Along the sole",
    View.WHOLE: "Whole horse",
}
_MOMENTS = {
    Moment.AS_ARRIVED: "As arrived",
    Moment.BEFORE_TRIM: "Before trim",
    Moment.AFTER_TRIM: "After trim",
    Moment.FINISHED: "Finished",
    Moment.BETWEEN_VISITS: "Between visits",
}
_MEASURES = {
    "toe_angle": "Toe angle",
    "heel_angle": "Heel angle",
    "toe_heel_angle_difference": "Toe less heel angle",
    "toe_length": "Toe length",
    "heel_length": "Heel length",
    "toe_height": "Toe height",
    "heel_height": "Heel height (of horn)",
    "height_ratio": "Toe height to heel height",
    "length_ratio": "Toe length to heel length",
    "coronary_band_angle": "Coronary band angle",
    "bearing_length": "Bearing length",
    "upper_wall_angle": "Upper wall angle",
    "lower_wall_angle": "Lower wall angle",
    "hoof_pastern_axis": "Hoof-pastern axis",
    "medial_wall_height": "Wall height, inside",
    "lateral_wall_height": "Wall height, outside",
    "medial_wall_angle": "Wall angle, inside",
    "lateral_wall_angle": "Wall angle, outside",
    "foot_length": "Foot length",
    "foot_width": "Foot width",
    "length_before_widest": "In front of the widest part",
    "length_behind_widest": "Behind the widest part",
    "frog_length": "Frog length",
    "frog_width": "Frog width",
    "frog_ratio": "Frog width to length",
    "heel_separation": "Heel separation",
    "sole_concavity_at_frog_apex": "Sole concavity",
    "greatest_sole_concavity": "Greatest sole concavity",
    "mean_sole_concavity": "Mean sole concavity",
    "concavity_volume": "Hollow of the sole",
    "whole_sole_concavity_at_frog_apex": "Sole concavity, whole sole",
    "whole_sole_greatest_concavity": "Greatest sole concavity, whole sole",
    "whole_sole_mean_concavity": "Mean sole concavity, whole sole",
    "wall_above_sole": "Wall above sole",
    "groove_depth": "Groove depth",
    "new_horn_length": "New horn length",
}
_DEFINITIONS = {
    Definition.ONE: "",
    Definition.FROM_SOLE_EDGE: "from the sole edge",
    Definition.FROM_WALL_EDGE: "from the wall edge",
    Definition.HAND_GAUGE: "by hand gauge",
    Definition.ALONG_SOLE: "along the sole",
}
_GRADES = {
    Grade.FULL: "Millimetres and degrees",
    Grade.ANGLES_AND_RATIOS: "Angles and ratios only",
    Grade.PICTURE_ONLY: "Picture only",
}
_WANTED = {Wanted.MORE: "wanted: more", Wanted.LESS: "wanted: less", Wanted.KEEP: "wanted: keep"}
_SHOEING = {Shoeing.BARE: "bare", Shoeing.NAILED: "nailed", Shoeing.GLUED: "glued"}


def foot_name(foot: Place) -> str:
    """`Left fore`; of a pair `Left fore less right fore`"""
    if isinstance(foot, Pair):
        return f"{_FEET[foot.foot]} less {_FEET[foot.less].lower()}"
    return _FEET[foot]


def measure_of_place(measure: str, place: Place) -> str:
    """`Toe angle`; of a pair `Toe angle, less right fore`"""
    name = measure_name(measure)
    return f"{name}, less {_FEET[place.less].lower()}" if isinstance(place, Pair) else name


def measure_at(place: Place, measure: str, definition: Definition) -> str:
    """`Sole concavity from the sole edge`; of a pair `Toe angle, less right fore`"""
    words = measure_with_definition(measure, definition)
    return f"{words}, less {_FEET[place.less].lower()}" if isinstance(place, Pair) else words


def foot_short(foot: Place) -> str:
    """`LF`, where space is short; of a pair `LF less RF`"""
    return f"{foot.foot.value} less {foot.less.value}" if isinstance(foot, Pair) else foot.value


def view_name(view: View, *, from_inside: bool = False) -> str:
    """`Side`; where the lens stood on the foot's inside `Side, inside`"""
    return f"{_VIEWS[view]}, inside" if from_inside else _VIEWS[view]


def moment_name(moment: Moment) -> str:
    return _MOMENTS[moment]


def measure_name(name: str) -> str:
    """The measure's name on screen; a name nobody knows comes back with its underscores as spaces."""
    return _MEASURES.get(name, name.replace("_", " ").capitalize())


def measure_in_sentence(name: str) -> str:
    """The same inside a sentence: `sole concavity`, `toe angle`."""
    words = measure_name(name)
    return words[:1].lower() + words[1:]


def definition_name(definition: Definition) -> str:
    return _DEFINITIONS[definition]


def measure_with_definition(name: str, definition: Definition) -> str:
    """`Sole concavity, from the sole edge`"""
    return ", ".join(words for words in (measure_name(name), definition_name(definition)) if words)


def grade_name(grade: Grade) -> str:
    return _GRADES[grade]


def wanted_name(wanted: Wanted) -> str:
    return _WANTED[wanted]


def shoeing_name(shoeing: Shoeing) -> str:
    return _SHOEING[shoeing]


def photo_caption(foot: Foot | None, view: View | None, moment: Moment | None, *, from_inside: bool = False) -> str:
    """`Left fore, sole, after trim`; what is not known is left out."""
    words = [
        foot_name(foot) if foot else "",
        view_name(view, from_inside=from_inside) if view else "",
        moment_name(moment) if moment else "",
    ]
    known = [word for word in words if word]
    return ", ".join([*known[:1], *(word.lower() for word in known[1:])])


def all_measures() -> tuple[tuple[str, str], ...]:
    """Every measure with its name on screen, in the order of the vocabulary."""
    return tuple((name, measure_name(name)) for name in MEASURES)
