"""The subjects of the book: one frozen dataclass each, with no knowledge of how it is kept."""

from hoofbook.terms.subjects.horses import (
    FootRecord,
    Goal,
    Horse,
    HorseStatus,
    Limit,
    Person,
    PersonRole,
    Wanted,
    Yard,
)
from hoofbook.terms.subjects.journal import (
    Correction,
    Event,
    EventKind,
    HandMeasure,
    MeasuredAnew,
    PaperMade,
    VetValue,
)
from hoofbook.terms.subjects.photos import MarkingPass, MeasureKept, Photo, Sighting
from hoofbook.terms.subjects.visits import Finding, FootWork, Shoeing, SolePared, SoleState, Visit, VisitKind, Work

__all__ = [
    "Correction",
    "Event",
    "EventKind",
    "Finding",
    "FootRecord",
    "FootWork",
    "Goal",
    "HandMeasure",
    "Horse",
    "HorseStatus",
    "Limit",
    "MarkingPass",
    "MeasureKept",
    "MeasuredAnew",
    "PaperMade",
    "Person",
    "PersonRole",
    "Photo",
    "Shoeing",
    "Sighting",
    "SolePared",
    "SoleState",
    "VetValue",
    "Visit",
    "VisitKind",
    "Wanted",
    "Work",
    "Yard",
]
