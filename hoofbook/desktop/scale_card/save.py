"""Ask where the card shall be kept, and make it there."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from hoofbook.desktop.ask_files import ask_and_make
from hoofbook.desktop.state import AppState
from hoofbook.wording import labels


def ask_and_save(state: AppState, parent: QWidget, paper: str) -> None:
    """Makes the PDF for `paper` ("a4" or "letter") where the person says, and says where it is."""
    ask_and_make(
        state,
        parent,
        labels.SAVE_CARD,
        f"hoofbook-card-{paper}.pdf",
        make=lambda file: state.casework.scale_card.make_card(paper, file),
        said=labels.CARD_MADE,
    )
