"""The contributors' page names what is there: paths, modules, names, commands; every room and every folder of tests."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
QUOTED = sorted(set(re.findall(r"`([^`\n]+)`", PAGE)))
PATHS = [each for each in QUOTED if re.fullmatch(r"[\w.*-]+(/[\w.*-]*)+|[\w-]+\.(py|md|toml|tcss)", each)]
NAMES = [each for each in QUOTED if re.fullmatch(r"[A-Za-z_][\w.]*(\(\))?", each) and each not in PATHS]
COMMANDS = re.findall(r"python -m ([\w.]+)", PAGE)
OUTSIDE = {"textual", "matplotlib", "pint", "numpy", "fine", "ask", "no", "main"}
"""Words of other libraries, and answers in words."""


@cache
def _names_in_code() -> set[str]:
    """Every identifier of claybench and its tests: what is defined, assigned, passed or imported."""
    names: set[str] = set()
    for path in [*(ROOT / "claybench").rglob("*.py"), *(ROOT / "tests").rglob("*.py")]:
        names |= {path.stem, path.parent.name}
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            match node:
                case ast.FunctionDef(name=name) | ast.AsyncFunctionDef(name=name) | ast.ClassDef(name=name):
                    names.add(name)
                case ast.arg(arg=name) | ast.Name(id=name, ctx=ast.Store()) | ast.keyword(arg=str(name)):
                    names.add(name)
                case ast.Constant(value=str(word)) if word.isidentifier():
                    names.add(word)
                case _:
                    pass
    return names


@pytest.mark.parametrize("path", PATHS)
def test_paths_lead_somewhere(path: str) -> None:
    ending = path.rstrip("/")
    deeper = [where for top in ("claybench", "tests") for where in (ROOT / top).glob(f"**/{ending}")]
    assert deeper or list(ROOT.glob(ending)), path


@pytest.mark.parametrize("name", NAMES)
def test_names_are_in_the_code(name: str) -> None:
    parts = name.removesuffix("()").split(".")
    assert parts[0] in OUTSIDE or set(parts) <= _names_in_code() | OUTSIDE, name


@pytest.mark.parametrize("module", COMMANDS)
def test_commands_can_be_run(module: str) -> None:
    path = ROOT / module.replace(".", "/")
    assert path.with_suffix(".py").exists() or (path / "__main__.py").exists(), module


def test_every_room_stands_in_the_table() -> None:
    rooms = {path.parent.name for path in (ROOT / "claybench").glob("*/__init__.py")}
    rooms |= {path.name for path in (ROOT / "claybench").glob("[a-z]*.py")}
    missing = {room for room in rooms if not re.search(rf"^\|.*`(claybench/)?{room}/?`", PAGE, re.MULTILINE)}
    assert not missing, f"say what lives there: {sorted(missing)}"


def test_every_folder_of_tests_stands_on_the_map() -> None:
    folders = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir() and list(path.glob("test_*.py"))}
    missing = {folder for folder in folders if f"`tests/{folder}/`" not in PAGE}
    assert not missing, f"say what these hold: {sorted(missing)}"


def test_what_is_checked_before_a_commit_is_what_the_whole_check_lints() -> None:
    hooks = re.findall(r"entry: (\w.*)", (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8"))
    whole = re.findall(r"^\.venv/bin/(.+)$", (ROOT / ".ci" / "run").read_text(encoding="utf-8"), re.MULTILINE)
    assert hooks == [line for line in whole if not line.startswith("pip ")]
