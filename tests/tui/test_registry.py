"""Screens that are opened by name: each name leads to its class, and is called as its class can be."""

from __future__ import annotations

import ast
import inspect
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import claybench.tui
from claybench.terms import TABLES
from claybench.tui.keys import PLACES
from claybench.tui.place import TABS, Place
from claybench.tui.registry import FRONTS, PAGES, SCREENS, screen_class

_ROOT = Path(claybench.tui.__file__).parent


def _calls() -> Iterator[tuple[str, ast.Call]]:
    """Every call that opens a screen by its name, with where it stands."""
    for file in sorted(_ROOT.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr in ("open_screen", "_open_once")
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                yield f"{file.relative_to(_ROOT)}:{node.lineno}", node


_CALLS = list(_calls())


@pytest.mark.parametrize("name", SCREENS)
def test_a_name_leads_to_the_screen_that_goes_by_it(name: str) -> None:
    kind = screen_class(name)
    assert isinstance(kind, type)
    assert issubclass(kind, Place)
    assert kind.place == name
    assert name in PLACES


def test_fronts_and_pages_are_there() -> None:
    assert [name for name, _ in TABS] == list(FRONTS)
    assert set(FRONTS) <= set(SCREENS)
    assert set(PAGES.values()) <= set(SCREENS)
    assert set(PAGES) <= set(TABLES)


@pytest.mark.parametrize(("where", "call"), _CALLS, ids=[where for where, _ in _CALLS])
def test_screens_are_opened_as_they_are_made(where: str, call: ast.Call) -> None:
    name = ast.literal_eval(call.args[0])
    assert name in SCREENS, where
    keywords = {each.arg: each for each in call.keywords if each.arg not in (None, "then")}
    inspect.signature(screen_class(name)).bind(*call.args[1:], **keywords)


def test_no_name_is_there_for_nobody() -> None:
    opened = {ast.literal_eval(call.args[0]) for _, call in _CALLS}
    assert set(SCREENS) == {*FRONTS, *PAGES.values(), *opened}


def test_no_screen_imports_the_app() -> None:
    importing = [
        str(file.relative_to(_ROOT))
        for file in _ROOT.rglob("*.py")
        if any(
            isinstance(node, ast.ImportFrom) and node.module == "claybench.tui.app"
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        )
    ]
    assert importing == ["main.py"]


def test_the_first_screen_loads_nothing_that_waits_until_it_is_painted() -> None:
    code = "import sys, claybench.tui.app, claybench.tui.bench.bench_place; print(*sys.modules)"
    loaded = set(
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    )
    heavy = {"numpy", "pandas", "sqlalchemy", "sqlmodel", "pint", "scipy", "matplotlib", "textual_plot", "typer"}
    rooms = ("acts", "ask", "exchange", "figure", "insight", "measure", "mix", "paper", "record", "water", "work")
    later = {name for name in loaded if name.startswith(tuple(f"claybench.{room}." for room in rooms))}
    later -= {"claybench.exchange.files"}
    assert "claybench.tui.bench.bench_place" in loaded
    assert not loaded & (heavy | {"claybench.terms"})
    assert not later
