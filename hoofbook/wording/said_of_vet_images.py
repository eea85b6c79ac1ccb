"""Sentences about what a vet gave, and about files made for a vet's archive: what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

SAID_OF_VET_IMAGES = MappingProxyType(
    {
        "vet_image_kind_unknown": (
            "“{file|This file}” is neither DICOM, JPEG, PNG nor PDF[; by its name it is {kind}], so it was not kept. "
            "Ask the vet for one of those kinds."
        ),
        "vet_image_damaged": (
            "“{file|This file}” is damaged or cut short, so it was not kept. Ask the vet to send it again."
        ),
        "vet_image_no_picture": (
            "“{file|This file}” is DICOM, but holds no picture and no PDF[ ({kind})]. Give the files that hold the "
            "pictures themselves."
        ),
        "vet_image_day_needed": (
            "“{file|This file}” does not tell on which day it was taken. Write the day, like 2025-09-24 (--taken)."
        ),
        "vet_image_day_ahead": (
            "“{file|This file}” would have been taken on a day that has not come yet[ ({day})]. Correct the day "
            "(--taken)."
        ),
        "vet_image_foot_needed": (
            "It is not known which foot “{file|this file}” shows[; the file says {side}]. Name the foot, like LF, or "
            "“several” where it is not one foot (--foot)."
        ),
        "vet_image_other_side": (
            "“{file|This file}” says that it shows a {side|other} foot, and you said {foot|another}. Ask the vet which "
            "foot it is; until then take it in as “several” (--foot)."
        ),
        "vet_image_cannot_be_shown": (
            "“{file|This file}” is kept as it came, but cannot be shown here[ (it is packed as {how})]. Open it with a "
            "program for DICOM pictures."
        ),
        "archive_folder_in_use": (
            "There is something in “{folder|that folder}” already. Choose an empty folder, so that nothing of another "
            "horse is sent along."
        ),
    }
)
