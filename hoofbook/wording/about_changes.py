"""How measured, the part on numbers over time: formula and sources of each kind of comparison."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoofbook.progress.agreement import ENOUGH_SETS, OWN_FREEDOM, PRIOR_FREEDOM
from hoofbook.progress.change import FALSE_ALARM, NEIGHBOUR_CORRELATION, PLANNED_READINGS
from hoofbook.progress.cycle import DAYS
from hoofbook.terms.shown import Section


@dataclass(frozen=True, slots=True)
class Method:
    """One kind of comparison: what it answers, its formula, and its sources, each with how it is known."""

    title: str
    words: str
    formula: tuple[str, ...]
    sources: tuple[tuple[str, str], ...]


FOUND, SECOND_HAND, MEMORY = "found", "second-hand", "from memory"

_TWO_READINGS = Method(
    "Two readings of one foot",
    "What two readings alone tell: an interval and never a verdict.",
    (
        "Change ± k · √(u₁² + u₂² + 2 τ²): u is what each reading has of its own (sources that both share are "
        "subtracted with their signs first), τ the scatter that no stated ± explains.",
        "k is 1.96 while τ is assumed, Student's t on its degrees of freedom once it comes from second takes.",
    ),
    (("JCGM 100:2008, 5.2 and G.3", MEMORY), ("Bland and Altman 1986, Lancet 327:307-310 (limits)", SECOND_HAND)),
)
_LINE = Method(
    "The line through the visits",
    "How a measure went over three visits or more.",
    (
        "Reading = level + slope · days + error, the variance of the error being u² + τ²; τ is estimated with the line "
        "(restricted maximum likelihood).",
        "The slope's standard error comes from the weighted residuals, on n − 2 degrees of freedom, and is never less "
        "than the stated ± alone would give.",
        f"Neighbouring visits resemble each other (correlation {NEIGHBOUR_CORRELATION}, assumed): slope and level are "
        "widened by what that does to this many readings on these days.",
        "Beside it: the median of the slopes of all pairs of readings.",
    ),
    (
        ("Patterson and Thompson 1971, Biometrika 58:545-554", MEMORY),
        ("Knapp and Hartung 2003, Stat Med 22:2693-2710", SECOND_HAND),
        ("Theil 1950; Sen 1968, J Am Stat Assoc 63:1379-1389 (median slope)", MEMORY),
    ),
)
_PLANNED = Method(
    "Planned readings",
    "When a verdict may fall, so that looking often does not find changes that are none.",
    (
        f"At readings {', '.join(map(str, PLANNED_READINGS))} a change is shown where its interval at confidence "
        f"1 − {FALSE_ALARM} · share / m leaves nought out; shares "
        f"{', '.join(f'{100 * share:.0f} %' for share in PLANNED_READINGS.values())}, m the goals of the horse not yet "
        "shown. Goals of one day are tested stepwise.",
    ),
    (
        ("Lan and DeMets 1983, Biometrika 70:659-663 (spending a chance)", SECOND_HAND),
        ("Holm 1979, Scand J Stat 6:65-70 (stepwise)", MEMORY),
    ),
)
_PAIR = Method(
    "Left against right",
    "How far the two feet of a pair are apart at one visit.",
    (
        "Left less right of the same visit, moment, measure and method. Sources that both photos share (print of the "
        "card, lens, person) are subtracted with their signs, the rest adds in squares.",
    ),
    (("JCGM 100:2008, 5.2", MEMORY),),
)
_CYCLE = Method(
    "Inside a cycle",
    "What grew between one trim and the next visit.",
    (
        f"Before trim less after trim of the visit before, per {DAYS} days. Over several cycles: a line through "
        "nought, weighted by the stated u; its error comes from the cycles themselves (Student's t on cycles − 1).",
        "A day on which a value is reached: all days on which the value lies inside the interval of one further cycle.",
    ),
    (("Fieller 1954, J R Stat Soc B 16:175-185 (day reached)", MEMORY),),
)
_REPEATS = Method(
    "How well readings repeat",
    "What two readings of an unchanged foot differ by.",
    (
        "Spread of one reading s = √(squares within feet / repeats); limit of two readings = t · √2 · s, its interval "
        "from the χ² distribution.",
        f"From {ENOUGH_SETS} second takes on: variance = (d₀ s₀² + d s²) / (d₀ + d), d₀ = {PRIOR_FREEDOM:.0f} for the "
        "assumed figure s₀ (worth a belief of between 0.6 and 2.9 times it), d own degrees of freedom; called your own "
        f"from d = {OWN_FREEDOM:.0f} on.",
        "First against second take: mean difference ± 1.96 standard deviations of the differences; standard error of a "
        "limit √(3 s² / n). Intraclass correlation with its form: (1,1) for takes, (2,1) for two people.",
        "Passes made without looking tell only how marks are placed, and are pooled with nothing else.",
    ),
    (
        ("Bland and Altman 1986, Lancet 327:307-310; 1999, Stat Methods Med Res 8:135-160", FOUND),
        ("Shrout and Fleiss 1979, Psychol Bull 86:420-428; McGraw and Wong 1996, Psychol Methods 1:30-46", SECOND_HAND),
        ("Smyth 2004, Stat Appl Genet Mol Biol 3:3 (assumed and own together)", SECOND_HAND),
        ("ISO 5725-2 (spread within groups)", MEMORY),
    ),
)
METHODS = (_TWO_READINGS, _LINE, _PLANNED, _PAIR, _CYCLE, _REPEATS)


def methods(statuses: Mapping[str, str], heads: tuple[str, str]) -> tuple[Section, ...]:
    """Each comparison as a section: `statuses` words how a source is known, `heads` stand before formula and source."""
    formula, source = heads
    return tuple(
        Section(
            method.title,
            (method.words,),
            (
                *((formula, words) for words in method.formula),
                *((source, f"{words} ({statuses[status]}).") for words, status in method.sources),
            ),
        )
        for method in METHODS
    )
