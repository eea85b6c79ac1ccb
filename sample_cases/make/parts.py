"""Short words for writing a case's records down as plain data."""

from __future__ import annotations

from typing import Any


def work(
    kind: str, nails: int | None, shoe: str | None, pad: str | None = None, note: str | None = None
) -> dict[str, Any]:
    """What was done on one fore foot."""
    return {"work": kind, "shoe": shoe, "nails": nails, "pad": pad, "note": note}


def sole(before: list[str], after: list[str], pared: str, wet: bool = False) -> dict[str, Any]:
    return {"before": before, "after": after, "pared": pared, "wet": wet}


def seen(foot: str, what: str, place: str | None = None, **more: Any) -> dict[str, Any]:
    """A finding; ``more``: ``size_mm``, ``severity`` with its ``grade_scale``, ``note``."""
    return {"foot": foot, "seen": what, "place": place, **more}


def event(date: str, kind: str, foot: str | None, text: str, **more: Any) -> dict[str, Any]:
    return {"date": date, "kind": kind, "foot": foot, **more, "text": text}
