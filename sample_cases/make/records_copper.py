"""Records of the invented case Copper as plain JSON: a crack in the inside quarter, the vet's plan, bar shoes."""

from __future__ import annotations

from typing import Any

import copper
from parts import event, seen, sole, work

CRACK = "inside quarter"
BAR = "steel, straight bar, 22 x 8 mm"
OPEN = "steel, fullered, 22 x 8 mm"
NEW, RESET, TRIM, NOTHING = "new, nailed", "reset", "trim", "nothing"
AAEP = "0-5 (AAEP)"
LIVE = sole(["packed"], ["live"], "loose flakes only")


def _feet(left: dict[str, Any], right: dict[str, Any], hinds: str = TRIM) -> dict[str, Any]:
    return {"LF": left, "RF": right, "LH": {"work": hinds}, "RH": {"work": hinds}}


VISITS: dict[int, dict[str, Any]] = {
    1: {
        "visit_kind": "sore call",
        "work": _feet(work(TRIM, None, None, note="no patch: open and bled"), work(TRIM, None, None)),
        "sole": LIVE,
        "seen": [
            seen("LF", "complete, deep crack", f"{CRACK} at the coronet", note="opens on load, bled"),
            seen("LF", "bulb higher", "inside", size_mm=7.0, note="± 2 mm, by ruler"),
            seen("LF", "lands outside first"),
            seen("LF", "lame at trot on hard ground", severity="3", grade_scale=AAEP, note="farrier's view"),
        ],
        "notes": "Vet called the same day.",
        "walked_off": "same",
        "since_last": "sore now",
        "next_due": "2025-03-07",
    },
    2: {
        "visit_kind": "with vet",
        "work": _feet(
            work(NEW, 5, BAR, note="inside quarter floated, no nail inside behind the toe quarter"),
            work(NEW, 6, OPEN),
            NOTHING,
        ),
        "sole": sole(["live"], ["live"], "none"),
        "seen": [seen("LF", "crack cleaned out by the vet", CRACK)],
        "notes": "By the vet's written plan of 6 Mar.",
        "walked_off": "better",
        "since_last": "vet seen",
        "watch_next": "Left fore: no nail inside behind the toe quarter.",
        "next_due": "2025-04-08",
    },
    3: {
        "work": _feet(work(RESET, 5, BAR), work(RESET, 6, OPEN)),
        "sole": LIVE,
        "seen": [
            seen("LF", "dry crack, opens slightly", CRACK),
            seen("LF", "lame at trot on hard ground", severity="1", grade_scale=AAEP, note="the vet's view"),
        ],
        "notes": "",
        "walked_off": "same",
        "since_last": "vet seen",
        "watch_next": "Left fore: keep the inside quarter off the bar.",
        "next_due": "2025-05-13",
    },
    4: {
        "work": _feet(work(NEW, 5, BAR), work(NEW, 6, OPEN)),
        "sole": LIVE,
        "seen": [
            seen("LF", "stable, dry crack", CRACK),
            seen("LF", "bulb higher", "inside", size_mm=6.0, note="± 2 mm, by ruler"),
        ],
        "notes": "Vet laces the crack tomorrow.",
        "walked_off": "same",
        "since_last": "nothing new",
        "next_due": "2025-06-17",
    },
    5: {
        "work": _feet(work(RESET, 5, BAR), work(RESET, 6, OPEN)),
        "sole": LIVE,
        "seen": [seen("LF", "sound at trot on hard ground", severity="0", grade_scale=AAEP, note="the vet's view")],
        "notes": "Lacing tight.",
        "walked_off": "same",
        "since_last": "vet seen",
        "next_due": "2025-07-22",
    },
    6: {
        "work": _feet(work(NEW, 5, BAR), work(RESET, 6, OPEN)),
        "sole": LIVE,
        "seen": [seen("LF", "lacing held", CRACK)],
        "notes": "",
        "walked_off": "same",
        "since_last": "lost shoe",
        "watch_next": "Left fore: low end of the crack comes down to the clenches.",
        "next_due": "2025-08-26",
    },
    7: {
        "work": _feet(
            work(NEW, 5, OPEN, note="plain shoe: low end of the crack near the clenches"), work(NEW, 6, OPEN)
        ),
        "sole": LIVE,
        "seen": [
            seen("LF", "low end of the crack near the clenches"),
            seen("LF", "bulb higher", "inside", size_mm=5.0, note="± 2 mm, by ruler"),
        ],
        "notes": "Handover pack made for the winter yard.",
        "walked_off": "same",
        "since_last": "nothing new",
        "watch_next": "Left fore: no nail through the last of the crack.",
        "next_due": None,
    },
}
EVENTS = [
    event("2025-03-04", "call", "LF", "Vet called and spoken to directly about the crack."),
    event(
        "2025-03-06",
        "direction from vet",
        "LF",
        "In writing: straight bar shoe, inside quarter floated, no nail inside behind the toe quarter.",
        told_by="Vet D.",
    ),
    event("2025-05-14", "note", "LF", "Crack laced by the vet.", told_by="Vet D."),
    event("2025-07-09", "lost shoe", "LF", "Lost left fore, lacing held.", day_of_cycle=22),
    event("2025-08-26", "note", None, "Handover pack made."),
]


def case_record() -> dict[str, Any]:
    """The whole case; every person and horse is invented."""
    return {
        "version": 1,
        "invented": True,
        "horse": {
            "name": "Copper",
            "sex": "gelding",
            "age_years": 8,
            "height_cm": 165,
            "breed": "Warmblood",
            "use": "show jumping",
            "status": "moved",
        },
        "owner": "R. M.",
        "yard": "Thistle Bank Yard",
        "farrier": "Demo Farrier",
        "vet": "Vet D.",
        "goals": [
            {
                "foot": "LF",
                "measure": "new_horn_length",
                "definition": "",
                "moment": "after trim",
                "wanted": "more",
                "set": "2025-03-04",
            }
        ],
        "goal_in_words": "Whole horn down to the ground at the left fore's inside quarter. Moved to the winter yard.",
        "visits": [
            {"visit": number, "date": date, **VISITS[number], "hand_measures": []}
            for number, date in copper.DATES.items()
        ],
        "events": EVENTS,
        "vets_values": [],
    }
