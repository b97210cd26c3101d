"""The tables of commands hold what the commands themselves say, and nothing is loaded to list them."""

from __future__ import annotations

import inspect
from importlib import import_module

import pytest

from claybench.acts.registry import ACTS, load_act
from claybench.cli.app import program as whole_program
from claybench.cli.commands import ANY_ROW, FIGURE, MIX, PROGRAM
from tests.cli.conftest import Command

TABLES = {"": PROGRAM | ANY_ROW, "mix": MIX, "figure": FIGURE}
COMMANDS = [
    pytest.param(where, summary, id=f"{group} {name}".strip())
    for group, table in TABLES.items()
    for name, (where, summary) in table.items()
]
LISTED = """
import sys
from claybench.__main__ import main
main(["--help"])
rooms = ("acts", "cli")
names = [name for name in sys.modules if name.startswith("claybench.") and name.split(".")[1] in rooms]
print(*names, file=sys.stderr)
"""


@pytest.mark.parametrize(("where", "summary"), COMMANDS)
def test_the_summary_of_a_command_is_the_first_sentence_of_its_own_help(where: str, summary: str) -> None:
    module, _, function = where.partition(":")
    said = inspect.getdoc(getattr(import_module(f"claybench.cli.{module}"), function)) or ""
    assert " ".join(said.split("\n\n")[0].split()) == summary


@pytest.mark.parametrize("name", ACTS)
def test_an_act_is_found_by_the_name_of_its_command(name: str) -> None:
    assert load_act(name).name == name


def test_the_program_has_the_commands_of_its_tables_in_their_order() -> None:
    assert list(whole_program().commands) == [*PROGRAM, *ACTS, *ANY_ROW, "mix", "figure"]


def test_the_list_of_commands_loads_no_command_and_no_act(program: Command) -> None:
    answer = program(code=LISTED)
    loaded = answer.err.split()
    assert "claybench.acts.registry" in loaded and "claybench.cli.commands" in loaded
    known = {"app", "commands", "registry", "state"}
    assert {name.split(".")[2] for name in loaded if name.count(".") == 2} == known
