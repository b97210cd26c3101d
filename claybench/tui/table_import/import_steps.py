"""Reading one file in, step by step: the file, its columns, its rows as they will be understood, what is wrong."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from textual.widget import Widget
from textual.widgets import Static

from claybench import exchange
from claybench.errors import ClaybenchError, FaultyFolder
from claybench.tui.kept import kept
from claybench.tui.keys import READ, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.sheet import Col, Sheet
from claybench.tui.table_import import mapping_forms, pickers, step_tables
from claybench.tui.table_import.step_tables import STEPS, ColumnLine

if TYPE_CHECKING:
    from claybench.exchange.reading.mapping import TableMap
    from claybench.exchange.reading.raw import Raw
    from claybench.exchange.reading.take import Preview

FILE, COLUMNS, ROWS, FAULTS = range(4)
_WIDE = 110


class ImportPlace(AnswerPlace[Any]):
    """One file; dismisses with True once it is read in."""

    place = "read"
    tab = "book"
    BINDINGS = bindings(READ)

    def __init__(self, raw: Raw) -> None:
        super().__init__()
        self.raw = raw
        self.map: TableMap | None = None
        self._update = False
        self._found: Preview | None = None
        self._step = FILE
        self._turn = 0
        """Counts the answers asked for, so that one nobody waits for stops."""
        self._taking = False
        self._read_as = ("", "")
        """The encoding and the delimiter the rows were read with; empty where they were found."""

    def compose_content(self) -> Iterable[Widget]:
        """Steps, the lines of one, what is to be said."""
        yield Static("", id="steps", classes="heading", markup=False)
        yield Sheet([], id="list")
        yield Static("", id="said", classes="due", markup=False)

    def on_mount(self) -> None:
        """A draft comes back; else ask first what a row is."""
        self.query_one(Sheet).focus()
        draft = self.notebook.drafts.load(self._draft)
        if draft.get("map"):
            try:
                self.map, self._update = exchange.reading.mapping.read_map(draft["map"]), draft.get("update") == "yes"
            except ClaybenchError:  # of another version of claybench
                self.notebook.drafts.drop(self._draft)
        if self.map is None:
            self.call_after_refresh(self.action_kind)
        else:
            self.notify("Your draft of this file is back.")
        self._paint()

    @property
    def _start(self) -> Raw:
        """As much of the file as suggestions need, however long it is."""
        return self.raw.first(step_tables.LOOKED_AT)

    @property
    def _draft(self) -> str:
        return f"read {self.raw.path}"

    # -- asking ------------------------------------------------------------------------------------

    async def fetch_answer(self) -> Any:
        """The file as it will be understood; an answer that nobody waits for any more gives up."""
        if self.map is None:
            return None
        self._turn += 1
        turn = self._turn
        self._found = None
        await self._as_mapped()
        self._paint()
        try:
            return await self.notebook.consult(
                exchange.reading.take.preview, self.raw, self.map, update=self._update, stop=lambda: turn != self._turn
            )
        except exchange.reading.rows.Stopped:
            return None

    async def _as_mapped(self) -> None:
        """The file read with the encoding and delimiter of a draft or of a mapping that was kept."""
        assert self.map is not None
        wanted = (self.map.encoding, self.map.delimiter)
        if wanted == self._read_as:
            return
        try:
            self.raw = await asyncio.to_thread(
                exchange.reading.raw.read_file, self.raw.path, encoding=wanted[0], delimiter=wanted[1]
            )
        except ClaybenchError as error:  # what was found stays
            self.notebook.complain(error)
            self.map = replace(self.map, encoding="", delimiter="")
        self._read_as = (self.map.encoding, self.map.delimiter)

    def show_answer(self, answer: Any) -> None:
        """The step that is open."""
        if answer is not None or self.map is None:
            self._found = answer
            self._paint()

    def _paint(self) -> None:
        names = list(STEPS)
        if self._found is not None and self._found.understood.faults:
            names[FAULTS] = f"Faults {len(self._found.understood.faults)}"
        shown = [f"[{name}]" if n == self._step else f" {name} " for n, name in enumerate(names)]
        kind = f"a row: {self.map.kind.says}" if self.map else "what is a row?  r"
        self.query_one("#steps", Static).update(f"{' › '.join(shown)}  {self.raw.path.name}\n{kind}")
        columns, rows = self._lines()
        sheet = self.query_one(Sheet)
        sheet.empty = self._empty()
        sheet.fill(rows, columns)
        self._say()

    def _lines(self) -> step_tables.StepTable:
        if self._step == FILE or self.map is None:
            return step_tables.file_table(self.raw, self._heading_row())
        if self._step == COLUMNS:
            return step_tables.columns_table(self.raw, self.map, self._found, self.size.width >= _WIDE)
        if self._found is None:
            return [Col("row", 6)], []
        return step_tables.rows_table(self._found) if self._step == ROWS else step_tables.faults_table(self._found)

    def _heading_row(self) -> int:
        layout = self._found.understood.layout if self._found is not None else None
        if layout is not None:
            return layout.heading_row
        return exchange.reading.layout.lay_out(
            self._start, self.map or exchange.reading.mapping.TableMap("")
        ).heading_row

    def _empty(self) -> str:
        if self._found is None:
            return f"Reading {len(self.raw.rows)} rows …"
        return (
            "Nothing is wrong. Ctrl+s reads it in."
            if self._step == FAULTS
            else "No row is understood yet: look at the faults."
        )

    def _say(self) -> None:
        lines = [self._verdict()]
        sheet, found = self.query_one(Sheet), self._found
        if self._step == FILE:
            lines.append(
                f"{len(self.raw.rows)} rows, {self.raw.encoding}, cells parted by {self.raw.delimiter}. h: the headings are in this row."
            )
        elif self._step == COLUMNS:
            lines.append(
                "Enter: where it goes.  e: its unit and words.  c: the same in every row.  o: how the file is written."
            )
        if found is not None and self._step == ROWS and sheet.record is not None:
            lines.append(step_tables.row_text(found, sheet.record))
        elif found is not None and self._step == FAULTS and sheet.record is not None:
            lines.append(sheet.record[1].reason + "  Enter: its column.")
        elif found is not None:
            lines += found.notes
        self.query_one("#said", Static).update("\n".join(lines))

    def _verdict(self) -> str:
        if self.map is None:
            return "Say first what a row of this file is: r."
        if self._taking:
            return f"Reading {len(self.raw.rows)} rows in …"
        if self._found is None:
            return "Looking at every row …"
        count = len(self._found.understood.faults)
        if count:
            return (
                f"{count} fault{'s' if count > 1 else ''}: nothing can be read in yet. They stand under Faults (right)."
            )
        return f"Nothing is wrong. It would be: {self._found.report.text()}. Ctrl+s reads it in, u takes it back."

    def on_sheet_moved(self, _event: Sheet.Moved) -> None:
        """Another line."""
        self._say()

    # -- changing the mapping ----------------------------------------------------------------------

    async def changed(self, new: TableMap, raw: Raw | None = None, *, update: bool | None = None) -> None:
        """Another mapping: kept as a draft, and looked at anew."""
        fresh = raw is not None and (raw is not self.raw or (self.map and new.headings_in != self.map.headings_in))
        if raw is not None:
            self.raw, self._read_as = raw, (new.encoding, new.delimiter)
        if fresh:
            new = exchange.reading.layout.suggest_columns(self._start, new)
        self.map = new
        self._update = self._update if update is None else update
        self.notebook.drafts.keep(
            self._draft, {"map": exchange.reading.mapping.write_map(new), "update": "yes" if self._update else ""}
        )
        self.look_again()

    def _change(self, new: TableMap) -> None:
        self.start_worker(self.changed(new))

    def action_kind(self) -> None:
        """What a row is; those whose columns the headings name come first."""
        self.notebook.push_screen(pickers.row_kind_picker(self._start, self.tab), self._kind_picked)

    def _kind_picked(self, name: object) -> None:
        if not isinstance(name, str):
            return
        held = (
            replace(self.map, rows=name, columns={}, constants={})
            if self.map
            else exchange.reading.mapping.TableMap(name)
        )
        self._step = COLUMNS
        self._change(exchange.reading.layout.suggest_columns(self._start, held))

    def action_page(self, by: int) -> None:
        """Another step."""
        self._step = (self._step + by) % len(STEPS)
        self.query_one(Sheet).cursor = 0
        self._paint()

    def action_head(self) -> None:
        """The headings stand in this row."""
        record = self.query_one(Sheet).record
        if self._step == FILE and self.map is not None and record is not None:
            self._change(exchange.reading.layout.suggest_columns(self._start, replace(self.map, headings_in=record)))
        elif self._step != FILE:
            self.notify("Go to the step File (left) and put the line on the row of the headings.")

    def _line(self) -> ColumnLine | None:
        record = self.query_one(Sheet).record
        return record if isinstance(record, ColumnLine) else None

    def on_sheet_chosen(self, _event: Sheet.Chosen) -> None:
        """Open the line."""
        line = self._line()
        if self._step == FAULTS:
            self._to_column(self.query_one(Sheet).record[1].column)
        elif line is None or self.map is None:
            self.action_page(1)
        elif line.kind == "column":
            self._pick_target(f"Where does {line.name} go?", self._column_picked(line.name), leave=True)
        else:
            self.start_worker(mapping_forms.ask_constant(self.notebook, line.name, self.map, self.changed))

    def _to_column(self, heading: str) -> None:
        """From a fault to where it can be mended."""
        self._step = COLUMNS
        self.query_one(Sheet).cursor = 0
        self._paint()
        kind, name = (
            ("every", heading.removesuffix(" of every row"))
            if heading.endswith(" of every row")
            else ("column", heading)
        )
        for each in (ColumnLine(kind, name), ColumnLine("column", name.split(", ")[0]), ColumnLine("needed", name)):
            self.query_one(Sheet).put_on(each)

    def on_resize(self) -> None:
        """More columns where there is room."""
        if self._step == COLUMNS and self.is_mounted:
            self._paint()

    def action_open(self) -> None:
        """Open the line."""
        self.query_one(Sheet).choose()

    def _pick_target(self, title: str, then: Any, *, leave: bool = False) -> None:
        if self.map is not None:
            self.notebook.push_screen(pickers.target_picker(title, self.map.kind, self.tab, leave=leave), then)

    def _column_picked(self, heading: str) -> Any:
        def picked(name: str | None) -> None:
            if name is not None and self.map is not None:
                self._change(
                    self.map.with_column(heading, None if name == "–" else exchange.reading.mapping.ColumnTo(name))
                )

        return picked

    def action_every(self) -> None:
        """The same in every row."""

        def picked(name: str | None) -> None:
            if name is not None and self.map is not None:
                self.start_worker(mapping_forms.ask_constant(self.notebook, name, self.map, self.changed))

        self._pick_target("What is the same in every row?", picked)

    def action_details(self) -> None:
        """Unit, words and the like of a column."""
        line = self._line()
        if line is not None and self.map is not None and line.kind == "column" and line.name in self.map.columns:
            self.start_worker(mapping_forms.ask_column_details(self.notebook, line.name, self.map, self.changed))
        else:
            self.notify("Put the line on a column that goes somewhere, under Columns.")

    def action_drop(self) -> None:
        """Leave the column out."""
        line = self._line()
        if line is not None and self.map is not None and line.kind != "needed":
            new = (
                self.map.with_column(line.name, None)
                if line.kind == "column"
                else self.map.with_constant(line.name, "")
            )
            self._change(new)

    def action_how(self) -> None:
        """How the file is written."""
        if self.map is not None:
            self.start_worker(
                mapping_forms.ask_file_format(self.notebook, self.raw, self.map, self._update, self.changed)
            )

    def action_keep(self) -> None:
        """Keep the mapping by a name."""
        if self.map is not None:
            self.start_worker(mapping_forms.ask_mapping_name(self.notebook, self.map))

    def action_kept(self) -> None:
        """Use one that was kept."""
        found = pickers.saved_mapping_picker(self.tab)
        if found is None:
            self.notify("No mapping is kept yet: s keeps this one.")
        else:
            self.notebook.push_screen(found, self._use_kept)

    def _use_kept(self, name: object) -> None:
        if not isinstance(name, str):
            return
        try:
            new = exchange.reading.mapping.read_map(kept(name))
        except ClaybenchError as error:
            self.notebook.complain(error)
            return
        self._step = COLUMNS
        self._change(new)

    # -- taking it in ------------------------------------------------------------------------------

    def action_take(self) -> None:
        """Read all of it in, in one act."""
        if self.map is None or self._found is None or self._taking:
            self.notify(self._verdict(), markup=False)
        elif self._found.understood.faults:
            self._step = FAULTS
            self._paint()
            self.notify(self._verdict(), markup=False)
        else:
            self._taking = True
            self._say()
            self.run_worker(self._take(self.map), exit_on_error=False, group="take")

    async def _take(self, mapping: TableMap) -> None:
        try:
            report = await self.notebook.do(exchange.reading.take.take, self.raw, mapping, update=self._update)
        except FaultyFolder as error:
            self.notebook.complain(error)
            self.look_again()
            return
        except ClaybenchError as error:
            self.notebook.complain(error)
            return
        finally:
            self._taking = False
            self._say()
        self.notebook.drafts.drop(self._draft)
        self.notebook.notify(f"{self.raw.path.name}: {report.text()}.  u takes it back.", timeout=8, markup=False)
        self.dismiss(True)

    def action_back(self) -> None:
        """Back to the files; the mapping is kept as a draft."""
        self._turn += 1
        self.dismiss(False)
