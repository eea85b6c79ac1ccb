"""The Owner picture: two photos at one millimetre scale with a few large words, for a telephone.

A messenger brings a picture to 1280 px on its longer side and to JPEG quality 60. No word here has capitals lower than
24 px after that, so sizes are chosen per format from the height of the capitals. What is said comes in as ready lines.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from hoofbook.imaging import cv2
from hoofbook.imaging.compose import PictureSource, laid_photo, photo_size
from hoofbook.imaging.framing import window_shown
from hoofbook.imaging.paint_pixels import COLOURS, font
from hoofbook.imaging.pixels import Pixels
from hoofbook.terms.drawing import Role

MESSENGER_LONGEST, MESSENGER_QUALITY, SMALLEST_CAPITAL = 1280, 60, 24
LEAST_PHOTO = 160  # px
QUIET_MODULES = 2  # beside the two that OpenCV leaves: ISO/IEC 18004 wants four
_WHITE = "#FFFFFF"


@dataclass(frozen=True, slots=True)
class Format:
    """Size in px, margin and sizes of words (`plain` is the smallest), `photo_tall` the most room of the photos,
    `module` the side of one module of the QR code."""

    size: tuple[int, int]
    margin: int
    name: int
    plain: int
    said: int
    photo_tall: int
    gap: int
    module: int


FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        "portrait": Format((1080, 1920), 44, 96, 51, 60, 640, 18, 5),
        "square": Format((1080, 1080), 36, 56, 34, 40, 420, 8, 3),
    }
)


@dataclass(frozen=True, slots=True)
class OwnerPicture:
    """What to show. `beside` stands by the name; `dates` under the photos; `said` is the one sentence or banner;
    `bar_mm` None = not to scale; `calendar` is the text of the QR code ("" = none)."""

    then: PictureSource
    now: PictureSource
    frame_mm: tuple[float, float, float, float]
    horse: str
    beside: str
    dates: tuple[str, str]
    facts: str
    said: str
    scale: str
    next_label: str
    next_day: str
    caution: str
    practice: str = ""
    owner: str = ""
    calendar: str = ""
    bar_mm: float | None = 50.0
    bar_words: str = ""
    form: str = "portrait"


@dataclass(frozen=True, slots=True)
class Painted:
    """The picture, and where every line stands: words, left, top, right, bottom and height of capitals, in px."""

    pixels: Pixels
    lines: tuple[tuple[str, tuple[float, float, float, float], float], ...]
    px_per_mm: float


def owner_picture(wanted: OwnerPicture) -> Painted:
    """Paints the picture. Refused: what `pixels.read_facts` refuses of either photo."""
    tall = FORMATS[wanted.form].photo_tall
    page = _Page(wanted, tall)
    painted = page.painted()
    if page.too_low > 0:  # many words: the photos give way
        painted = _Page(wanted, max(LEAST_PHOTO, tall - math.ceil(page.too_low))).painted()
    return painted


class _Page:
    """One picture being painted from top to bottom."""

    def __init__(self, wanted: OwnerPicture, photo_tall: int) -> None:
        self.wanted = wanted
        self.photo_tall = photo_tall
        self.too_low = 0.0
        self.form = FORMATS[wanted.form]
        self.image = Image.new("RGB", self.form.size, COLOURS[Role.PAPER])
        self.draw = ImageDraw.Draw(self.image)
        self.lines: list[tuple[str, tuple[float, float, float, float], float]] = []
        self.xs: list[float] = []
        self.y = float(self.form.margin)
        self.left, self.right = float(self.form.margin), float(self.form.size[0] - self.form.margin)

    def painted(self) -> Painted:
        wanted, form = self.wanted, self.form
        self._paragraph(wanted.horse, _letters(form.name, heading=True), most=1)
        self._paragraph(wanted.beside, _letters(form.plain), Role.SOFT_INK, most=1)
        px_per_mm = self._photos()
        self._dates()
        for words in (wanted.facts, wanted.scale):  # a line each: no dot hangs at the end of one
            self._paragraph(words, _letters(form.plain), most=1)
        self.y += form.gap
        self._paragraph(wanted.said, _letters(form.said, bold=True), most=5)
        self._foot()
        pixels = np.ascontiguousarray(np.asarray(self.image, np.uint8)[..., ::-1])
        return Painted(pixels, tuple(self.lines), px_per_mm)

    def _text(self, words: str, x: float, base: float, letters: ImageFont.FreeTypeFont, colour: str) -> None:
        self.draw.text((x, base), words, colour, letters, "ls")
        box = self.draw.textbbox((x, base), words, letters, "ls")
        capital = self.draw.textbbox((0, 0), "H", letters, "ls")
        self.lines.append((words, box, float(capital[3] - capital[1])))

    def _paragraph(
        self,
        words: str,
        letters: ImageFont.FreeTypeFont,
        role: Role = Role.INK,
        *,
        most: int,
        right: float | None = None,
    ) -> None:
        for line in _wrapped(self.draw, words, letters, (right or self.right) - self.left, most):
            self.y += 0.98 * letters.size
            self._text(line, self.left, self.y, letters, COLOURS[role])
            self.y += 0.27 * letters.size

    def _photos(self) -> float:
        wanted, form = self.wanted, self.form
        self.y += form.gap
        wide = round((self.right - self.left - form.gap) / 2)
        left, high, right, low = wanted.frame_mm
        scale = min(wide / (right - left), self.photo_tall / (low - high))
        sizes = [photo_size(source.path) for source in (wanted.then, wanted.now)]
        laid = [np.asarray(source.to_mm, np.float64) for source in (wanted.then, wanted.now)]
        window = window_shown(wanted.frame_mm, scale, (wide, self.photo_tall), list(zip(laid, sizes, strict=True)))
        room = (wide, self.photo_tall)
        box = [min(room[k], round((window[k + 2] - window[k]) * scale)) for k in (0, 1)]
        for number, (source, size) in enumerate(zip((wanted.then, wanted.now), sizes, strict=True)):
            x = round(self.left + number * (wide + form.gap) + (wide - box[0]) / 2)
            seen = laid_photo(source, window, scale, size, (box[0], box[1]))
            self.image.paste(Image.fromarray(np.ascontiguousarray(seen[..., ::-1])), (x, round(self.y)))
            self.xs.append(float(x))
            if wanted.bar_mm:
                self._bar(x, round(self.y) + box[1], wanted.bar_mm * scale)
        self.y += box[1]
        return scale

    def _bar(self, x: int, low: int, long: float) -> None:
        """A white bar on a dark plate; its ends lie `long` px apart, from centre to centre."""
        letters = _letters(self.form.plain, bold=True)
        words, pad = self.wanted.bar_words, 0.3 * letters.size
        wide = max(long, self.draw.textlength(words, letters)) + 2 * pad
        top = low - 1.75 * letters.size
        self.draw.rectangle((x, top, x + wide, low - 1), COLOURS[Role.INK])
        first, y = x + pad, low - 0.35 * letters.size
        for end in (first, first + long):
            self.draw.line(((end, y - 9), (end, y + 9)), _WHITE, 4)
        self.draw.line(((first, y), (first + long, y)), _WHITE, 4)
        self._text(words, first, top + 1.0 * letters.size, letters, _WHITE)

    def _dates(self) -> None:
        letters = _letters(self.form.plain, bold=True)
        self.y += 1.15 * letters.size
        for x, words in zip(self.xs, self.wanted.dates, strict=True):
            self._text(words, x, self.y, letters, COLOURS[Role.INK])
        self.y += 0.3 * letters.size

    def _foot(self) -> None:
        """Next visit with its code, the practice and the caution, from the bottom up."""
        wanted, form = self.wanted, self.form
        plain, bold = _letters(form.plain), _letters(form.plain, bold=True)
        code = Image.fromarray(code_picture(wanted.calendar, form.module)) if wanted.calendar else None
        beside = self.right - (code.width + form.gap if code else 0)
        parts = [
            *((line, bold, COLOURS[Role.LEATHER]) for line in self._lines(wanted.next_label, bold, beside)),
            *((line, bold, COLOURS[Role.INK]) for line in self._lines(wanted.next_day, bold, beside)),
            *((line, plain, COLOURS[Role.INK]) for line in self._lines(wanted.practice, plain, beside)),
            *((line, plain, COLOURS[Role.SOFT_INK]) for line in self._lines(wanted.owner, plain, beside)),
        ]
        caution = self._lines(wanted.caution, plain, self.right)
        step = 1.25 * plain.size
        bottom = form.size[1] - form.margin
        for number, line in enumerate(caution):
            self._text(line, self.left, bottom - (len(caution) - 1 - number) * step, plain, COLOURS[Role.SOFT_INK])
        bottom -= round(len(caution) * step) + form.gap // 2
        tall = max(len(parts) * step, float(code.height) if code else 0.0)
        top = bottom - tall
        self.too_low = self.y + 2 * form.gap - top
        self.draw.line(((self.left, top - form.gap), (self.right, top - form.gap)), COLOURS[Role.LINE], 3)
        for number, (line, letters, colour) in enumerate(parts):
            self._text(line, self.left, top + number * step + plain.size, letters, colour)
        if code:
            self.image.paste(code, (round(self.right - code.width), round(bottom - code.height)))

    def _lines(self, words: str, letters: ImageFont.FreeTypeFont, right: float) -> list[str]:
        return _wrapped(self.draw, words, letters, right - self.left, 2)


def _letters(size: float, *, bold: bool = False, heading: bool = False) -> ImageFont.FreeTypeFont:
    return font(size, bold=bold, heading=heading)


def _wrapped(
    draw: ImageDraw.ImageDraw, words: str, letters: ImageFont.FreeTypeFont, room: float, most: int
) -> list[str]:
    """Lines no wider than `room`; what `most` lines cannot hold ends with an ellipsis."""
    lines: list[str] = []
    for word in words.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and draw.textlength(joined, letters) <= room:
            lines[-1] = joined
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1]}…"]
    return [_cut(draw, line, letters, room) for line in lines]


def _cut(draw: ImageDraw.ImageDraw, line: str, letters: ImageFont.FreeTypeFont, room: float) -> str:
    while len(line) > 2 and draw.textlength(line, letters) > room:
        line = f"{line[:-2].rstrip()}…"
    return line


def code_picture(text: str, module: int) -> Pixels:
    """(h, w, 3) BGR of the QR code (ISO/IEC 18004) of `text` with its quiet zone; one module is `module` px wide."""
    bare = np.asarray(cv2.QRCodeEncoder.create().encode(text), np.uint8)
    small = np.pad(bare, QUIET_MODULES, constant_values=255)
    grey = np.kron(small, np.ones((module, module), np.uint8))
    return np.ascontiguousarray(np.repeat(grey[..., None], 3, axis=2))
