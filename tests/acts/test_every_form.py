"""Whatever records something is a declared act: no form, screen or command writes past it.

The source is read: a form built by hand, or a function of `work` that is reached from elsewhere, fails here until it is
an act or stands on a list with the reason why it is none.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

import claybench
from tests.imported import names_taken, rooms_imported

pytestmark = pytest.mark.slow

ROOT = Path(claybench.__file__).parent

RECORDS_NOTHING = {
    "tui.bodies.query_form.open_query_form": "a question after bodies",
    "tui.bodies.comparison.ComparePlace.action_limit": "a limit for this screen's tables",
    "tui.printing.print_labels": "which labels are written to a file",
    "tui.forms.pieces.ask_measuring_hand": "whose hand measures on this machine",
    "tui.pieces.repeatability.ask_study": "the order of a measurement study; its readings are acts",
    "tui.pieces.measuring_grid.MeasurePlace.action_property": "which property the grid asks for; its readings are acts",
    "tui.pieces.measuring_grid.MeasurePlace.action_hours": "how long the soak was; its readings are acts",
    "tui.forms.own_readings._choose_property": "which property; its form is an act",
    "tui.plan.plan_list.ask_plan_path": "a plan file from elsewhere",
    "tui.forms.saving_figures.save_figure": "a figure is written to a file",
    "tui.table_import.mapping_forms.ask_file_format": "how a spreadsheet's file is written",
    "tui.table_import.mapping_forms.ask_column_details": "what a column of a spreadsheet means",
    "tui.table_import.mapping_forms.ask_constant": "what holds for every line of a spreadsheet",
    "tui.table_import.mapping_forms.ask_mapping_name": "a mapping is kept as a file",
    "tui.forms.slab_log.choose_slab_event": "which event; its form is an act",
    "tui.forms.saving_tables.save_plain_table": "a table is written to a file",
}
"""Forms built by hand, by where they stand, each with what it asks."""

NO_ACT = {
    "delete_row": "deletes any row; undone by one key, so it is not asked about",
    "forget_question": "deletes a kept question",
    "undo_last": "takes an act back",
    "redo_last": "does again what was taken back",
}
"""Functions of `work` that screens and commands call themselves."""

SEVERAL = {
    "add_reading": "of a piece, and of a batch's plasticity",
    "correct_row": "columns of any row, and a point whose tin is taken off",
    "design_set": "of a plan, one batch beside it, and of a blend",
    "mix_batch": "as typed, and as sized",
}
"""Functions of `work` that several acts write by."""


def modules(*rooms: str) -> Iterator[tuple[str, ast.Module]]:
    """Modules of some parts of the package by name."""
    for room in rooms:
        for path in sorted((ROOT / room).rglob("*.py")):
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
            yield name, ast.parse(path.read_text(encoding="utf-8"))


def walked(node: ast.AST, where: tuple[str, ...] = ()) -> Iterator[tuple[str, ast.AST]]:
    """Every node, with the outermost class and function it stands in."""
    for child in ast.iter_child_nodes(node):
        named = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        inside_function = where and not where[-1][:1].isupper()
        here = (*where, child.name) if named and not inside_function else where  # type: ignore[attr-defined]
        yield ".".join(here), child
        yield from walked(child, here)


def form_classes() -> set[str]:
    """The form and everything made from it."""
    bases = {
        node.name: {base.id for base in node.bases if isinstance(base, ast.Name)}
        for _, tree in modules("tui")
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
    }
    found = {"Form"}
    while more := {name for name, held in bases.items() if held & found} - found:
        found |= more
    return found


def forms_by_hand() -> set[str]:
    """Where a form is built, outside the one place that builds it from an act."""
    classes = form_classes()
    return {
        f"{name}.{where}"
        for name, tree in modules("tui")
        if name != "tui.forms.act_form"
        for where, node in walked(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in classes
    }


def writers() -> set[str]:
    """Functions of `work` that write."""
    found = set()
    for _, tree in modules("work"):
        for node in tree.body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                called = {
                    each.func.attr if isinstance(each.func, ast.Attribute) else getattr(each.func, "id", "")
                    for each in ast.walk(node)
                    if isinstance(each, ast.Call)
                }
                if called & {"acting", "undo_act"}:
                    found.add(node.name)
    return found


def reached() -> dict[str, set[str]]:
    """Functions of `work`, and where they are taken from it."""
    found: dict[str, set[str]] = defaultdict(set)
    for name, tree in modules("acts", "tui", "cli", "exchange", "paper", "figure", "ask"):
        rooms = rooms_imported(tree)
        for where, node in walked(tree):
            for module, taken in names_taken(node, rooms):
                if module.startswith("claybench.work"):
                    found[taken].add(f"{name}.{where}".rstrip("."))
    return found


def test_the_walk_finds_what_it_looks_for() -> None:
    assert {"Form", "PourForm", "RingForm"} <= form_classes()
    assert {"cast_slab", "mix_batch", "set_setting", "start_run", "undo_last"} <= writers()
    tree = ast.parse("class A:\n    async def b(self):\n        def save(): Form('x')\n")
    assert [where for where, node in walked(tree) if isinstance(node, ast.Call)] == ["A.b"]
    tree = ast.parse("from claybench import work\ndef save(): return work.runs.start_run, work")
    taken = [each for node in ast.walk(tree) for each in names_taken(node, rooms_imported(tree))]
    assert ("claybench.work.runs", "start_run") in taken


def test_a_form_that_records_is_opened_from_an_act() -> None:
    found = forms_by_hand()
    assert not found - RECORDS_NOTHING.keys(), "declare an act and open it with ask_act"
    assert not RECORDS_NOTHING.keys() - found, "no longer there: take it off the list"


def test_what_writes_is_reached_from_acts_alone() -> None:
    writing, places = writers(), reached()
    past = {
        name: sorted(where for where in places[name] if not where.startswith("acts."))
        for name in writing - NO_ACT.keys()
    }
    assert not {name: where for name, where in past.items() if where}, "do it through perform"
    assert not NO_ACT.keys() - writing
    by_act = {name: {each for each in places[name] if each.startswith("acts.")} for name in writing - NO_ACT.keys()}
    assert not {name for name, where in by_act.items() if not where}, "no act does it: it is dead"
    several = {name for name, where in by_act.items() if len(where) > 1}
    assert several == SEVERAL.keys(), "two acts for one thing"


def test_nothing_writes_past_work() -> None:
    """`acting` opens a transaction: in `work`, in `record` itself, and for what comes in all at once."""
    past = {
        name
        for name, tree in modules("acts", "tui", "cli", "paper", "figure", "ask", "insight")
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr == "acting"
    }
    assert past == set()
