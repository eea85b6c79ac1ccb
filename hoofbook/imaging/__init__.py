"""The only code that opens, matches or draws pixels; poses come in as values, matches go out.

This module is the one importer of cv2. The opencv-python wheel ships a Qt of its own and on import points
`QT_QPA_PLATFORM_PLUGIN_PATH` and `QT_QPA_FONTDIR` at it (opencv/opencv-python#736) and lengthens `LD_LIBRARY_PATH`;
all are put back, so that neither our window nor a child process meets foreign plugins. A missing system library
(libGL) raises ImportError here; `hoofbook.__main__` turns it into a sentence.
"""

from __future__ import annotations

import os

_FOREIGN = ("QT_QPA_PLATFORM_PLUGIN_PATH", "QT_QPA_FONTDIR", "LD_LIBRARY_PATH")
_kept = {name: os.environ.get(name) for name in _FOREIGN}
try:
    import cv2
finally:
    for _name, _value in _kept.items():
        if _value is None:
            os.environ.pop(_name, None)
        else:
            os.environ[_name] = _value

# Photos are worked on side by side by our own workers; one call must not take every core from the window.
cv2.setNumThreads(max(1, min(4, (os.cpu_count() or 2) // 2)))

__all__ = ["cv2"]
