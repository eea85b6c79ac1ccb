"""The Owner picture: words after a messenger, one scale, nothing but pixels.

References: Pillow for recompression and metadata; OpenCV's QR reader and corner search; drawn squares of known pitch.
"""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from hoofbook.imaging.compose import PictureSource, encode
from hoofbook.imaging.covered import cover
from hoofbook.imaging.only_pixels import only_pixels
from hoofbook.imaging.owner_picture import (
    MESSENGER_LONGEST,
    MESSENGER_QUALITY,
    SMALLEST_CAPITAL,
    OwnerPicture,
    owner_picture,
)

PITCH_MM = 16.0
SIZE = (1600, 1500)
CODE = "BEGIN:VCALENDAR\r\n" + "X" * 180 + "\r\nEND:VCALENDAR\r\n"


def squares(px_per_mm: float) -> Image.Image:
    """A board of 8 x 7 squares of 16 mm on white."""
    board = np.full(SIZE[::-1], 235, np.uint8)
    side = PITCH_MM * px_per_mm
    for row in range(7):
        for column in range(8):
            if (row + column) % 2:
                x, y = round(200 + column * side), round(150 + row * side)
                board[y : round(150 + (row + 1) * side), x : round(200 + (column + 1) * side)] = 25
    return Image.fromarray(board).convert("RGB")


def source(path: Path, px_per_mm: float) -> PictureSource:
    scale = 1 / px_per_mm
    return PictureSource(path, ((scale, 0.0, -200 * scale), (0.0, scale, -150 * scale)))


@pytest.fixture
def wanted(tmp_path: Path) -> OwnerPicture:
    paths = []
    for name, px_per_mm in (("then", 9.0), ("now", 10.0)):
        path = tmp_path / f"{name}.png"
        squares(px_per_mm).save(path)
        paths.append(source(path, px_per_mm))
    return OwnerPicture(
        then=paths[0],
        now=paths[1],
        frame_mm=(-5.0, -5.0, 133.0, 134.0),
        horse="Larkspur",
        beside="Left fore, sole",
        dates=("14 Jan 2025", "30 Sep 2025"),
        facts="after trim, bare · 37 weeks apart",
        said="Sole concavity: about 3 mm more in 37 weeks; we can tell changes above 1.6 mm.",
        scale="Pictures are at the same scale.",
        next_label="Next visit",
        next_day="Tue 11 Nov 2025",
        caution="Pictures show appearance; ask your farrier or vet about soundness.",
        practice="Meadow Lane Farriery",
        owner="For A. K.",
        calendar=CODE,
        bar_words="50 mm",
    )


def sent(picture: np.ndarray) -> tuple[np.ndarray, float]:
    """As a messenger hands it on, and by how much it was made smaller."""
    image = Image.open(io.BytesIO(encode(picture, ".jpg")))
    long = max(image.size)
    image.thumbnail((MESSENGER_LONGEST, MESSENGER_LONGEST))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=MESSENGER_QUALITY)
    arrived = cv2.imdecode(np.frombuffer(out.getvalue(), np.uint8), cv2.IMREAD_COLOR)
    return arrived, max(arrived.shape[:2]) / long


@pytest.mark.parametrize("form", ["portrait", "square"])
def test_capitals_are_large_enough_after_a_messenger(wanted: OwnerPicture, form: str) -> None:
    painted = owner_picture(replace(wanted, form=form))
    arrived, smaller = sent(painted.pixels)
    grey = cv2.cvtColor(arrived, cv2.COLOR_BGR2GRAY).astype(float)
    assert len(painted.lines) >= 12
    for words, (left, top, right, low), capital in painted.lines:
        assert capital * smaller >= SMALLEST_CAPITAL, words
        part = grey[round(top * smaller) : round(low * smaller), round(left * smaller) : round(right * smaller)]
        assert part.shape[0] >= SMALLEST_CAPITAL - 1, words
        assert np.ptp(part) > 90, words  # still dark on light, or light on dark


def heights_of_letters(part: np.ndarray) -> list[int]:
    _, ink = cv2.threshold(part, 0, 255, cv2.THRESH_BINARY_INV | cv2.THRESH_OTSU)
    _, _, stats, _ = cv2.connectedComponentsWithStats(ink)
    return [int(row[cv2.CC_STAT_HEIGHT]) for row in stats[1:] if row[cv2.CC_STAT_AREA] > 20]


@pytest.mark.parametrize("form", ["portrait", "square"])
def test_the_smallest_words_are_that_high_in_the_pixels_too(wanted: OwnerPicture, form: str) -> None:
    """Measured in what arrives, not taken from the typeface: the first letter of the caution is a capital."""
    painted = owner_picture(replace(wanted, form=form))
    arrived, smaller = sent(painted.pixels)
    box = next(box for words, box, _ in painted.lines if words.startswith("Pictures show"))
    left, top, right, low = (round(side * smaller) for side in box)
    grey = cv2.cvtColor(arrived, cv2.COLOR_BGR2GRAY)[top - 2 : low + 2, left - 2 : min(right, left + 20)]
    assert max(heights_of_letters(grey)) >= SMALLEST_CAPITAL


