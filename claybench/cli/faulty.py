"""Rows that cannot be used: which, and why."""

from __future__ import annotations

from typing import Any

import typer

from claybench.cli.common import AsOf, Csv, Json, emit, emit_csv, moment, opened, table


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("faulty")(faulty)


def faulty(context: typer.Context, as_of: str | None = AsOf, as_json: bool = Json, as_csv: bool = Csv) -> None:
    """Rows and settings that cannot be used as they stand, and why; everything else is answered without them."""
    from claybench.ask.faulty import faulty_rows

    with opened(context) as lab:
        found = faulty_rows(lab, as_of=moment(lab, as_of))
    if as_json or as_csv:
        (emit_csv if as_csv else emit)([_fault(each) for each in found])
        return
    table(["what", "column", "why", "so"], [[each.named, each.column, each.reason, each.so] for each in found])


def _fault(each: Any) -> dict[str, Any]:
    return {
        "table": each.table.name,
        "key": dict(zip(each.table.key, each.key, strict=True)),
        "column": each.column,
        "reason": each.reason,
        "left_out": each.left_out,
    }
