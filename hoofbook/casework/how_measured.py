"""The place How measured: definitions, formulas, sources, guides and what is not claimed."""

from __future__ import annotations

from functools import cache

from hoofbook.casework.open_book import OpenBook
from hoofbook.housekeeping.shipped import resource
from hoofbook.terms.shown import Section
from hoofbook.wording.about import Guidance, guides_of, pair_guides_of, read_guidance, sections


def about(measure: str = "") -> tuple[Section, ...]:
    """How one measure (or, without a name, every measure) is defined and computed, then what holds for all.

    Raises:
        Refused: `shipped_missing` where the table of guides is not there.
    """
    return sections(_guidance(), measure)


def own_figures(open_book: OpenBook | None, measure: str = "") -> tuple[Section, ...]:
    """What this book's own second takes and passes made without looking tell; without a book nothing."""
    from hoofbook.casework.repeatability import own_figures as of_book

    return of_book(open_book, measure) if open_book is not None else ()


def guides(measure: str) -> tuple[str, ...]:
    """Figures reported for other horses, each with its source and caution; never a verdict."""
    return guides_of(_guidance(), measure)


def pair_guides(measure: str) -> tuple[str, ...]:
    """The same, of the difference between left and right."""
    return pair_guides_of(_guidance(), measure)


@cache
def _guidance() -> Guidance:
    return read_guidance(resource("guidance.toml").read_text(encoding="utf-8"))
