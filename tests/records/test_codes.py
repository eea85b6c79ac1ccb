"""The lists of refusals hold every code that the code makes, and no other."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from pathlib import Path

import pytest

import hoofbook
from hoofbook.housekeeping import codes as of_housekeeping
from hoofbook.records import codes as of_records

PACKAGES = {"housekeeping": of_housekeeping.ALL_CODES, "records": of_records.ALL_CODES}


def made_in(package: str) -> set[str]:
    """First arguments of `Refusal(...)`, both branches of a choice, and the values of tables named _CODES."""
    found: set[str] = set()
    for file in (Path(hoofbook.__file__).parent / package).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Refusal":
                found |= texts(node.args[0])
            if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") in ("_CODES", "code"):
                found |= texts(node.value)
    return found


def texts(node: ast.AST) -> set[str]:
    if isinstance(node, ast.IfExp):
        return texts(node.body) | texts(node.orelse)
    if isinstance(node, ast.Dict):
        return set().union(*(texts(value) for value in node.values))
    return {node.value} if isinstance(node, ast.Constant) and isinstance(node.value, str) else set()


@pytest.mark.parametrize("package", PACKAGES)
def test_every_code_is_listed(package: str) -> None:
    listed: Mapping[str, object] = PACKAGES[package]
    passed_on = set(of_housekeeping.ALL_CODES) if package == "records" else set()
    made = made_in(package)
    assert made >= set(listed)
    assert made <= set(listed) | passed_on


def test_no_code_is_listed_twice() -> None:
    assert not set(of_housekeeping.ALL_CODES) & set(of_records.ALL_CODES)
