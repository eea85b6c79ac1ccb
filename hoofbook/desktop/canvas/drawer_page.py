"""A page with a large photo and a panel beside it, which lies in a drawer where the room is small."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from hoofbook.desktop.canvas.layout import Shares, shares
from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.buttons import Button

DRAWER = 380


class DrawerPage(QWidget):
    """`outer` is the column of the page, `body` the row of photo and panel; `M` opens and closes the drawer."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.shares = Shares(1, True, True, 28)
        self.outer = QVBoxLayout(self)
        self.body = QHBoxLayout()
        self.body.setSpacing(18)
        self.foot = QWidget()
        self._panel = QFrame()
        self._drawer_open = False

    def hold(self, panel: QFrame) -> None:
        """This panel stands at the right or lies in the drawer."""
        self._panel = panel
        self.body.addWidget(panel)

    def make_foot(self, panel_words: str, *parts: QWidget) -> QWidget:
        """The row under the photo where the panel lies in the drawer: the parts, and the button that opens it."""
        row = QHBoxLayout(self.foot)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        for part in parts[:-1]:
            row.addWidget(part)
            row.addStretch(1)
        self.drawer_button = Button(f"{panel_words}  M", "plain", self.turn_drawer, name=panel_words)
        row.addWidget(self.drawer_button)
        row.addWidget(parts[-1])
        return self.foot

    @property
    def in_drawer(self) -> bool:
        return self.shares.panel == 0

    def arrange(self) -> None:
        """Share the room anew."""
        self.shares = shares(self.width(), self.height(), theme().size)
        margin, wide = self.shares.margin, not self.in_drawer
        self.outer.setContentsMargins(margin, 12 if wide else 6, margin, 10 if wide else 6)
        self.outer.setSpacing(10 if wide else 6)
        self.foot.setVisible(self.in_drawer)
        if self.in_drawer:
            self.body.removeWidget(self._panel)
            self._panel.setParent(self)
            self._lie_in_drawer()
        else:
            self._drawer_open = False
            if self.body.indexOf(self._panel) < 0:
                self.body.addWidget(self._panel)
            self._panel.setFixedWidth(self.shares.panel)
            self._panel.setContentsMargins(0, 0, 0, 0)
            self._panel.show()
        self.arranged(self.shares)

    def arranged(self, given: Shares) -> None:
        """For pages: place what depends on the shares."""

    def turn_drawer(self) -> None:
        """Open or close the drawer; nothing where the panel stands beside the photo."""
        if self.in_drawer:
            self._drawer_open = not self._drawer_open
            self._lie_in_drawer()

    def close_drawer(self) -> bool:
        """True where it was open."""
        was_open = self._drawer_open
        if was_open:
            self.turn_drawer()
        return was_open

    def _lie_in_drawer(self) -> None:
        wide = round(min(self.width() * 0.48, DRAWER * max(1.0, theme().size / 17)))
        self._panel.setFixedWidth(wide)
        self._panel.setGeometry(self.width() - wide - 6, 6, wide, self.height() - self.foot.sizeHint().height() - 18)
        self._panel.setContentsMargins(6, 6, 6, 6)
        self._panel.setVisible(self._drawer_open)
        if self._drawer_open:
            self._panel.raise_()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self.arrange()
