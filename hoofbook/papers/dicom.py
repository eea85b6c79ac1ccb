"""The only caller of pydicom: what a DICOM file of a vet's holds, and files for a vet's archive.

Codes in here are those of DICOM PS3.16 as pydicom ships its tables (`pydicom.sr`): CID 7454 (species), CID 7483
(regions of animals), CID 244 (sides). Attributes and their values are those of PS3.3, sections named beside them.
"""

from __future__ import annotations

import io
import re
import warnings
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hoofbook.imaging.facts import BROKEN, LARGEST_MEGAPIXELS, quiet
from hoofbook.imaging.film_picture import RawPicture, Table
from hoofbook.terms.feet import Foot, Side
from hoofbook.terms.refusal import Refusal

if TYPE_CHECKING:
    from pydicom.dataset import Dataset

ALL_CODES = ("vet_image_damaged", "vet_image_no_picture", "vet_image_cannot_be_shown")
LEFT, RIGHT = ("7771000", "Left"), ("24028007", "Right")
FOREFOOT, HINDFOOT = ("419176008", "Forefoot"), ("416804009", "Hindfoot")
_SIDES = {"L": Side.LEFT, "R": Side.RIGHT, LEFT[0]: Side.LEFT, RIGHT[0]: Side.RIGHT}
_SIDES |= {"G-A101": Side.LEFT, "G-A100": Side.RIGHT}  # the same two as older files write them (SNOMED RT)
# foot, pastern, fetlock and navicular bone of a fore and of a hind limb, and the defined terms of body parts
_FORE = (FOREFOOT[0], "31329001", "13190002", "30518006", "FOREFOOT")
_HIND = (HINDFOOT[0], "18525008", "113351006", "75772009", "HINDFOOT")
_ANYTHING = (*BROKEN, AttributeError, AssertionError, zlib.error)


@dataclass(frozen=True, slots=True)
class FoundDicom:
    """What a vet's DICOM file tells of itself; what it does not tell is None or empty. `horse` is the name in it."""

    day: date | None = None
    side: Side | None = None
    foot: Foot | None = None
    view: str = ""
    horse: str = ""
    frames: int = 1
    is_paper: bool = False  # a PDF in a DICOM file


def is_dicom(path: Path) -> bool:
    """By the mark behind the first 128 bytes (PS3.10, 7.1)."""
    with path.open("rb") as file:
        return file.read(132)[128:] == b"DICM"


def read_dicom(path: Path) -> FoundDicom | Refusal:
    """What the file tells. Refusals: `vet_image_damaged`; `vet_image_no_picture` (a list, a report in words)."""
    try:
        with _opened(path) as file:
            if "PixelData" not in file and "EncapsulatedDocument" not in file:
                kind = _kind(file)
                if not kind or "Image" in kind or "Encapsulated" in kind:  # it should hold something to look at
                    return Refusal("vet_image_damaged", {"file": path.name})
                return Refusal("vet_image_no_picture", {"file": path.name, "kind": kind})
            if "PixelData" in file and _is_cut(file):
                return Refusal("vet_image_damaged", {"file": path.name})
            side, part = _side(file), _part(file)
            return FoundDicom(
                day=_day(file),
                side=side,
                foot=_foot(side, part),
                view=_view(file),
                horse=str(file.get("PatientName", "")).replace("^", " ").replace("=", " ").strip(),
                frames=int(file.get("NumberOfFrames") or 1),
                is_paper="EncapsulatedDocument" in file,
            )
    except _ANYTHING:
        return Refusal("vet_image_damaged", {"file": path.name})


def paper_inside(path: Path) -> bytes | Refusal:
    """The PDF that an Encapsulated PDF holds. Refusals: `vet_image_damaged`, `vet_image_cannot_be_shown`."""
    try:
        with _opened(path) as file:
            data = bytes(file.EncapsulatedDocument)
            return data if data.startswith(b"%PDF") else Refusal("vet_image_cannot_be_shown", {"file": path.name})
    except _ANYTHING:
        return Refusal("vet_image_damaged", {"file": path.name})


def raw_picture(path: Path) -> RawPicture | Refusal:
    """The first frame, unpacked, with what is needed to show it.

    Refusals: `vet_image_damaged`; `vet_image_cannot_be_shown` where nothing here unpacks it (fact `how`).
    """
    try:
        with _opened(path) as file:
            return _raw(file, path.name)
    except _ANYTHING:
        return Refusal("vet_image_damaged", {"file": path.name})


