"""Writing what Then and now shows to a file: asks where, and lets the window go on meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QWidget

from hoofbook.desktop.state import AppState
from hoofbook.desktop.then_and_now.pair_view import Way
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.then_and_now import PairSheet
    from hoofbook.desktop.then_and_now.pair_page import PairPage

KINDS = {".png": (words.PICTURES, "*.png *.jpg *.jpeg"), ".gif": (words.FILMS, "*.gif")}
TITLES = {".png": words.SAVE_PICTURE_TITLE, ".gif": words.SAVE_FILM_TITLE}


def ask_file(parent: QWidget, name: str) -> Path | None:
    """Where the file shall go; its kind follows from the name that is proposed."""
    kind = Path(name).suffix
    said, endings = KINDS[kind]
    found, _kind = QFileDialog.getSaveFileName(parent, TITLES[kind], name, f"{said} ({endings})")
    return Path(found) if found else None


def save_pair(state: AppState, page: PairPage, sheet: PairSheet, ask: Callable[[str], Path | None]) -> None:
    """Write the pair as it is shown, with everything burnt in; a flip is written side by side."""
    if sheet.then is None or sheet.now is None:
        return
    out = ask(f"{sheet.title} {sheet.then.day} {sheet.now.day}.png")
    if out is None:
        return
    canvas = page.canvas
    layout = canvas.way.value if canvas.way is not Way.FLIP else Way.SIDE_BY_SIDE.value
    book, pairs, at = state.open_book, state.casework.then_and_now, canvas.amount
    page.say(words.SAVING)

    def ended(said: object) -> None:
        page.say("")
        state.notice(said)  # type: ignore[arg-type]

    def done(path: Path) -> None:
        ended(words.PICTURE_SAVED.format(file=path))

    state.background.pixels(page, lambda: pairs.export_pair(book, sheet, out, layout, at), done, ended)
