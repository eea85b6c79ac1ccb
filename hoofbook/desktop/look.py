"""The look the application wears at this moment: fonts, palette and stylesheet follow from one `Theme`."""

from __future__ import annotations

from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QApplication

from hoofbook.desktop.stylesheet import stylesheet
from hoofbook.desktop.theme import Theme

_worn = Theme()
_fonts_loaded = False


def theme() -> Theme:
    """What custom painting asks for; widgets get a StyleChange event when it changes."""
    return _worn


def wear(new: Theme) -> None:
    """Make the whole application look like this."""
    global _worn  # noqa: PLW0603 - an application has one look
    _worn = new
    application = QApplication.instance()
    if isinstance(application, QApplication):
        load_fonts()
        application.setFont(new.font())
        application.setPalette(new.palette())
        application.setStyleSheet(stylesheet(new))


def load_fonts() -> None:
    """Our own fonts from resources; where they are missing Qt falls back to what the machine has."""
    global _fonts_loaded  # noqa: PLW0603 - once per process
    if _fonts_loaded:
        return
    _fonts_loaded = True
    from hoofbook.housekeeping.shipped import resource

    try:
        folder = resource("fonts")
    except Exception:  # an install without its resources still opens
        return
    for file in sorted(folder.glob("*.ttf")):
        QFontDatabase.addApplicationFont(str(file))
