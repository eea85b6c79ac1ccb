"""Sentences about readings and what may be compared: per code what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

SAID_OF_READINGS = MappingProxyType(
    {
        "another_foot": "These are two feet[ ({one} and {other})]. Compare a foot with itself.",
        "another_measure": "These are two measures. Compare a measure with itself.",
        "another_moment": (
            "These are two moments[: {one} and {other}]. The trim between them is not progress: compare {one|a "
            "moment} only with {one|itself}."
        ),
        "another_definition": (
            "These were measured from two edges or in two ways[: {one} and {other}]. Compare readings of one "
            "definition."
        ),
        "hand_and_photo": "One was read by hand and one from photos. Compare like with like.",
        "another_method": (
            "These were computed by two versions of the method[ ({one} and {other})]. Measure both again from "
            "their marks."
        ),
        "another_shod_state": "One was taken shod and one bare. Compare shod with shod and bare with bare.",
        "no_photo_to_mark_again": (
            "No photo of this book carries marks yet, so there is none to mark again. Mark a photo on the Bench first."
        ),
        "pair_rows_not_kept": (
            "A difference of two feet[ ({place})] is not kept: it follows from both. Write down each foot by itself."
        ),
        "no_readings_to_write": "There is no reading to write yet. Mark a photo or type a number first.",
        "too_few_repeats": (
            "There are too few second takes to tell how well this repeats[ ({found} of {needed})]. Put card and foot "
            "down and photograph one foot again, once a visit."
        ),
        "nothing_to_tell_apart": (
            "All these readings are the same, so how much of their spread is measuring can't be told. Take second "
            "takes of feet that differ."
        ),
        "groups_differ_in_size": (
            "The feet were not all taken equally often, so this figure can't be given. Take two photos of each."
        ),
        "partner_not_read": (
            "The other foot was not read at this visit[ ({day})], so there is no difference. Mark both feet."
        ),
        "days_since_trim_unknown": (
            "It is not known how many days after the trim this was[ ({day})]. Write down the day of the trim before it."
        ),
        "another_day_of_cycle": (
            "These lie too far apart in the cycle[ ({one} and {other} days after the trim, {apart} allowed)]: "
            "horn has grown in between. Compare readings of about the same day."
        ),
        "difference_contradicts_parts": (
            "The difference written down[ ({stored:.2f})] is not what its two parts give[ ({follows:.2f})]. "
            "Check all three and write down the parts only."
        ),
        "chance_needs_a_size": "How large a change should be seen is not said. Write its size, such as 2 mm.",
        "chance_needs_a_reading": "No reading has been taken since the goal was set. Take the first one.",
        "growth_needs_both_ends": (
            "Growth needs a reading after one trim and one before the next. Take both at your visits."
        ),
        "noise_of_a_pair": (
            "The difference of two feet rests on four readings. Choose one foot to see its marks placed anew."
        ),
        "noise_needs_two": "There is only one reading that counts. Measure this foot at another visit.",
        "noise_not_on_line": (
            "One of these readings is not compared with the others of this measure. Choose two that stand on one line."
        ),
        "noise_needs_photos": (
            "This reading[ of {day}] was typed by hand: there is no photo whose marks could be placed anew. Measure "
            "photos of both visits."
        ),
        "noise_needs_marks": (
            "The marks of this photo[, {day},] do not give this measure any more. Look at them on the Bench."
        ),
        "sole_pared_to_live_sole": (
            "{day|That day} the sole was pared to live sole. Judge the change with that in mind."
        ),
        "sole_opened_by_vet": "{day|That day} the vet had opened the sole. Judge the change with that in mind.",
        "sole_wet": (
            "{day|That day} the sole was wet, and wet soles hold their flakes. Judge the change with that in mind."
        ),
        "sole_state_differs": (
            "{day|That day} the sole was still {state|otherwise} after the trim. Judge the change with that in mind."
        ),
        "interval_differs": (
            "{day|That day} the trim before lay longer or shorter ago than usual[ ({days} days, usually {usual})]. "
            "Judge the change with that in mind."
        ),
        "another_person": (
            "{day|That day} {person|somebody else} set the marks. Have one person mark both, if you can."
        ),
    }
)
