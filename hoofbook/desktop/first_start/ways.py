"""The parts of the first start: the large buttons of the two ways in, the reading test, the picture."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import BODY_FAMILY, MAT_WIDTH, TAP, TEXT_SIZES
from hoofbook.desktop.widgets.painted_button import PaintedButton
from hoofbook.wording import labels

_WRAP = int(Qt.TextFlag.TextWordWrap)


class WayButton(PaintedButton):
    """One of the two ways in: a heading, a line or two, and its key."""

    def __init__(self, title: str, words: str, key: str, *, main: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title, self._words, self._key, self._main = title, words, key, main
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName(f"{title}. {words}")
        self.setAccessibleDescription(key)

    def set_words(self, words: str) -> None:
        self._words = words
        self.setAccessibleName(f"{self._title}. {words}")
        self.updateGeometry()
        self.update()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._boxes(width)[1].bottom() + 20

    def sizeHint(self) -> QSize:
        return QSize(320, self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, self.heightForWidth(max(self.width(), 240)))

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = "on_leather" if self._main else "ink"
        painter.setBrush(look.colour("leather" if self._main else "card"))
        edge = "leather" if self._main or self.underMouse() else "line"
        painter.setPen(QPen(look.colour(edge), look.border))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 14, 14)
        title, words = self._boxes(self.width())
        painter.setPen(look.colour(ink))
        painter.setFont(look.font("heading"))
        painter.drawText(title, _WRAP, self._title)
        painter.setFont(look.font())
        if not self._main:
            painter.setPen(look.colour("soft_ink"))
        painter.drawText(words, _WRAP, self._words)
        painter.setPen(QPen(look.colour(ink), 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setFont(look.font("small"))
        tall = QFontMetrics(look.font("small")).height() + 4
        cap = QRectF(self.width() - 24 - tall * 1.25, 20, tall * 1.25, tall)
        painter.drawRoundedRect(cap, 5, 5)
        painter.drawText(cap, Qt.AlignmentFlag.AlignCenter, self._key)

    def _boxes(self, width: int) -> tuple[QRect, QRect]:
        look = theme()
        head = QFontMetrics(look.font("heading"))
        title = head.boundingRect(QRect(0, 0, width - 96, 999), _WRAP, self._title)
        body = QFontMetrics(look.font())
        words = body.boundingRect(QRect(0, 0, width - 48, 999), _WRAP, self._words)
        top = 18 + title.height() + 6
        return QRect(24, 18, width - 96, title.height()), QRect(24, top, width - 48, words.height())


class ReadingLine(QAbstractButton):
    """One line of the reading test, drawn in its own size."""

    def __init__(self, size: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.size_px = size
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"{labels.TEXT_SIZE} {size}")

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(self._font(bold=True))
        return QSize(metrics.horizontalAdvance(labels.READING_LINE) + 110, max(TAP, metrics.height() + 22))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = self.isChecked()
        if chosen:
            painter.fillRect(self.rect(), look.colour("leather_tint"))
        painter.setPen(look.colour("leather" if chosen else "ink"))
        painter.setFont(self._font(bold=chosen))
        box = QRectF(self.rect()).adjusted(18, 0, -18, 0)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, labels.READING_LINE)
        painter.setFont(look.font("small", bold=chosen))
        if not chosen:
            painter.setPen(look.colour("soft_ink"))
        right = f"{self.size_px} ✓" if chosen else str(self.size_px)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight), right)

    def _font(self, *, bold: bool):  # type: ignore[no-untyped-def]
        font = theme().font("body", bold=bold)
        font.setFamily(BODY_FAMILY)
        font.setPixelSize(self.size_px)
        return font


class ReadingTest(QWidget):
    """ "Which line reads easily?" Choosing one applies at once."""

    chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(2, 2, 2, 2)
        column.setSpacing(0)
        self.lines: dict[int, ReadingLine] = {}
        for size in TEXT_SIZES:
            line = ReadingLine(size)
            line.clicked.connect(lambda _checked=False, size=size: self.chosen.emit(size))
            self.lines[size] = line
            column.addWidget(line)

    def mark(self, size: int) -> None:
        self.lines[size].setChecked(True)

    def paintEvent(self, event: QPaintEvent) -> None:
        look = theme()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(look.colour("card"))
        painter.setPen(QPen(look.colour("line"), look.border))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 12, 12)


class FirstPicture(QWidget):
    """A large picture on the neutral mat; its upper part is cropped where the window is low."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._image = QImage()
        self.setAccessibleName(labels.FIRST_PICTURE)

    @property
    def has_picture(self) -> bool:
        return not self._image.isNull()

    def show_image(self, image: QImage) -> None:
        self._image = image
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme().colour("mat"))
        if self._image.isNull():
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        room = QRectF(self.rect()).adjusted(0, 0, 0, -MAT_WIDTH)
        scale = max(room.width() / self._image.width(), room.height() / self._image.height())
        wide, tall = room.width() / scale, room.height() / scale
        # the foot stands well below the middle of the picture
        top = max(0.0, min(self._image.height() - tall, self._image.height() * 0.69 - tall / 2))
        painter.drawImage(room, self._image, QRectF((self._image.width() - wide) / 2, top, wide, tall))
