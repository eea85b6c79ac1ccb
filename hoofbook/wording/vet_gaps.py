"""What a person may want to look at before a Vet case is sent, and what is new since the last one. Nothing blocks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.terms.feet import Foot
from hoofbook.terms.subjects import Correction, Event, Finding, Photo, VetImage, VetValue, Visit
from hoofbook.terms.views import View
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name
from hoofbook.wording.vet_case import NOTHING_NEW, view_words
from hoofbook.wording.vet_history import event_kind, finding_words, grouped
from hoofbook.wording.vet_images import caption

NO_QUESTION = "No question is written. A vet can answer a question; write one if you can."
NO_PHONE = "No phone number of yours is noted, so the vet cannot ring back from the paper."
THE_QUESTION = "the question"
THE_SUMMARY = "page 1"
NOT_LOGGED = "The book is for looking only, so it is not noted there that this case was made."


def no_permission(owner: str) -> str:
    whose = f"owner {owner}" if owner else "the owner"
    return f"It is not noted that {whose} lets it be shown to a vet. Ask before you send it."


def missing_views(feet: Sequence[Foot], shown: Sequence[Photo], newest: date, days: Sequence[date]) -> tuple[str, ...]:
    """Feet of which the side or the sole is not there, or is older than the last visit."""
    lines = []
    for foot in feet:
        for view in (View.LATERAL, View.SOLAR):
            own = [(p, day) for p, day in zip(shown, days, strict=True) if (p.foot, p.view) == (foot, view)]
            name = f"{foot_name(foot)}, {'lateral' if view is View.LATERAL else 'solar'} view"
            if not own:
                lines.append(f"{name}: no photo.")
            elif max(day for _, day in own) < newest:
                lines.append(f"{name}: the newest photo is of {day_month_year(max(day for _, day in own))}.")
    return tuple(lines)


def unsure_cards(photos: Sequence[Photo]) -> tuple[str, ...]:
    """Measured photos shown of which nobody told where the card stood."""
    return tuple(
        f"{foot_name(photo.foot)}, {view_words(photo)}: where the card stood is not told, so its ± is wider."
        for photo in photos
        if photo.foot
    )


def news(
    since: date,
    *,
    visits: Sequence[Visit],
    findings: Sequence[Finding],
    events: Sequence[Event],
    photos: Sequence[Photo],
    values: Sequence[VetValue],
    images: Sequence[VetImage],
    corrections: Sequence[Correction],
) -> tuple[tuple[str, str], ...]:
    """What was entered since the last case was made, in rows; the first names that day."""
    films = sorted({value.film_day for value in values})
    rows = [
        ("Last case", day_month_year(since)),
        ("Visits", ", ".join(day_month_year(visit.day) for visit in visits)),
        (
            "Findings",
            "; ".join(f"{feet} {said}" for feet, said in grouped((f.foot, finding_words(f)) for f in findings)),
        ),
        ("Day book", "; ".join(f"{day_month_year(event.day)} {event_kind(event).lower()}" for event in events)),
        ("Vet's values", ", ".join(f"films {day_month_year(day)}" for day in films)),
        ("Vet's images", ", ".join(f"{caption(image)} {day_month_year(image.day)}" for image in images)),
        ("Photos", str(len(photos)) if photos else ""),
        ("Corrections", str(len(corrections)) if corrections else ""),
    ]
    said = tuple(row for row in rows if row[1])
    return said if len(said) > 1 else ((said[0][0], f"{said[0][1]}. {NOTHING_NEW}"),)
