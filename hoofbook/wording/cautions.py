"""The short cautions that stand where numbers and pictures are shown or made."""

from __future__ import annotations

MEASURING = (
    "Numbers describe the outside of the hoof in this picture. They do not show bone position or sole thickness."
)
CHART = "Same moment only."
VET_CASE = "Observations by a hoof-care practitioner; not a diagnosis."
OWNER_SHEET = "Pictures show appearance; ask your farrier or vet about soundness."
TRIM = "Judge by the foot: stop at live sole."
PHOTOS = "Don't kneel; keep a holder; leave the card if the horse moves; never under the horse for a photo."
OBJECT_IN_FOOT = "Leave it, wrap, call the vet."
SAME_DAY = "Same day: shows the trim, not progress."
OTHER_MOMENTS = "Two moments of the cycle: the trim lies between them, not progress."
SAME_SCALE = "Pictures are at the same scale."
NOT_TO_SCALE = "Not to scale."
SHAPES_NOT_HORN = "Difference of two shapes, not of horn: sole sheds and wall grows."
GUIDE_ONLY = "A guide, not a measurement of sole thickness."
MADE_FOR_SHARING = "What is sent cannot be called back."
EXTERNAL_ONLY = "external sole concavity (not sole thickness)"
