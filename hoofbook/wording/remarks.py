"""What is true of a photo or reading and should be known; the same codes and sentences as refusals."""

from __future__ import annotations

from hoofbook.terms.refusal import Remark
from hoofbook.wording import refusals


def sentence(remark: Remark) -> str:
    """The sentence of a remark; it ends with what to do."""
    return refusals.sentence(remark)
