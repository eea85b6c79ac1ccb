"""The one stylesheet, made from the tokens of a theme. Sizes of text are set by the widgets from the same theme."""

from __future__ import annotations

from hoofbook.desktop.theme import BODY_FAMILY, RADIUS, TARGET, Theme

_BASE = """
QWidget {{ color: {ink}; }}
QMainWindow, QDialog, QWidget[surface="paper"] {{ background: {paper}; }}
QWidget[surface="sidebar"] {{ background: {sidebar}; border: none; border-right: {border}px solid {line}; }}
QFrame[surface="header"] {{ background: {paper}; border: none; border-bottom: {border}px solid {line}; }}
QFrame[surface="card"] {{ background: {card}; border: {border}px solid {line}; border-radius: {radius}px; }}
QFrame[surface="note"] {{ background: {quiet}; border: {border}px solid {line}; border-left: 4px solid {leather};
  border-top-right-radius: 10px; border-bottom-right-radius: 10px; }}
QFrame[surface="notice"] {{ background: {leather_tint}; border: none; border-bottom: {border}px solid {leather}; }}
QFrame[surface="rule"] {{ background: {line}; border: none; max-height: {border}px; min-height: {border}px; }}
QFrame[surface="drop"] {{ background: {quiet}; border: 2px dashed {leather}; border-radius: {radius}px; }}
QLabel {{ background: transparent; border: none; }}
QLabel[tone="soft"] {{ color: {soft_ink}; }}
QLabel[tone="leather"] {{ color: {leather}; }}
QLabel[tone="wanted"] {{ color: {wanted}; }}
QLabel[tone="against"] {{ color: {against}; }}
QLabel[tone="calm"] {{ color: {calm}; }}
QLabel[tone="key"] {{ color: {soft_ink}; border: {border}px solid {soft_ink}; border-radius: 5px; padding: 1px 6px; }}
QToolTip {{ background: {veil}; color: #FFFFFF; border: none; padding: 6px; }}
"""
_BUTTONS = """
QPushButton {{ background: {card}; color: {ink}; border: {border}px solid {line}; border-radius: 10px;
  padding: 6px 16px; min-height: {button_inside}px; }}
QPushButton:hover {{ border-color: {leather}; }}
QPushButton:pressed {{ background: {leather_tint}; }}
QPushButton:disabled {{ color: {soft_ink}; background: {quiet}; }}
QPushButton[kind="plain"]:checked {{ background: {leather_tint}; color: {leather}; border: 2px solid {leather};
  padding: 5px 15px; }}
QPushButton[kind="main"] {{ background: {leather}; color: {on_leather}; border-color: {leather}; }}
QPushButton[kind="main"]:disabled {{ background: {track}; color: {soft_ink}; border-color: {line}; }}
QPushButton[kind="outline"] {{ color: {leather}; border-color: {leather}; }}
QPushButton[kind="link"] {{ background: transparent; border: none; color: {leather}; text-decoration: underline;
  padding: 2px 8px 2px 0; text-align: left; }}
QPushButton[kind="row"] {{ background: transparent; border: none; color: {soft_ink}; padding: 6px 10px;
  text-align: left; }}
QPushButton[kind="row"]:hover {{ color: {leather}; }}
QPushButton[kind="place"] {{ background: transparent; border: none; border-radius: 0; color: {soft_ink};
  padding: 6px 2px; }}
QPushButton[kind="place"]:hover {{ color: {leather}; }}
QPushButton[kind="place"]:checked {{ color: {leather}; border-bottom: 3px solid {leather}; }}
"""
_FIELDS = """
QLineEdit, QPlainTextEdit, QComboBox, QDateEdit, QSpinBox {{ background: {card}; color: {ink};
  border: {border}px solid {line}; border-radius: 10px; padding: 4px 10px; min-height: {field_inside}px;
  selection-background-color: {leather}; selection-color: {on_leather}; placeholder-text-color: {soft_ink}; }}
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QDateEdit:focus {{ border-color: {leather}; }}
QLineEdit:disabled, QPlainTextEdit:disabled {{ color: {soft_ink}; background: {quiet}; }}
QComboBox::drop-down {{ border: none; width: 28px; }}
QComboBox QAbstractItemView {{ background: {card}; color: {ink}; border: {border}px solid {line};
  selection-background-color: {leather_tint}; selection-color: {leather}; padding: 4px; outline: none; }}
QComboBox QAbstractItemView::item {{ min-height: {target}px; }}
"""
_SCROLL = """
QScrollArea {{ background: transparent; border: none; }}
QScrollArea > QWidget > QWidget[surface="page"] {{ background: transparent; }}
QScrollBar:vertical {{ background: transparent; width: 14px; margin: 2px; }}
QScrollBar:horizontal {{ background: transparent; height: 14px; margin: 2px; }}
QScrollBar::handle {{ background: {scroll}; border-radius: 5px; min-height: 40px; min-width: 40px; }}
QScrollBar::handle:hover {{ background: {soft_ink}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QProgressBar {{ background: {track}; border: {border}px solid {line}; border-radius: 4px; max-height: 8px;
  min-height: 8px; }}
QProgressBar::chunk {{ background: {leather}; border-radius: 4px; }}
"""


def stylesheet(theme: Theme) -> str:
    """Everything Qt styles by rule; what is painted by hand asks the theme itself."""
    tokens = {name: theme.hex(name) for name in _token_names(theme)}
    values = {
        **tokens,
        "border": theme.border,
        "radius": RADIUS,
        "target": TARGET,
        "button_inside": TARGET - 12,
        "field_inside": TARGET - 8,
        "family": BODY_FAMILY,
        "scroll": theme.hex("soft_ink") if theme.name == "daylight" else theme.hex("line"),
    }
    return "".join(part.format(**values) for part in (_BASE, _BUTTONS, _FIELDS, _SCROLL))


def _token_names(theme: Theme) -> tuple[str, ...]:
    from hoofbook.desktop.theme import TOKENS

    return tuple(TOKENS[theme.name])
