"""Sentences about photos, the scale card and marks: per code what is the matter, and what to do."""

from __future__ import annotations

from types import MappingProxyType

SAID_OF_PHOTOS = MappingProxyType(
    {
        # the file
        "photo_unreadable": "“{file|This photo}” cannot be read. Take it from the phone again, or choose another.",
        "photo_truncated": "“{file|This photo}” is cut off: part of it is missing. Copy it from the phone again.",
        "not_a_photo": "“{file|This}” is not a photo, whatever its name says. Choose the photo itself.",
        "photo_too_large": (
            "“{file|This photo}” is too large to open[ ({megapixels} megapixels)]. Send the photo in its ordinary size."
        ),
        "photo_kind_unknown": (
            "“{file|This photo}” is of a kind this program does not open. Save it as JPEG, or set the phone to "
            "its most compatible kind."
        ),
        "photo_mirrored": (
            "This photo is mirrored: left and right are swapped. Turn mirroring off in the camera, or take the "
            "original photo, before it is measured."
        ),
        # the card
        "card_not_found": (
            "I can't see the card well enough. Wipe it, stand it in the light and take the photo again."
        ),
        "card_too_small": (
            "The card is too small in this photo[ ({px_per_mm:.1f} px per mm, 3 needed)]. Go nearer or zoom in, "
            "and don't crop later."
        ),
        "card_blurred": (
            "The card is blurred[ (its edges are {edge_width_px:.1f} px wide)]. Hold still, let it focus, and "
            "take the photo again."
        ),
        "card_few_corners": (
            "Only a small part of the card can be seen, so the ± is wider. Wipe it and keep it in the picture "
            "next time."
        ),
        "card_corners_too_few": (
            "Too little of the card can be seen[ ({corners} corners)]. Wipe it, keep all of it in the picture "
            "and take the photo again."
        ),
        "card_pose_failed": (
            "I can't tell how the card stands in this photo. Take it again with the card square to you."
        ),
        "card_misfit": (
            "The card does not look as a flat card should, so the ± is wider. Check that it is flat, clean and "
            "sharp in the picture."
        ),
        "card_bent": (
            "The card is bent[ (about {bow_mm:.1f} mm)], so the ± is wider. Print a new one and glue it to stiff board."
        ),
        "card_plane_unsure": (
            "It is not known where the card stood, so the ± is wider. Next time stand it in the mid-line and say so."
        ),
        "card_and_hoof_not_on_one_floor": (
            "The card's foot and the hoof do not stand on one floor: perhaps the card leaned against the wall of "
            "the foot. Stand it beside the foot, on its own stand."
        ),
        "focal_contradicted_by_card": (
            "This photo seems cropped or zoomed after it was taken[ (the card and the lens differ by "
            "{percent:.0f} %)], so the ± is wider. Ask for the original photo."
        ),
        "scale_lost": (
            "The photos of this set do not agree on a scale. Keep the card still against the foot, or write down "
            "the width of the foot."
        ),
        # how it was taken
        "photo_blurred": "This photo is blurred, so the ± is wider. Hold still, tap to focus and take it again.",
        "photo_dark": (
            "This photo is too dark to mark well. Take it again in open shade or with a lamp from the side."
        ),
        "photo_burnt": "Parts of this photo are burnt out white. Take it again without flash and out of the sun.",
        "photo_too_near": (
            "The lens was too near[ ({distance:.0f} mm)], which bends the shape. Step back to about a metre and "
            "zoom to 2×."
        ),
        "lens_too_near": (
            "The lens was too near[ ({distance_mm:.0f} mm)], which bends the shape. Step back to about a metre "
            "and zoom to 2×."
        ),
        "photo_shrunk": (
            "This photo was made smaller on its way here, as messengers do, so the ± is wider. Ask for the original."
        ),
        "photo_edited": "This photo was cropped or edited, so the ± is wider. Ask for the original.",
        "photo_cropped": "This photo was cropped or edited, so the ± is wider. Ask for the original.",
        "photo_zoomed": "This photo was zoomed in the phone beyond its lens. Step nearer instead, and take it again.",
        "photo_without_date": "This photo does not say when it was taken. Choose its visit yourself.",
        # filing
        "date_far_from_visit": (
            "The photo's clock and the visit are apart[ (taken {taken}, visit {visit})]. Check that it belongs "
            "to this visit, or set the phone's clock right."
        ),
        "foot_tag_differs": (
            "The tag in the photo says {tag|another foot}, but it is filed as {filed|this one}. Look which is "
            "right and move the photo if need be."
        ),
        "moment_tag_differs": (
            "The card in the photo says {tag|another moment}, but it is filed as {filed|this one}. Look which is "
            "right and change it if need be."
        ),
        "toe_points_wrong_way": (
            "The toe points the wrong way for {foot|this foot}: another foot, or taken from the inside? Check "
            "the foot, or say in the Photo tray from which side it was taken."
        ),
        "view_doubtful": (
            "These marks do not look like a photo of this view. Check the view, or look at the marks again."
        ),
        # marks and sets
        "marks_missing": "Marks are missing[: {marks}]. Set them on the Bench.",
        "ground_line_missing": (
            "There is no card and no ground line, so no angle can be read. Mark two places of the ground beside "
            "the foot."
        ),
        "set_needs_two_photos": (
            "One photo cannot tell how hollow the sole is. Mark the same places in a second photo taken 25 to 35 "
            "degrees from the first."
        ),
        "too_few_common_marks": (
            "Too few places are marked in more than one photo[ ({common} of the {needed} needed)]. Mark the same "
            "places in another photo of the set."
        ),
        "photos_do_not_join": (
            "The photos of this set do not fit together. Check that the same marks sit on the same places in "
            "each of them."
        ),
        "frog_apex_missing": (
            "The place just in front of the point of the frog is not marked. Mark it in two photos of the set."
        ),
        "map_ending_unknown": (
            "Hoofbook can't tell what to save[ as {file}]. Give the file the ending .png, .csv or .ply."
        ),
        "frog_apex_not_seen": (
            "The map of the sole has a hole in front of the point of the frog, so that place is read from the "
            "marks alone. Take the photos again without shadow there if you need it."
        ),
        "toe_not_known": (
            "Card and photos do not agree on which way the toe lies. Mark both heels in two photos of the set."
        ),
        "sole_not_seen_enough": (
            "Too little of the sole could be told apart in the photos[ ({share:.0%} of it, {needed:.0%} needed)]: a "
            "wet, shining or blurred sole shows no detail. Dry it, take the photos without flash, and turn 25 to 35 "
            "degrees between them; the marked points still count."
        ),
        "sole_points_missing": "No places of the sole are marked. Mark some in two photos of the set.",
        "sole_edge_needs_three_points": (
            "The sole edge needs three places or more[ ({found} so far)]. Mark it all round in two photos of the set."
        ),
        "wall_edge_needs_three_points": (
            "The wall edge needs three places or more[ ({found} so far)]. Mark it all round in two photos of the set."
        ),
        "mark_far_off": (
            "One mark does not fit the others[: {mark}], and was left out. Look at it again on the Bench."
        ),
        "too_little_turn": (
            "The photos of this set were taken from nearly the same place[ ({turn_deg:.0f}° apart)], so they "
            "cannot tell how hollow the sole is. Take them 25 to 35 degrees apart."
        ),
        "little_turn": (
            "The photos of this set were taken from places close together[ ({turn_deg:.0f}° apart)], so the ± is "
            "wider. Take them 25 to 35 degrees apart."
        ),
        "point_left_out": (
            "One place does not lie on the edge with the others[: {mark}][ ({mm:.1f} mm off)], so it was left "
            "out of the plane. Look whether the edge is worn or broken there."
        ),
        "card_moved_on_foot": (
            "The card moved against the foot in this photo, so its scale was not used here. Hold the card still "
            "against the foot."
        ),
        "card_nearly_still": (
            "The card may have moved a little against the foot[ ({mm:.1f} mm)], so the ± is wider. Hold the card "
            "still against the foot."
        ),
        "photo_not_joined": (
            "This photo has too few marks in common with the others[ ({needed} needed)], so it was left out. "
            "Mark the same places in it."
        ),
        "card_not_tested": (
            "Too few places are marked to tell whether the card kept still against the foot, so the ± is wider. "
            "Mark more places in each photo of the set."
        ),
        "placing_larger_than_told": (
            "The marks of this set agree less well than they should[ ({factor:.1f} times the usual)], so the ± "
            "is wider. Look at each mark again on the Bench."
        ),
        "scale_from_foot_width": (
            "The scale comes from the width of the foot you wrote down[ ({width_mm:.0f} mm)]. Keep the card "
            "still against the foot next time."
        ),
        "scale_missing": (
            "Nothing in this photo gives a scale, so millimetres cannot be read. Put the card in the picture "
            "next time, or mark a ruler."
        ),
        "crack_above_hairline": (
            "The crack's top is marked above the hairline, where no horn is. Look at both marks of the crack again."
        ),
        "measure_not_solved": (
            "These marks do not make a foot that can be measured. Look at each mark again on the Bench."
        ),
        "turned_view": (
            "The photo was taken from an angle[ (turned {turn_deg:.0f}°, looking down {tilt_deg:.0f}°)], so the "
            "± is wider. Take it square to the foot next time."
        ),
        "turned_too_far": (
            "The photo was taken too far from square[ (turned {turn_deg:.0f}°, looking down {tilt_deg:.0f}°)] to "
            "be compared. Take it again square to the foot."
        ),
        "too_few_pixels": (
            "The foot is small in this photo[ ({px_per_mm:.1f} px per mm, 3 needed)], so the ± is wider. Go "
            "nearer or zoom in, and don't crop later."
        ),
        "different_views": (
            "These are two views of the foot[ ({then} and {now})]. Choose two photos of the same view."
        ),
        "different_feet": "These are two feet[ ({then} and {now})]. Choose two photos of the same foot.",
        "toe_points_other_way": (
            "The toe points left in one photo and right in the other: another foot, or one taken from the "
            "inside. Choose two photos from the same side."
        ),
        "cannot_be_laid": (
            "Neither the card nor the hairline tells where this photo lies. Mark its hairline on the Bench, or take "
            "the next one with the card."
        ),
        "view_not_compared": "Photos of the whole horse are not laid over each other. Choose photos of a foot.",
    }
)
