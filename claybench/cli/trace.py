"""Tracing a fault: back to its cause, forward to what shares it."""

from __future__ import annotations

import typer

from claybench import ask
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Json
from claybench.cli.output import emit, write_plain_table


def trace(
    context: typer.Context,
    piece: str | None = typer.Option(None, "--piece", help="From this piece back, and forward."),
    run: str | None = typer.Option(None, "--run", help="From the clay of this run, such as plaster found in it."),
    slab: str | None = typer.Option(None, "--slab", help="From this slab forward."),
    board: str | None = typer.Option(None, "--board", help="From this wedging board forward."),
    as_of: str | None = AsOf,
    as_json: bool = Json,
) -> None:
    """Where a fault may have come from, and what else it may be in."""
    with opened(context) as lab:
        traced = ask.fault_trace.trace_fault(
            lab, piece=piece, slab=slab, run=run, board=board, as_of=read_moment(lab, as_of)
        )
    if as_json:
        emit(
            {
                "chain": [{"kind": one.kind, "code": one.code, "at": one.at, "text": one.text} for one in traced.chain],
                "at_risk": {
                    "batches": [
                        {"batch": one.code, "reason": one.reason} for one in traced.at_risk if one.kind == "batch"
                    ],
                    "pieces": [
                        {"piece": one.code, "reason": one.reason} for one in traced.at_risk if one.kind == "piece"
                    ],
                },
            }
        )
        return
    rows = [[one.kind, one.code, f"{one.at:%Y-%m-%d %H:%M}" if one.at else "", one.text] for one in traced.chain]
    rows += [[f"at risk: {one.kind}", one.code, "", one.reason] for one in traced.at_risk]
    write_plain_table(["what", "code", "when", "text"], rows)
