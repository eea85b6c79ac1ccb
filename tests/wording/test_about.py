from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from hoofbook.terms.quantity import MEASURES
from hoofbook.wording.about import STATUSES, general, guides_of, read_guidance, sections
from hoofbook.wording.about_changes import METHODS, methods
from hoofbook.wording.about_pictures import pictures

TABLE = Path(__file__).parents[2] / "resources" / "guidance.toml"
GUIDANCE = read_guidance(TABLE.read_text(encoding="utf-8"))
AVOID = re.compile(r"\b(healthy|normal|ideal|correct|perfect|improved|worse|score|diagnos\w+|patient|clinical)\b", re.I)


def test_every_measure_is_explained_with_its_source() -> None:
    assert set(GUIDANCE.measures) == set(MEASURES)
    for about in GUIDANCE.measures.values():
        assert about.definition.endswith("."), about.name
        assert about.formula.endswith("."), about.name
        assert about.sources, about.name


def test_pictures_tell_how_they_are_laid_and_which_limits_are_our_own() -> None:
    said = " ".join(pictures().paragraphs)
    assert pictures() in general()
    for words in (
        "never bent",
        "in one plane",
        "within 5° (12° for soles)",
        "within 20 %",
        "0.5 stop",
        "without a source",
    ):
        assert words in said, words


def test_every_guide_has_status_and_caution() -> None:
    for about in GUIDANCE.measures.values():
        for guide in about.guides:
            assert guide.status in STATUSES
            assert guide.caution.endswith(".")
            assert bool(guide.source) is (guide.status != "common practice, no source")


def test_no_words_of_judgement() -> None:
    assert not AVOID.search(TABLE.read_text(encoding="utf-8"))
    for section in general():
        for words in section.paragraphs:
            assert not AVOID.search(words.replace("A measurement is not a diagnosis.", ""))


def test_one_measure_first_then_what_holds_for_all() -> None:
    found = sections(GUIDANCE, "toe_angle")
    assert found[0].title == "Toe angle"
    assert [section.title for section in found[1:]] == [section.title for section in general()]
    rows = dict(found[0].rows)
    assert "common practice, no source" in " ".join(words.lower() for _, words in found[0].rows)
    assert "Dyson" in rows["Source"]
    assert len(sections(GUIDANCE)) == len(MEASURES) + len(general())
    assert len(sections(GUIDANCE, "unheard_of")) == len(MEASURES) + len(general())
    assert any("a guide, not a limit" in words for words in found[0].paragraphs)


def test_figures_of_the_guides_are_those_of_their_sources() -> None:
    """225 horses (abstract): 51.8 ± 3.9 and 50.9 ± 3.7; heel 40.1 ± 9.3 and 36.4 ± 9.6; gaps follow by arithmetic."""
    toe, heel = " ".join(guides_of(GUIDANCE, "toe_angle")), " ".join(guides_of(GUIDANCE, "heel_angle"))
    assert "51.8° ± 3.9 fore, 50.9° ± 3.7 hind" in toe
    assert "40.1° ± 9.3 fore, 36.4° ± 9.6 hind" in heel
    gap = " ".join(guides_of(GUIDANCE, "toe_heel_angle_difference"))
    assert f"{51.8 - 40.1:.1f}° fore and {50.9 - 36.4:.1f}° hind" in gap


def test_the_rules_are_told_as_they_are_computed() -> None:
    words = " ".join(paragraph for section in general() for paragraph in section.paragraphs)
    assert "readings 4, 7, 13 and 25" in words
    assert "10, 40, 30, 20 % of a chance of 5 %" in words
    assert "0.8 mm for sole concavity, 0.7° for angles, 1.0 mm for lengths" in words


def test_every_comparison_has_its_formula_and_a_source_that_says_how_it_is_known() -> None:
    found = methods(STATUSES, ("How computed", "Source"))
    assert [section.title for section in found] == [method.title for method in METHODS]
    assert set(found) <= set(general())
    for section in found:
        heads = [head for head, _ in section.rows]
        assert heads.count("How computed") >= 1 and heads.count("Source") >= 1
        for head, words in section.rows:
            assert not AVOID.search(words)
            assert words.endswith("."), words
            assert head != "Source" or any(status in words for status in STATUSES.values())


def test_the_figures_of_the_formulas_are_those_that_are_computed_with() -> None:
    """0.6 to 2.9: square roots of 4 over the 97.5 % and 2.5 % points of chi-squared with 4 (table: 11.143, 0.4844)."""
    words = " ".join(words for section in methods(STATUSES, ("", "")) for _, words in section.rows)
    assert "readings 4, 7, 13, 25" in words
    assert "10 %, 40 %, 30 %, 20 %" in words
    assert "From 5 second takes on" in words and "d₀ = 4" in words
    assert (math.sqrt(4 / 11.143), math.sqrt(4 / 0.4844)) == pytest.approx((0.6, 2.87), abs=0.01)
    assert "between 0.6 and 2.9 times" in words


def test_a_faulty_table_is_refused() -> None:
    text = TABLE.read_text(encoding="utf-8").replace('status = "found"', 'status = "surely"', 1)
    with pytest.raises(ValueError, match="toe_angle"):
        read_guidance(text)
