"""One frame of the canvas at 1600 x 1000 against the floor: the blit of a window-sized pixmap, in the same run.

    QT_QPA_PLATFORM=offscreen python tests/benchmarks/canvas.py

Each candidate draws FRAMES frames, each with something changed. Exit code 1 where a ratio is above its goal.
"""

from __future__ import annotations

import math
import os
import sys

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QImage, QMouseEvent, QPainter, QPen, QPixmap, QRadialGradient
from PySide6.QtWidgets import QApplication, QWidget

from hoofbook.desktop.canvas.mark_canvas import MarkCanvas
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.desktop.then_and_now.laid_painter import Looking
from hoofbook.desktop.then_and_now.pair_canvas import PairCanvas, PairPhoto
from hoofbook.desktop.then_and_now.pair_view import Way, Window
from hoofbook.terms.drawing import Drawing, Line, Role, Text
from hoofbook.terms.marks import Mark, Marking
from tests.benchmarks.timing import race

WIDTH, HEIGHT, FRAMES, ROUNDS = 1600, 1000, 20, 15
PHOTO = (4032, 3024)
PLAIN = Looking()


class Floor(QWidget):
    """Blits one window-sized pixmap: nothing on screen can cost less."""

    def __init__(self) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.resize(WIDTH, HEIGHT)
        self.picture = QPixmap(WIDTH, HEIGHT)
        self.picture.fill(QColor(90, 80, 70))
        self.show()

    def paintEvent(self, event) -> None:
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self.picture)
        painter.end()

    def run(self) -> None:
        for _ in range(FRAMES):
            self.repaint()


