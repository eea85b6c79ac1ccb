"""Why something was not measured, read or done, in people's words; each sentence ends with one thing to do."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from hoofbook.terms.marks import is_mark_name
from hoofbook.terms.quantity import Definition
from hoofbook.terms.refusal import Fact, Refusal, Remark
from hoofbook.terms.views import View
from hoofbook.wording.dates import iso_to_words
from hoofbook.wording.fill import fill
from hoofbook.wording.marks import mark_spoken
from hoofbook.wording.places import definition_name, foot_name, measure_in_sentence, view_name
from hoofbook.wording.said_of_books import SAID_OF_BOOKS
from hoofbook.wording.said_of_handovers import SAID_OF_HANDOVERS
from hoofbook.wording.said_of_papers import SAID_OF_PAPERS
from hoofbook.wording.said_of_photos import SAID_OF_PHOTOS
from hoofbook.wording.said_of_readings import SAID_OF_READINGS
from hoofbook.wording.said_of_vet_images import SAID_OF_VET_IMAGES

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        **SAID_OF_PHOTOS,
        **SAID_OF_READINGS,
        **SAID_OF_BOOKS,
        **SAID_OF_PAPERS,
        **SAID_OF_HANDOVERS,
        **SAID_OF_VET_IMAGES,
    }
)
_KEEP_AS_WRITTEN = ("marks_file", "readings_file", "mark_outside")  # those speak of a file's own words


def sentence(refusal: Refusal | Remark) -> str:
    """The sentence of a refusal or remark. A code that has none is a fault of ours: KeyError."""
    return fill(SENTENCES[refusal.code], _in_words(refusal.code, refusal.facts))


def titled(refusal: Refusal) -> str:
    """The sentence with the refused measure named in front: `Toe angle: Marks are missing ...`."""
    from hoofbook.wording.places import measure_name

    return f"{measure_name(refusal.name)}: {sentence(refusal)}" if refusal.name else sentence(refusal)


def _in_words(code: str, facts: Mapping[str, Fact]) -> dict[str, Fact]:
    if code.startswith(_KEEP_AS_WRITTEN):
        return dict(facts)
    return {name: _word(name, value) for name, value in facts.items()}


def _word(name: str, value: Fact) -> Fact:
    """Codes inside facts (a day, a mark, a definition, a foot) as the screen names them."""
    if not isinstance(value, str):
        return value
    if name in ("day", "taken", "visit"):
        return iso_to_words(value)
    if name in ("mark", "marks"):
        return ", ".join(_mark(part.strip()) for part in value.split(","))
    if name in ("tag", "filed", "foot", "one", "other", "then", "now", "view"):
        return _known_word(value)
    return value


def _mark(name: str) -> str:
    return mark_spoken(name) if any(is_mark_name(view, name) for view in View) else name


def _known_word(value: str) -> str:
    from hoofbook.terms.feet import Foot

    if value in tuple(Foot):
        return foot_name(Foot(value)).lower()
    if value in tuple(View):
        return view_name(View(value)).lower()
    if value and value in tuple(Definition):
        return definition_name(Definition(value))
    return measure_in_sentence(value) if "_" in value else value
