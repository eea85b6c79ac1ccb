"""From the renderer's straight picture to the file a phone would have written."""

from __future__ import annotations

import datetime
import pathlib

import cv2
import numpy as np
from camera import Camera, straight_to_photo
from PIL import Image
from sheet import Sheet

STORED_TURN = {1: 0, 3: 2, 6: 1, 8: 3}  # quarter turns (anticlockwise) from upright to stored pixels
EXIF_IFD = 0x8769


def develop(straight: np.ndarray, focal_px: float, camera: Camera, sheets: list[Sheet], seed: int) -> np.ndarray:
    """Upright 8-bit BGR photo: lens distortion, print redrawn sharply, slight softness, sharpening, sensor noise.

    ``straight`` is the renderer's 16-bit picture whose focal length in pixels is ``focal_px``.
    """
    random = np.random.default_rng(seed)
    picture = straight_to_photo(camera, straight.astype(np.float32) / 65535.0, focal_px)
    for sheet in sheets:
        picture = sheet.redraw(picture, camera)
    picture = cv2.GaussianBlur(picture, (0, 0), 0.55)
    picture = picture + 0.45 * (picture - cv2.GaussianBlur(picture, (0, 0), 1.2))
    light = np.clip(picture, 0, 1)
    grain = random.normal(0, 1, picture.shape[:2])[..., None] * 0.7 + random.normal(0, 0.5, picture.shape)
    picture = picture + grain * (0.0055 + 0.006 * np.sqrt(light)) * 0.8
    return (np.clip(picture, 0, 1) * 255 + 0.5).astype(np.uint8)


def lens_name(focal_35mm: int) -> str:
    return "Demo phone main camera 26 mm" if focal_35mm == 26 else f"Demo phone tele camera {focal_35mm} mm"


def exif(taken: datetime.datetime, offset: str, focal_35mm: int, orientation: int, size: tuple[int, int]) -> Image.Exif:
    """EXIF of a phone photo (tag numbers of the Exif 2.32 standard)."""
    tags = Image.Exif()
    when = taken.strftime("%Y:%m:%d %H:%M:%S")
    tags[0x010F], tags[0x0110], tags[0x0112], tags[0x0132] = "Demo", "Demo phone", orientation, when
    tags[0x011A], tags[0x011B], tags[0x0128] = 72.0, 72.0, 2
    part = tags.get_ifd(EXIF_IFD)
    part[0x9000], part[0x9003], part[0x9004] = b"0232", when, when
    part[0x9010], part[0x9011], part[0x9012] = offset, offset, offset
    part[0x829A], part[0x829D], part[0x8827] = 1 / 120, 1.8 if focal_35mm == 26 else 2.8, 125
    part[0x920A] = 6.86 if focal_35mm == 26 else round(focal_35mm / 8.55, 2)
    part[0xA405], part[0xA434] = focal_35mm, lens_name(focal_35mm)
    part[0xA001], part[0xA002], part[0xA003] = 1, size[0], size[1]
    return tags


def save(picture: np.ndarray, file: pathlib.Path, tags: Image.Exif | None, orientation: int, quality: int) -> None:
    stored = np.rot90(picture, STORED_TURN[orientation])
    image = Image.fromarray(np.ascontiguousarray(stored[..., ::-1]))
    file.parent.mkdir(parents=True, exist_ok=True)
    extra = {"exif": tags.tobytes()} if tags is not None else {}
    image.save(file, "JPEG", quality=quality, subsampling="4:2:0", optimize=True, **extra)


def upright(file: pathlib.Path) -> np.ndarray:
    """BGR pixels in the photo frame (EXIF orientation applied)."""
    with Image.open(file) as image:
        orientation = image.getexif().get(0x0112, 1)
        stored = np.asarray(image.convert("RGB"))[..., ::-1]
    return np.ascontiguousarray(np.rot90(stored, -STORED_TURN[orientation]))
