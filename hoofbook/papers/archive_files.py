"""What stands in files for a vet's archive: photos as VL Photographic Images, the Vet case as an Encapsulated PDF.

Attributes by DICOM PS3.3, of a horse as a veterinary patient (C.7.1.1, C.7.2.2). Which codes are used:

- species 35354009 (SNOMED CT, CID 7454), region Forefoot or Hindfoot (CID 7483) with its side (CID 244): checked
  against PS3.16 as pydicom ships it;
- views: none. CID 7484 names the ways of X-rays through a foot, and a photo is not one of those; the view stands in
  the description of the series and in the comments;
- breed: none, since what a book says of it is free text; the description holds it.

Pixel Spacing is no part of the VL Photographic Image. It is added (a Standard Extended SOP Class, PS3.2) only where one
number is true for the plane that was marked, with Pixel Spacing Calibration Type FIDUCIAL (PS3.3, 10.7.1.2: the size
comes from something of known size in the picture) and a description that says so.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from hoofbook import PRODUCT_NAME, __version__
from hoofbook.papers.dicom import FOREFOOT, HINDFOOT, LEFT, RIGHT, uid, written
from hoofbook.terms.feet import Foot, Side
from hoofbook.wording.vet_archive import CALIBRATED_BY, STUDY, series_words

PHOTOGRAPH, ENCAPSULATED_PDF = "1.2.840.10008.5.1.4.1.1.77.1.4", "1.2.840.10008.5.1.4.1.1.104.1"
SPECIES = ("35354009", "Equus caballus")
_LO, _SH, _ST, _LT = 64, 16, 1024, 10240  # characters that fit (PS3.5, 6.2)
# a gelding is a neutered male; a mare may have been spayed, which her name does not tell
_SEXES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "mare": ("F", ""),
        "filly": ("F", ""),
        "gelding": ("M", "ALTERED"),
        "stallion": ("M", "UNALTERED"),
        "colt": ("M", "UNALTERED"),
    }
)


@dataclass(frozen=True, slots=True)
class ArchiveHorse:
    """The horse as PS3.3 asks for an animal; `key` never changes, `born` is a year, `identity` free words."""

    key: str
    name: str
    owner: str = ""
    sex: str = ""
    breed: str = ""
    born: int | None = None
    identity: str = ""


@dataclass(frozen=True, slots=True)
class ArchivePhoto:
    """One photo. `jpeg` is plain upright baseline JPEG of `columns` x `rows` px; `time` of it, and `began` of the first
    of its day, as HHMMSS or empty.

    `mm_per_px` where one number is true in the plane of the marks. `series` counts within the day, `number` within the
    series. `changed` says what was done to the pixels, empty where they are as taken.
    """

    key: str
    jpeg: bytes
    columns: int
    rows: int
    grey: bool
    day: date
    time: str
    foot: Foot
    view: str
    comments: str
    began: str
    series: int
    number: int
    taken_by: str = ""
    changed: str = ""
    mm_per_px: float | None = None


def photo_file(horse: ArchiveHorse, photo: ArchivePhoto) -> bytes:
    """One photo as a VL Photographic Image; its own identifier changes with its pixels and its scale, no other does."""
    colours = 1 if photo.grey else 3
    values = {
        "SOPClassUID": PHOTOGRAPH,
        "SOPInstanceUID": uid(photo.key, _digest(photo.jpeg), _number(photo.mm_per_px)),
        **_patient(horse, photo.day),
        **_study(horse, photo.day, photo.began),
        "Modality": "XC",
        "SeriesInstanceUID": uid(horse.key, photo.day.isoformat(), photo.foot.value, photo.view),
        "SeriesNumber": photo.series,
        "SeriesDate": _da(photo.day),
        "SeriesDescription": _text(series_words(photo.foot, photo.view), _LO),
        "Laterality": photo.foot.side.value[0].upper(),
        "BodyPartExamined": "FOREFOOT" if photo.foot.is_fore else "HINDFOOT",
        "OperatorsName": _one_part(photo.taken_by),
        "InstanceNumber": photo.number,
        "PatientOrientation": None,
        "ImageType": ["DERIVED" if photo.changed else "ORIGINAL", "PRIMARY"],
        "ContentDate": _da(photo.day),
        **({"ContentTime": photo.time} if photo.time else {}),
        "ImageComments": _text(photo.comments, _LT),
        "AnatomicRegionSequence": [_region(photo.foot)],
        "AcquisitionContextSequence": [],
        "LossyImageCompression": "01",
        "SamplesPerPixel": colours,
        "PhotometricInterpretation": "MONOCHROME2" if photo.grey else "YBR_FULL_422",
        "Rows": photo.rows,
        "Columns": photo.columns,
        "BitsAllocated": 8,
        "BitsStored": 8,
        "HighBit": 7,
        "PixelRepresentation": 0,
    }
    values |= {} if photo.grey else {"PlanarConfiguration": 0}
    values |= {"DerivationDescription": photo.changed} if photo.changed else _packed(photo, colours)
    return written(values | _spacing(photo), photo.jpeg)


def paper_file(horse: ArchiveHorse, pdf: bytes, title: str, day: date, *, time: str, began: str) -> bytes:
    """A PDF of ours as an Encapsulated PDF; it holds words about the horse and its owner, which is said in it. `time`
    of its making and `began` of the day's first photo, as HHMMSS."""
    values = {
        "SOPClassUID": ENCAPSULATED_PDF,
        "SOPInstanceUID": uid(horse.key, _digest(pdf)),
        **_patient(horse, day),
        **_study(horse, day, began),
        "Modality": "DOC",
        "SeriesInstanceUID": uid(horse.key, day.isoformat(), "paper"),
        "SeriesNumber": 1000,
        "SeriesDescription": _text(title, _LO),
        "ConversionType": "WSD",
        "InstanceNumber": 1,
        "ContentDate": _da(day),
        "ContentTime": time,
        "AcquisitionDateTime": None,
        "BurnedInAnnotation": "YES",
        "DocumentTitle": _text(title, _ST),
        "ConceptNameCodeSequence": [],
        "MIMETypeOfEncapsulatedDocument": "application/pdf",
        "EncapsulatedDocument": pdf + b"\0" * (len(pdf) % 2),
        "EncapsulatedDocumentLength": len(pdf),
    }
    return written(values)