@pytest.mark.parametrize("form", ["portrait", "square"])
@pytest.mark.parametrize("said", ["Short.", "word " * 60])
def test_no_words_lie_on_others_or_outside(wanted: OwnerPicture, form: str, said: str) -> None:
    long = replace(wanted, form=form, said=said, practice="A practice with a rather long name of its own " * 2)
    painted = owner_picture(long)
    height, width = painted.pixels.shape[:2]
    boxes = [box for _, box, _ in painted.lines]
    for number, (left, top, right, low) in enumerate(boxes):
        assert 0 <= left < right <= width and 0 <= top < low <= height
        for other in boxes[number + 1 :]:
            assert min(right, other[2]) <= max(left, other[0]) or min(low, other[3]) <= max(top, other[1]) + 1


@pytest.mark.parametrize("form", ["portrait", "square"])
def test_the_code_reads_after_a_messenger(wanted: OwnerPicture, form: str) -> None:
    arrived, _ = sent(owner_picture(replace(wanted, form=form)).pixels)
    assert cv2.QRCodeDetector().detectAndDecode(arrived)[0] == CODE


@pytest.mark.parametrize("form", ["portrait", "square"])
def test_squares_of_16_mm_are_16_mm_by_the_scale_bar_in_both_photos(wanted: OwnerPicture, form: str) -> None:
    painted = owner_picture(replace(wanted, form=form)).pixels
    grey = cv2.cvtColor(painted, cv2.COLOR_BGR2GRAY)
    half = grey.shape[1] // 2
    for part in (grey[:, :half], grey[:, half:]):
        photo = part[: round(0.55 * grey.shape[0])]
        found, corners = cv2.findChessboardCornersSB(photo, (7, 6), flags=cv2.CALIB_CB_EXHAUSTIVE)
        assert found
        grid = corners.reshape(-1, 7, 2)
        pitch = np.median(np.linalg.norm(np.diff(grid, axis=1), axis=2))
        assert 50.0 * pitch / bar_px(part) == pytest.approx(PITCH_MM, rel=0.01)


def bar_px(part: np.ndarray) -> float:
    """From the middle of one end of the bar to that of the other: the widest white run on the dark plate."""
    best = (0, 0)
    for row in range(part.shape[0] // 4, round(0.6 * part.shape[0])):
        for first, last in runs(part[row] > 250):
            dark_above = part[max(0, row - 6), first + 8 : last - 8]
            if last - first > best[1] - best[0] and dark_above.size and (dark_above < 60).all():
                best = (first, last)
    return best[1] - best[0] - 4 + 1  # the end strokes are 4 px wide; their middles count


def runs(white: np.ndarray) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], white.astype(np.int8), [0]])))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def test_without_a_scale_there_is_no_bar(wanted: OwnerPicture) -> None:
    painted = owner_picture(replace(wanted, bar_mm=None, scale="Not to scale."))
    assert not [words for words, _, _ in painted.lines if words == "50 mm"]
    assert "Not to scale." in " ".join(words for words, _, _ in painted.lines)


def with_more(path: Path, kind: str) -> Path:
    """A photo whose file holds more than its picture."""
    out = path.with_name(f"{kind}.jpg")
    photo = Image.open(path).convert("RGB")
    if kind == "film":
        photo.save(out)
        out.write_bytes(out.read_bytes() + b"\0\0\0\x18ftypmp42SECRETPLACE" + b"\1" * 5000)
    elif kind == "second picture":
        photo.save(out, "MPO", save_all=True, append_images=[Image.new("RGB", (64, 64), "red")])
    else:
        exif = Image.Exif()
        exif[0x010F] = "SECRETPLACE"
        exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 1.0, 2.0), 3: "W", 4: (1.0, 2.0, 3.0)})
        photo.save(out, exif=exif, comment=b"SECRETPLACE")
    return out


@pytest.mark.parametrize("suffix", [".jpg", ".png"])
@pytest.mark.parametrize("kind", ["film", "second picture", "place"])
def test_nothing_but_pixels_comes_along(wanted: OwnerPicture, kind: str, suffix: str) -> None:
    path = with_more(wanted.then.path, kind)
    assert not only_pixels(path.read_bytes())  # the check can fail
    data = encode(owner_picture(replace(wanted, then=replace(wanted.then, path=path))).pixels, suffix)
    with Image.open(io.BytesIO(data)) as opened:
        assert not opened.getexif() and not opened.getexif().get_ifd(0x8825)
        assert getattr(opened, "n_frames", 1) == 1 and opened.format in ("JPEG", "PNG")
        assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi"}
    for sign in (b"SECRETPLACE", b"Exif", b"MPF", b"ftyp", b"http://ns.adobe.com"):
        assert sign not in data
    assert only_pixels(data)


def test_a_covered_box_is_one_colour_and_the_rest_untouched() -> None:
    photo = np.random.default_rng(3).integers(0, 255, (100, 200, 3), np.uint8)
    kept = photo.copy()
    done = cover(photo, [(0.5, 0.2, 0.25, 0.4)])
    inside = done[20:41, 50:101]
    assert (inside == inside[0, 0]).all()
    assert (photo == kept).all()
    done[20:41, 50:101] = photo[20:41, 50:101]
    assert (done == photo).all()


def test_what_is_covered_is_not_in_the_picture(wanted: OwnerPicture) -> None:
    hidden = replace(wanted, then=replace(wanted.then, covered=((0.0, 0.0, 1.0, 1.0),)))
    painted = owner_picture(hidden).pixels
    photo = painted[320:600, 60:480]
    assert np.ptp(photo.astype(int), axis=(0, 1)).max() <= 1
