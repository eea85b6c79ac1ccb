"""How measured: definition, formula, sources and guides of each measure, how the ± is made, what is not claimed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from hoofbook.progress.change import FALSE_ALARM, NEIGHBOUR_CORRELATION, PLANNED_READINGS, default_scatter
from hoofbook.progress.series import DAYS_SINCE_TRIM_APART
from hoofbook.terms.quantity import MEASURES, Unit
from hoofbook.terms.shown import Section
from hoofbook.wording import cautions, numbers
from hoofbook.wording.about_changes import methods
from hoofbook.wording.about_pictures import pictures
from hoofbook.wording.places import measure_name

STATUSES = MappingProxyType(
    {
        "found": "found in the source",
        "second-hand": "found second-hand",
        "from memory": "from memory, not checked",
        "computed": "by arithmetic",
        "common practice, no source": "common practice, no source",
    }
)
SOURCE, GUIDE, SEEN_FROM, FORMULA = "Source", "Guide", "View", "How computed"


@dataclass(frozen=True, slots=True)
class Guide:
    """A figure reported for other horses, its source and what to be careful of."""

    words: str
    source: str
    status: str
    caution: str


@dataclass(frozen=True, slots=True)
class About:
    """What is known of one measure."""

    name: str
    view: str
    definition: str
    formula: str
    sources: tuple[tuple[str, str], ...]  # words, status
    guides: tuple[Guide, ...]


@dataclass(frozen=True, slots=True)
class Guidance:
    """The whole table of resources/guidance.toml."""

    measures: Mapping[str, About]
    caution_guides: str
    caution_disagree: str


def read_guidance(text: str) -> Guidance:
    """The table from the text of resources/guidance.toml. KeyError or ValueError where it is not as it should be."""
    raw = tomllib.loads(text)
    measures = {entry["name"]: _about(entry) for entry in raw["measure"]}
    return Guidance(MappingProxyType(measures), raw["caution"]["guides"], raw["caution"]["disagree"])


def _about(entry: Mapping[str, Any]) -> About:
    for status in [item["status"] for item in (*entry["sources"], *entry["guides"])]:
        if status not in STATUSES:
            raise ValueError(f"{entry['name']}: status {status!r}")
    return About(
        entry["name"],
        entry["view"],
        entry["definition"],
        entry["formula"],
        tuple((source["words"], source["status"]) for source in entry["sources"]),
        tuple(Guide(item["words"], item["source"], item["status"], item["caution"]) for item in entry["guides"]),
    )


def sections(guidance: Guidance, measure: str = "") -> tuple[Section, ...]:
    """How measured for one measure, then what holds for all; without a name, all of them."""
    chosen = [measure] if measure in guidance.measures else [name for name in MEASURES if name in guidance.measures]
    own = tuple(measure_section(guidance, name) for name in chosen)
    return own + general() if measure in guidance.measures else general() + own


def measure_section(guidance: Guidance, name: str) -> Section:
    """Definition and formula of one measure, its source, and guides each with source, status and caution."""
    about = guidance.measures[name]
    rows = [(SEEN_FROM, about.view), (FORMULA, about.formula)]
    rows += [(SOURCE, f"{words} ({STATUSES[status]}).") for words, status in about.sources]
    rows += [(GUIDE, guide_words(guide)) for guide in about.guides]
    paragraphs = [about.definition]
    if about.guides:
        paragraphs.append(guidance.caution_guides)
    if len({guide.source for guide in about.guides}) > 1:
        paragraphs.append(guidance.caution_disagree)
    return Section(measure_name(name), tuple(paragraphs), tuple(rows))


def guide_words(guide: Guide) -> str:
    """`51.8° ± 3.9 fore ... Source: ... (found in the source). Unshod feet were steeper than shod ones.`"""
    status = STATUSES[guide.status]
    origin = f"Source: {guide.source} ({status})." if guide.source else f"{status[:1].upper()}{status[1:]}."
    return f"{guide.words}. {origin} {guide.caution}".strip()


def guides_of(guidance: Guidance, name: str) -> tuple[str, ...]:
    """The guides of one measure, each ready to stand beside a number."""
    about = guidance.measures.get(name)
    return tuple(guide_words(guide) for guide in about.guides) if about else ()


def pair_guides_of(guidance: Guidance, name: str) -> tuple[str, ...]:
    """What published work calls a difference of left and right in one measure, each with its source and caution."""
    about = guidance.measures.get(name)
    of_pairs = [guide for guide in about.guides if "left and right" in guide.words] if about else []
    return tuple(_capital(guide_words(guide)) for guide in of_pairs)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def general() -> tuple[Section, ...]:
    """What holds for every measure: the ±, like with like, verdicts, what is assumed, what is not claimed."""
    return (
        Section(
            "What ± means",
            (
                "The ± is half of the 95 % interval: taken again in the same way, the truth lies inside it 19 times in "
                "20. It holds the card's print and place, the lens, how it stood to the foot, and the placing of each "
                "mark. What two readings share cancels in their difference; the rest adds in squares (JCGM 100).",
            ),
        ),
        Section(
            "Like with like",
            (
                "A reading is compared only with readings of the same foot, measure, definition and moment, both shod "
                "or both bare, by one version of the method; inside a cycle also within "
                f"{DAYS_SINCE_TRIM_APART} days of each other since the trim. Readings by hand and from photos are "
                "never mixed.",
            ),
        ),
        Section("When a change is called a change", _when_a_change()),
        Section("What is assumed", (_assumed(),)),
        *methods(STATUSES, (FORMULA, SOURCE)),
        pictures(),
        Section(
            "What is not claimed",
            (
                cautions.MEASURING,
                "No trim depth is advised, no cause is named, and nothing is said of soundness. A measurement is not a "
                "diagnosis.",
            ),
        ),
    )


def _when_a_change() -> tuple[str, ...]:
    planned = list(PLANNED_READINGS)
    shares = ", ".join(f"{100 * share:.0f}" for share in PLANNED_READINGS.values())
    return (
        "A line is fitted through the readings by weighted least squares; the scatter between visits is estimated with "
        "it (restricted maximum likelihood), and Student's t decides. The interval is never narrower than the stated ± "
        "alone would make it.",
        f"Verdicts fall at readings {', '.join(map(str, planned[:-1]))} and {planned[-1]}, then from a new baseline. "
        f"They spend {shares} % of a chance of {100 * FALSE_ALARM:.0f} % that a horse is ever told a change that is "
        "none, divided by its goals not yet shown. In between there is an interval and no verdict.",
        "Beside the line stands the median of the slopes of all pairs of readings (Theil and Sen), which one wild "
        "reading cannot carry off.",
    )


def _assumed() -> str:
    concavity = numbers.limit(default_scatter("sole_concavity_at_frog_apex"), Unit.MM)
    angle = numbers.limit(default_scatter("toe_angle"), Unit.DEG)
    length = numbers.limit(default_scatter("toe_length"), Unit.MM)
    return (
        f"Until the book has second takes of its own: scatter between visits of {concavity} for sole concavity, "
        f"{angle} for angles, {length} for lengths (one sd) where only two readings are compared; likeness of "
        f"neighbouring visits of {NEIGHBOUR_CORRELATION}."
    )
