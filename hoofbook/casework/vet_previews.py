"""What a vet gave, as a picture to look at: made once, kept with the previews, and made again when it is gone."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.taking_in import PREVIEW, THUMBNAIL
from hoofbook.terms.refusal import Refusal
from hoofbook.terms.subjects import VetImage
from hoofbook.wording.vet_images import CANNOT_BE_SHOWN

SHEET = "sheet.jpg"  # what stands in place of one that cannot be shown


@dataclass(frozen=True, slots=True)
class VetPicture:
    """JPEG bytes made from pixels alone; `shown` is false for the plain sheet in place of what cannot be shown."""

    data: bytes
    shown: bool


def vet_picture(open_book: OpenBook, image: VetImage) -> VetPicture:
    """The image (of a PDF its first page) at most as large as a preview, or a plain sheet with its name."""
    archive = open_book.archive
    for name, shown in ((PREVIEW, True), (SHEET, False)):
        kept = archive.preview(image.sha256, name)
        if kept.exists():
            return VetPicture(kept.read_bytes(), shown)
    return _made(open_book, image)


def vet_thumbnail(open_book: OpenBook, image: VetImage) -> tuple[Path, bool]:
    """Where its small picture lies, and whether that shows it. A book for looking only may have none: the original."""
    from hoofbook.imaging.thumbnails import make_thumbnail

    small = open_book.archive.preview(image.sha256, THUMBNAIL)
    if small.exists():
        return small, not open_book.archive.preview(image.sha256, SHEET).exists()
    picture = vet_picture(open_book, image)
    source = open_book.archive.preview(image.sha256, PREVIEW if picture.shown else SHEET)
    if not source.exists():
        return open_book.archive.path(image.sha256, image.suffix), picture.shown
    made = make_thumbnail(source)
    if open_book.read_only or isinstance(made, Refusal):
        return source, picture.shown
    return open_book.archive.write_preview(image.sha256, THUMBNAIL, made), picture.shown


def _made(open_book: OpenBook, image: VetImage) -> VetPicture:
    from hoofbook.imaging.film_picture import plain_sheet

    data = picture_of(open_book.archive.path(image.sha256, image.suffix), image.suffix)
    picture = VetPicture(data or plain_sheet((image.given_name, CANNOT_BE_SHOWN)), data is not None)
    if not open_book.read_only:
        open_book.archive.write_preview(image.sha256, PREVIEW if picture.shown else SHEET, picture.data)
    return picture


def picture_of(path: Path, suffix: str) -> bytes | None:
    """JPEG bytes of what lies at `path`; None where it cannot be shown."""
    from hoofbook.imaging.film_picture import film_jpeg
    from hoofbook.imaging.thumbnails import PREVIEW_PX, make_preview
    from hoofbook.papers.dicom import paper_inside, raw_picture, read_dicom

    if suffix == ".pdf":
        return _first_page(path.read_bytes())
    if suffix != ".dcm":
        made = make_preview(path)
        return None if isinstance(made, Refusal) else made
    found = read_dicom(path)
    if not isinstance(found, Refusal) and found.is_paper:
        paper = paper_inside(path)
        return None if isinstance(paper, Refusal) else _first_page(paper)
    raw = raw_picture(path)
    return None if isinstance(raw, Refusal) else film_jpeg(raw, PREVIEW_PX)


def _first_page(pdf: bytes) -> bytes | None:
    from hoofbook.imaging.film_picture import smaller_jpeg
    from hoofbook.imaging.thumbnails import PREVIEW_PX
    from hoofbook.papers.pdf import first_page

    page = first_page(pdf)
    return None if page is None else smaller_jpeg(page, PREVIEW_PX)
