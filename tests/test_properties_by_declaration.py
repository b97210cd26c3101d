"""In the rooms that show, print, draw and exchange no module knows a property or a reading by its name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import claybench
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.readings import READINGS, names_read

HOME = Path(claybench.__file__).parent
ROOMS = ("tui", "cli", "paper", "figure", "exchange")
NAMES = {*BUILT_IN, *READINGS, *names_read(BUILT_IN)}
OF_OTHER_THINGS = {
    "relative_time": "time to workable over the control's: a field of a comparison, and of its JSON",
    "dry_g": "dry clay of a sizing, dry mass of a slab or of a sample",
    "plastic_g": "workable clay of a sizing",
    "workable_water_pct": "column of a body",
    "loi_pct": "column of a material",
}
"""Names that stand for something else as well; as an attribute or a key they may be used for that."""


def named_in(path: Path) -> Iterator[tuple[int, str]]:
    """Lines and names of properties and readings, as text or as attributes."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            if node.value in NAMES:
                yield node.lineno, node.value
        elif isinstance(node, ast.Attribute) and node.attr in NAMES:
            yield node.lineno, node.attr


@pytest.mark.parametrize("room", ROOMS)
def test_no_module_of_these_rooms_knows_a_property_or_a_reading_by_its_name(room: str) -> None:
    found = [
        f"{path.relative_to(HOME)}:{line} {name}"
        for path in sorted((HOME / room).rglob("*.py"))
        for line, name in named_in(path)
        if name not in OF_OTHER_THINGS
    ]
    assert found == []


def test_what_is_said_to_stand_for_something_else_is_used_somewhere() -> None:
    used = {name for room in ROOMS for path in (HOME / room).rglob("*.py") for _, name in named_in(path)}
    assert set(OF_OTHER_THINGS) <= used
