"""What can be chosen while a table is read in: what a row is, where a column goes, a mapping that was kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import quantity
from claybench.exchange.reading.layout import suggest_map
from claybench.exchange.reading.mapping import saved_mapping_names
from claybench.exchange.reading.row_kinds import KINDS, RECIPE, RowKind
from claybench.terms import Column
from claybench.tui.keys import PICK, bindings
from claybench.tui.place import Place
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.exchange.reading.questions import TableQuestion
    from claybench.exchange.reading.raw_table import RawTable


class PickOnePlace(Place):
    """One list; dismisses with the name of the line, or None."""

    place = "pick"
    takes_text = True
    BINDINGS = bindings(PICK)

    def __init__(
        self, title: str, columns: Sequence[TableColumn], rows: Sequence[tuple[str, ...]], *, tab: str
    ) -> None:
        self.tab = tab
        super().__init__()
        self.heading = title
        self.columns = columns
        self.lines = [TableRow(cells, cells[0]) for cells in rows]

    def compose_content(self) -> Iterable[Widget]:
        yield Static(self.heading, classes="heading", markup=False)
        yield TextField(placeholder="letters narrow the list", id="letters", classes="filter")
        yield TableView(self.columns, id="list", empty="Nothing here has these letters.")

    def on_mount(self) -> None:
        sheet = self.query_one(TableView)
        sheet.can_focus = False
        sheet.fill(self.lines)
        self.query_one(Input).focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        sheet = self.query_one(TableView)
        sheet.cursor = 0
        sheet.filter(event.value)

    def on_input_submitted(self, _event: Input.Submitted) -> None:
        self.query_one(TableView).choose()

    def on_table_view_chosen(self, event: TableView.Chosen) -> None:
        self.dismiss(event.record)

    def action_move(self, by: int) -> None:
        self.query_one(TableView).action_move(by)

    def action_leave(self) -> None:
        self.dismiss(None)


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


def answer_picker(asked: TableQuestion, tab: str) -> PickOnePlace:
    """The answers to a question about the file as a whole."""
    rows = [(each.says, each.option) for each in asked.answers]
    columns = (TableColumn("answer", 34, grows=True), TableColumn("as an option", 30, grows=True))
    return PickOnePlace(asked.text, columns, rows, tab=tab)


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
