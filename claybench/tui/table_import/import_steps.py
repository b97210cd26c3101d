"""Reading one file in, step by step: the file, its columns, its rows as they will be understood, what is wrong."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from claybench import exchange
from claybench.errors import ClaybenchError, FaultyFolder
from claybench.exchange.reading.layout import lay_out, suggest_columns
from claybench.exchange.reading.mapping import ColumnMapping, TableMapping, format_mapping, mapping_text, parse_mapping
from claybench.exchange.reading.questions import SKIP, with_answer
from claybench.exchange.reading.raw_table import RawTable, read_file
from claybench.tui.keys import READ, bindings
from claybench.tui.list_place import ListPlace
from claybench.tui.table_import import mapping_forms, pickers, step_tables
from claybench.tui.table_import.step_tables import STEPS, ColumnLine
from claybench.tui.table_view import TableColumn, TableView

if TYPE_CHECKING:
    from claybench.exchange.reading.table_import import TablePreview
    from claybench.tui.table_import.step_tables import StepRecord

FILE, COLUMNS, ROWS, FAULTS = range(4)
_WIDE = 110


class ImportPlace(ListPlace["TablePreview | None", "StepRecord"]):
    """One file; dismisses with True once it is read in."""

    place = "read"
    tab = "book"
    BINDINGS = bindings(READ)

    def __init__(self, raw: RawTable) -> None:
        super().__init__()
        self.raw = raw
        self.mapping: TableMapping | None = None
        """Where its columns go; None before it is said what a row is."""
        self._update = False
        """Whether rows that are in the record already are changed."""
        self._preview: TablePreview | None = None
        self._step = FILE
        self._turn = 0
        """Counts the answers asked for, so that one nobody waits for stops."""
        self._taking = False
        self._read_as = ("", "")
        """The encoding and the delimiter the rows were read with; empty where they were found."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="steps", classes="heading", markup=False)
        yield TableView([], id="list")
        yield Static("", id="said", classes="due", markup=False)

    def on_mount(self) -> None:
        """A draft comes back; else ask first what a row is."""
        draft = self.notebook.drafts.load(self._draft)
        if draft.get("map"):
            try:
                self.mapping, self._update = parse_mapping(draft["map"]), draft.get("update") == "yes"
            except ClaybenchError:  # of another version of claybench
                self.notebook.drafts.drop(self._draft)
        if self.mapping is None:
            self.call_after_refresh(self.action_kind)
        else:
            self.notify("Your draft of this file is back.")
        self._paint()

    @property
    def _start(self) -> RawTable:
        """As much of the file as suggestions need, however long it is."""
        return self.raw.first(step_tables.LOOKED_AT)

    @property
    def _draft(self) -> str:
        return f"read {self.raw.path}"

    # -- asking ------------------------------------------------------------------------------------

    async def fetch_answer(self) -> TablePreview | None:
        """The file as it will be understood; an answer that nobody waits for any more gives up."""
        if self.mapping is None:
            return None
        self._turn += 1
        turn = self._turn
        self._preview = None
        mapping = await self._read_as_mapped(self.mapping)
        self._paint()
        preview = exchange.reading.table_import.preview_table
        try:
            return await self.notebook.consult(
                preview, self.raw, mapping, update=self._update, stop=lambda: turn != self._turn
            )
        except exchange.reading.row_parser.Stopped:
            return None

    async def _read_as_mapped(self, mapping: TableMapping) -> TableMapping:
        """Read the file with the encoding and delimiter of a draft or of a mapping that was kept, where it can be."""
        wanted = (mapping.encoding, mapping.delimiter)
        if wanted == self._read_as:
            return mapping
        try:
            self.raw = await asyncio.to_thread(read_file, self.raw.path, encoding=wanted[0], delimiter=wanted[1])
        except ClaybenchError as error:  # the rows stay as they were read before
            self.notebook.complain(error)
            mapping = self.mapping = replace(mapping, encoding="", delimiter="")
        self._read_as = (mapping.encoding, mapping.delimiter)
        return mapping

    def show_answer(self, answer: TablePreview | None) -> None:
        if answer is not None or self.mapping is None:
            self._preview = answer
            self._paint()

    def _paint(self) -> None:
        names = list(STEPS)
        if self._preview is not None and self._preview.understood.faults:
            names[FAULTS] = f"Faults {len(self._preview.understood.faults)}"
        steps = step_tables.steps_text(names, self._step, self.raw, self.mapping)
        self.query_one("#steps", Static).update(steps)
        columns, rows = self._lines()
        sheet = self.table
        if self._preview is None:
            sheet.empty = f"Reading {len(self.raw.rows)} rows …"
        else:
            nothing_wrong = "Nothing is wrong. Ctrl+s reads it in."
            sheet.empty = nothing_wrong if self._step == FAULTS else "No row is understood yet: look at the faults."
        sheet.fill(rows, columns)
        self._say()

    def _lines(self) -> step_tables.StepTable:
        if self._step == FILE or self.mapping is None:
            return step_tables.file_table(self.raw, self._heading_row())
        if self._step == COLUMNS:
            return step_tables.columns_table(self.raw, self.mapping, self._preview, self.size.width >= _WIDE)
        if self._preview is None:
            return [TableColumn("row", 6)], []
        table = step_tables.rows_table if self._step == ROWS else step_tables.faults_table
        return table(self._preview)

    def _heading_row(self) -> int:
        layout = self._preview.understood.layout if self._preview is not None else None
        return (layout or lay_out(self._start, self.mapping or TableMapping(""))).heading_row

    def _say(self) -> None:
        lines = [self._verdict()]
        if self._preview is not None and self._preview.questions:
            lines.append(f"{self._preview.questions[0].text}  a: answer it.")
        lines += [step_tables.file_text(self.raw)] if self._step == FILE else []
        lines += [step_tables.COLUMN_KEYS] if self._step == COLUMNS else []
        record, preview = self.record_here, self._preview
        if preview is not None and self._step == ROWS and isinstance(record, int):
            lines.append(step_tables.row_text(preview, record))
        elif preview is not None and isinstance(record, tuple):
            lines.append(record[1].reason + "  Enter: its column.")
        elif preview is not None:
            lines += [note for note in preview.notes if not any(note == each.sentence() for each in preview.questions)]
        self.query_one("#said", Static).update("\n".join(lines))

    def _verdict(self) -> str:
        return step_tables.verdict_text(self.raw, self.mapping, self._preview, taking=self._taking)

    def on_table_view_moved(self, _event: TableView.Moved) -> None:
        self._say()

    # -- changing the mapping ----------------------------------------------------------------------

    async def changed(self, new: TableMapping, raw: RawTable | None = None, *, update: bool | None = None) -> None:
        """Another mapping: kept as a draft, and looked at anew."""
        fresh = raw is not None and (
            raw is not self.raw or (self.mapping and new.headings_in != self.mapping.headings_in)
        )
        if raw is not None:
            self.raw, self._read_as = raw, (new.encoding, new.delimiter)
        if fresh:
            new = suggest_columns(self._start, new)
        self.mapping = new
        self._update = self._update if update is None else update
        self.notebook.drafts.keep(self._draft, {"map": format_mapping(new), "update": "yes" if self._update else ""})
        self.look_again()

    def _change(self, new: TableMapping) -> None:
        self.start_worker(self.changed(new))

    def action_kind(self) -> None:
        self.notebook.push_screen(pickers.row_kind_picker(self._start, self.tab), self._kind_picked)

    def _kind_picked(self, name: object) -> None:
        if not isinstance(name, str):
            return
        bare = replace(self.mapping, rows=name, columns={}, constants={}) if self.mapping else TableMapping(name)
        self._step = COLUMNS
        self._change(suggest_columns(self._start, bare))

    def action_page(self, by: int) -> None:
        self._step = (self._step + by) % len(STEPS)
        self.table.cursor = 0
        self._paint()

    def action_head(self) -> None:
        record = self.record_here
        if self._step == FILE and self.mapping is not None and isinstance(record, int):
            self._change(suggest_columns(self._start, replace(self.mapping, headings_in=record)))
        elif self._step != FILE:
            self.notify("Go to the step File (left) and put the line on the row of the headings.")

    def _line(self) -> ColumnLine | None:
        record = self.record_here
        return record if isinstance(record, ColumnLine) else None

    def open_line(self, record: StepRecord) -> None:
        """Choose where a column goes, give what holds for every row, go from a fault to its column; else the next step."""
        if isinstance(record, tuple):
            self._to_column(record[1].column)
            return
        line = self._line()
        if line is None or self.mapping is None:
            self.action_page(1)
        elif line.kind == "column":
            self._pick_target(f"Where does {line.name} go?", self._column_picked(line.name), leave=True)
        else:
            self.start_worker(mapping_forms.ask_constant(self.notebook, line.name, self.mapping, self.changed))

    def _to_column(self, heading: str) -> None:
        """From a fault to where it can be mended."""
        self._step = COLUMNS
        self.table.cursor = 0
        self._paint()
        name = heading.removesuffix(" of every row")
        kind = "column" if name == heading else "every"
        for each in (ColumnLine(kind, name), ColumnLine("column", name.split(", ")[0]), ColumnLine("needed", name)):
            self.table.put_on(each)

    def on_resize(self) -> None:
        if self._step == COLUMNS and self.is_mounted:
            self._paint()

    def _pick_target(self, title: str, then: Callable[[object], None], *, leave: bool = False) -> None:
        if self.mapping is not None:
            self.notebook.push_screen(pickers.target_picker(title, self.mapping.kind, self.tab, leave=leave), then)

    def _column_picked(self, heading: str) -> Callable[[object], None]:
        def picked(name: object) -> None:
            if isinstance(name, str) and self.mapping is not None:
                self._change(self.mapping.with_column(heading, None if name == "–" else ColumnMapping(name)))

        return picked

    def action_every(self) -> None:

        def picked(name: object) -> None:
            if isinstance(name, str) and self.mapping is not None:
                self.start_worker(mapping_forms.ask_constant(self.notebook, name, self.mapping, self.changed))

        self._pick_target("What is the same in every row?", picked)

    def action_details(self) -> None:
        line = self._line()
        if (
            line is not None
            and self.mapping is not None
            and line.kind == "column"
            and line.name in self.mapping.columns
        ):
            self.start_worker(mapping_forms.ask_column_details(self.notebook, line.name, self.mapping, self.changed))
        else:
            self.notify("Put the line on a column that goes somewhere, under Columns.")

    def action_drop(self) -> None:
        line = self._line()
        if line is not None and self.mapping is not None and line.kind != "needed":
            is_column = line.kind == "column"
            mapping = self.mapping
            self._change(mapping.with_column(line.name, None) if is_column else mapping.with_constant(line.name, ""))

    def action_how(self) -> None:
        if self.mapping is not None:
            self.start_worker(
                mapping_forms.ask_file_format(self.notebook, self.raw, self.mapping, self._update, self.changed)
            )

    def action_keep(self) -> None:
        if self.mapping is not None:
            self.start_worker(mapping_forms.ask_mapping_name(self.notebook, self.mapping))

    def action_kept(self) -> None:
        picker = pickers.saved_mapping_picker(self.tab)
        if picker is None:
            self.notify("No mapping is kept yet: s keeps this one.")
        else:
            self.notebook.push_screen(picker, self._use_kept)

    def _use_kept(self, name: object) -> None:
        if not isinstance(name, str):
            return
        try:
            new = parse_mapping(mapping_text(name))
        except ClaybenchError as error:
            self.notebook.complain(error)
            return
        self._step = COLUMNS
        self._change(new)

    def action_answer(self) -> None:
        questions = self._preview.questions if self._preview is not None else []
        if not questions or self.mapping is None:
            self.notify("Nothing is asked of this file as a whole.")
            return
        asked = questions[0]

        def picked(says: object) -> None:
            answer = next((each for each in asked.answers if each.says == says), None)
            if answer is None or self.mapping is None:
                return
            headings = lay_out(self._start, self.mapping).headings
            self._change(with_answer(self.mapping, answer.name, answer.value, headings))

        self.notebook.push_screen(pickers.answer_picker(asked, self.tab), picked)

    def action_skip(self) -> None:
        record = self.record_here
        row = record if isinstance(record, int) else record[1].line if isinstance(record, tuple) else 0
        if row and self.mapping is not None:
            self._change(with_answer(self.mapping, SKIP, str(row), ()))
            self.notify(f"Row {row} is passed over.")
        else:
            self.notify("Put the line on a row, under Rows or Faults.")

    # -- taking it in ------------------------------------------------------------------------------

    def action_take(self) -> None:
        if self.mapping is None or self._preview is None or self._taking:
            self.notify(self._verdict(), markup=False)
        elif self._preview.understood.faults:
            self._step = FAULTS
            self._paint()
            self.notify(self._verdict(), markup=False)
        else:
            self._taking = True
            self._say()
            self.start_worker(self._take(self.mapping), group="take")

    async def _take(self, mapping: TableMapping) -> None:
        try:
            report = await self.notebook.do(
                exchange.reading.table_import.import_table, self.raw, mapping, update=self._update
            )
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
        self.notebook.notify(f"{self.raw.path.name}: {report.summary()}.  u takes it back.", timeout=8, markup=False)
        self.dismiss(True)

    def action_take_sound(self) -> None:
        if self.mapping is None or self._preview is None or self._taking:
            self.notify(self._verdict(), markup=False)
            return
        self._taking = True
        self._say()
        self.start_worker(self._take_sound(self.mapping), group="take")

    async def _take_sound(self, mapping: TableMapping) -> None:
        try:
            done = await self.notebook.do(
                exchange.reading.sound_rows.take_sound, self.raw, mapping, update=self._update
            )
        except ClaybenchError as error:
            self.notebook.complain(error)
            return
        finally:
            self._taking = False
            self._say()
        self.notebook.drafts.drop(self._draft)
        said = f"{self.raw.path.name}: {done.report.summary()}."
        if done.left_in is not None:
            count = len(done.sound.left)
            said += f" {count} row{' is' if count == 1 else 's are'} left, each with why, in {done.left_in}."
        self.notebook.notify(f"{said}  u takes it back.", timeout=12, markup=False)
        self.dismiss(True)

    def action_back(self) -> None:
        self._turn += 1
        self.dismiss(False)