def _patient(horse: ArchiveHorse, day: date) -> dict[str, Any]:
    """PS3.3 C.7.1.1 and C.7.2.2. An animal is named by its owner and its own name (PS3.5, 6.2.1.2, from memory)."""
    sex, neutered = _SEXES.get(horse.sex.strip().lower(), ("", ""))
    owner = _person(horse.owner)
    return {
        "SpecificCharacterSet": "ISO_IR 192",
        "PatientName": f"{owner}^{_person(horse.name)}",
        "PatientID": horse.key,
        "IssuerOfPatientID": PRODUCT_NAME,
        "PatientBirthDate": None,  # a year alone is no date
        "PatientSex": sex or None,
        "PatientSpeciesDescription": SPECIES[1],
        "PatientSpeciesCodeSequence": [_code(SPECIES)],
        "PatientBreedDescription": _text(horse.breed, _LO) or None,
        "PatientBreedCodeSequence": [],
        "BreedRegistrationSequence": [],
        "ResponsiblePerson": _one_part(horse.owner),
        **({"ResponsiblePersonRole": "OWNER"} if owner else {}),
        "ResponsibleOrganization": None,
        "PatientSexNeutered": neutered or None,
        **({"PatientAge": f"{day.year - horse.born:03d}Y"} if horse.born and 0 <= day.year - horse.born <= 99 else {}),
        **({"PatientComments": _text(horse.identity, _LT)} if horse.identity.strip() else {}),
    }


def _study(horse: ArchiveHorse, day: date, began: str) -> dict[str, Any]:
    """All of one horse and one day is one study."""
    return {
        "StudyInstanceUID": uid(horse.key, day.isoformat()),
        "StudyDate": _da(day),
        "StudyTime": began or None,
        "StudyID": _da(day),
        "StudyDescription": STUDY,
        "AccessionNumber": None,
        "ReferringPhysicianName": None,
        "Manufacturer": None,
        "SoftwareVersions": _text(f"{PRODUCT_NAME} {__version__}", _LO),
    }


def _region(foot: Foot) -> dict[str, Any]:
    side = LEFT if foot.side is Side.LEFT else RIGHT
    region = _code(FOREFOOT if foot.is_fore else HINDFOOT)
    return {**region, "AnatomicRegionModifierSequence": [_code(side)]}


def _code(code: tuple[str, str]) -> dict[str, Any]:
    return {"CodeValue": code[0], "CodingSchemeDesignator": "SCT", "CodeMeaning": code[1]}


def _packed(photo: ArchivePhoto, colours: int) -> dict[str, Any]:
    """How far the camera's JPEG is smaller than its pixels (PS3.3 C.7.6.1.1.5)."""
    ratio = photo.rows * photo.columns * colours / len(photo.jpeg)
    return {"LossyImageCompressionRatio": _number(ratio), "LossyImageCompressionMethod": "ISO_10918_1"}


def _spacing(photo: ArchivePhoto) -> dict[str, Any]:
    if photo.mm_per_px is None:
        return {}
    return {
        "PixelSpacing": [_number(photo.mm_per_px)] * 2,
        "PixelSpacingCalibrationType": "FIDUCIAL",
        "PixelSpacingCalibrationDescription": CALIBRATED_BY,
    }


def _da(day: date) -> str:
    return f"{day:%Y%m%d}"


def _number(value: float | None) -> str:
    """A DS of at most 16 characters."""
    return "" if value is None else f"{value:.6g}"


def _digest(data: bytes) -> str:
    import hashlib

    return hashlib.sha256(data).hexdigest()


def _person(name: str) -> str:
    """A name as one component of a PN (PS3.5, 6.2): what parts components, groups and values becomes a space."""
    return _text("".join(" " if sign in "^=\\" else sign for sign in name), _LO // 2 - 1)


def _one_part(name: str) -> str | None:
    """A name of which nobody told what in it is the family's: all of it stands as the first component."""
    return f"{_person(name)}^" if _person(name) else None


def _text(words: str, most: int) -> str:
    """Words without what a DICOM text cannot hold (a backslash parts values; control characters), cut to fit."""
    plain = "".join(
        "/" if sign == "\\" else " " if unicodedata.category(sign) in ("Cc", "Cs") else sign for sign in words
    )
    return " ".join(plain.split())[:most].strip()
