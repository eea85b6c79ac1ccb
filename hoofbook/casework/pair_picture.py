"""The pair as a picture file: as shown, with everything burnt in and nothing of the photos' files."""

from __future__ import annotations

from pathlib import Path

from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.pair_sheet import PairSheet
from hoofbook.housekeeping.files import write_atomic
from hoofbook.terms.quantity import Unit
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.wording.numbers import amount
from hoofbook.wording.pairs import LAYOUTS

ALL_CODES = ("pair_missing", "picture_kind_unknown", "layout_unknown")
PICTURES = (".png", ".jpg", ".jpeg")


def export_pair(
    open_book: OpenBook, sheet: PairSheet, out: Path, layout: str = "side by side", at: float = 0.5
) -> Path:
    """Writes the pair as a picture without metadata, with dates, values, scale bar and banner burnt in.

    Raises:
        Refused: `pair_missing`, `layout_unknown`, `picture_kind_unknown`, or where it cannot be written.
    """
    from hoofbook.imaging.compose import PairPicture, PictureSource, encode, then_and_now

    if sheet.then is None or sheet.now is None:
        raise Refused(Refusal("pair_missing", {}))
    if layout not in LAYOUTS:
        raise Refused(Refusal("layout_unknown", {"found": layout}))
    if out.suffix.lower() not in PICTURES:
        raise Refused(Refusal("picture_kind_unknown", {"file": out.name}))
    sides = [PictureSource(side.path, side.to_mm, side.caption_lines, side.covered) for side in (sheet.then, sheet.now)]
    picture = then_and_now(
        PairPicture(
            then=sides[0],
            now=sides[1],
            layout=layout,
            frame_mm=sheet.frame_mm,
            banner=sheet.banner,
            footer=sheet.way,
            scale_bar_mm=sheet.scale_bar_mm if sheet.to_scale else None,
            scale_bar_words=amount(sheet.scale_bar_mm, Unit.MM, like=10.0),
            at=at,
        )
    )
    write_atomic(out, encode(picture, out.suffix.lower()))
    return out.resolve()