def photo() -> PicturePyramid:
    """A 12 MP picture with something in every part of it."""
    image = QImage(*PHOTO, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    glow = QRadialGradient(QPointF(2000, 1500), 2400)
    glow.setColorAt(0, QColor(220, 190, 150))
    glow.setColorAt(1, QColor(40, 30, 20))
    painter.fillRect(image.rect(), QBrush(glow))
    painter.setPen(QPen(QColor(20, 20, 20), 6))
    for i in range(0, 4000, 37):
        painter.drawLine(i, 0, 4000 - i, 3024)
    painter.end()
    return PicturePyramid.from_image(image)


def canvas_at(pyramid: PicturePyramid, zoom: float | None) -> MarkCanvas:
    canvas = MarkCanvas()
    canvas.resize(WIDTH, HEIGHT)
    canvas.show()
    canvas.show_picture(pyramid)
    if zoom is not None:
        canvas.zoom(zoom / canvas.frame.scale)
    x, y = canvas.frame.screen_to_photo(700, 400)
    step = 60 / canvas.frame.scale
    marks = {f"rim_{i:02d}": Mark(x + step * (i % 6), y + step * (i // 6)) for i in range(24)}
    canvas.set_marks(Marking(marks), {"rim_08": "ground edge of the wall"}, "rim_08", placing=False)
    line = Line(((x, y + 3 * step), (x + 5 * step, y)), Role.MEASURED, 2, edged=True)
    canvas.set_drawing(Drawing(*PHOTO, (line, Text((x, y), "50.9°", 20))))
    canvas._rest.stop()
    return canvas


def pan(canvas: MarkCanvas) -> None:
    for i in range(FRAMES):
        canvas.pan(3 if i % 2 else -3, 0)
        canvas.repaint()
    _stay(canvas)


def _stay(canvas: MarkCanvas) -> None:
    """No smooth repaint at rest: its timer would fire in the middle of the next candidate, which processes events."""
    canvas._rest.stop()
    canvas._pace.stop()


def zoom(canvas: MarkCanvas) -> None:
    for i in range(FRAMES):
        canvas.zoom(1.02 if i % 2 else 1 / 1.02)
        canvas.repaint()
    _stay(canvas)


def drag(canvas: MarkCanvas, events: list[QMouseEvent]) -> None:
    """The real hand: press on a mark, move it FRAMES times with a repaint each, and let go."""
    for event in events:
        QApplication.sendEvent(canvas, event)
        QApplication.processEvents()
    canvas.let_go()
    QApplication.processEvents()


def hand(canvas: MarkCanvas) -> list[QMouseEvent]:
    """One press on a mark of the canvas and FRAMES moves."""
    x, y = canvas._points["rim_08"]
    path = [(x + 10 + 2 * (i % 3), y + 8 + (i % 2)) for i in range(FRAMES)]
    return [
        _mouse(canvas, QMouseEvent.Type.MouseButtonPress, x, y),
        *(_mouse(canvas, QMouseEvent.Type.MouseMove, *place) for place in path),
    ]


def _mouse(canvas: MarkCanvas, kind: QMouseEvent.Type, x: float, y: float) -> QMouseEvent:
    button = Qt.MouseButton.LeftButton
    place = QPointF(canvas.mapToGlobal(QPoint(round(x), round(y))))
    return QMouseEvent(kind, QPointF(x, y), place, button, button, Qt.KeyboardModifier.NoModifier)


def pair_at(pyramid: PicturePyramid, way: Way, zoom: float | None, looking: Looking = PLAIN) -> PairCanvas:
    """Two turned photos at 4 px/mm in one window, with what was measured on them and the light of their cards."""
    canvas = PairCanvas()
    canvas.resize(WIDTH, HEIGHT)
    canvas.show()
    lines = ("14 Jan 2025", "left fore · sole · after trim", "sole concavity 1.4 mm ± 0.7")
    drawing = Drawing(*PHOTO, tuple(Line(((900, 300 * k), (3100, 250 * k)), Role.MEASURED, 2) for k in range(1, 9)))
    pair = tuple(
        PairPhoto(_turned(degrees), lines, drawing, white=(light,) * 3, day=lines[0])
        for degrees, light in ((2.0, 0.6), (-3.0, 0.5))
    )
    canvas.set_looking(looking)
    canvas.show_pair(*pair, Window(-110, -70, 110, 70), banner="", scale_bar_mm=50.0, keep_view=False)
    for side in (0, 1):
        canvas.show_pyramid(side, pyramid)
    canvas.set_way(way)
    if zoom is not None:
        canvas.zoom(zoom * 4 / canvas.frame.scale)
    canvas._rest.stop()
    canvas.update_all()
    canvas.repaint()
    return canvas


def _turned(degrees: float) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Photo px to mm at 4 px/mm, the photo's middle in the middle, turned."""
    c, s = math.cos(math.radians(degrees)) / 4, math.sin(math.radians(degrees)) / 4
    x, y = PHOTO[0] / 2, PHOTO[1] / 2
    return (c, -s, -c * x + s * y), (s, c, -s * x - c * y)


def slide(canvas: PairCanvas) -> None:
    """Move curtain or fade as a hand does; each step is painted."""
    for i in range(FRAMES):
        canvas.set_amount(0.4 + 0.01 * i)
        QApplication.processEvents()
    canvas._rest.stop()


def main() -> int:
    app = QApplication.instance() or QApplication([])
    floor, pyramid = Floor(), photo()
    goals: dict[str, float] = {}
    candidates = {"floor: blit of a window-sized pixmap": floor.run}
    kept = []
    for words, scale in (("fit", None), ("100 %", 1.0), ("400 %", 4.0)):
        moving, still = canvas_at(pyramid, scale), canvas_at(pyramid, scale)
        events = hand(still)
        kept += [moving, still]
        for name, run, goal in (
            ("pan", lambda canvas=moving: pan(canvas), 8.0),
            ("zoom", lambda canvas=moving: zoom(canvas), 8.0),
            ("drag a mark of 24", lambda canvas=still, events=events: drag(canvas, events), 1.0),
        ):
            candidates[f"{name}, {words}"] = run
            goals[f"{name}, {words}"] = goal
        for way in (Way.CURTAIN, Way.FADE):
            pair = pair_at(pyramid, way, scale)
            kept.append(pair)
            candidates[f"{way}, {words}"] = lambda pair=pair: slide(pair)
            goals[f"{way}, {words}"] = 4.0
    for way in (Way.CURTAIN, Way.FADE):
        full = pair_at(pyramid, way, None, Looking(lines=True, outlines=True, grid=True, same_light=True))
        kept.append(full)
        candidates[f"{way} with lines, grid, light"] = lambda pair=full: slide(pair)
        goals[f"{way} with lines, grid, light"] = 4.0
    app.processEvents()
    return report(candidates, goals)


def report(candidates: dict, goals: dict[str, float]) -> int:
    """Print one row per candidate: ms a frame and its ratio to the floor; 1 where a median is above its goal."""
    found = race(candidates, ROUNDS)
    floor = found[next(iter(candidates))][0]
    print(f"{'':<42}{'median ms':>10}{'p95 ms':>9}{'x floor':>9}{'p95':>7}{'goal':>6}")
    missed = 0
    for name, (median, high) in found.items():
        goal = goals.get(name)
        late = goal is not None and median / floor > goal
        missed += late
        words = "" if goal is None else f"{goal:.0f}" + (" missed" if late else "")
        cells = f"{median / FRAMES:>10.3f}{high / FRAMES:>9.3f}{median / floor:>9.2f}{high / floor:>7.2f}{words:>10}"
        print(f"{name:<42}{cells}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
