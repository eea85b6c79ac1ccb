"""Pages as they will be printed, one under the other, as wide as there is room."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.widgets.page import empty_layout
from hoofbook.wording import vet_sheet as words

_SMOOTH = Qt.TransformationMode.SmoothTransformation
WIDEST = 827  # px: A4 at a hundred to the inch, as the pages come


class PagePicture(QWidget):
    """One page, its height following its width, at most `widest` px wide."""

    def __init__(self, image: QImage, name: str, widest: int = WIDEST) -> None:
        super().__init__()
        self._image = image
        self._small = QImage()
        self.setAccessibleName(name)
        self.setMaximumWidth(widest)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return round(width * self._image.height() / max(1, self._image.width()))

    def sizeHint(self) -> QSize:
        return QSize(560, self.heightForWidth(560))

    def _at(self, wide: int) -> QImage:
        """The page `wide` px wide, made small once and not with every step of the scroll bar."""
        if wide >= self._image.width():
            return self._image
        if self._small.width() != wide:
            self._small = self._image.scaledToWidth(wide, _SMOOTH)
        return self._small

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        box = QRect(0, 0, self.width(), self.heightForWidth(self.width()))
        ratio = self.devicePixelRatioF()
        painter.drawImage(box, self._at(round(box.width() * ratio)))
        painter.setPen(QPen(theme().colour("line"), 1))
        painter.drawRect(box.adjusted(0, 0, -1, -1))


def decoded(pages: Sequence[bytes]) -> tuple[QImage, ...]:
    """Pictures from their bytes; called away from the window, since a case has many pages."""
    return tuple(QImage.fromData(data) for data in pages)


class Pages(QWidget):
    """The pages of one paper."""

    def __init__(self) -> None:
        super().__init__()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(12)
        self.pictures: list[PagePicture] = []

    def show_pages(self, pages: Sequence[QImage], *, widest: int = WIDEST) -> None:
        empty_layout(self._column)
        self.pictures = []
        for number, image in enumerate(pages, start=1):
            picture = PagePicture(image, words.PAGE.format(number=number, count=len(pages)), widest)
            self.pictures.append(picture)
            self._column.addWidget(picture)
