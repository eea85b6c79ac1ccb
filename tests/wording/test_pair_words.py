"""What stands beside a pair of photos."""

from __future__ import annotations

from datetime import date

from hoofbook.terms.views import Moment
from hoofbook.wording.pairs import pair_subtitle

DAYS = (date(2025, 1, 14), date(2025, 2, 25))


def test_bare_and_shod_are_told_of_both_photos() -> None:
    """A shoe lifts the foot: two photos of which one is shod must not be called alike (common practice, no source)."""
    assert pair_subtitle(Moment.FINISHED, (True, True), *DAYS) == "finished, shod · 6 weeks apart"
    assert pair_subtitle(Moment.FINISHED, (False, True), *DAYS) == "finished, bare then, shod now · 6 weeks apart"
