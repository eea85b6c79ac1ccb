"""The table of imports in DEVELOPERS.md is what import-linter enforces: one planted fault per forbidden cell."""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

import grimp
import pytest
from importlinter.configuration import configure
from importlinter.contracts.forbidden import ForbiddenContract
from importlinter.contracts.layers import LayersContract

TOP = Path(__file__).resolve().parent.parent
CONTRACTS = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]
SESSION = {"root_packages": ["hoofbook"], "include_external_packages": True}
OUTSIDE = (
    "numpy",
    "scipy",
    "cv2",
    "PIL",
    "pi_heif",
    "sqlalchemy",
    "alembic",
    "uuid_utils",
    "typst",
    "pydicom",
    "bagit",
    "msgspec",
    "platformdirs",
    "PySide6",
    "shiboken6",
)


def table() -> dict[str, set[str]]:
    """Package -> what it may import, as DEVELOPERS.md says."""
    rows = re.findall(r"^\| `(\w+)` \|[^|]*\|([^|]*)\|$", (TOP / "DEVELOPERS.md").read_text(encoding="utf-8"), re.M)
    return {package: {name.strip() for name in allowed.split(",")} for package, allowed in rows}


configure()  # gives import-linter its timer and its file reader
TABLE = table()
FORBIDDEN_CELLS = [
    (package, other)
    for package, allowed in TABLE.items()
    for other in (*TABLE, *OUTSIDE)
    if other != package and other not in allowed
]


@pytest.fixture(scope="module")
def graph() -> grimp.ImportGraph:
    return grimp.build_graph("hoofbook", include_external_packages=True, cache_dir=None)


def contracts() -> list[Any]:
    kinds = {"forbidden": ForbiddenContract, "layers": LayersContract}
    made = []
    for given in CONTRACTS:
        options = {key: value for key, value in given.items() if key not in ("name", "type")}
        options = {key: str(value) if isinstance(value, bool) else value for key, value in options.items()}
        made.append(kinds[given["type"]](name=given["name"], session_options=SESSION, contract_options=options))
    return made


def broken(graph: grimp.ImportGraph) -> list[str]:
    return [contract.name for contract in contracts() if not contract.check(deepcopy(graph), verbose=False).kept]


def test_the_table_names_every_package(graph: grimp.ImportGraph) -> None:
    packages = {name.removeprefix("hoofbook.") for name in graph.find_children("hoofbook")} - {"__main__"}
    assert set(TABLE) == packages


def test_the_code_keeps_every_contract(graph: grimp.ImportGraph) -> None:
    assert broken(graph) == []


@pytest.mark.parametrize(("package", "other"), FORBIDDEN_CELLS, ids=str)
def test_a_planted_fault_is_caught(graph: grimp.ImportGraph, package: str, other: str) -> None:
    faulty = deepcopy(graph)
    imported = f"hoofbook.{other}" if other in TABLE else other
    if imported not in faulty.modules:
        faulty.add_module(imported, is_squashed=True)
    faulty.add_import(
        importer=f"hoofbook.{package}", imported=imported, line_number=1, line_contents=f"import {imported}"
    )
    assert broken(faulty), f"{package} -> {other} went unseen"
