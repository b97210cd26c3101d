"""Where a fault may have come from, and what else it may be in."""

from __future__ import annotations

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
    if sum(each is not None for each in (piece, slab, run, board)) != 1:
        raise BadInput("Name one thing: a piece, a run, a slab or a board.", "As in: claybench trace --piece P3A.")
    snapshot = take_snapshot(lab, *SLAB_TABLES, as_of=as_of)
    rows = _rows_of(snapshot)
    if piece is not None:
        return trace_piece(_row_named(snapshot, Piece, piece), rows)
    if run is not None:
        return trace_run(_row_named(snapshot, Run, run), rows)
    if slab is not None:
        return trace_slab(_row_named(snapshot, Slab, slab).slab, rows)
    if not rows.is_board(board or ""):
        raise NotFound(
            f"Nothing was wedged on a board '{board}' by then.", "See the runs: each says what it was wedged on."
        )
    return trace_board(board or "", rows)


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
