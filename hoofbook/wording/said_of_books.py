"""Sentences about the book, its files and the command line: per code what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

SAID_OF_BOOKS = MappingProxyType(
    {
        # disk and files
        "disk_full": (
            "The disk is full[, so “{file}” was not written]; nothing you had is lost. Make room and try again."
        ),
        "folder_read_only": (
            "This folder cannot be written to[ ({folder})]; a book in it can still be looked at. Allow writing there, "
            "choose another folder, or copy the book to one."
        ),
        "file_locked": (
            "Another program is holding “{file|a file}” at the moment. Close that program, or wait a little, and "
            "try again."
        ),
        "file_missing": (
            "“{file|The file}” is not there any more[ (looked in {folder})]. Plug the disk or phone in again, or "
            "choose the file anew."
        ),
        "file_not_allowed": (
            "“{file|This file}” may not be read by you[ (in {folder})]. Allow reading it, or copy it to your own "
            "folder first."
        ),
        "file_changed": (
            "“{file|The file}” changed while it was being copied, so nothing was kept of it. Wait until it is "
            "finished, then bring it in again."
        ),
        "name_is_folder": (
            "“{file|This}” is a folder[ (in {folder})], so no file can have its place. Choose another name."
        ),
        "name_too_long": "This name is too long for the disk. Choose a shorter one[, at most {longest} letters].",
        "folder_is_file": "“{folder|This}” is a file and not a folder. Choose a folder for it.",
        "disk_failed": (
            "The disk did not do as asked[ with “{file}”][ ({reason})]. Check the disk or its cable, then try again."
        ),
        "shipped_missing": "A part of the program itself is missing[ ({file})]. Install the program again.",
        # the book
        "book_missing": (
            "There is no book in this folder[ ({folder})]. Choose the folder in which the book lies, or start a "
            "new one."
        ),
        "book_exists": (
            "There is a book in this folder already[ ({folder})]. Open it, or choose another folder for the new one."
        ),
        "book_newer": (
            "This book was written by a newer version of the program[ (its form is {found}, this program knows "
            "{known})]; nothing was changed. Install the newer program to open it."
        ),
        "book_damaged": (
            "The book cannot be read as it should[ ({file})]. Leave it as it is and bring back the newest backup."
        ),
        "not_a_book": (
            "The file in this folder is not a book of this program[ ({file})]. Choose the folder of a book."
        ),
        "book_busy": "The book is being written by somebody else just now. Wait a moment and try again.",
        "book_in_use": (
            "The book is open on another computer[ ({machine})], so here it is for looking only. Close it there "
            "to write here."
        ),
        "book_left_open": (
            "The book was left open on another computer[ ({machine})]. If nobody uses it there, open it here for "
            "writing."
        ),
        "changed_elsewhere": (
            "This was changed by {changed_by|somebody else} in the meantime, so yours was not written over it. "
            "Look at it as it is now, then enter your change again."
        ),
        "never_changed": (
            "This is kept as it was written and is never changed. Add a new entry that says what is so now."
        ),
        "never_removed": "This is never taken out of the book. Set it aside or correct it instead.",
        "already_in_book": "This is in the book already. Look for it there.",
        "still_in_use": "Other entries still belong to this, so it was not removed. Move or remove those first.",
        "not_in_book": "This is not in the book any more. Open the list again and choose another.",
        "key_unknown": "This entry cannot be found in the book. Open the list again and choose it there.",
        # horses, visits, choices
        "horse_unknown": (
            "There is no horse called “{horse|that}” in this book[ (there are: {known})]. Check the spelling or "
            "choose one of the list."
        ),
        "horse_name_twice": (
            "{count|More than one} horses are called “{name|so}”. Open the book in the window and give one of "
            "them a second name."
        ),
        "no_photo_of_day": "There is no photo of this foot and view on {day|that day}. Choose another day.",
        "no_readings_of_horse": (
            "There are no readings of {horse|this horse} yet. Mark a photo on the Bench, or write a number down "
            "by hand."
        ),
        "horse_needed": "It is not known which horse this is. Name it with --horse.",
        "visit_day_wrong": "“{found|This}” is not a day. Write it like 2025-01-14.",
        "word_unknown": (
            "“{found|This}” is not a word for the {field|field}[ (it may be: {known})]. Choose one of those."
        ),
        "horse_needs_name": "The horse has no name yet. Write one; everything else can wait.",
        "limit_not_a_number": ("{found|This} is no limit we can use. Write one number[ in {unit}], for example 95."),
        "horse_number_wrong": (
            "“{found|This}” is no number that fits here. Write a plain number, such as 158, or leave it empty."
        ),
        "foot_unknown": "“{found|That}” is not one of the four feet. Write LF, RF, LH or RH.",
        "measure_unknown": (
            "“{found|That}” was not measured here[ (there is: {known})]. Choose one of those, or leave the measure out."
        ),
        "choice_unknown": "“{value|That}” cannot be chosen here. Pick one of the choices shown.",
        "visit_finished": "This visit is finished and closed. Open it again to change it.",
        # marks file
        "marks_file_missing": "The marks file “{file|you named}” is not there. Check its name and folder.",
        "marks_file_not_text": (
            "“{file|This file}” cannot be read as text. Give a marks file written as JSON in UTF-8."
        ),
        "marks_file_not_json": (
            "“{file|This file}” is not a proper JSON file[: it goes wrong at line {line}]. Mend that line and "
            "try again."
        ),
        "marks_file_version": (
            "“{file|This marks file}” has version {found|none}, and this program reads version {known|1}. Write "
            "“version”: {known|1} if its form is that one."
        ),
        "marks_file_shape": (
            "Something in “{file|the marks file}” is not of the form it should be[: {problem}]. Mend it and try again."
        ),
        "marks_file_wrong_key": (
            "“{file|The marks file}” says “{key|?}”[ in {place}]; did you mean “{meant|another word}”? Correct "
            "the word and try again."
        ),
        "marks_file_unknown_mark": (
            "“{mark|This}” is not a mark of this view[ ({photo}, {view})][; did you mean “{meant}”?]. Correct "
            "the name and try again."
        ),
        "marks_file_not_a_number": (
            "“{mark|A value}”[ of {photo}] is not a number that can be used. Write an ordinary number there and "
            "try again."
        ),
        "marks_file_no_photos": "“{file|The marks file}” names no photo. Add at least one under “photos”.",
        "marks_file_photo_missing": (
            "The photo “{photo|named}” is not there, seen from the folder of “{file|the marks file}”. Put it "
            "there or correct its path."
        ),
        "mark_outside_picture": (
            "The mark “{mark|named}” lies outside its picture[ {photo}][ (at {x:.0f}, {y:.0f}; the picture is "
            "{w} × {h})]. Check that x comes first and that the mark belongs to this photo."
        ),
        # readings file
        "readings_file_missing": "The readings file “{file|you named}” is not there. Check its name and folder.",
        "readings_file_not_text": "“{file|This file}” cannot be read as text. Save it as CSV in UTF-8 and try again.",
        "readings_file_no_column": (
            "“{file|The readings file}” has no column “{column|needed}”[ (it has “{found}”)]. Add the column to "
            "its first line."
        ),
        "readings_file_wrong_value": (
            "Line {line|?} of “{file|the readings file}”: “{found|nothing}” does not fit in the column "
            "“{column|named}”. Expected is {expected|another value}: correct it and try again."
        ),
        "readings_file_empty": (
            "“{file|The readings file}” holds no reading. Add a line for each reading under the first."
        ),
        # card and papers
        "picture_kind_unknown": (
            "A picture cannot be written as “{file|that}”. Give a name that ends with .png or .jpg."
        ),
        "pair_missing": (
            "There are not two photos of this foot and view yet to lay side by side. Take one more at the next visit."
        ),
        "two_days_needed": (
            "With these days there is only one photo to lay. Name two different days on which there is a photo of "
            "this foot and view."
        ),
        "year_too_short": (
            "There are no two visits whose photos of this foot and view can be laid over each other. Mark their "
            "hairlines on the Bench, or take the next ones with the card."
        ),
        "film_kind_unknown": "A film of the year cannot be written as “{file|that}”. Give a name that ends with .gif.",
        "layout_unknown": "“{found|That}” is not a way to lay out two photos. Choose side by side, curtain or fade.",
    }
)
