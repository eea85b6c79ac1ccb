"""The present version of every method that measures: what a kept figure may have been made by, and is by now.

A method's name is its family and a number ("side view 1"). When its definition or its corrections change so that the
same marks give other figures, the number rises, and whatever an earlier number made is measured anew from its marks.
"""

from __future__ import annotations

import re

from hoofbook.measure import along_sole, crack, dorsal, lateral, solar
from hoofbook.measure.concavity import measures as concavity

_NUMBERED = re.compile(r"^(?P<family>.*?) (?P<number>\d+)$")


def present_methods() -> frozenset[str]:
    """Names of all methods that this version of the program measures by."""
    return frozenset(module.METHOD for module in (along_sole, concavity, crack, dorsal, lateral, solar))


def is_outdated(method: str) -> bool:
    """True for a method whose family measures by a higher number now; hand, unknown and newer ones never are."""
    found = _NUMBERED.match(method)
    if found is None:
        return False
    present = [named for name in present_methods() if (named := _NUMBERED.match(name))]
    numbers = [int(named.group("number")) for named in present if named.group("family") == found.group("family")]
    return bool(numbers) and int(found.group("number")) < max(numbers)
