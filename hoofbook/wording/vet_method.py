"""How a Vet case was measured, what was corrected, what is allowed, and what it does not claim."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from hoofbook.terms.card import PATTERN_MM
from hoofbook.terms.shown import Section, Table
from hoofbook.terms.subjects import Correction, Person, Photo
from hoofbook.wording import about
from hoofbook.wording.cautions import MEASURING
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.names import breakable
from hoofbook.wording.vet_case import card_words, view_words

CORRECTION_HEADS = ("Day", "Who", "What", "From", "To")
NO_CORRECTIONS = "No value that stands in the book was changed afterwards."
NOT_CLAIMED = (
    "No diagnosis, cause or outlook: what was seen, done and measured from outside, nothing more.",
    f"{MEASURING} The palmar or plantar angle cannot be had from them either.",
    "That one thing followed another is not said to be because of it.",
    "No range of what a foot should be is used; none is agreed.",
    "No change smaller than the limits stated here; readings before a trim are never compared with readings after one.",
    "Nothing on how exact the vet's films are. Values quoted from the vet stand apart and are not computed here.",
    "What is sent cannot be called back; pass it on only as the owner allowed.",
)
PICTURES = (
    "Pictures are cut, made smaller, turned and scaled only; nothing is brightened, retouched or bent. Each marked "
    "photo is also shown without marks. Place, time, device and other hidden facts are taken out of the pictures."
)
ORIGINALS = "The originals are unchanged in the practitioner's book and can be asked for; the list names their SHA-256."
ATTACHED = "The same numbers, the list of photos and the vet's quoted values are attached as CSV files."
NEEDED = ("What ± means", "Like with like", "When a change is called a change", "What is assumed")
_SUBJECTS = {
    "foot_work": "work",
    "hand_measure": "hand reading",
    "vet_value": "vet's value",
    "vet_image": "vet's image",
    "marking_pass": "marks",
    "event": "day book",
}


@dataclass(frozen=True, slots=True)
class Taken:
    """One measured photo as its method is told: lens to foot in mm, the card's told size, who marked, spread in px."""

    photo: Photo
    distance_mm: float | None
    card_size_mm: tuple[float, float] | None
    marked_by: str
    placing_px: float | None


def method_rows(taken: Sequence[Taken], methods: Sequence[str], program: str) -> tuple[tuple[str, str], ...]:
    """Card, lens, plane, marks, pictures and program, each in a sentence or two."""
    rows: list[tuple[str, str]] = []
    if taken:
        rows = [
            ("Scale card", _card(taken)),
            ("Lens and distance", _lenses(taken)),
            ("Place of the card", _planes(taken)),
            ("Marks", _marks(taken)),
        ]
    return (
        *rows,
        ("Pictures", f"{PICTURES} {ORIGINALS} {ATTACHED}"),
        ("Program", f"{program}{'; methods: ' if methods else ''}{', '.join(methods)}."),
    )


def _card(taken: Sequence[Taken]) -> str:
    told = Counter(item.card_size_mm for item in taken)
    words = []
    for size, count in told.items():
        photos = "1 photo" if count == 1 else f"{count} photos"
        if size is None:
            wide, tall = PATTERN_MM
            words.append(f"taken as {wide:.1f} × {tall:.1f} mm, not checked with a rule ({photos})")
        else:
            words.append(f"checked with a rule: {size[0]:.1f} × {size[1]:.1f} mm ({photos})")
    return f"A printed card with a pattern of squares stands or lies at the foot; its size {'; '.join(words)}."


def _lenses(taken: Sequence[Taken]) -> str:
    groups: dict[tuple[str, str], list[float]] = {}
    for item in taken:
        camera = _once(item.photo.camera) or "camera not told"
        if item.photo.focal_35mm:
            camera = camera if " mm" in camera else f"{camera}, {item.photo.focal_35mm:.0f} mm (35 mm equivalent)"
        places = groups.setdefault((view_words(item.photo), camera), [])
        if item.distance_mm:
            places.append(item.distance_mm / 1000)
    words = []
    for (view, camera), places in groups.items():
        reach = f"{min(places):.2f} to {max(places):.2f}" if len(places) > 1 else f"{max(places, default=0.0):.2f}"
        far = f", lens {reach} m from the foot" if places else ""
        words.append(f"{view}: {camera}{far}")
    return "; ".join(words) + ". Distances follow from the card."


def _once(camera: str) -> str:
    """A camera whose lens repeats its name is named once: `Demo phone Demo phone tele camera`."""
    for end in range(len(camera) // 2, 2, -1):
        if camera.startswith(f"{camera[:end]} {camera[:end]}"):
            return camera[end + 1 :]
    return camera


def _planes(taken: Sequence[Taken]) -> str:
    counts = Counter((view_words(item.photo), card_words(item.photo)) for item in taken)
    words = "; ".join(f"{view}: {how} ({count})" for (view, how), count in counts.items())
    return f"{words}. Where the place is unsure the ± is wider for it."


def _marks(taken: Sequence[Taken]) -> str:
    people = sorted({item.marked_by for item in taken if item.marked_by})
    told = sorted({item.placing_px for item in taken if item.placing_px})
    spread = ""
    if told:
        reach = f"{told[0]:.1f}" if len(told) == 1 else f"{told[0]:.1f} to {told[-1]:.1f}"
        spread = f" The spread of placing a mark was told as {reach} px."
    by = f" by {' and '.join(people)}" if people else ""
    return f"Set by hand in the photos{by}; no number is typed over.{spread}"


def about_numbers() -> tuple[Section, ...]:
    """What ± means, what may be compared, when a change is shown, and what is assumed: as in How measured."""
    return tuple(section for section in about.general() if section.title in NEEDED)


def correction_table(corrections: Sequence[Correction]) -> Table | None:
    """Values that were changed after they had been kept, newest last. None where there are none."""
    rows = tuple(
        (
            day_month_year(item.changed_at.date()),
            item.changed_by,
            _what(item),
            _short(item.old),
            _short(item.new) if item.field_name else "removed",
        )
        for item in corrections
    )
    return Table(CORRECTION_HEADS, rows) if rows else None


def more_photos(count: int) -> str:
    return f"{count} older {'photo' if count == 1 else 'photos'} not shown; the attached list names them."


def more_corrections(count: int) -> str:
    return f"{count} earlier {'correction' if count == 1 else 'corrections'} can be asked for."


def _what(item: Correction) -> str:
    subject = _SUBJECTS.get(item.subject, item.subject.replace("_", " "))
    return f"{subject}: {item.field_name.replace('_', ' ')}" if item.field_name else subject


def _short(text: str, longest: int = 90) -> str:
    plain = " ".join(text.split())
    return breakable(plain if len(plain) <= longest else f"{plain[:longest]}…")


def consent_words(owner: Person | None) -> str:
    """What the owner allowed, each with its day."""
    asked: Mapping[str, date | None] = {
        "show photos and notes to the vet": owner.consent_vet if owner else None,
        "keep them": owner.consent_keep if owner else None,
        "use them for teaching": owner.consent_teaching if owner else None,
        "use them for advertising": owner.consent_publish if owner else None,
    }
    said = [f"{what}: {f'yes, {day_month_year(day)}' if day else 'not noted'}" for what, day in asked.items()]
    return f"{f'Owner {owner.name}' if owner else 'Owner not noted'}: {'; '.join(said)}."
