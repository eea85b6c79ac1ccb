"""Fills facts into a sentence so that a missing fact never breaks it.

`{edge:.0f}` takes the fact `edge`; `{file|the photo}` falls back to the words after the bar; a part in square brackets
is left out as a whole where one of its facts is missing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from hoofbook.terms.refusal import Fact

_FIELD = re.compile(r"\{(\w+)(?::([^|}]*))?(?:\|([^}]*))?\}")
_OPTIONAL = re.compile(r"\[([^\]]*)\]")


def fill(template: str, facts: Mapping[str, Fact]) -> str:
    """The sentence with its facts, one space between words."""
    kept = _OPTIONAL.sub(lambda found: _optional(found.group(1), facts), template)
    return re.sub(r" {2,}", " ", _FIELD.sub(lambda found: _one(found, facts), kept)).strip()


def _optional(part: str, facts: Mapping[str, Fact]) -> str:
    return part if all(_there(found, facts) for found in _FIELD.finditer(part)) else ""


def _there(found: re.Match[str], facts: Mapping[str, Fact]) -> bool:
    return facts.get(found.group(1)) not in (None, "")


def _one(found: re.Match[str], facts: Mapping[str, Fact]) -> str:
    name, spec, otherwise = found.groups()
    if not _there(found, facts):
        return otherwise if otherwise is not None else ""
    value = facts[name]
    if spec and isinstance(value, int | float) and not isinstance(value, bool):
        return format(value, spec).replace("-", "\u2212")
    return str(value)
