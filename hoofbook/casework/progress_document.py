"""Readings, changes and verdicts as the JSON document of the command line."""

from __future__ import annotations

from typing import Any

from hoofbook.casework.progress_text import ProgressReport, Told
from hoofbook.progress.change import Look
from hoofbook.progress.series import Reading
from hoofbook.wording.refusals import sentence
from hoofbook.wording.verdicts import full_sentence


def document(report: ProgressReport) -> dict[str, Any]:
    """The JSON document of the command line."""
    return {
        "series": [_series_document(item) for item in report.told],
        "looked_at": report.looked_at,
        "goals": report.goals,
        "measured_anew": list(report.measured_anew),
    }


def _series_document(item: Told) -> dict[str, Any]:
    progress, series = item.progress, item.progress.series
    refusals = [{"code": refusal.code, "reason": sentence(refusal)} for _, refusal in series.left_out]
    if progress.refusal is not None:
        refusals.append({"code": progress.refusal.code, "reason": sentence(progress.refusal)})
    return {
        "horse": item.horse,
        "foot": series.foot.value if series.foot else None,
        "measure": series.measure,
        "definition": series.definition.value,
        "moment": series.moment.value,
        "goal": item.is_goal,
        "wanted": item.wanted.value if item.wanted else None,
        "readings": [_reading_document(reading) for reading in series.readings],
        "looks": [_look_document(look) for look in progress.looks],
        "verdict": progress.verdict.value if progress.verdict else None,
        "as_wanted": progress.as_wanted,
        "change": progress.change,
        "low": progress.low,
        "high": progress.high,
        "smallest_change_shown": progress.smallest_change_shown,
        "next_look": progress.next_look,
        "sentence": full_sentence(progress),
        "refusals": refusals,
    }


def _reading_document(reading: Reading) -> dict[str, Any]:
    return {
        "date": reading.day.isoformat(),
        "value": reading.value,
        "u": reading.u,
        "days_since_trim": reading.days_since_trim,
        "method": reading.method,
    }


def _look_document(look: Look) -> dict[str, Any]:
    return {
        "reading": look.reading,
        "date": look.day.isoformat(),
        "verdict": look.verdict.value,
        "change": look.change,
        "low": look.low,
        "high": look.high,
    }
