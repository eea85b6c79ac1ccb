"""Our own few icons, plain SVG files tinted with a colour of the theme."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from hoofbook.desktop.look import theme
from hoofbook.terms.refusal import Refused

_SIDE = 20
ICON = QSize(_SIDE + 6, _SIDE)  # room to the words beside


def icon(name: str, token: str = "ink") -> QIcon:
    """`resources/icons/<name>.svg` in the colour of `token`; empty where the file is missing (words stand beside)."""
    from hoofbook.housekeeping.shipped import resource

    try:
        text = resource("icons", f"{name}.svg").read_text(encoding="utf-8")
    except (Refused, OSError):
        return QIcon()
    renderer = QSvgRenderer(QByteArray(text.replace("currentColor", theme().hex(token)).encode("utf-8")))
    pixmap = QPixmap(ICON * 2)
    pixmap.setDevicePixelRatio(2)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    renderer.render(painter, QRectF(0, 0, _SIDE, _SIDE))
    painter.end()
    return QIcon(pixmap)
