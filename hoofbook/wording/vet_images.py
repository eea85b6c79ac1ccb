"""Words beside what a vet gave: a film, a picture, a report. It is shown with its day and never measured."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from hoofbook.terms.subjects import VetImage
from hoofbook.wording.dates import day_month_year
from hoofbook.wording.places import foot_name

TITLE = "Vet's images"
NOT_MEASURED = "The vet's: not measured here."
CANNOT_BE_SHOWN = "kept, cannot be shown here"
SEVERAL = "several"  # told in place of a foot
REPORT = "Report"
NO_FOOT = "Not one foot"
NO_VIEW = "view not told"
NOBODY = "not noted who it came from"
ALREADY_HERE = "already in the book"
LABELS = ("Taken", "Foot", "View, as told", "Received from", "Received on", "For", "Trims since", "File", "Note")
MADE_FOR_LOOKING = (
    "As the vet gave them: not measured, computed or checked here. Each was only made smaller, and shown with the "
    "greys its own file asks for. Trims are those between it and the newest photo of that foot."
)


def caption(image: VetImage) -> str:
    """`Left fore, LM`; `Report`"""
    what = foot_name(image.foot) if image.foot else (REPORT if is_report(image) else NO_FOOT)
    return ", ".join(word for word in (what, image.view) if word)


def is_report(image: VetImage) -> bool:
    return image.suffix == ".pdf"


def trims_words(trims: int | None) -> str:
    """`1 trim since`; empty where it is not of one foot."""
    if trims is None:
        return ""
    return "no trim since" if trims == 0 else "1 trim since" if trims == 1 else f"{trims} trims since"


def tile_note(image: VetImage, trims: int | None, *, shown: bool) -> str:
    """`24 Sep 2025, 1 trim since`"""
    parts = (day_month_year(image.day), trims_words(trims), "" if shown else CANNOT_BE_SHOWN)
    return ", ".join(part for part in parts if part)


def rows(image: VetImage, trims: int | None) -> tuple[tuple[str, str], ...]:
    """Everything told of it, label and words; what was not told is left out."""
    told = (
        day_month_year(image.day),
        foot_name(image.foot) if image.foot else NO_FOOT,
        image.view,
        image.received_from or NOBODY,
        day_month_year(image.received_on) if image.received_on else "",
        image.purpose,
        "" if trims is None else str(trims),
        image.given_name,
        image.note,
    )
    return tuple((label, words) for label, words in zip(LABELS, told, strict=True) if words)


def file_says_day(day: date) -> str:
    return f"The file itself says {day_month_year(day)}."


def file_names(horse: str) -> str:
    return f"The file itself names “{horse}”."


def first_of(frames: int) -> str:
    return f"The first of {frames} pictures in the file."


def taken_line(image: VetImage, *, known: bool, shown: bool) -> str:
    """What the command line says of one that was taken in."""
    parts = (
        caption(image),
        f"taken {day_month_year(image.day)}",
        image.received_from and f"from {image.received_from}",
    )
    state = [ALREADY_HERE] if known else []
    said = "; ".join([", ".join(part for part in parts if part), *state, *([] if shown else [CANNOT_BE_SHOWN])])
    return f"{said.removesuffix('.')}. {image.note}".strip()


def paper_label(image: VetImage, trims: int | None) -> tuple[str, tuple[str, ...]]:
    """What stands beside it on a vet's paper: title and lines."""
    count = "" if trims is None else f"{trims_words(trims).removesuffix(' since')} until the photos"
    came = f"received {day_month_year(image.received_on)}" if image.received_on else "received"
    day = f"{'Dated' if is_report(image) else 'Taken'} {day_month_year(image.day)}"
    lines = (
        ", ".join(part for part in (day, count) if part),
        f"{NOT_MEASURED[:-1]}; {came} from {image.received_from}"
        if image.received_from
        else f"{NOT_MEASURED[:-1]}; {NOBODY}",
        f"for: {image.purpose}" if image.purpose else "",
    )
    title = caption(image) if image.view or is_report(image) else f"{caption(image)}, {NO_VIEW}"
    return title, tuple(line for line in lines if line)


def paper_alt(horse: str, image: VetImage) -> str:
    """What somebody who cannot see it is told."""
    return f"Image of the vet's, {horse}, {caption(image)}, taken {day_month_year(image.day)}; not measured here."


def more_images(count: int) -> str:
    return f"{count} older {'image' if count == 1 else 'images'} of the vet's not shown here; they can be asked for."


def pass_on(names: Sequence[str], vet: str) -> str:
    """What to think of before images of somebody's are sent to somebody else."""
    whose = " and ".join(dict.fromkeys(name or NOBODY for name in names))
    to = f" to {vet.removesuffix('.')}" if vet else ""
    return f"It holds images of a vet's ({whose}), given for what is told beside them. Ask before they go{to}."
