"""Sentences about Handovers, made and taken in: per code what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

_NONE = "nothing was taken in"

SAID_OF_HANDOVERS = MappingProxyType(
    {
        # making one
        "handover_there": "“{file|That}” is there already, and nothing is written over it. Choose another name.",
        "handover_kind_unknown": (
            "A Handover is a folder or a zip[, not “{file}”]. Give a name that ends with .zip, or without ending."
        ),
        "handover_photo_lost": (
            "The photo “{file|of this horse}” of this book cannot be opened any more, so the Handover was not made. "
            "Bring back the newest backup, or set the photo aside."
        ),
        # the bundle itself
        "bundle_not_zip": (
            f"“{{file|The file}}” cannot be opened as a zip, or it ends too early; {_NONE}. Ask for it to be "
            "sent again."
        ),
        "bundle_no_declaration": (
            f"“{{file|This}}” does not say that it is a Handover (its bagit.txt is not there); {_NONE}. Choose "
            "the zip or folder as it was sent."
        ),
        "bundle_path_outside": (
            f"“{{file|The Handover}}” names a file that could lead out of its own folder[: “{{path}}”]; {_NONE}. "
            "Ask who sent it, and leave it closed until you know."
        ),
        "bundle_link": (
            f"“{{file|The Handover}}” holds a link instead of a file[: “{{path}}”]; {_NONE}. Ask for one that "
            "holds the files themselves."
        ),
        "bundle_name_twice": (
            f"“{{file|The Handover}}” holds two files for one place[: “{{path}}”]; {_NONE}. Ask for it to be made anew."
        ),
        "bundle_locked": (
            f"“{{file|The zip}}” is locked with a password; {_NONE}. Open it with its password first, and take "
            "in the folder."
        ),
        "bundle_too_large": (
            f"“{{file|The Handover}}” holds far more than a horse's record does, or grows far too much on opening; "
            f"{_NONE}. Ask who sent it, and leave it closed until you know."
        ),
        "bundle_no_checksums": (
            f"“{{file|The Handover}}” has no checksums that can be relied on[ (for “{{path}}”)]; {_NONE}. Ask "
            "for it to be made anew."
        ),
        "bundle_changed": (
            f"“{{file|The Handover}}” is not as it was made[: “{{path}}” was changed]; {_NONE}. Ask for it to be "
            "sent again."
        ),
        "bundle_file_missing": (
            f"A file of “{{file|the Handover}}” is missing[: “{{path}}”]; {_NONE}. Ask for all of it to be sent again."
        ),
        "bundle_file_extra": (
            f"“{{file|The Handover}}” holds a file that does not belong to it[: “{{path}}”]; {_NONE}. Take that "
            "file out, or ask for it to be sent again."
        ),
        "bundle_damaged": (
            f"“{{file|The Handover}}” cannot be read as it should[ (“{{path}}”)]; {_NONE}. Ask for it to be sent again."
        ),
        # what it says
        "handover_records_missing": (
            f"“{{file|This}}” holds no records of a horse; {_NONE}. Choose the zip or folder of a Handover."
        ),
        "handover_newer": (
            f"“{{file|The Handover}}” was made by a newer version of the program[ (its form is {{found}}, this program "
            f"knows {{known}})]; {_NONE}. Install the newer program to take it in."
        ),
        "handover_records_wrong": (
            f"The records of “{{file|the Handover}}” say something that cannot be[: {{place}}]; {_NONE}. Ask "
            "for it to be made anew."
        ),
        "handover_photo_bad": (
            f"The photo “{{path|of the Handover}}” cannot be opened, or is not the one its marks were placed in; "
            f"{_NONE}. Ask for the Handover to be made anew."
        ),
        "handover_horse_there": (
            "There is a horse called {horse|like that} in this book already, so nothing was taken in. Name the horse "
            "of this book that the records belong to, or give one of the two another name."
        ),
        "handover_horse_other": (
            "This horse is in the book already, as {horse|another one}; nothing was taken in. Choose that horse."
        ),
        "handover_key_taken": (
            f"“{{file|The Handover}}” holds records that belong to another horse of this book; {_NONE}. Choose "
            "that horse, or ask for the Handover to be made anew."
        ),
    }
)
