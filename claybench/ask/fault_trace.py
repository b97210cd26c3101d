"""Where a fault may have come from, and what else it may be in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from claybench.ask.lab_model import model_from
from claybench.ask.slabs import SLAB_TABLES
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.errors import BadInput, NotFound
from claybench.insight.pieces.fault_trace import Trace, trace_board, trace_piece, trace_run, trace_slab
from claybench.insight.pieces.trace_rows import TraceRows, same_name
from claybench.insight.slab_condition.slab_damage import wet_frosts
from claybench.record.lab import Lab
from claybench.terms import Piece, Run, Slab

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class TraceReport:
    """A trace for paper and screen."""

    lab: str
    paper: str
    """What the lab prints on."""
    kind: str
    """piece, run, slab or board: what it starts from."""
    code: str
    trace: Trace
    at: datetime


def trace_fault(
    lab: Lab,
    *,
    piece: str | None = None,
    slab: str | None = None,
    run: str | None = None,
    board: str | None = None,
    as_of: datetime | None = None,
) -> Trace:
    """From one piece, from the clay of one run, from one slab, or from a board that clay was wedged on."""
    return read_trace(lab, *one_start(piece=piece, slab=slab, run=run, board=board), as_of=as_of).trace


def one_start(**starts: str | None) -> tuple[str, str]:
    """What a trace starts from, and its code: one of piece, slab, run and board."""
    named = [(kind, code) for kind, code in starts.items() if code is not None]
    if len(named) != 1:
        raise BadInput("Name one thing: a piece, a run, a slab or a board.", "As in: claybench trace --piece P3A.")
    return named[0]


def read_trace(lab: Lab, kind: str, code: str, *, as_of: datetime | None = None) -> TraceReport:
    """A trace from a piece, run, slab or board, with the lab's name and paper."""
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=as_of)
    rows, settings = _rows_of(snapshot), snapshot.settings
    if kind == "piece":
        piece = _row_named(snapshot, Piece, code)
        code, trace = piece.piece, trace_piece(piece, rows)
    elif kind == "run":
        run = _row_named(snapshot, Run, code)
        code, trace = run.run, trace_run(run, rows)
    elif kind == "slab":
        code = _row_named(snapshot, Slab, code).slab
        trace = trace_slab(code, rows)
    elif rows.is_board(code):
        code, trace = code.strip(), trace_board(code, rows)
    else:
        raise NotFound(
            f"Nothing was wedged on a board '{code}' by then.", "See the runs: each says what it was wedged on."
        )
    return TraceReport(settings.text_of("name"), settings.text_of("paper"), kind, code, trace, snapshot.at)


def _rows_of(snapshot: Snapshot) -> TraceRows:
    """The rows, with what the model says of salts and frost; how wet a slab was is asked only where there was frost."""
    model = model_from(snapshot)
    balances = model.slabs.balances
    salts = {
        run.run: grams
        for run in model.runs
        if (
            grams := model.salts.mass_in_layer_g(
                run.batch, model.layers.layer_of_run(run), balances[run.slab].size.layer_cm2
            )
        )
    }
    return TraceRows.of(
        snapshot,
        salts_g=salts,
        face_m2={code: balance.size.face_cm2 / 1e4 for code, balance in balances.items()},
        frosts={code: wet_frosts(model, code) for code in balances},
    )


def _row_named(snapshot: Snapshot, kind: type[R], code: str) -> R:
    row = next((row for own, row in snapshot.by_code(kind).items() if same_name(own, code)), None)
    if row is None:
        raise snapshot.missing(kind, code)
    return row
