"""The same spot twice, side by side: the mark in the other photo of the set, and its proposed place in this one."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.glass import paint_glass
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.look import theme
from hoofbook.terms.marks import Mark

GLASS = 140
SCALE = 1.5  # screen px per photo px


class SameSpot(QWidget):
    """Two round glasses with a line of words under each; hidden while there is nothing to compare."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sides: list[tuple[PicturePyramid, Mark, str]] = []
        self.hide()

    @property
    def marks(self) -> tuple[Mark, ...]:
        return tuple(mark for _, mark, _ in self._sides)

    def show_pair(self, *sides: tuple[PicturePyramid | None, Mark | None, str]) -> None:
        """Each side is a photo, a mark in it (frame photo) and the words under it; less than two hide the whole."""
        self._sides = [(p, mark, said) for p, mark, said in sides if p is not None and mark is not None]
        if len(self._sides) < 2:
            self._sides = []
        self.setVisible(bool(self._sides))
        self.setAccessibleName(", ".join(said for _, _, said in self._sides))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(2 * GLASS + 12, GLASS + 2 * QFontMetrics(theme().font("small")).height() + 6)

    def minimumSizeHint(self) -> QSize:
        return QSize(250, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        half = self.width() / 2
        side = min(GLASS, half - 6)
        for place, (pyramid, mark, said) in enumerate(self._sides):
            box = QRectF(place * half + (half - side) / 2, 0, side, side)
            paint_glass(painter, pyramid, (mark.x, mark.y), box, SCALE, mark=mark, mat=look.colour("mat"))
            painter.setFont(look.font("small", bold=place == 1))
            painter.setPen(look.colour("ink" if place == 1 else "soft_ink"))
            under = QRectF(place * half, side + 2, half, self.height() - side - 2)
            flags = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap
            painter.drawText(under.adjusted(6, 0, -6, 0), int(flags), said)
