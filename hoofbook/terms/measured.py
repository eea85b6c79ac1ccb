"""One photo as measuring sees it, and what measuring gives back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from hoofbook.terms.card import CardSighting
from hoofbook.terms.drawing import Drawing
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Marking
from hoofbook.terms.quantity import Quantity
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.terms.views import CardPlane, CardStand, Grade, View


@dataclass(frozen=True, slots=True)
class Told:
    """A number somebody told, with its standard uncertainty, in millimetres. `assumed` = it is our default."""

    value: float
    u: float
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Ruler:
    """Two points of a ruler in frame photo and the distance between them."""

    a: tuple[float, float]
    b: tuple[float, float]
    mm: float


@dataclass(frozen=True, slots=True)
class Placing:
    """The book's own spread of placing a mark, each way alike: px in a picture of 12 megapixels (standard deviations).

    `hairline` is what each mark has of its own; how a person reads hairlines, the same each time, comes on top.
    """

    edge: float
    hairline: float


@dataclass(frozen=True, slots=True)
class Shot:
    """Everything measuring may know about one photo: what was seen, marked and told; no pixels, no file.

    `key` names the photo in parts and results; `card_key` the printed card and `lens_key` the lens, so that their
    errors are shared between photos; `person_key` who marked. `focal_35mm` is the EXIF 35 mm equivalent (the standard
    defines it by the picture's diagonal). `edited` says that tags or size show a cropped or edited picture,
    `from_inside` that the lens stood on the foot's inside.
    """

    key: str
    view: View
    photo_size: tuple[int, int]
    marking: Marking
    foot: Foot | None = None
    sighting: CardSighting | None = None
    card_plane: CardPlane = CardPlane.UNSURE
    card_stands_on: CardStand = CardStand.UNKNOWN
    focal_35mm: float | None = None
    card_size_mm: tuple[float, float] | None = None  # as printed and measured; None = taken as 112.0 x 80.0, unchecked
    placing_px: float | None = None  # told standard deviation of placing in this photo; None = own or defaults per kind
    placing: Placing | None = None  # the book's own figures; None = assumed
    ruler: Ruler | None = None
    foot_width: Told | None = None
    heel_half_separation: Told | None = None  # from a sole photo of the same foot and visit; None = assumed
    shod: bool = False
    edited: bool = False
    from_inside: bool = False
    set_name: str = ""
    card_key: str = "card"
    lens_key: str = "lens main"
    person_key: str = "person"


class ScaleSource(StrEnum):
    CARD = "card"
    RULER = "ruler"
    FOOT_WIDTH = "foot width"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Scale:
    """How one photo got its millimetres, and from where it was taken.

    `px_per_mm` at the foot; `turn_deg` and `tilt_deg` of the view axis against square-on; `distance_mm` lens to foot;
    `lens_height_mm` above the ground (side, front and heel views); `misfit` is the rms of the fit's residuals over
    their stated spread (about 1 when all is well). None where it cannot be known.
    """

    source: ScaleSource
    px_per_mm: float | None = None
    turn_deg: float | None = None
    tilt_deg: float | None = None
    distance_mm: float | None = None
    lens_height_mm: float | None = None
    focal_px: float | None = None
    misfit: float | None = None


@dataclass(frozen=True, slots=True)
class Measured:
    """What came out of one photo or one set of photos. Mappings go by `Shot.key`."""

    quantities: tuple[Quantity, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    remarks: Mapping[str, tuple[Remark, ...]] = field(default_factory=lambda: MappingProxyType({}))
    scales: Mapping[str, Scale] = field(default_factory=lambda: MappingProxyType({}))
    grades: Mapping[str, Grade] = field(default_factory=lambda: MappingProxyType({}))
    drawings: Mapping[str, Drawing] = field(default_factory=lambda: MappingProxyType({}))

    def quantity(self, name: str, definition: str = "") -> Quantity | None:
        return next((q for q in self.quantities if q.name == name and q.definition.value == definition), None)
