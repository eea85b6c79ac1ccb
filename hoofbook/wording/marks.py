"""Per mark its name on screen and one sentence that says where it lies."""

from __future__ import annotations

from types import MappingProxyType

from hoofbook.terms.marks import mark_group
from hoofbook.terms.views import View

MARK_WORDS = MappingProxyType(
    {
        # side
        "toe_ground": ("toe, ground", "The lowest edge of the horn at the very front of the toe."),
        "toe_hairline": ("toe, hairline", "Where hair meets horn at the front of the toe, in the mid-line."),
        "heel_ground": ("heel, ground", "The rearmost place where the horn of the near heel stands on the ground."),
        "heel_hairline": ("heel, hairline", "Where hair meets horn at the back of the near heel."),
        "dorsal_wall_mid": (
            "front wall, middle",
            "On the front of the wall where new horn meets old, or half-way down.",
        ),
        "crack_hairline": ("crack, hairline", "Where hair meets horn, straight above the crack along the horn."),
        "crack_top": (
            "crack, top",
            "The upper end of the crack: whole horn above it. At the hairline if it reaches it.",
        ),
        "pastern_upper": ("pastern, upper", "On the front of the pastern, just below the fetlock."),
        "pastern_lower": ("pastern, lower", "On the front of the pastern, just above the hairline."),
        "ground_a": ("ground, one end", "A place on the ground beside the foot; the line goes on to the other end."),
        "ground_b": ("ground, other end", "A second place on the ground, as far from the first as the picture shows."),
        "shoe_toe": ("shoe, toe", "The lower edge of the shoe at the toe."),
        "shoe_heel": ("shoe, heel", "The lower edge of the shoe at its near heel."),
        # front and heels
        "medial_ground": ("inside, ground", "Where the inside wall meets the ground, at its outermost."),
        "lateral_ground": ("outside, ground", "Where the outside wall meets the ground, at its outermost."),
        "medial_hairline": ("inside, hairline", "Where hair meets horn on the inside, straight above its ground mark."),
        "lateral_hairline": (
            "outside, hairline",
            "Where hair meets horn on the outside, straight above its ground mark.",
        ),
        # sole
        "toe_tip": ("toe tip", "The foremost place of the ground edge of the wall, in the mid-line."),
        "heel_medial": ("heel, inside", "The rearmost place of the inside heel that bears weight."),
        "heel_lateral": ("heel, outside", "The rearmost place of the outside heel that bears weight."),
        "widest_medial": ("widest, inside", "The ground edge of the inside wall where the foot is widest."),
        "widest_lateral": ("widest, outside", "The ground edge of the outside wall where the foot is widest."),
        "frog_apex": ("point of the frog", "The sole just in front of the point of the frog, not the frog itself."),
        "frog_base_medial": ("frog base, inside", "The inside edge of the frog where it is widest."),
        "frog_base_lateral": ("frog base, outside", "The outside edge of the frog where it is widest."),
        "rim": ("ground edge of the wall", "Anywhere on the ground edge of the wall, well spread round the foot."),
        "sole_edge": ("sole edge", "The sole just inside the white line, well spread round the foot."),
        "sole": ("sole", "Any place of the sole that you know again in the other photos."),
        # along the sole
        "edge_medial": ("edge, inside", "The inside edge that the straight line of the rim rests on."),
        "edge_lateral": ("edge, outside", "The outside edge that the straight line of the rim rests on."),
        "sole_deepest": ("deepest sole", "The place of the sole that lies deepest below that line."),
        "profile": ("sole outline", "A further place on the outline of the sole, from one edge to the other."),
    }
)


def mark_label(name: str) -> str:
    """`toe, ground`; of a numbered mark its group's name, `sole edge`: marks on a photo bear no numbers."""
    return MARK_WORDS[mark_group(name)][0]


def mark_sentence(view: View, name: str) -> str:
    """One sentence that says where the mark lies; from behind, the hairline marks sit at the heels."""
    words = MARK_WORDS[mark_group(name)][1]
    if view in (View.PALMAR, View.PLANTAR) and name.endswith("_hairline"):
        return words.replace("Where hair meets horn", "Where hair meets horn at the heel")
    return words


def mark_spoken(name: str) -> str:
    """The name in a sentence or read aloud, a numbered mark with its number: `sole edge 7`."""
    group = mark_group(name)
    return mark_label(name) if group == name else f"{mark_label(name)} {int(name[len(group) + 1 :])}"
