"""Records of the invented case Juniper as plain JSON: a pony cob, barefoot, with unlike fore feet."""

from __future__ import annotations

from typing import Any

import juniper
from parts import seen, sole, work

UNLIKE = [seen("LF", "upright"), seen("RF", "flat")]
ADVICE = "Feed level and at the ground."
LAST = "2025-09-04"  # rain: trimmed, not photographed
NEXT_DUE = {
    1: "2025-03-20",
    2: "2025-05-01",
    3: "2025-06-12",
    4: "2025-07-24",
    5: "2025-09-04",
    6: "2025-10-16",
}
BEFORE = {1: "packed", 2: "packed", 3: "chalky", 4: "chalky", 5: "chalky", 6: "packed"}
NOTES = {
    1: "Stands with the right fore in front when grazing and at the hay.",
    2: "",
    3: "",
    4: "Hay now fed level.",
    5: "",
    6: "No photos: pouring, and no dry place to stand.",
}


def _visit(number: int, date: str) -> dict[str, Any]:
    trim = work("trim", None, None)
    return {
        "visit": number,
        "date": date,
        "work": {"LF": dict(trim), "RF": dict(trim), "LH": {"work": "trim"}, "RH": {"work": "trim"}},
        "sole": sole([BEFORE[number]], ["live"], "loose flakes only", wet=number in (1, 6)),
        "seen": UNLIKE if number == 1 else [],
        "stance": "points RF",
        "advice": ADVICE if number in (1, 5) else "",
        "notes": NOTES[number],
        "walked_off": "same",
        "since_last": "" if number == 1 else "nothing new",
        "hand_measures": [],
        "next_due": NEXT_DUE[number],
    }


def case_record() -> dict[str, Any]:
    """The whole case; every person and horse is invented."""
    dates = {**juniper.DATES, 6: LAST}
    return {
        "version": 1,
        "invented": True,
        "horse": {
            "name": "Juniper",
            "sex": "mare",
            "age_years": 6,
            "height_cm": 138,
            "breed": "Pony cob",
            "use": "hacks and pony club",
        },
        "owner": "T. W.",
        "yard": "Thistle Bank Yard",
        "farrier": "Demo Farrier",
        "vet": "Vet D.",
        "goals": [
            {
                "foot": "LF",
                "less": "RF",
                "measure": "toe_angle",
                "definition": "",
                "moment": "after trim",
                "wanted": "less",
                "set": "2025-01-30",
            }
        ],
        "goal_in_words": "Fore feet more alike.",
        "visits": [_visit(number, date) for number, date in dates.items()],
        "events": [],
        "vets_values": [],
    }
