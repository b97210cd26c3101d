"""Which class is which screen, by the name its keys go by; a module is loaded when its screen is first opened.

So a page opens another without importing it: `notebook.open_screen("where")`, `notebook.open_record("runs", code)`.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from textual.screen import Screen

FRONTS = ("bench", "slabs", "mix", "pieces", "bodies", "book", "plan")
"""The first screen of each place, in the order of the number keys."""

SCREENS = {
    "bench": "bench.bench_place:BenchPlace",
    "slabs": "slabs.slab_list:SlabsPlace",
    "mix": "mix.mix_place:MixPlace",
    "pieces": "pieces.piece_list:PiecesPlace",
    "bodies": "bodies.body_list:BodiesPlace",
    "book": "book.book_place:BookPlace",
    "plan": "plan.plan_list:PlanPlace",
    "run": "bench.run_page:RunPlace",
    "where": "bench.best_slab_page:BestSlabPlace",
    "past": "bench.backtest_page:BacktestPlace",
    "slab": "slabs.slab_page:SlabPlace",
    "pour": "slabs.pour_steps_page:PourStepsPlace",
    "body": "bodies.body_page:BodyPlace",
    "compare": "bodies.comparison:ComparePlace",
    "batch": "book.batch_page:BatchPlace",
    "weigh": "book.weighing_out:WeighPlace",
    "piece": "pieces.piece_page:PiecePlace",
    "rows": "pieces.piece_page:RecordLinesPlace",
    "readings": "readings.own_readings_page:OwnReadingsPlace",
    "measure": "pieces.measuring_grid:MeasurePlace",
    "trace": "pieces.trace_page:TracePlace",
    "whose": "pieces.piece_identification:IdentifyPlace",
    "plan_results": "plan.proposals_page:ProposalsPlace",
    "files": "table_import.file_list:ImportFilesPlace",
}
"""Screens that are opened from another room or by a page that they open themselves, and the fronts."""

PAGES = {"runs": "run", "slabs": "slab", "bodies": "body", "batches": "batch", "pieces": "piece"}
"""The page of a record by its table; records of other tables are lines of the book."""


def screen_class(name: str) -> Callable[..., Screen[object]]:
    """The class of a screen; its module is loaded where it was not yet."""
    module, _, kind = SCREENS[name].partition(":")
    made: Callable[..., Screen[object]] = getattr(import_module(f"claybench.tui.{module}"), kind)
    return made


def front_screen(name: str) -> Screen[object]:
    """A new front screen of a place."""
    return screen_class(name)()
