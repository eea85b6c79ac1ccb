"""Words of the place Bench that are made from what is known of a photo."""

from __future__ import annotations

from datetime import datetime

from hoofbook.terms.card import CardSighting
from hoofbook.terms.feet import Foot
from hoofbook.terms.measured import Scale
from hoofbook.terms.quantity import Unit
from hoofbook.terms.views import Moment, View
from hoofbook.wording.dates import weekday_day_month_year
from hoofbook.wording.marks import mark_spoken
from hoofbook.wording.numbers import limit
from hoofbook.wording.places import foot_name, moment_name, view_name

NO_BENCH_PHOTOS = (
    "Nothing on the Bench yet",
    "Here you mark heel, toe and sole on a photo and read angles and lengths with their ±. Bring photos in first.",
    "Photos in",
)
ALL_MARKED = "all photos of this visit are marked"
_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five"}


def photo_title(foot: Foot | None, view: View | None, photos_in_set: int, *, from_inside: bool = False) -> str:
    """`Left fore, side`; `Left fore, side, inside`; `Left fore, sole, three photos`."""
    seen = view_name(view, from_inside=from_inside).lower() if view else "view not told"
    words = [foot_name(foot) if foot else "Foot not told", seen]
    if photos_in_set > 1:
        words.append(f"{_NUMBERS.get(photos_in_set, str(photos_in_set))} photos")
    return ", ".join(words)


def photo_subtitle(moment: Moment | None, local_time: str, shod: bool) -> str:
    """`after trim, bare · Tue 30 Sep 2025, 10:12`"""
    state = "shod" if shod else "bare"
    words = [f"{moment_name(moment).lower()}, {state}" if moment else "moment not told"]
    try:
        when = datetime.fromisoformat(local_time)
        words.append(f"{weekday_day_month_year(when.date())}, {when:%H:%M}")
    except ValueError:
        words.append("no date in the photo")
    return " · ".join(words)


def marked_note(marks: int) -> str:
    return "not marked" if marks == 0 else ("1 mark" if marks == 1 else f"{marks} marks")


def progress_words(done: int, total: int) -> str:
    return f"{done} of {total} photos of this visit marked"


def card_words(sighting: CardSighting | None, scale: Scale | None, view: View) -> tuple[str, bool, str]:
    """What the card says of a photo: one sentence, whether all is well, and the figures for those who ask."""
    if sighting is None:
        return "No card seen: angles and ratios only", False, "Stand the card beside the foot next time."
    sharp = sighting.edge_width_px < SHARP_EDGE_PX
    turned = scale is not None and max(abs(scale.turn_deg or 0.0), abs(scale.tilt_deg or 0.0)) > TURNED_DEG
    words = ["sharp" if sharp else "soft"]
    if scale is not None:
        words.append("seen at a slant" if turned else "square")
    if view in (View.LATERAL, View.DORSAL, View.PALMAR, View.PLANTAR):
        words.append("standing on the ground")
    good = sharp and (not turned or view is View.SOLAR)
    return f"Card {'good' if good else 'seen'}: {', '.join(words)}", good, _details(sighting, scale)


SHARP_EDGE_PX = 5.0  # width of a black-white edge above which corners are no longer trusted to a fraction of a pixel
TURNED_DEG = 8.0


def _details(sighting: CardSighting, scale: Scale | None) -> str:
    parts = [f"{len(sighting.corners)} corners, edges {sighting.edge_width_px:.1f} px wide"]
    if scale is not None:
        parts += [f"{scale.px_per_mm:.1f} px/mm"] if scale.px_per_mm else []
        parts += [f"turned {abs(scale.turn_deg):.0f}°"] if scale.turn_deg is not None else []
        parts += [f"lens {scale.lens_height_mm / 10:.0f} cm above the ground"] if scale.lens_height_mm else []
        parts += [f"{scale.distance_mm / 1000:.2f} m away"] if scale.distance_mm else []
    return " · ".join(parts)


def next_photo_brings(now: float, after: float) -> str:
    """`One photo more should bring it from ± 0.9 mm to about ± 0.6 mm.`; nothing where it would change little."""
    if after > LITTLE * now:
        return ""
    return f"One photo more should bring it from ± {limit(now, Unit.MM)} to about ± {limit(after, Unit.MM)}."


LITTLE = 0.95  # share of the ± above which another photo is not worth the time at the horse


def mark_far_words(mark: str, photo: int, px: float, *, certain: bool) -> str:
    """`Sole edge 7 in photo 2 is 41 px off: look again`; where two photos alone show it, either may be at fault."""
    name = mark_spoken(mark)
    where = f"in photo {photo} is {round(px)} px off" if certain else f"is {round(px)} px off between its two photos"
    return f"{name[0].upper()}{name[1:]} {where}: look again"
