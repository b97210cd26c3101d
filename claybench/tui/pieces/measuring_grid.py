"""Readings entered as a grid: pieces down, readings across. Type, Enter, type, Enter; each is saved when it is made."""

from __future__ import annotations

from asyncio import Lock
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from textual import events
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import acts, ask
from claybench.acts.field import ActField
from claybench.errors import ClaybenchError, Question
from claybench.insight.pieces.reading_questions import reading_questions
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.measure.properties.readings import FIRST_READ, LENGTHS, READINGS, Reading, own_readings
from claybench.measure.properties.soaks import Soak
from claybench.mix.cautions import cautions_for
from claybench.terms import Fired
from claybench.tui.caution_list import CautionList
from claybench.tui.display_text import NOTHING
from claybench.tui.forms.form import Form
from claybench.tui.forms.pieces import ask_measuring_hand, ask_piece_fault, measuring_hand, measuring_instrument
from claybench.tui.keys import MEASURE, bindings
from claybench.tui.pieces.cell_drafts import Cell, CellDrafts
from claybench.tui.pieces.chosen_ways import ChosenWays, other_soak
from claybench.tui.pieces.typed_reading import (
    parse_reading,
    reading_cell,
    reading_with_unit,
)
from claybench.tui.place import AnswerPlace
from claybench.tui.plain_table import PlainTable, heading_with_unit
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.tui.text_field import TextField

if TYPE_CHECKING:
    from claybench.acts.act import Act, Values
    from claybench.insight.pieces.piece_lines import PieceLine


