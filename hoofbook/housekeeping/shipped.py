"""Finds what comes with the program: inside the installed package, or at the top of a checkout."""

from __future__ import annotations

from pathlib import Path

from hoofbook.terms.refusal import Refusal, Refused

_PACKAGE = Path(__file__).resolve().parent.parent
_PLACES = (_PACKAGE / "_shipped", _PACKAGE.parent)


def resource(*parts: str) -> Path:
    """The file or folder `resources/<parts>`. Refused: `shipped_missing`."""
    return _find("resources", *parts)


def sample_case(name: str = "") -> Path:
    """The folder of one sample case, or of all of them. Refused: `shipped_missing`."""
    return _find("sample_cases", name) if name else _find("sample_cases")


def _find(*parts: str) -> Path:
    for place in _PLACES:
        found = place.joinpath(*parts)
        if found.exists():
            return found
    raise Refused(Refusal("shipped_missing", {"file": "/".join(parts)}))
