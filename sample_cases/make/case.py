"""Records of the invented case Larkspur as plain JSON (visits, work, events, hand measures, goals)."""

from __future__ import annotations

import pathlib
from typing import Any

import scenario
from parts import event, seen, sole


def _work(kind: str, nails: int | None, shoe: str, pad: str | None, note: str | None = None) -> dict[str, Any]:
    front: dict[str, Any] = {"work": kind, "shoe": shoe, "nails": nails, "pad": pad, "note": note}
    return {"LF": dict(front), "RF": dict(front), "LH": {"work": "trim"}, "RH": {"work": "trim"}}


def _gauge(foot: str, name: str, moment: str, definition: str | None, value: float) -> dict[str, Any]:
    return {
        "foot": foot,
        "measure": name,
        "moment": moment,
        "definition": definition,
        "value": value,
        "unit": "mm",
        "how": "hand gauge",
    }


BEFORE_TRIM_LF = {1: 4.1, 2: 8.9, 3: 9.6, 4: 9.0, 5: 9.8, 6: 10.1, 7: 10.9}
NEW, RESET, GLUED = "new, nailed", "reset", "glued"
STEEL, ALLOY = "steel, fullered, 20 x 8 mm", "aluminium, glue-on"

RECORDS: dict[int, dict[str, Any]] = {
    1: {
        "kind": "shoeing",
        "work": _work(NEW, 6, STEEL, "leather pad 4 mm, packing"),
        "sole": sole(["soft"], ["live"], "loose flakes only"),
        "seen": [
            seen("LF", "flat sole"),
            seen("RF", "flat sole"),
            seen("RF", "old bruise", "inside toe"),
            seen("RF", "hoof tester: mild answer", "inside toe"),
        ],
        "notes": "First set. Both fores flat.",
    },
    2: {
        "kind": "shoeing",
        "work": _work(RESET, 6, STEEL, "leather pad 4 mm"),
        "sole": sole(["packed"], ["live"], "loose flakes only"),
        "seen": [],
        "notes": "Vet's films of 20 Feb looked at together.",
    },
    3: {
        "kind": "shoeing",
        "work": _work(GLUED, None, ALLOY, None, "wall rest: broken nail holes"),
        "sole": sole(["chalky", "held (wet)"], ["live"], "loose flakes only", wet=True),
        "seen": [seen("LF", "wall broken", "outside quarter"), seen("RF", "wall broken", "outside quarter")],
        "notes": "Wet month. 8 days late.",
    },
    4: {
        "kind": "shoeing",
        "work": _work(GLUED, None, ALLOY, None),
        "sole": sole(["chalky"], ["live"], "to live sole"),
        "seen": [seen("RF", "no bruise"), seen("RF", "hoof tester: no answer")],
        "notes": "",
    },
    5: {
        "kind": "shoeing",
        "work": _work(GLUED, None, ALLOY, None),
        "sole": sole(["waxy"], ["waxy"], "none"),
        "seen": [],
        "notes": "Dry month.",
    },
    6: {
        "kind": "shoeing",
        "work": _work(NEW, 5, STEEL, None),
        "sole": sole(["waxy"], ["waxy"], "none"),
        "seen": [seen("RF", "one close nail drawn, sound off", "nail O3")],
        "notes": "No left fore side view after trim: forgotten.",
    },
    7: {
        "kind": "shoeing",
        "work": _work(RESET, 5, STEEL, None),
        "sole": sole(["waxy"], ["waxy"], "loose flakes only"),
        "seen": [],
        "notes": "Vet's films of 24 Sep received.",
    },
}
TOLD: dict[int, dict[str, str]] = {
    1: {
        "walked_off": "same",
    },
    2: {
        "since_last": "vet seen",
        "walked_off": "same",
    },
    3: {
        "since_last": "lost shoe",
        "walked_off": "same",
        "watch_next": "Outside quarters: no nails until the broken wall has grown down.",
    },
    4: {
        "since_last": "nothing new",
        "walked_off": "same",
        "watch_next": "Outside quarters: glue again.",
    },
    5: {
        "since_last": "nothing new",
        "walked_off": "same",
    },
    6: {
        "since_last": "nothing new",
        "walked_off": "same",
        "watch_next": "Right fore: keep clear of outside nail 3, drawn today.",
    },
    7: {
        "since_last": "vet seen",
        "walked_off": "same",
        "watch_next": "Right fore: keep clear of outside nail 3, drawn on 19 Aug. No glue for one more cycle.",
    },
}
NEXT_DUE = {
    1: "2025-02-25",
    2: "2025-04-08",
    3: "2025-05-28",
    4: "2025-07-08",
    5: "2025-08-19",
    6: "2025-09-30",
    7: "2025-11-11",
}


def _visits() -> list[dict[str, Any]]:
    visits = []
    for number, row in scenario.VISITS.items():
        measures = [
            _gauge("LF", "sole_concavity_at_frog_apex", "before trim", "from_wall_edge", BEFORE_TRIM_LF[number])
        ]
        if number == 1:
            measures.append(_gauge("LF", "groove_depth", "after trim", None, 3.0))
            measures.append(_gauge("RF", "groove_depth", "after trim", None, 4.0))
        visits.append(
            {
                "visit": number,
                "date": row.date,
                **RECORDS[number],
                **TOLD[number],
                "hand_measures": measures,
                "next_due": NEXT_DUE[number],
            }
        )
    return visits


def _events() -> list[dict[str, Any]]:
    words = "Lost right fore, shoe found, wall broken outside quarter. Refitted free."
    return [event("2025-03-22", "lost shoe", "RF", words, day_of_cycle=25)]


def _films() -> list[dict[str, Any]]:
    def film(date: str, foot: str, depth: float, cup: float) -> dict[str, Any]:
        return {
            "date": date,
            "foot": foot,
            "from": "Vet D.",
            "sole_depth_mm": depth,
            "cup_mm": cup,
            "shod": False,
            "quoted": True,
        }

    return [
        film("2025-02-20", "LF", 9, 2),
        film("2025-02-20", "RF", 10, 2),
        film("2025-09-24", "LF", 12, 5),
        film("2025-09-24", "RF", 11, 3),
    ]


def case_record() -> dict[str, Any]:
    """The whole case; every person and horse is invented."""
    goal = {
        "measure": "sole_concavity_at_frog_apex",
        "definition": "from_sole_edge",
        "moment": "after trim",
        "wanted": "more",
        "set": "2024-12-03",
    }
    return {
        "version": 1,
        "invented": True,
        "horse": {
            "name": "Larkspur",
            "sex": "mare",
            "age_years": 11,
            "height_cm": 158,
            "breed": "Thoroughbred cross",
            "use": "hacks on lanes",
        },
        "owner": "A. K.",
        "yard": "Thistle Bank Yard",
        "farrier": "Demo Farrier",
        "vet": "Vet D.",
        "goals": [{"foot": "LF", **goal}, {"foot": "RF", **goal}],
        "goal_in_words": "No more bruising; both front soles more hollow.",
        "visits": _visits(),
        "events": _events(),
        "vets_values": _films(),
    }


def write_cases(out: pathlib.Path) -> None:
    import records_copper
    import records_juniper
    from truth import write_json

    write_json(out / "larkspur" / "case.json", case_record())
    write_json(out / "copper" / "case.json", records_copper.case_record())
    write_json(out / "juniper" / "case.json", records_juniper.case_record())
