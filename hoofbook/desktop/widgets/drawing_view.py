"""Shows a `Drawing` as SVG through QtSvg, sharp at the screen's pixel ratio; pointer and keys reach its named spots."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtCore import QByteArray, QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QGuiApplication, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QSizePolicy, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import BODY_FAMILY, HEADING_FAMILY
from hoofbook.terms.drawing import Drawing, Spot

_REACH = 24


class DrawingView(QWidget):
    """A drawing, kept in proportion. With `make(width, height)` it is drawn anew for the room there is.

    Spots with a key can be walked with the arrow keys and pointed at; `spot_changed(key)` names the one looked at
    ("" = none), `spot_pressed(key)` the one chosen by Enter or a click.
    """

    spot_changed = Signal(str)
    spot_pressed = Signal(str)

    def __init__(self, parent: QWidget | None = None, *, least_height: int = 60) -> None:
        super().__init__(parent)
        self._make: Callable[[float, float], Drawing] | None = None
        self.drawing: Drawing | None = None
        self._renderer = QSvgRenderer(self)
        self._least = least_height
        self._at = ""
        self._made_for = QSize()
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    @property
    def at(self) -> str:
        """Key of the spot looked at."""
        return self._at

    def show_drawing(self, drawing: Drawing | None) -> None:
        """A finished drawing, scaled to fit."""
        self._make = None
        self._set(drawing)

    def show_made(self, make: Callable[[float, float], Drawing] | None) -> None:
        """A drawing that is made for the room there is (and again when that changes)."""
        self._make = make
        self._made_for = QSize()
        self._remake()

    def sizeHint(self) -> QSize:
        if self.drawing is not None and self._make is None:
            return QSize(math.ceil(self.drawing.width), math.ceil(self.drawing.height))
        return QSize(400, max(self._least, 240))

    def minimumSizeHint(self) -> QSize:
        return QSize(80, self._least)

    def spots(self) -> list[Spot]:
        """The named spots from left to right."""
        if self.drawing is None:
            return []
        named = [p for p in self.drawing.primitives if isinstance(p, Spot) and p.key]
        return sorted(named, key=lambda spot: (spot.centre[0], spot.centre[1]))

    def look_at(self, key: str) -> None:
        if key != self._at:
            self._at = key
            self.spot_changed.emit(key)
            self.update()

    def copy(self) -> QImage:
        """The drawing as a picture at twice its size, on the card's colour, put on the clipboard too."""
        drawing = self.drawing or Drawing(self.width(), self.height())
        image = QImage(
            math.ceil(drawing.width * 2), math.ceil(drawing.height * 2), QImage.Format.Format_ARGB32_Premultiplied
        )
        image.fill(theme().colour("card"))
        painter = QPainter(image)
        self._renderer.render(painter, QRectF(image.rect()))
        painter.end()
        QGuiApplication.clipboard().setImage(image)
        return image

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._made_for = QSize()
            if self._make is not None:
                self._remake()
            else:
                self._set(self.drawing)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._remake()

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.drawing is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._renderer.render(painter, self._box())
        spot = next((spot for spot in self.spots() if spot.key == self._at), None)
        if spot is not None:
            where = self._to_widget(spot.centre)
            for colour, wide in (("card", 5.0), ("leather", 2.5)):
                painter.setPen(QPen(theme().colour(colour), wide))
                painter.drawEllipse(where, 11.0, 11.0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        spots = [spot.key for spot in self.spots()]
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if spots and event.key() in steps:
            step = steps[Qt.Key(event.key())]
            place = spots.index(self._at) + step if self._at in spots else (0 if step > 0 else len(spots) - 1)
            self.look_at(spots[max(0, min(place, len(spots) - 1))])
        elif spots and event.key() in (Qt.Key.Key_Home, Qt.Key.Key_End):
            self.look_at(spots[0 if event.key() == Qt.Key.Key_Home else -1])
        elif self._at and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.spot_pressed.emit(self._at)
        else:
            super().keyPressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        near = self._near(event.position())
        self.setCursor(Qt.CursorShape.PointingHandCursor if near else Qt.CursorShape.ArrowCursor)
        if near:
            self.look_at(near)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        near = self._near(event.position())
        if near:
            self.look_at(near)
            self.spot_pressed.emit(near)
        else:
            super().mousePressEvent(event)

    def place_of(self, key: str) -> QPointF:
        """Where a spot stands in this widget."""
        return self._to_widget(next(spot.centre for spot in self.spots() if spot.key == key))

    def _near(self, at: QPointF) -> str:
        best = ""
        reach = float(_REACH)
        for spot in self.spots():
            away = self._to_widget(spot.centre) - at
            distance = math.hypot(away.x(), away.y())
            if distance < reach:
                best, reach = spot.key, distance
        return best

    def _remake(self) -> None:
        if self._make is None or self.size() == self._made_for or self.width() < 20:
            return
        self._made_for = self.size()
        self._set(self._make(float(self.width()), float(self.height())))

    def _set(self, drawing: Drawing | None) -> None:
        self.drawing = drawing
        if drawing is not None:
            from hoofbook.terms.drawing_svg import to_svg

            svg = to_svg(drawing, theme().roles(), (BODY_FAMILY, HEADING_FAMILY))
            self._renderer.load(QByteArray(svg.encode("utf-8")))
            self.setAccessibleName(drawing.alt)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if self.spots() else Qt.FocusPolicy.NoFocus)
        if self._at and self._at not in [spot.key for spot in self.spots()]:
            self.look_at("")
        if self._make is None:
            self.updateGeometry()
        self.update()

    def _box(self) -> QRectF:
        assert self.drawing is not None
        scale = min(self.width() / self.drawing.width, self.height() / self.drawing.height)
        wide, tall = self.drawing.width * scale, self.drawing.height * scale
        return QRectF((self.width() - wide) / 2, (self.height() - tall) / 2, wide, tall)

    def _to_widget(self, at: tuple[float, float]) -> QPointF:
        assert self.drawing is not None
        box = self._box()
        scale = box.width() / self.drawing.width
        return QPointF(box.left() + at[0] * scale, box.top() + at[1] * scale)
