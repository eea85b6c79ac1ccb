"""Labels that take their font from the theme and never cut their words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from hoofbook.desktop.look import theme

_LONGEST_WORD = 260
_EASY_LINE = 600


class Label(QLabel):
    """Words in one of the theme's kinds ("body", "small", "heading", "title", "number") and tones
    ("ink", "soft", "leather", "wanted", "against", "calm")."""

    def __init__(
        self,
        words: str = "",
        kind: str = "body",
        tone: str = "ink",
        *,
        wrap: bool = False,
        bold: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._bold = bold
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setProperty("tone", tone)
        self.setWordWrap(wrap)
        if wrap:
            policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
            policy.setHeightForWidth(True)
            self.setSizePolicy(policy)
        self.setText(words)
        self._dress()

    def set_tone(self, tone: str) -> None:
        if self.property("tone") != tone:
            self.setProperty("tone", tone)
            self.style().unpolish(self)
            self.style().polish(self)

    def sizeHint(self) -> QSize:
        """Wrapped words would like to stand on one line, or in lines that read easily."""
        hint = super().sizeHint()
        if not self.wordWrap():
            return hint
        lines = self.text().split("\n")
        edge = self.contentsMargins()
        one = max(self.fontMetrics().horizontalAdvance(line) for line in lines) + edge.left() + edge.right() + 2
        wide = min(one, _EASY_LINE)
        return QSize(wide, self.heightForWidth(wide))

    def minimumSizeHint(self) -> QSize:
        """One line of the longest word: how tall it stands follows from its width."""
        if not self.wordWrap():
            return super().minimumSizeHint()
        metrics = self.fontMetrics()
        longest = max((metrics.horizontalAdvance(word) for word in self.text().split()), default=20)
        edge = self.contentsMargins()
        wide = min(longest, _LONGEST_WORD) + edge.left() + edge.right() + 2
        return QSize(wide, metrics.height() + edge.top() + edge.bottom())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() is QEvent.Type.StyleChange:
            self._dress()

    def _dress(self) -> None:
        font = theme().font(self._kind, bold=self._bold)
        if font != self.font():
            self.setFont(font)


class KeyCap(Label):
    """The key that does the same as the button it stands beside."""

    def __init__(self, key: str, parent: QWidget | None = None) -> None:
        super().__init__(key, "small", "key", parent=parent)
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)


def kept_together(words: str) -> str:
    """A value and its ± on one line."""
    return words.replace(" ± ", "\u00a0±\u00a0").replace(" mm", "\u00a0mm")


def rule(parent: QWidget | None = None) -> QFrame:
    """A thin line between rows."""
    line = QFrame(parent)
    line.setProperty("surface", "rule")
    line.setFixedHeight(theme().border)
    return line


def is_cut(label: QLabel) -> bool:
    """True where a label shows less than its words: what the layout tests ask of every visible label."""
    if not label.text() or not label.isVisible():
        return False
    metrics = QFontMetrics(label.font())
    room = label.contentsRect()
    if label.wordWrap():
        need = metrics.boundingRect(0, 0, room.width(), 100000, Qt.TextFlag.TextWordWrap, label.text())
        return need.height() > room.height() + 1 or need.width() > room.width() + 1
    lines = label.text().split("\n")
    wide = max(metrics.horizontalAdvance(line) for line in lines)
    return wide > room.width() + 1 or metrics.height() * len(lines) > room.height() + metrics.leading() + 2
