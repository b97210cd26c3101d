"""Every question that can be asked of a lab, by name, with the codes of the small lab filled in.

`unasked` names the public functions of `claybench.ask` that take a lab and are not among them.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any

import claybench.ask
from claybench import paper
from claybench.ask import (
    backtest,
    batches,
    bench,
    bodies,
    body_table,
    comparison,
    data_frames,
    fault_trace,
    held_names,
    history,
    lab_model,
    labels,
    material_care,
    pieces,
    plan,
    pour_steps,
    properties,
    record_values,
    reports,
    runs,
    search,
    sizing_start,
    slabs,
    snapshot,
    weighing_out,
    where_to_pour,
)
from claybench.insight.pieces.piece_lines import peers_of
from claybench.insight.plan.design.plan_file import parse_plan
from claybench.measure.properties.readings import FIRED_LENGTH
from claybench.record.lab import Lab
from claybench.terms import Check, Run, SlabEvent
from tests.odd.small_lab import NOW, PLAN

SLABS = ("P1", "P2", "P3", "P4", "P5")
RUNS = ("D1", "D2", "D3", "D4", "D5", "D6", "D7", "D8")
BODIES = ("B-01", "B-02", "B-03", "R-01")
BATCHES = ("B-01-1", "B-02-1", "B-03-1", "R-01-1", "B-03-2", "B-01-2")
PIECES = ("T00", "T01", "T04", "T10", "T90")
POUR = {"batch": "B-01-2", "layer_mm": 10.0, "poured_g": 1200.0, "area_cm2": 800.0}
TIMES = (None, NOW - timedelta(days=10, hours=3))


@dataclass(frozen=True, slots=True)
class Question:
    """One question with what it is asked about."""

    name: str
    about: tuple[str, ...]
    """Codes it is asked about; none where it is about the lab."""
    ask: Callable[[Lab], Any]

    def __str__(self) -> str:
        return f"{self.name}({', '.join(self.about)})"


def _each(name: str, ask: Callable[..., Any], codes: tuple[str, ...], *, dated: bool = True) -> Iterator[Question]:
    for place, code in enumerate(codes):
        for when in TIMES if dated and place == 0 else TIMES[:1]:
            how = {"as_of": when} if dated else {}
            yield Question(f"{name}{' then' if when else ''}", (code,), partial(_asked, ask, (code,), how))


def _once(name: str, ask: Callable[..., Any], *given: Any, dated: bool = True, **named: Any) -> Iterator[Question]:
    about = tuple(
        code for each in (*given, *named.values()) for code in ((each,) if isinstance(each, str) else _codes(each))
    )
    for when in TIMES if dated else TIMES[:1]:
        how = named | ({"as_of": when} if dated else {})
        yield Question(f"{name}{' then' if when else ''}", about, partial(_asked, ask, given, how))


def _asked(ask: Callable[..., Any], given: tuple[Any, ...], how: dict[str, Any], lab: Lab) -> Any:
    return ask(lab, *given, **how)


def _codes(given: Any) -> tuple[str, ...]:
    return tuple(each for each in given if isinstance(each, str)) if isinstance(given, tuple) else ()


def questions() -> Iterator[Question]:
    """All of them."""
    yield from _once("body_table", body_table.body_table)
    yield from _once("material_care", material_care.material_care, ("kaolin", "nobody's"), dated=False)
    yield from _once("every_material_care", material_care.every_material_care, dated=False)
    yield from _each("body_care", material_care.body_care, BODIES, dated=False)
    yield from _each("batch_care", material_care.batch_care, BATCHES, dated=False)
    yield from _each("run_care", material_care.run_care, RUNS, dated=False)
    yield from _once("kiln_care", material_care.kiln_care, PIECES, dated=False)
    yield from _once("kept_questions", body_table.kept_questions, dated=False)
    yield from _once("kept_question", body_table.kept_question, "tight", dated=False)
    yield from _each("batch_page", batches.batch_page, BATCHES)
    yield from _once("batch_list", batches.batch_list, dated=False)
    yield from _once("bench", bench.bench_now)
    yield from _once("body_list", bodies.body_list, dated=False)
    yield from _each("body_page", bodies.body_page, BODIES)
    yield from _once("body_codes", bodies.body_codes, dated=False)
    for of, codes in (("body", BODIES), ("slab", SLABS)):
        yield from _each(f"values_read of a {of}", partial(record_values.values_read, of=of), codes, dated=False)
    for of, codes in (("body", BODIES), ("slab", SLABS), ("batch", BATCHES), ("piece", PIECES)):
        yield from _each(f"own_readings_of a {of}", partial(record_values.own_readings_of, of=of), codes)
    yield from _once("shelf", bodies.stock_lists, dated=False)
    yield from _once("compare_bodies", comparison.compare_bodies, BODIES)
    yield from _once("side_by_side", _beside)
    yield from _once("faulty_rows", snapshot.faulty_rows)
    for name in data_frames.FRAMES:
        yield from _once("frame", data_frames.data_frame, name)
    yield from _once("pieces_frame", data_frames.pieces_frame)
    yield from _once("runs_frame", data_frames.runs_frame)
    yield from _once("corrections", history.corrections, Check, dated=False, run="D1")
    yield from _once("corrections of a slab", history.corrections, SlabEvent, dated=False, slab="P1")
    yield from _once("newest_acts", history.newest_acts, dated=False)
    yield from _once("act_page", history.act_page, 2, dated=False)
    yield from _once("labelled", labels.read_labels, _LABELLED)
    yield from _once("newest_entry", history.newest_entry, dated=False)
    yield from _once("newest_act", history.newest_act, dated=False)
    yield from _once("newest_act_number", history.newest_act_number, dated=False)
    yield from _once("backtest", backtest.backtest)
    yield from _once("backtest on a slab", backtest.backtest, slab="P1")
    yield from _once("backtest on a body", backtest.backtest, body="B-01")
    yield from _once("shelf of recipes", sizing_start.lab_shelf, dated=False)
    yield from _each("forming", batches.piece_forming, BATCHES, dated=False)
    yield from _each("next_batch_of", sizing_start.next_batch_of, BODIES, dated=False)
    yield from _once(
        "piece_reading", pieces.piece_reading_questions, "T00", FIRED_LENGTH, 88.0, firing="F-1", dated=False
    )
    yield from _once("mix_start", sizing_start.sizing_start, dated=False)
    yield from _each("recipe", sizing_start.body_recipe, BODIES)
    yield from _each("weighing_out", weighing_out.weighing_out, BATCHES, dated=False)
    yield from _each("weighing_targets", weighing_out.weighing_targets, BATCHES, dated=False)
    yield from _each("body_slip", sizing_start.body_slip, BODIES, dated=False)
    yield from _each("slip_of_batch", sizing_start.slip_of_batch, BATCHES, dated=False)
    yield from _once("lab_model", _model)
    yield from _once("piece_lines", pieces.piece_lines)
    yield from _once("lab_properties", properties.lab_properties, dated=False)
    yield from _once("find_reading", properties.find_reading, "fired_load_n", firing="F-1", dated=False)
    yield from _once("piece_lines of a batch", pieces.piece_lines, batch="B-01-1", dated=False)
    yield from _once("piece_lines of a firing", pieces.piece_lines, firing="F-1")
    yield from _once("peers_of", _peers, dated=False)
    yield from _once("identify_bar", pieces.identify_bar, length_mm=88.0, mass_g=50.0)
    yield from _each("piece_page", pieces.piece_page, PIECES)
    yield from _once("rows_about", pieces.read_rows_about, "piece", "T00", dated=False)
    yield from _once("rows_about", pieces.read_rows_about, "slab", "P1", dated=False)
    yield from _once("codes_for_pieces", pieces.codes_for_pieces, 3, dated=False)
    yield from _once("firings", pieces.list_firings, dated=False)
    yield from _once("instruments", pieces.list_instruments)
    yield from _once("instruments by use", pieces.instruments_by_use, "dry_mm", dated=False)
    yield from _once("unfired", pieces.list_unfired, dated=False)
    yield from _once("plan_start", plan.plan_start, dated=False)
    yield from _each("batch_plasticity", pieces.batch_plasticity, ("B-01-1", "B-02-1"))
    yield from _once("batches_with_points", pieces.batches_with_points)
    yield from _each("pour_page", pour_steps.pour_page, SLABS)
    yield from _once("repeat_studies", pieces.repeat_studies)
    yield from _once("readings_since", pieces.readings_since, "fired_mm", NOW - timedelta(days=9), dated=False)
    yield from _each("passport", reports.read_passport, SLABS)
    yield from _each("body_report", reports.read_body_report, BODIES)
    yield from _once("comparison_report", reports.read_comparison_report, BODIES)
    yield from _each("run_page", runs.run_page, RUNS)
    yield from _once("run_list", runs.run_list, dated=False)
    yield from _once("forecasts", runs.forecast_runs, None)
    yield from _once("forecasts of all", runs.forecast_runs, RUNS, dated=False)
    yield from _once("pour_choice", runs.pour_choice, dated=False)
    yield from _once("search", search.find_codes, "0", dated=False)
    yield from _once("sets", plan.list_sets, dated=False)
    yield from _once("follow", plan.follow_set, "towards 12", dated=False)
    yield from _once("follow its plan", lambda lab: plan.follow_set(lab, "towards 12", parse_plan(PLAN)), dated=False)
    yield from _once("slab_list", slabs.slab_list)
    yield from _once("air_list", slabs.air_list, dated=False)
    yield from _once("slabs_and_faults", slabs.slabs_and_faults)
    yield from _each("slab_page", slabs.slab_page, SLABS)
    yield from _each("weighing_history", slabs.weighing_history, SLABS, dated=False)
    yield from _each("ring_start", slabs.ring_start, SLABS, dated=False)
    yield from _once("codes_held", held_names.codes_held, "slabs", dated=False)
    yield from _once("row_named", held_names.row_named, Run, "D1", dated=False)
    yield from _once("names_held", held_names.names_held, "materials", "families", "lots", dated=False)
    yield from _each("pour_fitness", _pour_fitness, ("P2", "P1"), dated=False)
    yield from _once("runs_fitness", where_to_pour.runs_fitness, list(RUNS), dated=False)
    yield from _once("slab_codes", slabs.slab_codes, dated=False)
    yield from _once("trace of a piece", fault_trace.trace_fault, piece="T00")
    yield from _once("trace of a slab", fault_trace.trace_fault, slab="P1")
    yield from _once("trace of a run", fault_trace.trace_fault, run="D2")
    yield from _once("trace for paper", fault_trace.read_trace, "slab", "P2")
    yield from _once("trace of a board", fault_trace.trace_fault, board="board")
    yield from _once("to_pour", where_to_pour.pourable_codes, dated=False)
    yield from _each("where_to_pour", _where, ("B-01-2", "B-02", "R-01-1"))
    yield from _once("forecast_layers", where_to_pour.forecast_layers, ("B-01", "R-01"), (), (10.0, 4.0))
    yield from _once("plan and making", _plan, dated=False)


def papers(folder: Path) -> Iterator[Question]:
    """What is printed, each into a folder."""

    def sheet(lab: Lab) -> None:
        paper.bench_sheet.write_bench_sheet(batches.batch_page(lab, "B-01-1"), folder / "sheet.pdf")

    def labels_of(lab: Lab) -> None:
        paper.labels.write_labels(labels.read_labels(lab, _LABELLED), folder / "labels.pdf")

    def passport(lab: Lab) -> None:
        paper.passport.write_slab_passport(reports.read_passport(lab, "P1"), folder / "passport.pdf")

    def body(lab: Lab) -> None:
        paper.body_report.write_body_report(reports.read_body_report(lab, "B-01"), folder / "body.pdf")

    def beside(lab: Lab) -> None:
        paper.comparison_report.write_comparison_report(
            reports.read_comparison_report(lab, BODIES), folder / "bodies.pdf"
        )

    yield Question("bench sheet on paper", ("B-01-1",), sheet)
    yield Question("labels on paper", _LABELLED, labels_of)
    yield Question("passport on paper", ("P1",), passport)
    yield Question("body on paper", ("B-01",), body)
    yield Question("bodies on paper", BODIES, beside)


_LABELLED = (
    "batch/B-01-1",
    "body/B-02",
    "slab/P1",
    "slab/P3",
    "lot/FC-1",
    "material/ball clay",
    "run/D1",
    "firing/F-1",
)
HELPERS = frozenset({"compare_in_snapshot", "body_page_from", "take_snapshot"})
"""Functions that go with a snapshot or a plan made before; asked through the others here."""


def unasked() -> list[str]:
    """Public functions of `claybench.ask` that take a lab and that nothing here asks."""
    source = inspect.getsource(importlib.import_module(__name__))
    found = []
    for about in pkgutil.iter_modules(claybench.ask.__path__):
        module = importlib.import_module(f"claybench.ask.{about.name}")
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if name.startswith("_") or function.__module__ != module.__name__ or name in HELPERS:
                continue
            first = next(iter(inspect.signature(function).parameters.values()), None)
            if first is not None and first.annotation == "Lab" and f"{about.name}.{name}" not in source:
                found.append(f"{about.name}.{name}")
    return found


def _beside(lab: Lab, **how: Any) -> Any:
    found = comparison.side_by_side(lab, BODIES, **how)
    return [found.ranges(), found.vitrification(), [found.differences_of(each) for each in found.results]]


def _pour_fitness(lab: Lab, slab: str) -> Any:
    found = where_to_pour.pour_fitness(lab, {"slab": slab, **POUR}, at=NOW)
    return held_names.unanswered(lab, found.reasons)


def _model(lab: Lab, **how: Any) -> Any:
    return lab_model.lab_model(lab, **how)[1].poured


def _peers(lab: Lab) -> Any:
    lines = pieces.piece_lines(lab)
    return [peers_of(lines, line, "fired_mm") for line in lines]


def _where(lab: Lab, what: str, **how: Any) -> Any:
    found = where_to_pour.where_to_pour(lab, what, **how)
    return [found.at_depth(depth) for depth in (3.0, found.usual_mm, 40.0)]


def _plan(lab: Lab) -> Any:
    found = plan.plan_next_set(lab, parse_plan(PLAN))
    return plan.making_start(lab, found), plan.bodies_made(lab, found)
