"""Several visits at one millimetre scale: beside each other as a row, or one after the other as a year.

Every photo is laid into its cell once and kept until the view changes, so that stepping and playing are blits.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPixmap, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from hoofbook.desktop.canvas.picture_view import PictureView
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.look import theme
from hoofbook.desktop.then_and_now import plates
from hoofbook.desktop.then_and_now.laid_painter import Lie, Looking, PairPhoto, over_photos, paint_laid, said_over
from hoofbook.desktop.then_and_now.pair_view import Window
from hoofbook.terms.grid import cell_size, columns_for
from hoofbook.wording import bench_labels as words

GAP = 10.0
MARGIN = 12.0
MOST_KEPT = 12  # laid photos: a window each


class RowCanvas(PictureView):
    """`playing_one` shows only the photo at `at`, else all stand beside each other."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.photos: tuple[PairPhoto, ...] = ()
        self.pyramids: list[PicturePyramid | None] = []
        self.extent = Window(0, 0, 1, 1)
        self.banner = ""
        self.scale_bar_mm = 0.0
        self.looking = Looking()
        self.bar_box = QRect()  # where the bar with the buttons lies: no scale bar under it
        self.playing_one = False
        self.at = 0
        self._laid: dict[int, QPixmap] = {}

    # what is shown

    @property
    def picture_size(self) -> tuple[float, float] | None:
        return self.extent.size if self.photos else None

    @property
    def view_room(self) -> tuple[float, float]:
        box = self.cell(0)
        return float(box.width()), float(box.height())

    def show_photos(
        self, photos: Sequence[PairPhoto], window: Window, *, banner: str, scale_bar_mm: float, one: bool
    ) -> None:
        """Show these photos, all at once or (`one`) one at a time, the first of them first."""
        self.photos, self.extent = tuple(photos), window
        self.pyramids = [None] * len(photos)
        self.banner, self.scale_bar_mm, self.playing_one, self.at = banner, scale_bar_mm, one, 0
        self.fit()
        self.update_all()

    def show_lines(self, photos: Sequence[PairPhoto]) -> None:
        """The same photos with other words on them."""
        self.photos = tuple(photos)
        self.update_all()

    def show_pyramid(self, place: int, pyramid: PicturePyramid | None) -> None:
        """A photo arrived, or a sharper one of it."""
        if place < len(self.pyramids):
            self.pyramids[place] = pyramid
            self._laid.pop(place, None)
            self.update()

    def show_at(self, place: int) -> None:
        """Of photos that show one at a time, show this one; round the end to the first."""
        if self.photos:
            self.at = place % len(self.photos)
            self.setAccessibleDescription(", ".join(self.photos[self.at].lines))
            self.update()

    def set_looking(self, looking: Looking) -> None:
        """What lies over the photos; nothing is stored."""
        if looking != self.looking:
            self.looking = looking
            self.update_all()

    def update_all(self) -> None:
        """Lay every photo anew."""
        self._laid = {}
        self.update()

    def on_frame(self) -> None:
        self._laid = {}

    # where things are

    def cell(self, place: int) -> QRect:
        """Where a photo stands (frame screen), under the banner."""
        top = self._banner_height()
        room = (float(self.width()), max(1.0, self.height() - top))
        if self.playing_one or len(self.photos) < 2:
            return QRect(0, round(top), self.width(), max(1, round(room[1])))
        columns = columns_for(len(self.photos), self.extent.size, room, GAP)
        wide, high = cell_size(len(self.photos), columns, room, GAP)
        x, y = (place % columns) * (wide + GAP), top + (place // columns) * (high + GAP)
        return QRect(round(x), round(y), max(1, round(wide)), max(1, round(high)))

    def wheel_about(self, x: float, y: float) -> tuple[float, float]:
        """Where a zoom at this place of the window is about: the same place of the first cell."""
        for place in range(len(self.photos)):
            box = self.cell(place)
            if box.contains(round(x), round(y)):
                return x - box.x(), y - box.y()
        return self.view_room[0] / 2, self.view_room[1] / 2

    def zoom(self, factor: float, about: tuple[float, float] | None = None) -> None:
        super().zoom(factor, self.wheel_about(*about) if about is not None else None)

    def _banner_height(self) -> float:
        if not self.banner:
            return 0.0
        return plates.height_of(plates.banner(self.banner, self.width(), theme(), self.devicePixelRatioF()))

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme().colour("paper" if not self.playing_one else "mat"))
        if self.banner:
            painter.drawPixmap(0, 0, plates.banner(self.banner, self.width(), theme(), self.devicePixelRatioF()))
        for place in (self.at,) if self.playing_one else range(len(self.photos)):
            if place < len(self.photos):
                painter.drawPixmap(self.cell(place).topLeft(), self._photo(place))
        self._paint_corners(painter, QRegion(self.rect()))
        painter.end()

    def _photo(self, place: int) -> QPixmap:
        """One photo as it lies in its cell, with everything burnt in."""
        if place in self._laid:
            return self._laid[place]
        if len(self._laid) >= max(MOST_KEPT, len(self.photos) if not self.playing_one else 0):
            self._laid.clear()
        ratio, box = self.devicePixelRatioF(), self.cell(place)
        picture = QPixmap(round(box.width() * ratio), round(box.height() * ratio))
        picture.setDevicePixelRatio(ratio)
        picture.fill(theme().colour("mat"))
        painter = QPainter(picture)
        photo, pyramid = self.photos[place], self.pyramids[place]
        over = over_photos(self.photos, self.looking)[place]
        if pyramid is not None:
            lie = Lie(self.extent, self.frame, QRectF(0, 0, box.width(), box.height()), not self.is_moving)
            paint_laid(painter, photo, pyramid, over, lie)
        self._paint_burnt(painter, photo, box, photo.lines + said_over(over, self.photos[0]))
        painter.end()
        self._laid[place] = picture
        return picture

    def _paint_burnt(self, painter: QPainter, photo: PairPhoto, box: QRect, lines: tuple[str, ...]) -> None:
        look, ratio = theme(), self.devicePixelRatioF()
        painter.drawPixmap(QPointF(MARGIN, MARGIN), plates.plate(lines, box.width() - int(2 * MARGIN), look, ratio))
        if self.scale_bar_mm and photo.to_scale:
            said = words.SCALE_BAR.format(mm=self.scale_bar_mm)
            bar = plates.scale_bar(self.scale_bar_mm * self.frame.scale, said, look, ratio)
            x = box.width() - MARGIN - plates.width_of(bar)
            corner = QPointF(x, box.height() - MARGIN - plates.height_of(bar))
            place = QRectF(corner, bar.deviceIndependentSize())
            painter.drawPixmap(plates.beside_bar(place, QRectF(self.bar_box.translated(-box.topLeft()))), bar)

    # hands

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.update_all()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        super().mousePressEvent(event)
