"""What the command line says: help, progress and closing lines. Standard library only, so that help comes at once."""

from __future__ import annotations

ABOUT = "Horses, visits, marked hoof photos, and what changed between them. With nothing: opens the window."
NO_DISPLAY = (
    "No window was opened: there is no display here. Start `hoofbook` on a desktop, or set DISPLAY, to see the book."
)
HELP = {
    "demo": "make the sample book, measure it, print its progress, write a then-and-now picture and a Vet case",
    "measure": "measure the photos a marks file names; no book needed",
    "add": (
        "take photos, marks files or a Handover into a book; makes the book, the horse and the visit when new; with "
        "--vets what a vet gave"
    ),
    "progress": "readings, changes and verdicts of a book or of a readings file",
    "compare": "write a then-and-now picture (the fairest pair unless told), a row of visits or the year of a foot",
    "card": "write the printable scale card as PDF, or the guide for taking sole photos",
    "paper": (
        "write a paper for somebody else: the Vet case, its photos as DICOM files, the Owner picture and sheet, or a "
        "Handover"
    ),
}
ARGUMENTS = {
    "demo folder": "where the sample book goes (default: hoofbook-sample in this folder)",
    "no-window": "do not open the window afterwards",
    "json": "one JSON document on standard output",
    "marks file": "JSON marks file",
    "export": "write the readings to this file instead, with their ± and goals",
    "dense": "measure the whole sole of every set of sole photos too: some seconds a set",
    "book": "folder of a book",
    "book or readings": "folder of a book, or a readings file (CSV)",
    "files": (
        "photos, marks files, readings files (CSV), or a Handover (its zip or folder; --horse then names a horse of "
        "the book)"
    ),
    "horse": "name of the horse",
    "visit": "day of the visit, like 2025-01-14",
    "foot": "LF, RF, LH or RH",
    "view": "lateral, dorsal, palmar, plantar, solar or along_sole",
    "moment": "as arrived, before trim, after trim, finished or between visits",
    "retake": "these are a second take: card lifted, foot put down, photographed again",
    "vets": (
        "these are the vet's (DICOM, JPEG, PNG or PDF): kept as they came, shown with the trims since, never measured; "
        "--foot may be “several”, --view is in the vet's words"
    ),
    "taken": "vet's: day it was taken, like 2025-09-24 (default: what a DICOM file tells)",
    "received": "vet's: day it came (default: today)",
    "purpose": "vet's: what it was given for, in your words",
    "from": "vet's: who it came from",
    "measure": "only this measure, like toe_angle",
    "then": "day of the earlier visit (default: of the fairest pair)",
    "now": "day of the later visit (default: of the fairest pair)",
    "layout": "how the two photos are laid out",
    "row": "a row of these visits at one scale instead: days with commas between, or all",
    "year": "the year of this foot as a small film instead (.gif): every visit, two pictures a second",
    "picture": "picture to write (.png or .jpg; .gif with --year)",
    "paper": "paper of the card",
    "guide": "write the guide for taking sole photos instead: one page",
    "pdf": "PDF to write",
    "paper kind": "which paper",
    "paper out": (
        "file to write; for a Handover a name that ends with .zip, or a folder that is not there yet; for dicom an "
        "empty folder, or one that is not there yet"
    ),
    "vets images": "handover: hand the vet's images on too",
    "made for": "handover: who gets it, noted in the book",
    "form": "owner: portrait or square, for a picture",
    "practice": "owner: name of your practice (default: your name)",
    "name owner": "owner: write the owner's name on it",
    "with blood": "owner: take photos that show blood too",
    "note": "owner: a line of your own, on the sheet",
    "advice": (
        "owner: what to do until the next visit, on the sheet: dry bed, pick out, call, "
        "stones, lost shoe, no oil (commas between)"
    ),
    "size": "vet: call (one page), case (about five) or full (every photo)",
    "question": "vet: what you ask the vet",
    "urgency": "vet: urgent, soon or advice",
    "feet": "vet: the feet it is about, like LF,RF (default: those followed)",
    "since": "vet: day of the first visit to show, like 2025-01-14",
    "since when": "vet: since when, in your words (default: the first finding)",
    "gait": "vet: sound or lame, with the scale and who graded, in your words (default: what is in the book)",
    "without vets images": "vet: leave the vet's own films and reports out",
    "taken by": "vet: who took the photos",
    "phone": "vet: your phone number, kept for the next time",
    "allowed": "vet: day on which the owner allowed showing it to a vet, kept for the next time",
}
DICOM_WRITTEN = "DICOM files of {photos} and the Vet case: {path}\n{to_scale}."
HANDOVER_WRITTEN = "Handover with {photos}: {path}"
STOPPED = "Stopped. What was finished is kept; nothing half-done was left."
NOTHING_MEASURED = "No measure came out. The reasons stand above."
PHOTOS_IN = "{new} taken in, {known} were already in the book, {refused} refused."
VETS_IN = "{new} of the vet's taken in, {known} were already in the book, {refused} refused."
PICTURE_WRITTEN = "Then-and-now picture: {path}"
ROW_WRITTEN = "Row of visits: {path}"
FILM_WRITTEN = "Year of the foot: {path}"
BOOK_AT = "Sample book: {path}"
CARD_WRITTEN = "Scale card: {path}. Print at 100 % and check the 100 mm bar with a steel rule."
GUIDE_WRITTEN = "Guide for sole photos: {path}"
VET_CASE_WRITTEN = "Vet case: {path}"
OWNER_PICTURE_WRITTEN = "Owner picture: {path}"
OWNER_SHEET_WRITTEN = "Owner sheet: {path}"
BESIDE_IT = "Beside it: {path}"
LOOK_AGAIN = "Before you send it, look at these once more; nothing was held back for them:"
MEASURE_HEADS = ("measure", "value", "95 % interval", "from")
PROGRESS_HEADS = ("foot", "measure", "readings", "first", "last", "verdict")
OPENING_WINDOW = "Opening the window on {horse}."
NOT_A_FOLDER_OR_COMMAND = "“{given}” is neither a command nor a book's folder. Try `hoofbook --help`."
NO_WINDOW_WISHED = "No window was opened, as asked with --no-window. `hoofbook {path}` opens it."


def photos_counted(count: int) -> str:
    """`1 photo`, `54 photos`"""
    return f"{count} {'photo' if count == 1 else 'photos'}"
