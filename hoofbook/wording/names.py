"""Names as a paper has room for them."""

from __future__ import annotations

LONGEST_NAME, LONGEST_WORD = 48, 16  # letters: two lines of a heading; what one line holds of the widest letter
_MAY_BREAK = "\u200b"  # zero width space (Unicode 6.2): a line may end there, and nothing is seen


def name_on_paper(name: str) -> str:
    """The name, a very long one cut with an ellipsis, so that no heading leaves the page."""
    words = name.split()
    whole = " ".join(words)
    if len(whole) > LONGEST_NAME:
        words = (whole[: LONGEST_NAME - 1].rstrip() + "…").split()
    return breakable(" ".join(words))


def breakable(text: str) -> str:
    """The text, in which a line may end inside a very long word too."""
    return " ".join(
        _MAY_BREAK.join(word[start : start + LONGEST_WORD] for start in range(0, len(word), LONGEST_WORD))
        for word in text.split()
    )
