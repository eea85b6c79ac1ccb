"""Sentences about papers that are made: per code what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

from hoofbook.wording.papers_place import WITH_BLOOD

SAID_OF_PAPERS = MappingProxyType(
    {
        "paper_not_pdf": "This paper is written as PDF only[, not as “{file}”]. Give it a name that ends with .pdf.",
        "vet_case_size_unknown": "There is no such size of a Vet case[: “{found}”]. Choose one of these: {known|call}.",
        "vet_case_urgency_unknown": "“{found|This}” does not say how urgent it is. Choose one of: {known|advice}.",
        "vet_case_words_long": (
            "Page 1 has no room for so many words[ ({length} letters, {most} at most)]. Write it shorter; the rest can "
            "stand in a note of the visit."
        ),
        "owner_paper_kind_unknown": (
            "An owner gets a PDF or a picture[, not “{file}”]. Give it a name that ends with .pdf, .png or .jpg."
        ),
        "owner_form_unknown": "There is no such form of the picture[: “{found}”]. Choose portrait or square.",
        "photos_show_blood": (
            "Photos that show blood[, like the one of {day},] are left out of what an owner gets, and without them "
            f"there is no pair. Choose other days, or tick “{WITH_BLOOD}” (--with-blood)."
        ),
        "advice_unknown": "There is no such advice[: “{found}”]. Choose from: {known|the list}.",
        "owner_note_long": (
            "The Owner sheet has no room for so many words[ ({length} letters, {most} at most)]. Write it shorter."
        ),
        "paper_not_kept": "This paper is not kept in the book as it was made[: “{file}”]. Make it anew.",
        "vet_answer_empty": "There are no words yet. Write what the vet answered.",
        "photo_lost": (
            "The photo[ “{file}”][ of {day}] in this book cannot be opened any more, so nothing was made. Bring back "
            "the newest backup, or set the photo aside."
        ),
        "no_visit_since": "There is no visit on or after {day|that day}. Choose an earlier one.",
        "day_to_come": "{found|This day} is still to come. Give a day that was.",
        "hidden_part_empty": "This box has no size. Draw it from one corner to the other.",
        "owner_needed": "No owner is named for {horse|this horse}. Name the owner on the horse's form first.",
    }
)
