"""Opening a 12 MP photo and finding the card in it, against Qt's reader and OpenCV's own board detector.

    python tests/benchmarks/pictures.py

The photo is made here: 4032 x 3024, JPEG 4:2:0, quality 90, Exif orientation 6 (a phone held upright) and 1. CPU time,
candidates in turn. The full picture's goal is for the turned photo: with orientation 1 the peer has nothing to turn,
and its row is for information.
Asked for: first sharp picture at 1600 x 1000 at most 1.2 x QImageReader (scaled, turned), full upright picture at most
0.75 x QImageReader, card search at most 0.25 x CharucoDetector at full size with no fewer corners and no larger rms.
Exit code 1 if not.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from PIL import Image
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QGuiApplication, QImage, QImageIOHandler, QImageReader

from hoofbook.imaging import cv2
from hoofbook.imaging.card import find_card
from hoofbook.imaging.card_geometry import board, inner_corners
from hoofbook.imaging.pixels import full_picture, read_facts, screen_picture
from hoofbook.terms.card import CardFace, CardSighting
from tests.benchmarks.timing import race
from tests.imaging.pictures import CardPhoto, photo_of_card

ROUNDS = 15
WINDOW = (1600, 1000)
FIRST, FULL, CARD, HEADER_MS = 1.2, 0.75, 0.25, 5.0


@dataclass(frozen=True)
class Row:
    what: str
    ours: Callable[[], object]
    peer: Callable[[], object]
    goal: float | None


def write_photo(path: Path, orientation: int) -> Path:
    """A phone-like JPEG of texture, straws and noise."""
    grey = photo_of_card(3, size=(4032, 3024), distance_mm=800).grey
    tint = np.array([1.06, 0.95, 0.78])
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif.get_ifd(0x8769)[0x9003] = "2025:01:14 09:30:00"
    picture = np.clip(grey[..., None] * tint, 0, 255).astype(np.uint8)
    Image.fromarray(picture).save(path, "JPEG", quality=90, subsampling="4:2:0", exif=exif)
    return path


def by_qt(path: Path, size: tuple[int, int] | None) -> QImage:
    """QImageReader with autoTransform, scaled while decoding where a size is given."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)
    if size is not None:
        whole = reader.size()
        turned = bool(reader.transformation() & QImageIOHandler.Transformation.TransformationRotate90)
        fit = (whole.transposed() if turned else whole).scaled(QSize(*size), Qt.AspectRatioMode.KeepAspectRatio)
        reader.setScaledSize(fit.transposed() if turned else fit)
    picture = reader.read()
    assert not picture.isNull(), reader.errorString()
    return picture


def as_qimage(pixels: object) -> QImage:
    """What the window does with our buffer: a QImage that looks at the same memory."""
    assert isinstance(pixels, np.ndarray), pixels
    height, width = pixels.shape[:2]
    return QImage(pixels.data, width, height, width * 4, QImage.Format.Format_RGB32)


def peer_card(photo: CardPhoto) -> tuple[int, float]:
    """Corners and rms px of OpenCV's own detector with its defaults, at full size."""
    corners, ids, *_ = cv2.aruco.CharucoDetector(board(CardFace.FRONT)).detectBoard(photo.grey)
    if ids is None or corners is None:
        return 0, float("inf")
    which = np.asarray(ids).ravel()
    off = np.asarray(corners).reshape(-1, 2) - photo.place(inner_corners()[which])
    return len(which), float(np.sqrt((off**2).mean()))


def our_card(photo: CardPhoto) -> tuple[int, float]:
    found = find_card(photo.grey)
    if not isinstance(found, CardSighting):
        return 0, float("inf")
    off = photo.off(found.corners, "c")
    return len(off), float(np.sqrt((off**2).mean()))


def rows(folder: Path, cards: dict[str, CardPhoto]) -> list[Row]:
    photos = {turn: write_photo(folder / f"{turn}.jpg", turn) for turn in (6, 1)}
    made = []
    for turn, path in photos.items():
        made += [
            Row(
                f"first sharp picture 1600 x 1000, orientation {turn}",
                lambda path=path: as_qimage(screen_picture(path, *WINDOW)),
                lambda path=path: by_qt(path, WINDOW),
                FIRST,
            ),
            Row(
                f"full upright picture, orientation {turn}",
                lambda path=path: as_qimage(full_picture(path)),
                lambda path=path: by_qt(path, None),
                FULL if turn == 6 else None,
            ),
        ]
    for name, photo in cards.items():
        made.append(Row(f"card search, {name}", lambda p=photo: find_card(p.grey), lambda p=photo: peer_card(p), CARD))
    return made


def main() -> int:
    app = QGuiApplication.instance() or QGuiApplication([])
    cv2.setNumThreads(1)
    cards = {
        f"{distance / 1000:.1f} m": photo_of_card(5, size=(4032, 3024), distance_mm=distance) for distance in (500, 800)
    }
    missed = []
    with tempfile.TemporaryDirectory() as folder:
        table = rows(Path(folder), cards)
        candidates: dict[str, Callable[[], object]] = {"header": lambda: read_facts(Path(folder) / "1.jpg")}
        for row in table:
            candidates |= {f"{row.what} ours": row.ours, f"{row.what} peer": row.peer}
        times = race(candidates, rounds=ROUNDS)
    print(f"{'what':48s} {'ours ms':>9s} {'peer ms':>9s} {'ratio median':>13s} {'ratio p95':>10s} {'goal':>6s}")
    for row in table:
        ours, peer = times[f"{row.what} ours"], times[f"{row.what} peer"]
        ratio = ours[0] / peer[0]
        goal = "" if row.goal is None else f"{row.goal:.2f}"
        print(f"{row.what:48s} {ours[0]:9.1f} {peer[0]:9.1f} {ratio:13.2f} {ours[1] / peer[1]:10.2f} {goal:>6s}")
        if row.goal is not None and ratio > row.goal:
            missed.append(row.what)
    print(f"{'facts of the header':48s} {times['header'][0]:9.1f} {'':9s} {'':13s} {'':10s} {HEADER_MS:4.0f} ms")
    if times["header"][0] > HEADER_MS:
        missed.append("header")
    for name, photo in cards.items():
        ours_found, peer_found = our_card(photo), peer_card(photo)
        print(
            f"card at {name}: {ours_found[0]} inner corners, rms {ours_found[1]:.3f} px "
            f"(peer {peer_found[0]}, {peer_found[1]:.3f} px)"
        )
        if ours_found[0] < peer_found[0] or ours_found[1] > peer_found[1] + 0.005:
            missed.append(f"corners at {name}")
    print("All goals held." if not missed else f"NOT held: {', '.join(missed)}")
    del app
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
