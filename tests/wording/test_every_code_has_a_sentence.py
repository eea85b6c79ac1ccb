"""Walks the whole program for the codes it can give and asks for one sentence each, which ends with what to do."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import hoofbook
from hoofbook.terms.refusal import Refusal, Remark
from hoofbook.wording.refusals import SENTENCES, sentence, titled
from hoofbook.wording.remarks import sentence as remark_sentence

ROOT = Path(hoofbook.__file__).parent
MAKERS = re.compile(r"^_?(refus(al|ed|e)|remark)$", re.IGNORECASE)
TABLES = re.compile(r"CODES$")
CODE = re.compile(r"^[a-z][a-z0-9]*(_[a-z0-9]+)+$")
# what a last sentence may begin with: an instruction, or the condition under which one follows
DOES = {
    "Add",
    "Allow",
    "Ask",
    "Bring",
    "Check",
    "Choose",
    "Close",
    "Compare",
    "Copy",
    "Correct",
    "Draw",
    "Expected",
    "Give",
    "Go",
    "Have",
    "Hold",
    "If",
    "Install",
    "Judge",
    "Keep",
    "Leave",
    "Look",
    "Lower",
    "Make",
    "Mark",
    "Measure",
    "Mend",
    "Move",
    "Name",
    "Next",
    "Nothing",
    "Open",
    "Pick",
    "Plug",
    "Print",
    "Put",
    "Save",
    "See",
    "Send",
    "Set",
    "Stand",
    "Start",
    "Step",
    "Take",
    "Try",
    "Turn",
    "Use",
    "Wait",
    "Wipe",
    "Write",
}


def codes_of(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and node.args and isinstance(node.func, ast.Name | ast.Attribute):
            name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr
            if MAKERS.match(name):
                yield from branches(node.args[0])
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        if any(isinstance(target, ast.Name) and TABLES.search(target.id) for target in targets):
            yield from constants(node.value)  # type: ignore[union-attr]


def branches(node: ast.expr) -> Iterator[str]:
    """The code itself, or the codes of both branches of a condition."""
    if isinstance(node, ast.IfExp):
        yield from branches(node.body)
        yield from branches(node.orelse)
    elif isinstance(node, ast.Constant):
        yield from constants(node)


def constants(node: ast.AST | None) -> Iterator[str]:
    if isinstance(node, ast.Dict):
        for key in node.keys:
            yield from constants(key)
    elif isinstance(node, ast.Call):  # MappingProxyType({...}), frozenset((...))
        for argument in node.args:
            yield from constants(argument)
    elif node is not None:
        for inner in ast.walk(node):
            if isinstance(inner, ast.Constant) and isinstance(inner.value, str) and CODE.match(inner.value):
                yield inner.value


def all_codes() -> dict[str, str]:
    found: dict[str, str] = {}
    for file in sorted(ROOT.rglob("*.py")):
        if "wording" not in file.relative_to(ROOT).parts:
            for code in codes_of(ast.parse(file.read_text(encoding="utf-8"))):
                found.setdefault(code, str(file.relative_to(ROOT)))
    return found


CODES = all_codes()


def test_the_walk_finds_codes_of_all_rooms() -> None:
    rooms = {place.replace("\\", "/").split("/")[0] for place in CODES.values()}
    assert {"progress", "records", "housekeeping", "imaging", "measure", "casework"} <= rooms


@pytest.mark.parametrize("code", sorted(CODES))
def test_code_has_a_sentence(code: str) -> None:
    assert code in SENTENCES, f"{code} ({CODES[code]}) has no sentence in hoofbook/wording"


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_sentence_reads_well_without_facts(code: str) -> None:
    words = sentence(Refusal(code))
    assert words == remark_sentence(Remark(code))
    assert words.endswith(".")
    assert not re.search(r"[{}\[\]|]|\s{2}|\s[,;:]|\s\.\s|“”", words), words
    assert "_" not in words.replace("along_sole", ""), words
    first = next(part for part in words if part.isalnum() or part in "“±")
    assert first in "“±" or first.isupper() or first.isdigit(), words
    last = re.split(r"(?<=[.?!:;,])\s", words)
    assert any(part.split()[0].strip("“").capitalize() in DOES for part in last[1:]), words


@pytest.mark.parametrize("code", sorted(SENTENCES))
def test_no_words_of_judgement(code: str) -> None:
    """The words that never stand on screen or paper."""
    avoid = (
        r"\b(healthy|normal|ideal|improved|worse|score|dashboard|workflow|wizard|patient|clinical|sighting|residual)\b"
    )
    assert not re.search(avoid, SENTENCES[code], re.IGNORECASE)


def test_facts_come_in_as_people_say_them() -> None:
    assert sentence(Refusal("card_not_found")) == (
        "I can't see the card well enough. Wipe it, stand it in the light and take the photo again."
    )
    small = sentence(Refusal("card_too_small", {"px_per_mm": 2.345}))
    assert "(2.3 px per mm, 3 needed)" in small
    moments = sentence(Refusal("another_moment", {"one": "before trim", "other": "after trim"}))
    assert moments.startswith("These are two moments: before trim and after trim.")
    assert moments.endswith("compare before trim only with before trim.")
    mark = sentence(Refusal("mark_far_off", {"mark": "sole_edge_03"}))
    assert mark.startswith("One mark does not fit the others: sole edge 3, and was left out.")
    day = sentence(Refusal("days_since_trim_unknown", {"day": "2025-04-16"}))
    assert "16 Apr 2025" in day
    edges = sentence(Refusal("another_definition", {"one": "from_sole_edge", "other": "from_wall_edge"}))
    assert "from the sole edge and from the wall edge" in edges
    assert titled(Refusal("marks_missing", {}, "toe_angle")).startswith("Toe angle: ")
    wrong = sentence(Refusal("marks_file_unknown_mark", {"mark": "toe_grund", "meant": "toe_ground"}))
    assert "did you mean “toe_ground”?" in wrong


FIELD = re.compile(r"\{(\w+)")


def facts_given() -> dict[str, set[str]]:
    """Per code the names of facts that its makers write down beside it (dictionary keys and keywords)."""
    given: dict[str, set[str]] = {}
    for file in sorted(ROOT.rglob("*.py")):
        if "wording" in file.relative_to(ROOT).parts:
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        named = {
            target.id: node.value
            for node in tree.body
            if isinstance(node, ast.Assign)
            for target in node.targets
            if isinstance(target, ast.Name)
        }
        shared = {name for node in ast.walk(tree) if isinstance(node, ast.Dict) for name in dict_keys(node)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and node.value in CODES:
                given.setdefault(node.value, set()).update(shared)
            if isinstance(node, ast.Call):
                for argument in node.args[:1]:
                    if isinstance(argument, ast.Constant) and argument.value in CODES:
                        names = {word.arg for word in node.keywords if word.arg}
                        given.setdefault(argument.value, set()).update(names)
            if isinstance(node, ast.Dict):
                for key, value in zip(node.keys, node.values, strict=True):
                    if isinstance(key, ast.Constant) and key.value in CODES:
                        for inner in ast.walk(value):
                            told = named.get(inner.id) if isinstance(inner, ast.Name) else inner
                            given.setdefault(key.value, set()).update(
                                word.value for word in ast.walk(told or inner) if isinstance(word, ast.Constant)
                            )
    return given


def dict_keys(node: ast.Dict) -> Iterator[str]:
    for key in node.keys:
        if isinstance(key, ast.Constant) and isinstance(key.value, str):
            yield key.value


GIVEN = facts_given()


@pytest.mark.parametrize("code", sorted(code for code in SENTENCES if code in CODES))
def test_every_fact_a_sentence_names_is_given(code: str) -> None:
    """A fact that nobody gives would never be read: the sentence would always fall back."""
    named = set(FIELD.findall(SENTENCES[code]))
    assert named <= GIVEN[code], f"{code}: {sorted(named - GIVEN[code])} not given; given: {sorted(GIVEN[code])[:20]}"
