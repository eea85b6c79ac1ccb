"""The only caller of typst: turns a template and its data into a PDF, in a child process.

A child gives its memory back and can be stopped; data go in as JSON beside the template, never pasted into markup,
so a horse called `#1 *x*` comes out as written.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from hoofbook.housekeeping.shipped import resource


def make_pdf(template: str, data: Mapping[str, Any]) -> bytes:
    """Bytes of the PDF of `resources/paper/<template>` with `data` (JSON values) as `sys.inputs.data`.

    Raises:
        Refused: `shipped_missing` where the template is not there.
    """
    source = resource("paper", template)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as child:
        return child.submit(_compile, source, json.dumps(data), _font_folders()).result()


def _font_folders() -> list[str]:
    return [str(resource("fonts"))]


def _compile(source: Path, data: str, fonts: list[str]) -> bytes:
    import typst

    made: bytes = typst.compile(
        str(source),
        root=str(source.parent),
        font_paths=fonts,
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": data},
    )
    return made
