"""What is said below the steps of reading a table in: how far it is, and what the keys do. Knows no widget."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import TableMapping
    from claybench.exchange.reading.raw_table import RawTable
    from claybench.exchange.reading.table_import import TablePreview

COLUMN_KEYS = "Enter: where it goes.  e: its unit and words.  c: the same in every row.  o: how the file is written."


def verdict_text(raw: RawTable, mapping: TableMapping | None, preview: TablePreview | None, *, taking: bool) -> str:
    """Whether the file can be read in, and what would come of it."""
    if mapping is None:
        return "Say first what a row of this file is: r."
    if taking:
        return f"Reading {len(raw.rows)} rows in …"
    if preview is None:
        return "Looking at every row …"
    count = len(preview.understood.faults)
    if count:
        faults = "1 fault" if count == 1 else f"{count} faults"
        return f"{faults}: nothing can be read in yet. They stand under Faults (right)."
    return f"Nothing is wrong. It would be: {preview.report.summary()}. Ctrl+s reads it in, u takes it back."


def file_text(raw: RawTable) -> str:
    """How the file was read."""
    count, marks = len(raw.rows), f"cells parted by {raw.delimiter}"
    return f"{count} rows, {raw.encoding}, {marks}. h: the headings are in this row."


def steps_text(names: list[str], here: int, raw: RawTable, mapping: TableMapping | None) -> str:
    """The steps with the open one in brackets, the file, and what a row of it is."""
    shown = [f"[{name}]" if step == here else f" {name} " for step, name in enumerate(names)]
    kind = f"a row: {mapping.kind.says}" if mapping else "what is a row?  r"
    return f"{' › '.join(shown)}  {raw.path.name}\n{kind}"
