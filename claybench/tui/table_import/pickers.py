"""What can be chosen while a table is read in: what a row is, where a column goes, a mapping that was kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from claybench import quantity
from claybench.exchange.reading.layout import suggest_map
from claybench.exchange.reading.row_kinds import KINDS, RECIPE, RowKind
from claybench.exchange.reading.saved_mappings import saved_mapping_names
from claybench.terms import Column
from claybench.tui.table_import.pick_one import PickOnePlace
from claybench.tui.table_view import TableColumn

if TYPE_CHECKING:
    from claybench.exchange.reading.raw_table import RawTable


def row_kind_picker(raw: RawTable, tab: str) -> PickOnePlace:
    """What a row is; those whose columns the headings name come first."""
    known = {name: len(suggest_map(raw, name).columns) for name in KINDS}
    order = sorted(KINDS, key=lambda name: -known[name])
    rows = [(name, KINDS[name].says, str(known[name])) for name in order]
    columns = (
        TableColumn("a row is", 12),
        TableColumn("", 53, grows=True, name="in words"),
        TableColumn("fits", 4, right=True),
    )
    return PickOnePlace("What is a row of this file?", columns, rows, tab=tab)


def target_picker(title: str, kind: RowKind, tab: str, *, leave: bool) -> PickOnePlace:
    """Columns of the record that a column may go to, or that may be the same in every row."""
    wide = kind.wide[2] if kind.wide else ""
    rows = [("–", "leave it out", "")] if leave else []
    for name, target in kind.targets().items():
        if name == RECIPE and not leave:
            continue
        if name != wide:
            rows.append((name, target.column.label, _describe_column(target.column)))
        elif leave:
            rows.append((name, "a material: its " + target.column.label, _describe_column(target.column)))
    columns = (TableColumn("column", 18), TableColumn("what it is", 24), TableColumn("", 20, grows=True))
    return PickOnePlace(title, columns, rows, tab=tab)


def saved_mapping_picker(tab: str) -> PickOnePlace | None:
    """Mappings that were kept by name; None without any."""
    names = saved_mapping_names()
    if not names:
        return None
    return PickOnePlace("Which mapping?", (TableColumn("name", 30, grows=True),), [(each,) for each in names], tab=tab)


def _describe_column(column: Column) -> str:
    """What a column holds: its words, whose code it is, its unit, or what kind of value."""
    if column.words:
        return ", ".join(column.words)
    if column.refers:
        return f"code of {column.refers}"
    if column.unit != "1":
        return quantity.canonical_unit(column.unit)
    kinds = {"day": "a date", "time": "a date with its time", "whole": "a whole number"}
    return column.help or kinds.get(column.kind, column.kind)
