"""The place How measured: one measure at a time, or all of them, each with its source."""

from __future__ import annotations

from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.sections_page import SectionsPage
from hoofbook.terms.shown import Section
from hoofbook.wording import labels
from hoofbook.wording.without_looking import START as MARK_AGAIN


class HowMeasuredPlace(SectionsPage):
    """Sections of text; opened with `measure` it shows that one first, with a way to all."""

    def __init__(self, state: AppState) -> None:
        self._state = state
        self.all = Button(labels.ALL_MEASURES, "outline", lambda: self.show_horse(""))
        self.again = Button(MARK_AGAIN, "plain", lambda: state.go("mark_again"))
        super().__init__(self.all, self.again)

    def show_horse(self, horse_key: str, **where: str) -> None:
        measure = where.get("measure", "")
        self.all.setVisible(bool(measure))
        book = self._state.open_book
        self.again.setVisible(book is not None and not book.read_only)
        how = self._state.casework.how_measured
        self._state.background.read(
            self,
            lambda: _ordered(how.about(measure), how.own_figures(book, measure), measure),
            self.show_sections,
            replaces="about",
        )


def _ordered(about: tuple[Section, ...], own: tuple[Section, ...], measure: str) -> tuple[Section, ...]:
    """The measure asked for comes first, then the book's own figures; with all measures the own figures lead."""
    return (*about[:1], *own, *about[1:]) if measure else (*own, *about)
