"""Words of the Vet case: its titles, what stands on page 1, and how its photos are labelled.

A vet's paper says lateral and medial, and names the views as vets do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Remark
from hoofbook.terms.subjects import Horse, Photo
from hoofbook.terms.views import CardPlane, CardStand, Moment, View
from hoofbook.wording.cautions import VET_CASE
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name
from hoofbook.wording.remarks import sentence

TITLE = "Vet case"
KIND = "vet case"
URGENCIES = MappingProxyType(
    {"urgent": "urgent: please look today", "soon": "soon: within days", "advice": "advice, not urgent"}
)
SIZES = MappingProxyType(
    {"call": "Call note, one page", "case": "Case, about five pages", "full": "Everything, every photo"}
)
LABELS = MappingProxyType(
    {
        "question": "Question",
        "since": "Since when",
        "gait": "Sound or lame",
        "done": "Last done",
        "films": "Films",
        "permission": "Permission",
        "direction": "Vet's direction",
        "enclosed": "Enclosed",
        "quoted": "Quoted from the vet",
        "pictures": "Photos",
    }
)
TITLES = MappingProxyType(
    {
        "new": "New since the last case",
        "timeline": "Timeline",
        "findings": "What the practitioner saw",
        "gait": "Standing and moving",
        "shoeing": "Shoeing record",
        "measures": "Measures",
        "chart": "Over the visits",
        "strip": "Every visit, side by side",
        "vet": "Quoted from the vet",
        "photos": "The photos of page 1 without marks",
        "twins": "Photos, with and without marks",
        "method": "How it was measured",
        "corrections": "Corrections",
        "consent": "Permission",
        "limits": "What is not claimed",
    }
)
NAMED_ON_PAGE_1 = ("timeline", "shoeing", "measures", "vet", "photos", "twins", "method", "limits")
NO_QUESTION = "For your information; no question asked."
NO_PICTURES = "No photo of these feet is in the book yet."
NOT_TO_SCALE = "not to scale"
NO_PHONE = "no phone number noted"
CAUTION = VET_CASE
OUTSIDE_ONLY = "The outside of the hoof does not show bone position or sole thickness."
PICTURES_AS = "Pictures are cut, turned and scaled only; those of one row are at one scale where a bar stands in them."
PLUS_MINUS = "± is half of the 95 % interval."
NUMBERS_FILE, PHOTOS_FILE, VETS_FILE = "numbers.csv", "photos.csv", "quoted-from-the-vet.csv"
IMAGES_FILE = "images-of-the-vet.csv"
ABOUT_FILES = MappingProxyType(
    {
        NUMBERS_FILE: "Every reading shown, with its standard uncertainty and 95 % interval",
        PHOTOS_FILE: "All photos of these feet and visits, with the SHA-256 of each unchanged original",
        VETS_FILE: "The vet's own values as quoted; none of them was measured here",
        IMAGES_FILE: "The vet's own images that are shown, with the SHA-256 of each unchanged file; none was measured",
    }
)
NO_NAME = "a hoof-care practitioner"
_VIEWS = {
    View.LATERAL: "lateral view",
    View.DORSAL: "dorsal view",
    View.PALMAR: "palmar view",
    View.PLANTAR: "plantar view",
    View.SOLAR: "solar view",
    View.ALONG_SOLE: "view along the sole",
    View.WHOLE: "whole horse",
}
_PLANES = {
    CardPlane.MID_LINE: "card in the mid-line of the foot",
    CardPlane.NEAR_WALL: "card at the near wall",
    CardPlane.BEARING_PLANE: "card in the plane of the ground edge",
    CardPlane.UNSURE: "place of the card unsure",
}
_PAIRS = {
    frozenset((Foot.LF, Foot.RF)): "both fore feet",
    frozenset((Foot.LH, Foot.RH)): "both hind feet",
    frozenset(Foot): "all four feet",
}


@dataclass(frozen=True, slots=True)
class PhotoFacts:
    """What measuring knew of one photo: lens to foot in mm, and who set the marks ("" = none are set)."""

    distance_mm: float | None = None
    marked_by: str = ""


def document_title(horse: str, day: date) -> str:
    return f"{TITLE}: {horse}, {day_month_year(day)}"


def feet_words(feet: Sequence[Foot]) -> str:
    """`both fore feet`, `left fore`, `left fore and left hind`"""
    known = _PAIRS.get(frozenset(feet))
    if known:
        return known
    names = [foot_name(foot).lower() for foot in feet]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def question_line(feet: Sequence[Foot], urgency: str) -> tuple[str, str]:
    """What stands above the question: `Question · both fore feet`, and how urgent it is."""
    return f"{LABELS['question']} · {feet_words(feet)}", URGENCIES[urgency]


def facts_line(horse: Horse, owner: str, yard: str, today: date) -> str:
    """`Mare, 11 · thoroughbred cross, 158 cm · hacks on lanes · owner A. K. · Thistle Bank Yard · bay, star`"""
    age = str(today.year - horse.born) if horse.born else ""
    height = f"{horse.height_cm:g} cm" if horse.height_cm else ""
    groups = (
        ", ".join(word for word in (horse.sex.capitalize(), age) if word),
        ", ".join(word for word in (horse.breed, height) if word),
        horse.work,
        ", ".join(word for word in (horse.colour, horse.markings) if word),
        horse.identity,
        f"owner {owner}" if owner else "",
        yard,
    )
    return " · ".join(group for group in groups if group)


def permission_words(owner: str, allowed: date | None) -> str:
    """`owner A. K. lets it be shown to the vet, said on 30 Sep 2025`"""
    whose = f"owner {owner}" if owner else "the owner"
    if allowed is None:
        return f"not noted that {whose} lets it be shown; please ask before passing it on"
    return f"{whose} lets it be shown to the vet, said on {day_month_year(allowed)}"


def film_words(film_day: date | None, trims: int | None, told: str = "") -> tuple[str, str]:
    """The newest films, and in bold the trims between them and the photos."""
    if film_day is None:
        return "none known to the practitioner", ""
    shod = told or "shoes on or off not told"
    return f"{day_month_year(film_day)} (the vet's), {shod}.", trims_words(trims)


def trims_words(trims: int | None) -> str:
    """`One trim between the films and the photos.`"""
    if trims is None:
        return ""
    count = "No trim" if trims == 0 else "One trim" if trims == 1 else f"{trims} trims"
    return f"{count} between the films and the photos."


def row_title(foot: Foot) -> str:
    return foot_name(foot)


def photo_moment(photo: Photo, day: date) -> str:
    """`30 Sep 2025, after trim, bare`"""
    words = [day_month_year(day), photo.moment.value if photo.moment else "moment not told", shod_words(photo)]
    return ", ".join(words)


def shod_words(photo: Photo) -> str:
    """Shod or bare; a foot after the trim and before the shoe is bare though the horse is shod."""
    return "shod" if photo.shod else "bare"


def view_words(photo: Photo) -> str:
    """`lateral view`; taken from the inside it is the medial one."""
    if photo.view is None:
        return "view not told"
    if photo.view is View.LATERAL and photo.from_inside:
        return "medial view"
    return _VIEWS[photo.view]


def photo_label(horse: str, photo: Photo, day: date, taken_by: str) -> tuple[str, str]:
    """Horse / foot / view, then date / moment / shod or bare / who took it."""
    foot = foot_name(photo.foot).lower() if photo.foot else "foot not told"
    time = photo.local_time[11:16]
    when = f"{day_month_year(day)} {time}".strip()
    who = f"taken by {taken_by}" if taken_by else "who took it is not noted"
    moment = photo.moment.value if photo.moment else "moment not told"
    return f"{horse} · {foot} · {view_words(photo)}", f"{when} · {moment} · {shod_words(photo)} · {who}"


def photo_how(photo: Photo, facts: PhotoFacts) -> str:
    """`lens 0.98 m from the foot; card in the mid-line of the foot, standing on the ground; marked by Demo Farrier`"""
    words = []
    if facts.distance_mm:
        words.append(f"lens {facts.distance_mm / 1000:.2f} m from the foot, by the card")
        words.append(card_words(photo))
    words.append(f"marked by {facts.marked_by}" if facts.marked_by else "not marked")
    told = "" if photo.local_time else "The photo itself tells no time: the day is that of the visit."
    remarks = " ".join(_matter(remark) for remark in photo.remarks if remark.code != "photo_without_date" or not told)
    return " ".join(part for part in (f"{'; '.join(words)}.", told, remarks) if part)


def _matter(remark: Remark) -> str:
    """What is the matter with a photo, without what its taker might do about it: a vet cannot take it again."""
    matter, _, _ = sentence(remark).partition(". ")
    return f"{matter.rstrip('.')}."


def card_words(photo: Photo) -> str:
    if photo.card_stands_on is CardStand.FOOT:
        return "card held on the foot, for scale only"
    stands = ", standing on the ground" if photo.card_stands_on is CardStand.FLOOR else ""
    return _PLANES[photo.card_plane] + stands


def photo_alt(horse: str, photo: Photo, day: date, *, marked: bool = False) -> str:
    """What somebody who cannot see the photo is told."""
    foot = foot_name(photo.foot).lower() if photo.foot else "foot"
    drawn = ", with the measured lines" if marked else ""
    return f"Photo of {horse}, {foot}, {view_words(photo)}, {photo_moment(photo, day)}{drawn}."


def strip_day(day: date) -> str:
    return day_month_year(day)


def strip_title(foot: Foot, view: str, moment: Moment) -> str:
    """`Left fore, solar view, after trim`"""
    return f"{foot_name(foot)}, {view}, {moment.value}"


def strip_note(measures: Sequence[str]) -> str:
    """What the rows of small pictures show, and what the values below them are."""
    named = "; ".join(f"{name[:1].lower()}{name[1:]}" for name in measures)
    return f"{STRIP_NOTE} The values: {named}."


def burnt_line(photo: Photo, day: date) -> str:
    """What is burnt into a photo besides the side: `30 Sep 2025 · after trim · bare`"""
    moment = f" · {photo.moment.value}" if photo.moment else ""
    return f"{day_month_year(day)}{moment} · {shod_words(photo)}"


def side_letter(foot: Foot) -> tuple[str, str]:
    """`L` and `fore`, as a marker lies beside a foot on a film."""
    return foot.value[0], "fore" if foot.is_fore else "hind"


def small_print(*, measured: bool, pictures: bool) -> tuple[str, ...]:
    """The last lines of page 1."""
    return (*((PLUS_MINUS,) if measured else ()), *((PICTURES_AS,) if pictures else ()), OUTSIDE_ONLY)


LATERAL, MEDIAL = "lateral", "medial"


def running_head(horse: str, day: date) -> str:
    return f"{TITLE} · {horse} · {day_month_year(day)} · {CAUTION}"


STRIP_NOTE = "Every visit with such a photo; cut, turned and scaled only, at one scale where nothing else is said."
NOTHING_NEW = "Nothing was entered since."
PAGE_OF = ("page ", " of ")
