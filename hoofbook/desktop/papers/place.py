"""The place Papers: one page per paper, and the list of what was made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from hoofbook.desktop.papers.handover import HandoverDesk
from hoofbook.desktop.papers.made import MadeList
from hoofbook.desktop.papers.owner import OwnerDesk
from hoofbook.desktop.papers.vet import VetDesk
from hoofbook.desktop.state import AppState
from hoofbook.desktop.widgets.pick_row import PickRow
from hoofbook.terms.shown import Pick
from hoofbook.wording import papers_place as words

PaperPage = OwnerDesk | VetDesk | HandoverDesk | MadeList
MAKERS: Mapping[str, Callable[[AppState], PaperPage]] = MappingProxyType(
    {"owner": OwnerDesk, "vet": VetDesk, "handover": HandoverDesk, "made": MadeList}
)


class PapersPlace(QWidget):
    """A switch above, the chosen page below; a page is made when it is first asked for."""

    def __init__(self, state: AppState) -> None:
        super().__init__()
        self._state = state
        self.horse = ""
        self.pages: dict[str, PaperPage] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.switch = PickRow(style="track", name=words.WHICH)
        self.switch.picked.connect(lambda _field, name: self.show_paper(name))
        line = QHBoxLayout()
        line.setContentsMargins(28, 16, 28, 8)
        line.addWidget(self.switch)
        line.addStretch(1)
        column.addLayout(line)
        self.stack = QStackedWidget()
        column.addWidget(self.stack, 1)
        self.shown = "owner"

    def show_horse(self, horse_key: str, **where: str) -> None:
        """Show a paper of this horse: `paper` (owner, vet, handover, made) and what that page takes."""
        self.horse = horse_key
        self.show_paper(where.pop("paper", "") or self.shown, **where)

    def show_paper(self, name: str, **where: str) -> None:
        if name not in self.pages:
            page = MAKERS[name](self._state)
            if isinstance(page, MadeList):
                page.anew.connect(self.show_paper)
            self.pages[name] = page
            self.stack.addWidget(page)
        self.shown = name
        keys = tuple(MAKERS)
        self.switch.set_pick(Pick("paper", words.WHICH, keys, tuple(words.PAPERS[key] for key in keys), name))
        self.stack.setCurrentWidget(self.pages[name])
        self.pages[name].show_horse(self.horse, **where)

    def leave(self) -> bool:
        return True
