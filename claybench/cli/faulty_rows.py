"""Rows that cannot be used: which, and why."""

from __future__ import annotations

from typing import Any

import typer

from claybench import ask
from claybench.cli.lab_context import opened, read_moment
from claybench.cli.options import AsOf, Csv, Json
from claybench.cli.output import emit_rows, write_plain_table


def faulty(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Rows and settings that cannot be used as they stand, and why; everything else is answered without them."""
    with opened(context) as lab:
        rows = ask.faulty_rows.faulty_rows(lab, as_of=read_moment(lab, as_of))
    if as_json or as_csv:
        emit_rows([_fault(each) for each in rows], as_csv)
        return
    write_plain_table(
        ["what", "column", "why", "so"], [[each.named, each.column, each.reason, each.consequence] for each in rows]
    )


def _fault(each: Any) -> dict[str, Any]:
    return {
        "table": each.table.name,
        "key": dict(zip(each.table.key, each.key, strict=True)),
        "column": each.column,
        "reason": each.reason,
        "left_out": each.left_out,
    }