@contextmanager
def _opened(path: Path) -> Iterator[Dataset]:
    from pydicom import dcmread

    with quiet(), warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        file = dcmread(io.BytesIO(path.read_bytes()))
        if any("End of file" in str(warning.message) for warning in said):  # what was read until then is less than all
            raise EOFError
        yield file


def _kind(file: Dataset) -> str:
    from pydicom.uid import UID

    found = file.get("SOPClassUID") or file.file_meta.get("MediaStorageSOPClassUID") or ""
    return str(UID(found).name).removesuffix(" Storage") if found else ""


def _is_cut(file: Dataset) -> bool:
    """True where unpacked pixels are fewer than the size says, or packed ones have no end."""
    if file.file_meta.TransferSyntaxUID.is_compressed:
        from pydicom.encaps import get_frame

        frame = get_frame(file.PixelData, 0, number_of_frames=int(file.get("NumberOfFrames") or 1))
        return not frame
    from pydicom.pixels.utils import get_expected_length

    return len(file.PixelData) < get_expected_length(file)


def _day(file: Dataset) -> date | None:
    """The day on which it was taken; what only says when a file was made is not asked."""
    for name in ("AcquisitionDate", "AcquisitionDateTime", "ContentDate", "SeriesDate", "StudyDate"):
        text = str(file.get(name) or "")[:8]
        try:
            return datetime.strptime(text, "%Y%m%d").date()
        except ValueError:
            continue
    return None


def _codes(file: Dataset, *path: str) -> Iterator[tuple[str, str]]:
    """Value and meaning of the codes in a sequence of a sequence."""
    for item in file.get(path[0]) or ():
        if path[1:]:
            yield from _codes(item, *path[1:])
        else:
            yield str(item.get("CodeValue", "")), str(item.get("CodeMeaning", ""))


def _side(file: Dataset) -> Side | None:
    told = [str(file.get(name) or "") for name in ("ImageLaterality", "Laterality")]
    told += [value for value, _ in _codes(file, "AnatomicRegionSequence", "AnatomicRegionModifierSequence")]
    return next((_SIDES[word] for word in told if word in _SIDES), None)


def _part(file: Dataset) -> str:
    told = [str(file.get("BodyPartExamined") or "").upper()]
    told += [value for value, _ in _codes(file, "AnatomicRegionSequence")]
    known = [word for word in told if word in (*_FORE, *_HIND)]
    return known[0] if known else ""


def _foot(side: Side | None, part: str) -> Foot | None:
    if side is None or not part:
        return None
    fore, hind = (Foot.LF, Foot.LH) if side is Side.LEFT else (Foot.RF, Foot.RH)
    return fore if part in _FORE else hind


def _view(file: Dataset) -> str:
    """The view in the file's own words."""
    told = [meaning for _, meaning in _codes(file, "ViewCodeSequence")]
    told += [str(file.get(name) or "").strip() for name in ("ViewPosition", "SeriesDescription")]
    return next((words for words in told if words), "")


def _raw(file: Dataset, name: str) -> RawPicture | Refusal:
    from pydicom.pixels.decoders.base import get_decoder
    from pydicom.uid import JPEGLossless, JPEGLosslessSV1

    packed = file.file_meta.TransferSyntaxUID
    big = not packed.is_compressed and not packed.is_little_endian
    cannot = Refusal("vet_image_cannot_be_shown", {"file": name, "how": packed.name})
    if int(file.Rows) * int(file.Columns) > LARGEST_MEGAPIXELS * 1e6 or (big and file.BitsAllocated == 8):
        return cannot
    lossless = packed in (JPEGLossless, JPEGLosslessSV1)
    try:
        data, told = _still_packed(file) if lossless else get_decoder(packed).as_buffer(file, index=0)
    except (NotImplementedError, RuntimeError):
        return cannot
    tables = [_palette(file, colour) for colour in ("Red", "Green", "Blue")]
    red, green, blue = tables
    return RawPicture(
        bytes(data),
        int(told["rows"]),
        int(told["columns"]),
        int(told["samples_per_pixel"]),
        int(told["bits_allocated"]),
        int(told["bits_stored"]),
        signed=told["pixel_representation"] == 1,
        big_endian=big,
        planar=told.get("planar_configuration") == 1,
        photometric=str(told["photometric_interpretation"]),
        slope=float(file.get("RescaleSlope") or 1.0),
        intercept=float(file.get("RescaleIntercept") or 0.0),
        window=_window(file),
        shape=str(file.get("VOILUTFunction") or "LINEAR"),
        rescaled_by=_first_table(file, "ModalityLUTSequence"),
        windowed_by=_first_table(file, "VOILUTSequence"),
        palette=(red, green, blue) if red and green and blue else None,
        padding=file.get("PixelPaddingValue"),
        stretch=_stretch(file),
        is_lossless_jpeg=lossless,
    )


