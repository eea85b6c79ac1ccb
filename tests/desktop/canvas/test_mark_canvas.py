"""Marks on a real widget: clicks, drags, dirty regions and where pixels land."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage, QRegion
from PySide6.QtTest import QTest

from hoofbook.desktop.canvas.adjust import Adjustment
from hoofbook.desktop.canvas.mark_canvas import MarkCanvas
from hoofbook.desktop.canvas.pyramid import PicturePyramid
from hoofbook.terms.drawing import Arc, Band, Drawing, Line, Role, Spot, Text
from hoofbook.terms.marks import Mark, Marking, MarkState

LEFT = Qt.MouseButton.LeftButton
SIZE = (1200, 900)


def picture() -> PicturePyramid:
    """Dark grey with one red square: photo px 600..609 across, 450..459 down."""
    image = QImage(*SIZE, QImage.Format.Format_RGB32)
    image.fill(QColor(60, 60, 60))
    for x in range(600, 610):
        for y in range(450, 460):
            image.setPixelColor(x, y, QColor(255, 0, 0))
    return PicturePyramid.from_image(image)


@pytest.fixture
def canvas(qtbot):
    widget = MarkCanvas()
    qtbot.addWidget(widget)
    widget.resize(820, 620)
    widget.show()
    widget.show_picture(picture())
    return widget


def show(canvas, marks, current="", placing=False):
    canvas.set_marks(Marking(marks), {name: name for name in marks}, current, placing=placing)


def at(canvas, x, y) -> QPoint:
    return canvas.screen_point(x, y).toPoint()


def test_a_click_while_placing_says_where(canvas, qtbot):
    show(canvas, {}, "toe_ground", placing=True)
    place = at(canvas, 300, 400)
    with qtbot.waitSignal(canvas.clicked) as said:
        QTest.mouseClick(canvas, LEFT, pos=place)
    assert said.args == pytest.approx(canvas.frame.screen_to_photo(place.x(), place.y()))


def test_drag_and_click_click_put_a_mark_in_the_same_place(canvas, qtbot):
    for way in ("drag", "clicks"):
        show(canvas, {"toe_ground": Mark(300, 400)})
        start, end = at(canvas, 300, 400), at(canvas, 500, 300)
        put = []
        canvas.mark_put.connect(lambda *what, put=put: put.append(what))
        if way == "drag":
            QTest.mousePress(canvas, LEFT, pos=start)
            QTest.mouseMove(canvas, end)
            QTest.mouseRelease(canvas, LEFT, pos=end)
        else:
            QTest.mouseClick(canvas, LEFT, pos=start)
            QTest.mouseMove(canvas, end)
            QTest.mouseClick(canvas, LEFT, pos=end)
        canvas.mark_put.disconnect()
        assert len(put) == 1 and put[0][0] == "toe_ground"
        assert put[0][1:] == pytest.approx((500, 300), abs=1.5)


def test_escape_puts_a_carried_mark_back(canvas):
    show(canvas, {"toe_ground": Mark(300, 400)})
    QTest.mouseClick(canvas, LEFT, pos=at(canvas, 300, 400))
    QTest.mouseMove(canvas, at(canvas, 500, 300))
    assert canvas.let_go()
    assert canvas._points["toe_ground"] == pytest.approx(canvas.frame.photo_to_screen(300, 400))
    assert not canvas.let_go()


def test_a_pixel_of_the_photo_is_painted_where_the_frame_says(canvas):
    canvas.loupe.hide()
    canvas.set_loupe(False)
    canvas.actual_size()
    shown = canvas.grab().toImage()
    for x, y, red in ((600, 450, True), (609, 459, True), (599, 455, False), (610, 455, False)):
        place = canvas.screen_point(x, y)
        assert (shown.pixelColor(int(place.x()), int(place.y())).red() > 200) is red


def test_moving_a_mark_repaints_only_where_it_was_and_is(canvas, monkeypatch):
    show(canvas, {f"rim_{i:02d}": Mark(100 + 40 * i, 300) for i in range(20)})
    canvas._labels = {}
    canvas._measure_places()
    regions = []
    monkeypatch.setattr(canvas, "update", lambda *what: regions.append(QRegion(*what)))
    QTest.mousePress(canvas, LEFT, pos=at(canvas, 300, 300))
    QTest.mouseMove(canvas, at(canvas, 312, 318))
    touched = regions[-1].boundingRect()
    assert touched.width() <= 60 and touched.height() <= 60


def test_zoom_is_about_the_pointer_and_fit_brings_all_back(canvas):
    before = canvas.frame.screen_to_photo(200, 150)
    canvas.zoom(3.0, (200, 150))
    assert canvas.frame.screen_to_photo(200, 150) == pytest.approx(before)
    assert canvas.is_moving
    canvas.fit()
    assert canvas.frame.to_screen(0, 0)[0] >= 10 - 1e-6


def test_contrast_changes_what_is_seen_and_not_the_mat(canvas):
    canvas.set_loupe(False)
    plain = canvas.grab().toImage()
    canvas.set_adjustment(Adjustment(contrast=0, brightness=40))
    bright = canvas.grab().toImage()
    assert bright.pixelColor(400, 100).red() > plain.pixelColor(400, 100).red() + 30
    assert bright.pixelColor(400, 4) == plain.pixelColor(400, 4)


def test_proposed_confirmed_and_unseen_look_different(canvas):
    looks = set()
    canvas.set_loupe(False)
    for state in MarkState:
        show(canvas, {"toe_ground": Mark(300, 400, state)})
        canvas._names = {}
        box = at(canvas, 300, 400)
        looks.add(bytes(canvas.grab().toImage().copy(box.x() - 20, box.y() - 20, 40, 40).constBits()))
    assert len(looks) == 3


def test_the_drawing_lies_within_a_pixel_of_its_numbers(canvas):
    """Lines, arc, spot and band: their colour is found at the screen place the frame gives."""
    canvas.set_loupe(False)
    drawing = Drawing(
        *SIZE,
        (
            Band(((900, 100), (1100, 100), (1100, 200), (900, 200)), Role.WANTED),
            Line(((100, 700), (900, 800)), Role.MEASURED, 2, edged=True),
            Line(((100, 850), (1100, 850)), Role.GROUND, 2, edged=True),
            Spot((200, 200), 12, Role.AGAINST),
            Arc((600, 600), 60, 0, 90, edged=True),
            Text((400, 100), "50.9°", 20),
        ),
    )
    canvas.set_drawing(drawing)
    shown = canvas.grab().toImage()

    def colour(x, y):
        place = canvas.screen_point(x, y).toPoint()
        return shown.pixelColor(place).name()

    assert colour(500, 750) == "#e69f00"
    assert colour(600, 850) == "#56b4e9"
    assert colour(200, 200) == "#b2470e"
    assert colour(1000, 150) == "#0b7a5b"
    assert colour(600 + 60 * 0.7071, 600 - 60 * 0.7071) == "#e69f00"


def test_a_sharper_pyramid_keeps_the_view(canvas):
    canvas.zoom(4.0, (100, 100))
    before = canvas.frame
    canvas.show_picture(picture())
    assert canvas.frame == before
