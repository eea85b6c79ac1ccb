"""A number that matters, large, with its unit and ±; read aloud as one."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from hoofbook.desktop.widgets.flow import FlowLayout
from hoofbook.desktop.widgets.text import Label
from hoofbook.terms.shown import MeasureLine


def spoken(line: MeasureLine) -> str:
    """The line as a screen reader says it: name, value with unit and ±, definition; or why there is none."""
    if line.refusal:
        return f"{line.label}: {line.refusal}"
    value = f"{line.value}{line.unit}" if line.unit == "°" else f"{line.value} {line.unit}".strip()
    words = " ".join(part for part in (value, line.plus_minus) if part)
    return f"{line.label}: {words}" + (f", {line.definition}" if line.definition else "")


class ValueView(QWidget):
    """Shows a `MeasureLine` as a large number, or its refusal as a sentence. `kind` is the size of the number."""

    def __init__(self, kind: str = "number", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._line = QWidget()
        row = FlowLayout(self._line, gap=8)
        self.number = Label("", kind, bold=True)
        self.rest = Label("", "body" if kind == "number" else "small", "soft")
        row.addWidget(self.number)
        row.addWidget(self.rest)
        self.refusal = Label("", "small", "soft", wrap=True)
        column.addWidget(self._line, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.refusal)

    def show_value(self, line: MeasureLine | None) -> None:
        self.setVisible(line is not None)
        if line is None:
            return
        self._line.setVisible(not line.refusal)
        self.refusal.setVisible(bool(line.refusal))
        self.refusal.setText(line.refusal)
        close = line.unit == "°"
        self.number.setText(f"{line.value}{line.unit}" if close else line.value)
        self.rest.setText(" ".join(part for part in ("" if close else line.unit, line.plus_minus) if part))
        self.number.setAccessibleName(spoken(line))
        self.setAccessibleName(spoken(line))