class MeasurePlace(AnswerPlace["tuple[list[PieceLine], list[str], PropertySet]"]):
    """One reading of one piece at a time, whichever way one goes through them."""

    place = "measure"
    tab = "pieces"
    takes_text = True
    BINDINGS = bindings(MEASURE)

    def __init__(self, pieces: Sequence[str], *, start: str = "", reading: str = "", firing: str = "") -> None:
        super().__init__()
        self._codes = list(pieces)
        self._start = start
        self._name: str = reading
        """Name of the reading that is entered now."""
        self._readings = READINGS
        """What is entered: what every piece has, or what is read for one property."""
        self._properties = BUILT_IN
        self._firing = firing
        self._every: list[PieceLine] = []
        """Every line of the lab: what these pieces are compared with."""
        self._lines: dict[str, PieceLine] = {}
        self._firings: list[str] = []
        self._ways = ChosenWays()
        self._cells = CellDrafts()
        """What was typed and is not in the record yet."""
        self._saving = Lock()
        """One reading is saved after the other, however fast they are typed: what is said last is of the last."""
        self._notice = ""
        """What was just done; said until something else is."""

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="reading-name", classes="heading", markup=False)
        yield TextField(id="value", classes="filter", select_on_focus=False)
        yield Static("", id="said", classes="text", markup=False)
        yield CautionList()
        yield TableView(
            [], id="list", sorts=False, empty="No piece to measure: those broken, lost or scrapped are left out."
        )

    def on_mount(self) -> None:
        self.query_one(TableView).can_focus = False
        self.query_one("#value", Input).focus()

    async def fetch_answer(self) -> tuple[list[PieceLine], list[str], PropertySet]:
        """The pieces' readings, the firings there are, and the lab's properties."""
        lines = await self.notebook.consult(ask.pieces.piece_lines)
        firings = [row.firing for row, _ in await self.notebook.consult(ask.pieces.list_firings)]
        return lines, firings, await self.notebook.consult(ask.properties.lab_properties)

    def show_answer(self, answer: tuple[list[PieceLine], list[str], PropertySet]) -> None:
        first = not self._lines
        self._every, self._firings, self._properties = answer
        by_code: dict[str, list[PieceLine]] = {}
        for line in self._every:
            by_code.setdefault(line.piece.piece, []).append(line)
        alone = len(self._codes) == 1
        shown = [code for code in self._codes if code in by_code and (alone or by_code[code][0].piece.ended is None)]
        if first:
            self._firing = self._firing or self._first_firing([by_code[code] for code in shown])
        self._lines = {code: self._in_firing(by_code[code]) for code in shown}
        if first:
            self._begin()
        self._fill()

    def _in_firing(self, lines: Sequence[PieceLine]) -> PieceLine:
        """A piece's line in the firing that is measured, or as it was before any."""
        own = next((line for line in lines if line.fired is not None and line.fired.firing == self._firing), None)
        return own or replace(lines[0], fired=None, after={})

    def _first_firing(self, pieces: Sequence[Sequence[PieceLine]]) -> str:
        of_start = [lines for lines in pieces if lines[0].piece.piece == self._start]
        for group in (of_start, pieces):
            been = {line.fired.firing for lines in group for line in lines if line.fired is not None}
            newest = next((firing for firing in self._firings if firing in been), "")
            if newest:
                return newest
        return self._firings[0] if self._firings else ""

    def _begin(self) -> None:
        """Start where one stood, with a draft that was left, or at the first reading that is lacking."""
        self._cells = CellDrafts(self.notebook.drafts)
        for firing, name, piece in self._cells.typed:
            if piece in self._lines and name in self._readings and not self._name:
                self._start, self._name, self._firing = piece, name, firing or self._firing
        if not self._name:
            line = self._lines.get(self._start) or next(iter(self._lines.values()), None)
            lacking = (each for each in FIRST_READ if line is None or line.recorded(each) is None)
            self._name = next(lacking, LENGTHS[-1]).name

    @property
    def _reading(self) -> Reading:
        """What is entered now."""
        return self._readings[self._name]

    # -- drawing -----------------------------------------------------------------------------------

    def _fill(self) -> None:
        sheet = self.query_one(TableView)
        wide = self.size.width >= 110
        room = (self.size.width - 12 - (14 if wide else 0)) // 12
        every = list(self._readings.values())
        at = every.index(self._reading)
        start = min(max(at - room // 2, 0), max(len(every) - room, 0))
        shown = every[start : start + room]
        heads = [f"[{each.head}]" if each is self._reading else each.head for each in shown]
        columns = [
            TableColumn("piece", 6),
            *([TableColumn("batch", 12)] if wide else []),
            *[TableColumn(head, 10, right=True, name=head.strip("[]")) for head in heads],
        ]
        here = sheet.record or self._start
        rows = []
        for code, line in self._lines.items():
            values = [self._shown(code, line, each) for each in shown]
            if code == here:
                values = [
                    f"[{text}]" if each is self._reading else text for each, text in zip(shown, values, strict=True)
                ]
            rows.append(TableRow((code, *([line.piece.batch] if wide else []), *values), code))
        sheet.fill(rows, columns)
        if self._start:
            sheet.put_on(self._start)
            self._start = ""
        self._put_text()
        self._head()

    def _put_text(self) -> None:
        """What was typed for this cell comes back with it."""
        box, text = self.query_one("#value", Input), self._cells.typed.get(self._cell(self._code(), self._reading), "")
        if box.value != text:
            with box.prevent(Input.Changed):
                box.value, box.cursor_position = text, len(text)

    def _cell(self, code: str, reading: Reading) -> Cell:
        return Cell(self._firing if reading.after_firing else "", reading.name, code)

    def _shown(self, code: str, line: PieceLine, reading: Reading) -> str:
        """What stands in a cell; a mark where something is typed and not entered yet."""
        typed = self._cells.typed.get(self._cell(code, reading))
        return f"{typed} …" if typed else reading_cell(line.recorded(reading, self._soak_of(line, reading)))

    def on_resize(self, event: events.Resize) -> None:
        if self._lines:
            self._fill()

    @property
    def _method(self) -> str | None:
        """How this reading came about: as chosen, as the piece says, or as is usual."""
        return self._ways.method_of(self._lines.get(self._code()), self._reading)

    def _soak_of(self, line: PieceLine, reading: Reading) -> Soak | None:
        return self._ways.soak_of(line, reading, self._every)

    @property
    def _soak(self) -> Soak | None:
        line = self._lines.get(self._code())
        return None if line is None else self._soak_of(line, self._reading)

    def _head(self) -> None:
        code, line = self._code(), self._lines.get(self._code())
        soak = self._soak
        way = self._method if soak is None or soak.hours is None else soak.text()
        method = f" ({way})" if way else ""
        where = f" in firing {self._firing or NOTHING}" if self._reading.after_firing else ""
        there = line.recorded(self._reading, soak) if line is not None else None
        has = f"   it has {reading_with_unit(there, self._reading)}" if there is not None else ""
        of = f" of {code}" if code else ""
        used = measuring_instrument(self.notebook, self._reading.column.unit)
        read_with = f" with {used}" if used else ""
        name = f"{self._reading.column.label}{method}{of}{where}{read_with}{has}"
        self.query_one("#reading-name", Static).update(name)
        cautions = self.query_one(CautionList)
        cautions.display = self._method == "boil"
        if cautions.display:
            cautions.tell("boil", cautions_for("boil"))
        self._echo(self.query_one("#value", Input).value)

    def _code(self) -> str:
        return str(self.query_one(TableView).record or "")

    def _say(self, text: str) -> None:
        self.query_one("#said", Static).update(text)

    def _guide(self) -> str:
        return self._reading.guide_for(self._method)

    def tables(self) -> list[PlainTable]:
        """All readings of these pieces, those out of sight too."""
        every = self._readings.values()
        labels = tuple(heading_with_unit(each.column.label, each.column.unit) for each in every)
        rows = tuple(
            (
                code,
                line.piece.batch,
                line.fired.firing if line.fired else None,
                *(line.recorded(each) for each in every),
            )
            for code, line in self._lines.items()
        )
        return [PlainTable("readings", ("piece", "batch", "firing", *labels), rows)]

    # -- typing ------------------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what is understood, ask where it can hardly be, and keep the draft."""
        self._notice = ""
        self._echo(event.value)
        if self._code():
            self._cells.remember(self._cell(self._code(), self._reading), event.value)

    def _echo(self, text: str) -> None:
        if not text.strip():
            self._say(self._notice or self._guide())
            return
        typed = parse_reading(self._reading, text, self.notebook.now())
        sentence = f"✗ {typed.wrong}" if typed.wrong else typed.echo
        self._say(sentence)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Save and go to the next piece; what speaks against a reading is asked first. Nothing typed only goes on."""
        if not event.value.strip():
            self.action_move(1)
            return
        self._enter(event.value, again=False)

    def action_again(self) -> None:
        self._enter(self.query_one("#value", Input).value, again=True)

    def _enter(self, text: str, *, again: bool) -> None:
        typed = parse_reading(self._reading, text, self.notebook.now()) if text.strip() else None
        line = self._lines.get(self._code())
        if typed is None or line is None or typed.wrong:
            return
        if again and self._reading.own is not None:
            self._say("✗ Ctrl+g counts another break of the same piece.")
            return
        if again and not isinstance(typed.value, float):
            self._say("✗ A further reading is a length or a mass. Type it, then Ctrl+r.")
            return
        value = typed.value
        asked = reading_questions(
            self._every,
            line,
            self._reading,
            value,
            firing=self._firing,
            again=again,
            soak=self._soak,
            properties=self._properties,
        )
        if not asked:
            self._save(text, value, again, asked)
            return

        def answered(meant: Sequence[Question] | None) -> None:
            if meant is not None:
                self._save(text, value, again, asked)

        self.notebook.ask_whether(asked, answered)

    def _save(self, text: str, value: float | str | None, again: bool, asked: Sequence[Question]) -> None:
        """Send it off and go on at once, so that whoever types fast types into the next cell."""
        code, reading = self._code(), self._reading
        if self._method == "boil":
            self.query_one(CautionList).when_done()()
        cell = self._cell(code, reading)
        fired = (self._firing or None) if reading.after_firing else None
        act, values = self._act(code, reading, fired, value, again)
        self._cells.send(cell, text)
        last = self.query_one(TableView).cursor == len(self._lines) - 1
        self.action_move(1)
        what = "is cleared" if value is None else "is saved as a further reading" if again else "is saved"
        on = "   That was the last piece: Ctrl+n goes on to the next reading." if last else ""
        sentence = f"{code}: {reading_with_unit(value, reading)} {what}.{on}"
        self.run_worker(self._finish(cell, text, act, values, asked, sentence), exit_on_error=False, group="save")

    def _act(
        self, code: str, reading: Reading, fired: str | None, value: float | str | None, again: bool
    ) -> tuple[Act, Values]:
        values: Values = {"piece": code, "firing": fired, "at": self.notebook.now()}
        if value is not None:
            values["instrument"] = measuring_instrument(self.notebook, reading.column.unit)
        if again:
            return acts.pieces.READING, {
                **values,
                "what": reading.name,
                "value": value,
                "by": measuring_hand(self.notebook),
                "method": other_soak(self._lines.get(code), self._soak),
            }
        method = self._method if value is not None else None
        hours = self._soak.hours if self._soak is not None else None
        values |= {"reading": reading.name, "value": value, "method": method, "soak_hours": hours}
        if reading.own is not None:
            values |= {"together": reading.together or None, "by": measuring_hand(self.notebook)}
        return acts.pieces.MEASURE, values

    async def _finish(
        self, cell: Cell, text: str, act: Act, values: Values, asked: Sequence[Question], notice: str
    ) -> None:
        """Say that it is saved; what could not be saved stands in its cell again."""
        refused: ClaybenchError | None = None
        async with self._saving:
            try:
                await self.notebook.perform(act, values, meant=asked, asked=asked, quiet=True)
            except ClaybenchError as error:
                refused = error
        self._cells.arrive(cell, text, saved=refused is None)
        self._notice = notice if refused is None else f"✗ {cell.piece}: {refused}"
        self._fill()

    # -- keys --------------------------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        self._notice = ""
        self.query_one(TableView).action_move(by)
        self._fill()

    def action_across(self, by: int) -> None:
        self._notice = ""
        names = list(self._readings)
        self._name = names[(names.index(self._name) + by) % len(names)]
        self._fill()

    def action_reading(self, by: int) -> None:
        self.action_across(by)
        reading = self._reading
        lacking = (
            n
            for n, line in enumerate(self._lines.values())
            if line.recorded(reading) is None and (line.fired is not None or not reading.after_firing)
        )
        self.query_one(TableView).action_jump(next(lacking, 0))
        self._fill()

    def action_method(self) -> None:
        if self._ways.choose_next(self._lines.get(self._code()), self._reading):
            self._head()
        else:
            self._say("This reading has one way only.")

    def action_hours(self) -> None:
        method = self._method
        if self._soak is None or method is None:
            self._say("Only what is soaked is soaked for hours.")
            return

        async def save(values: Values) -> None:
            self._ways.hours[str(method)] = values["soak_hours"]
            self._fill()

        field = ActField.of_column(Fired, "soak_hours", self._soak.hours, note="empty: not noted")
        self.notebook.push_screen(Form("For how many hours", (field,), save, draft="hours soaked", tab=self.tab))

    def action_property(self) -> None:
        names: dict[str, str] = {}
        for name, declared in self._properties.items():
            if declared.of in ("piece", "fired") and any(each.own for each in own_readings(declared).values()):
                names[name if declared.title in names else declared.title] = name

        async def save(values: Values) -> None:
            self.measure_property(names.get(values["property"]), values["together"] or "")

        fields = (
            ActField("property", "property", "word", words=tuple(names), note="empty: lengths and masses"),
            ActField("together", "which break", note="1 for the first, 2 for another of the same piece", text="1"),
        )
        self.notebook.push_screen(Form("What is measured", fields, save, draft="measured property", tab=self.tab))

    def measure_property(self, name: str | None, together: str) -> None:
        """Enter the readings of one property, those of one break together; of none, lengths and masses."""
        self._readings = own_readings(self._properties[name], together) if name else READINGS
        self._name = next(
            (key for key, each in self._readings.items() if each.own is not None), next(iter(self._readings))
        )
        self.query_one(TableView).action_jump(0)
        self._fill()

    def action_firing(self) -> None:
        if self._firings:
            at = self._firings.index(self._firing) if self._firing in self._firings else -1
            self._firing = self._firings[(at + 1) % len(self._firings)]
            self.look_again()

    def action_hand(self) -> None:
        self.start_worker(ask_measuring_hand(self.notebook))

    def action_looked(self) -> None:
        code, line = self._code(), self._lines.get(self._code())
        if line is not None:
            firing = line.fired.firing if line.fired is not None else ""
            self.start_worker(ask_piece_fault(self.notebook, code, firing))

    def action_leave(self) -> None:
        self.dismiss(None)
