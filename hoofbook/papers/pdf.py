"""The only caller of typst: turns a template and its data into a PDF or page pictures, in a child process.

A child gives its memory back and can be stopped; data go in as JSON beside the template, never pasted into markup,
so a horse called `#1 *x*` comes out as written. Pictures go in as files beside the template, named as the data say.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hoofbook.housekeeping.shipped import resource

LASTING = ("a-3a", "ua-1")
"""PDF/A-3a and PDF/UA-1 (ISO 19005-3, ISO 14289-1): typst refuses a document that breaks them."""


@dataclass(frozen=True, slots=True)
class _Job:
    source: Path
    data: str
    fonts: tuple[str, ...]
    files: dict[str, bytes]
    options: dict[str, Any]


def make_pdf(
    template: str, data: Mapping[str, Any], *, files: Mapping[str, bytes] | None = None, standards: Sequence[str] = ()
) -> bytes:
    """Bytes of the PDF of `resources/paper/<template>` with `data` (JSON values) as `sys.inputs.data`.

    `files` (plain name -> bytes) lie beside the template while it is set; `standards` are those the PDF must keep.

    Raises:
        Refused: `shipped_missing` where the template is not there.
    """
    made: bytes = _in_child(template, data, files, {"format": "pdf", "pdf_standards": list(standards)})
    return made


def make_pages(
    template: str, data: Mapping[str, Any], *, files: Mapping[str, bytes] | None = None, pixels_per_inch: float = 100.0
) -> tuple[bytes, ...]:
    """The same pages as PNG pictures, to be looked at before the PDF is made. Refused: as `make_pdf`."""
    made = _in_child(template, data, files, {"format": "png", "ppi": pixels_per_inch})
    return tuple(made) if isinstance(made, list) else (made,)


def first_page(pdf: bytes, pixels_per_inch: float = 150.0) -> bytes | None:
    """The first page of somebody else's PDF as a PNG picture, laid on a width of 210 mm; None where it is locked
    or damaged."""
    source = resource("paper", "first_page.typ")
    options = {"format": "png", "ppi": pixels_per_inch}
    job = _Job(source, "null", (str(resource("fonts")),), {"page.pdf": pdf}, options)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as child:
        made: bytes | None = child.submit(_compile_or_none, job).result()
    return made


def _in_child(
    template: str, data: Mapping[str, Any], files: Mapping[str, bytes] | None, options: dict[str, Any]
) -> Any:
    source = resource("paper", template)
    job = _Job(source, json.dumps(data), (str(resource("fonts")),), dict(files or {}), options)
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as child:
        return child.submit(_compile, job).result()


def _compile_or_none(job: _Job) -> bytes | None:
    """None for whatever is wrong with a file that we did not make; the typesetter's own error need not come across."""
    try:
        pages = _compile(job)
    except Exception:
        return None
    return bytes(pages[0] if isinstance(pages, list) else pages)


def _compile(job: _Job) -> Any:
    import typst

    with TemporaryDirectory() as beside:
        root = Path(beside)
        for part in job.source.parent.glob("*.typ"):
            shutil.copyfile(part, root / part.name)
        for name, content in job.files.items():
            (root / name).write_bytes(content)
        return typst.compile(
            str(root / job.source.name),
            root=beside,
            font_paths=list(job.fonts),
            ignore_system_fonts=True,
            sys_inputs={"data": job.data},
            **job.options,
        )
