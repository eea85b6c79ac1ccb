"""Made-up films for tests: no animal was ever in front of them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pydicom import Dataset
from pydicom.dataset import FileMetaDataset
from pydicom.uid import ExplicitVRLittleEndian, generate_uid

from hoofbook.imaging import cv2

_BONES = (
    ((560, 40), (700, 60), (640, 300), (520, 280)),
    ((520, 300), (640, 320), (590, 460), (470, 430)),
    ((460, 440), (600, 470), (640, 560), (420, 640), (280, 690)),
)
_HOOF = ((430, 250), (720, 330), (760, 700), (170, 720))


def side_film(wide: int = 800, tall: int = 800) -> NDArray[np.uint16]:
    """(tall, wide) values of 12 bits: something like a lateral film of a left fore, bright where bone would be."""
    ground = np.full((800, 800), 300, np.float32)
    cv2.fillPoly(ground, [np.array(_HOOF, np.int32)], 1100.0)
    for bone in _BONES:
        cv2.fillPoly(ground, [np.array(bone, np.int32)], 2600.0)
    soft = cv2.GaussianBlur(ground, (0, 0), 9)
    soft = cv2.resize(soft, (wide, tall), interpolation=cv2.INTER_AREA)
    return np.asarray(soft, np.uint16)


def film(path: Path, values: NDArray[np.uint16], **fields: object) -> Path:
    """A plain uncompressed grey film of 12 bits in words of 16, as DICOM; `fields` are set beside the pixels."""
    made = Dataset()
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.SOPClassUID = made.file_meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.1.1"
    made.SOPInstanceUID = made.file_meta.MediaStorageSOPInstanceUID = generate_uid(entropy_srcs=[str(path)])
    made.Rows, made.Columns = values.shape
    made.SamplesPerPixel, made.BitsAllocated, made.PixelRepresentation = 1, 16, 0
    made.BitsStored, made.HighBit, made.PhotometricInterpretation = 12, 11, "MONOCHROME2"
    for name, value in fields.items():
        setattr(made, name, value)
    made.PixelData = values.astype("<u2").tobytes()
    made.save_as(path, enforce_file_format=True)
    return path
