"""Buttons: what can be pressed, with its key beside its words where it has one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.icons import ICON, icon


class Button(QPushButton):
    """Kinds: "main" (the one next step), "plain", "outline", "link", "row" (foot of the sidebar), "place" (header).

    `small` writes it in the size of captions; `key` is a key sequence that presses it while its window is active.
    """

    def __init__(
        self,
        words: str,
        kind: str = "plain",
        pressed: Callable[[], object] | None = None,
        *,
        key: str = "",
        name: str = "",
        small: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(words, parent)
        self._kind = kind
        self._small = small
        self.setProperty("kind", kind)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAutoDefault(False)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        if key:
            self.setShortcut(key)
        self.setAccessibleName(name or words)
        if pressed is not None:
            self.clicked.connect(lambda _checked=False: pressed())
        self._dress()

    def set_words(self, words: str) -> None:
        self.setText(words)
        self.setAccessibleName(words)
        self.updateGeometry()

    def set_icon(self, name: str, token: str = "ink") -> None:
        self.setIcon(icon(name, token))
        self.setIconSize(ICON)

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(hint.width(), max(hint.height(), TARGET))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def keyPressEvent(self, event) -> None:  # type: ignore[no-untyped-def]
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._dress()

    def _dress(self) -> None:
        strong = self._kind not in ("row", "link")
        font = theme().font("small" if self._small else "body", bold=strong)
        if font != self.font():
            self.setFont(font)
