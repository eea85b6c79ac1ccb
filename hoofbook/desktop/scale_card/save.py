"""Ask where the card shall be kept, and make it there."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.wording import labels


def ask_and_save(state: AppState, parent: QWidget, paper: str) -> None:
    """Makes the PDF for `paper` ("a4" or "letter") where the person says, and says where it is."""
    start = Path.home() / f"hoofbook-card-{paper}.pdf"
    name, _kind = QFileDialog.getSaveFileName(parent, labels.SAVE_CARD, str(start), f"{labels.PDF_FILES} (*.pdf)")
    if not name:
        return
    state.background.pixels(
        parent,
        lambda: state.casework.scale_card.make_card(paper, Path(name)),
        lambda file: state.notice(labels.CARD_MADE.format(file=file)),
        state.notice,
    )
