"""Live measures: the headline large, the others as rows; each row leads to How measured."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QVBoxLayout, QWidget

from hoofbook.desktop.look import theme
from hoofbook.desktop.theme import TARGET
from hoofbook.desktop.widgets.buttons import Button
from hoofbook.desktop.widgets.text import Label
from hoofbook.desktop.widgets.value import spoken
from hoofbook.terms.shown import MeasureLine
from hoofbook.wording import bench_labels as words

if TYPE_CHECKING:
    from hoofbook.casework.bench_live import Live


def brief(line: MeasureLine) -> str:
    """`50.9° ± 0.7`, `4.7 mm ± 1.1`"""
    value = f"{line.value}{line.unit}" if line.unit == "°" else f"{line.value} {line.unit.strip()}"
    return f"{value} {line.plus_minus}".strip()


class MeasureRow(QAbstractButton):
    """Name at the left, value and ± at the right; pressing it tells how it is measured. `large` is the headline."""

    def __init__(self, pressed: Callable[[str], object], *, large: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._large = large
        self.line: MeasureLine | None = None
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.clicked.connect(lambda: self.line is not None and pressed(self.line.about))

    def show_line(self, line: MeasureLine) -> None:
        if line == self.line:
            return
        heights = self.line is None or (line.definition, line.label) != (self.line.definition, self.line.label)
        self.line = line
        self.setText(f"{line.value}{line.unit} {line.plus_minus}")
        self.setAccessibleName(spoken(line))
        self.setToolTip(words.HOW_MEASURED_OF.format(label=line.label))
        if heights:
            self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        look = theme()
        small = QFontMetrics(look.font("small")).height()
        if self._large:
            extra = small + 2 if self.line is not None and self.line.definition else 0
            return QSize(220, QFontMetrics(look.font("number")).height() + 2 + extra)
        high = QFontMetrics(look.font()).height() * (2 if self._wraps() else 1) + 14
        return QSize(220, max(TARGET, high + (small if self._second() else 0)))

    def _wraps(self) -> bool:
        """True where name and value do not fit on one line."""
        if self.line is None:
            return False
        bold, plain = QFontMetrics(theme().font(bold=True)), QFontMetrics(theme().font())
        value = bold.horizontalAdvance(f"{self.line.value}{self.line.unit}") + plain.horizontalAdvance(
            self.line.plus_minus
        )
        return plain.horizontalAdvance(self.line.label) + value + 30 > max(self.width(), 200)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.updateGeometry()

    def _second(self) -> str:
        return self.line.definition if self.line is not None else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.line is None:
            return
        look, line = theme(), self.line
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        painter.setPen(QPen(look.colour("line"), look.border))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        second = self._second()
        low = QFontMetrics(look.font("small")).height() if second else 0
        upper = box.adjusted(0, 0, 0, -low - (4 if second else 0))
        left = self._paint_value(painter, upper)
        painter.setFont(look.font())
        painter.setPen(look.colour("leather" if self.underMouse() else "ink"))
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        words_room = QRectF(0, upper.top(), left - 8, upper.height())
        painter.drawText(words_room, int(flags | Qt.TextFlag.TextWordWrap), line.label)
        if second:
            painter.setFont(look.font("small"))
            painter.setPen(look.colour("soft_ink"))
            painter.drawText(QRectF(0, upper.bottom() - 3, box.width(), low + 4), flags, second)

    def _paint_value(self, painter: QPainter, box: QRectF) -> float:
        """Value, unit and ± from the right; gives where they begin."""
        look, line = theme(), self.line
        assert line is not None
        close = line.unit == "°"
        right = box.right()
        number = look.font("number") if self._large else look.font(bold=True)
        baseline = box.center().y() + QFontMetrics(number).capHeight() / 2
        if self._large:
            baseline = box.top() + box.height() * 0.5 + QFontMetrics(number).capHeight() / 2
        for text, font, token in (
            (" ".join(part for part in ("" if close else line.unit, line.plus_minus) if part), look.font(), "soft_ink"),
            (f"{line.value}{line.unit}" if close else line.value, number, "ink"),
        ):
            if not text:
                continue
            painter.setFont(font)
            painter.setPen(look.colour(token))
            right -= painter.fontMetrics().horizontalAdvance(text)
            painter.drawText(round(right), round(baseline), text)
            right -= 7
        return right


class MeasureList(QWidget):
    """All measures of a photo or set; what could not be measured folds away behind its count."""

    def __init__(self, how: Callable[[str], object]) -> None:
        super().__init__()
        self._how = how
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.headline = MeasureRow(how, large=True)
        self.none_yet = Label(words.NO_MEASURES_YET, "small", "soft", wrap=True)
        self._rows_box = QWidget()
        self._rows_column = QVBoxLayout(self._rows_box)
        self._rows_column.setContentsMargins(0, 0, 0, 0)
        self._rows_column.setSpacing(0)
        self.rows: list[MeasureRow] = []
        self.refused = Button("", "link", self._turn)
        self.why = Label("", "small", "soft", wrap=True)
        for widget in (self.headline, self.none_yet, self._rows_box, self.refused, self.why):
            self._column.addWidget(widget)
        self.show_live(None)

    def show_live(self, live: Live | None, skip: tuple[str, ...] = ()) -> None:
        """Show what was measured; `skip` names measures shown elsewhere."""
        headline = live.headline if live is not None else None
        lines = [line for line in live.lines if line.name not in skip] if live is not None else []
        good = [line for line in lines if not line.refusal]
        self.headline.setVisible(headline is not None)
        if headline is not None:
            self.headline.show_line(headline)
        self.none_yet.setText((live.blocked if live is not None else "") or words.NO_MEASURES_YET)
        self.none_yet.setVisible(headline is None and not good)
        while len(self.rows) < len(good):
            row = MeasureRow(self._how)
            self.rows.append(row)
            self._rows_column.addWidget(row)
        for place, row in enumerate(self.rows):
            row.setVisible(place < len(good))
            if place < len(good):
                row.show_line(good[place])
        self._show_refused([line for line in lines if line.refusal], have_some=headline is not None or bool(good))

    def _show_refused(self, refused: list[MeasureLine], *, have_some: bool) -> None:
        self.refused.setVisible(bool(refused) and have_some)
        self.refused.set_words(words.NOT_MEASURED.format(count=len(refused)))
        by_reason: dict[str, list[str]] = {}
        for line in refused:
            by_reason.setdefault(line.refusal, []).append(line.label)
        self.why.setText("\n".join(f"{', '.join(n for n in names if n)}: {why}" for why, names in by_reason.items()))
        self.why.setVisible(self.why.isVisible() and bool(refused) and have_some)

    def _turn(self) -> None:
        self.why.setVisible(not self.why.isVisible())
