"""Every screen, command and paper that asks about slabs or batches is registered with the test that holds its answer.

A module that asks such a question and is not on the list fails here, so that nobody adds a second answer unseen.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

import claybench
from tests.imported import names_taken, rooms_imported
from tests.one_answer import test_dry_out, test_layer, test_next_touch, test_plaster

ROOT = Path(claybench.__file__).parent
ROOMS = ("acts", "tui", "cli", "paper", "figure", "exchange")
ASKING = frozenset(
    {
        "claybench.ask.batches",
        "claybench.ask.bench",
        "claybench.ask.where_to_pour",
        "claybench.ask.sizing_start",
        "claybench.ask.pour_steps",
        "claybench.ask.slabs",
        "claybench.ask.weighing_out",
        "claybench.insight.slab_condition.best_slab",
        "claybench.insight.slab_condition.ready_again",
        "claybench.insight.slab_condition.fitness_for_layer",
        "claybench.insight.drying.lab_model",
        "claybench.insight.slab_condition.slab_verdicts",
        "claybench.insight.slab_condition.verdict",
    }
)
"""Modules whose answers speak of the state of a slab or a batch."""
ALSO = frozenset({"pour_choice", "passport", "run_page", "forecasts", "plan_next_set"})
"""Answers of other modules of `ask` that do."""

HELD: dict[str, tuple[str, ...]] = {
    # module: where its answers are held against the others'
    "acts.layers": ("layer:pour form",),
    "acts.import_notes": ("../acts/test_noticed",),
    "acts.slabs": ("plaster:steps of the pour",),
    "acts.any_row": ("../acts/test_questions",),
    "acts.weighing_out": ("sizing",),
    "cli.forecast": ("layer:slabs command", "layer:forecast command", "dry_out:command", "next_touch:command"),
    "cli.mix": ("sizing",),
    "cli.papers": ("layer:passport", "sizing"),
    "cli.plan": ("layer:in_a_plan", "dry_out:plan"),
    "cli.figures": ("dry_out:chart",),
    "figure.slab_charts": ("dry_out:chart",),
    "paper.bench_sheet": ("sizing",),
    "paper.passport": ("layer:passport",),
    "tui.forms.layers": ("layer:pour form",),
    "tui.bench.bench_place": ("layer:bench", "dry_out:bench", "next_touch:bench row", "next_touch:what is due"),
    "tui.bench.run_page": ("next_touch:run page",),
    "tui.bench.best_slab_page": ("layer:which slab", "dry_out:which slab"),
    "tui.book.batch_page": ("sizing",),
    "tui.book.weighing_out": ("sizing",),
    "tui.mix.sizing_forms": ("sizing",),
    "tui.mix.sizing_kinds": ("layer:in_the_sizing", "sizing", "plaster:mix screen"),
    "tui.printing": ("layer:passport",),
    "tui.plan.make_bodies": ("sizing",),
    "tui.plan.proposals_page": ("layer:in_a_plan", "dry_out:plan"),
    "tui.slabs.slab_page": ("layer:page", "dry_out:slab page", "plaster:slab page"),
    "tui.slabs.slab_list": ("layer:list",),
    "tui.slabs.pour_steps_page": ("plaster:steps of the pour",),
}
NAMES_ONLY: dict[str, str] = {
    # module: what it takes there that says nothing of how a slab or a batch is
    "acts.pieces": "codes of batches, and the pieces one was sized for (sizing)",
    "acts.from_plan": "a body's recipe and the code of its next batch",
    "acts.recipes": "the code of a body's next batch",
    "acts.from_sizing": "codes that are taken",
    "cli.lab_context": "settings and air",
    "tui.mix.sizing_forms": "the recipe that was sized",
    "tui.book.book_pages": "lists of codes and air readings",
    "tui.mix.mix_place": "names, settings and air",
    "tui.forms.ring_test": "earlier ring tests and their limit",
    "tui.display_text": "the type of a piece of evidence, which is written out as it is",
}


def asking() -> dict[str, set[str]]:
    """Modules that ask about slabs or batches, and what they ask."""
    found: dict[str, set[str]] = defaultdict(set)
    for room in ROOMS:
        for path in (ROOT / room).rglob("*.py"):
            if path.name == "__init__.py":
                continue
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts)
            tree = ast.parse(path.read_text(encoding="utf-8"))
            rooms = rooms_imported(tree)
            for node in ast.walk(tree):
                for module, taken in names_taken(node, rooms):
                    if module in ASKING or (module.startswith("claybench.ask.") and taken in ALSO):
                        found[name].add(taken)
    return found


def places() -> Iterator[str]:
    """The places that the tests of this folder ask."""
    yield from (f"layer:{name}" for name in (*test_layer.SPEAKING, "in_a_plan", "in_the_sizing"))
    yield from (f"dry_out:{name}" for name in test_dry_out.PLACES)
    yield from (f"next_touch:{name}" for name in test_next_touch.PLACES)
    yield from (f"plaster:{name}" for name in test_plaster.PLACES)


def test_whoever_asks_about_slabs_or_batches_is_registered() -> None:
    found = asking()
    new = {name: sorted(asked) for name, asked in found.items() if name not in HELD and name not in NAMES_ONLY}
    assert not new, "ask one of the homes, then register where the answer is held"
    gone = sorted((HELD.keys() | NAMES_ONLY.keys()) - found.keys())
    assert not gone, "no longer asks: take it off the list"


@pytest.mark.parametrize("module", HELD)
def test_its_answer_is_held(module: str) -> None:
    known = set(places())
    for where in HELD[module]:
        name = where.rpartition("/")[2].removeprefix("test_")
        file = Path(__file__).parent / (f"{where}.py" if "/" in where else f"test_{where}.py")
        assert where in known or file.exists(), (where, name)
    assert HELD[module]