def _still_packed(file: Dataset) -> tuple[bytes, dict[str, Any]]:
    """The first frame as it is, and what the file says of its values, under the names that a decoder gives them."""
    from pydicom.encaps import get_frame

    frame = get_frame(file.PixelData, 0, number_of_frames=int(file.get("NumberOfFrames") or 1))
    names = ("Rows", "Columns", "SamplesPerPixel", "BitsAllocated", "BitsStored", "PixelRepresentation")
    told: dict[str, Any] = {re.sub(r"(?<=[a-z])(?=[A-Z])", "_", name).lower(): int(file[name].value) for name in names}
    return frame, {**told, "photometric_interpretation": str(file.PhotometricInterpretation)}


def _window(file: Dataset) -> tuple[float, float] | None:
    """The first of the file's windows: centre and width."""
    if not file.get("WindowCenter") or not file.get("WindowWidth"):
        return None
    several = file["WindowCenter"].VM > 1
    centre, width = file.WindowCenter, file.WindowWidth
    return (float(centre[0]), float(width[0])) if several else (float(centre), float(width))


def _stretch(file: Dataset) -> float:
    ratio = file.get("PixelAspectRatio")
    return float(ratio[0]) / float(ratio[1]) if ratio and float(ratio[0]) > 0 and float(ratio[1]) > 0 else 1.0


def _first_table(file: Dataset, name: str) -> Table | None:
    items = file.get(name)
    return _table(items[0].LUTDescriptor, items[0].LUTData) if items else None


def _palette(file: Dataset, colour: str) -> Table | None:
    shape = file.get(f"{colour}PaletteColorLookupTableDescriptor")
    data = file.get(f"{colour}PaletteColorLookupTableData")
    return _table(shape, data) if shape and data else None


def _table(shape: Any, data: Any) -> Table:
    """Entries as words, however the file packs them (PS3.3 C.11.1.1.1: 0 entries stand for 65,536)."""
    entries, first, bits = (int(value) for value in shape)
    entries = entries or 65536
    if not isinstance(data, bytes):
        values = [int(value) for value in data]
    elif len(data) < 2 * entries:  # one byte an entry
        values = list(data)
    else:
        return Table(first, bits, data[: 2 * entries])
    return Table(first, bits, b"".join(value.to_bytes(2, "little") for value in values[:entries]))


def uid(*keys: str) -> str:
    """A unique identifier that is the same each time for the same keys."""
    from pydicom.uid import generate_uid

    return str(generate_uid(entropy_srcs=list(keys)))


def written(values: Mapping[str, Any], jpeg: bytes = b"") -> bytes:
    """A DICOM file (PS3.10) of `values` by keyword, a sequence as a list of such; `jpeg` is its one baseline frame.

    Nothing of the machine is in it: no path, no name, no serial number, no time of making.
    """
    from pydicom.dataset import FileMetaDataset
    from pydicom.encaps import encapsulate
    from pydicom.uid import ExplicitVRLittleEndian, JPEGBaseline8Bit

    made = _dataset(values)
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = JPEGBaseline8Bit if jpeg else ExplicitVRLittleEndian
    if jpeg:
        made.PixelData = encapsulate([jpeg])
    out = io.BytesIO()
    made.save_as(out, enforce_file_format=True)
    return out.getvalue()


def _dataset(values: Mapping[str, Any]) -> Dataset:
    from pydicom.dataset import Dataset

    made = Dataset()
    for name, value in values.items():
        setattr(made, name, [_dataset(item) for item in value] if name.endswith("Sequence") else value)
    return made
