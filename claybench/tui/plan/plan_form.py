"""The form of a plan: understood while it is typed, kept as a draft, saved as a plan file."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events
from textual.containers import Container, VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import exchange
from claybench.errors import ClaybenchError
from claybench.insight.plan.design.plan_file import format_plan
from claybench.tui.documents import home_path
from claybench.tui.forms.choice_field import ChoiceField
from claybench.tui.forms.form_entry import FormEntry, FormRows
from claybench.tui.keys import PLAN_FORM, bindings
from claybench.tui.place import Place
from claybench.tui.plan.form_fields import (
    NOTES,
    PAIR_TABLES,
    SECTIONS,
    file_field,
    first_set_fields,
    head_fields,
    plan_as_typed,
    target_fields,
)
from claybench.tui.plan.form_parser import FieldNote, ParsedPlanForm, parse_plan_form
from claybench.tui.plan.pair_table import PairEntry, PairTable

if TYPE_CHECKING:
    from claybench.ask.plan import PlanStart
    from claybench.insight.plan.design.plan_request import PlanRequest

_WIDE = 110


class PlanForm(Place):
    """Asks for a plan and writes its file; dismisses with the file's path, or None."""

    place = "plan_form"
    tab = "plan"
    AUTO_FOCUS = ""
    takes_text = is_form = True
    BINDINGS = bindings(PLAN_FORM)

    def __init__(
        self, start: PlanStart, folder: Path, *, path: Path | None = None, request: PlanRequest | None = None
    ) -> None:
        super().__init__()
        self.start, self.folder, self.path = start, folder, path
        self._draft = f"plan {path}" if path else "plan new"
        self._request = request
        self._given = plan_as_typed(request) if request is not None else {}
        opens, closes = start.bench
        self._heads = head_fields(start.families, start.bodies, f"{opens.hour}:{opens:%M}-{closes.hour}:{closes:%M}")
        self._targets, self._firsts = target_fields(start.properties), first_set_fields()
        self._file = file_field(home_path(folder))
        self.parsed = ParsedPlanForm()
        self._shown: dict[str, tuple[str, str]] = {}
        """What stands beside each field, so that only what changed is painted."""

    # -- fields ------------------------------------------------------------------------------------

    def compose_content(self) -> Iterable[Widget]:
        """Fields on one side, what is understood on the other or below."""
        draft = self.notebook.drafts.load(self._draft)
        typed = draft or self._initial()
        yield Static("Plan the next set", id="heading", classes="heading", markup=False)
        with Container(id="plan"):
            with FormRows(id="plan-asks", classes="form"):
                yield from (FormEntry(ask, typed.get(ask.name, "")) for ask in self._heads)
                for table in PAIR_TABLES:
                    yield PairTable(
                        table, SECTIONS[table], NOTES[table], filled_lines(typed, table), self._suggestions(table)
                    )
                for name, fields in (("targets", self._targets), ("first", self._firsts), ("file", (self._file,))):
                    yield Static(SECTIONS[name], classes="section", markup=False)
                    yield from (FormEntry(ask, typed.get(ask.name, "")) for ask in fields)
            with VerticalScroll(id="plan-said"):
                yield Static("", id="said", classes="text", markup=False)
        text = "Your draft is back; Ctrl+r starts over." if draft else "Ctrl+s saves it and proposes the bodies."
        yield Static(text, id="form-note", markup=False)

    def _initial(self) -> dict[str, str]:
        """What stands in the fields before anything is typed."""
        typed = {ask.name: ask.text for ask in self._heads} | self._given
        return typed | ({"file": str(self.path)} if self.path else {})

    def _suggestions(self, table: str) -> list[str]:
        return [] if table == "groups" else [row.material for row in self.start.materials.values()]

    def on_mount(self) -> None:
        self._inputs()[0].focus()
        self._understand()

    def on_resize(self, event: events.Resize) -> None:
        self.query_one("#plan").set_class(event.size.width >= _WIDE, "wide")

    def typed(self) -> dict[str, str]:
        """Everything typed, by field."""
        rows = [row for row in self.query(FormEntry) if not (isinstance(row, PairEntry) and row.leaving)]
        return {row.ask.name: row.text for row in rows}

    def _inputs(self) -> list[Input | ChoiceField]:
        fields = [field for field in self.query("#plan-asks Input, #plan-asks ChoiceField") if field.is_attached]
        return [field for field in fields if isinstance(field, Input | ChoiceField)]

    # -- typing ------------------------------------------------------------------------------------

    async def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        """A new line where the last is filled, the draft, and what is understood."""
        table = next((each for each in event.entry.ancestors if isinstance(each, PairTable)), None)
        if table is not None:
            await table.grow()
        self._keep()
        self._understand()

    def _keep(self) -> None:
        typed = {name: text for name, text in self.typed().items() if text}
        first = {name: text for name, text in self._initial().items() if text}
        self.notebook.drafts.keep(self._draft, {} if typed == first else typed)

    def _understand(self) -> None:
        self.start_latest(self._parse, "understand")

    async def _parse(self) -> None:
        fields, now = (*self._heads, *self._firsts), self.notebook.now()
        self._show(await asyncio.to_thread(parse_plan_form, self.typed(), fields, self.start, now, self._request))

    def _show(self, parsed: ParsedPlanForm) -> None:
        self.parsed = parsed
        rows = {row.ask.name: row for row in self.query(FormEntry)}
        for name, row in rows.items():
            note = parsed.notes.get(name) or FieldNote("" if row.text.strip() else row.ask.note)
            self._show_note(row, note.text, note.kind)
        self._show_file(rows["file"])
        words = "\n".join(self._lines(parsed))
        if self._shown.get("") != (words, ""):
            self._shown[""] = words, ""
            self.query_one("#said", Static).update(words)

    def _lines(self, parsed: ParsedPlanForm) -> list[str]:
        lines = [parsed.problem] if parsed.problem else []
        if parsed.wrong and not parsed.problem:
            lines.append(f"{len(parsed.wrong)} field{'s' if len(parsed.wrong) > 1 else ''} cannot be used yet.")
        lines += parsed.remarks
        if parsed.request is not None and self.query_one("#plan").has_class("wide"):
            lines += ["", "The file", "", *format_plan(parsed.request).splitlines()]
        return lines

    def _show_note(self, row: FormEntry, text: str, kind: str = "") -> None:
        if self._shown.get(row.ask.name) != (text, kind):
            self._shown[row.ask.name] = text, kind
            row.say(text, kind)

    def _show_file(self, row: FormEntry) -> None:
        typed = self.typed()
        if not typed["file"].strip() and not typed["title"].strip():
            return
        try:
            path = exchange.plan_files.place_for(typed["file"], typed["title"], self.folder)
        except ClaybenchError:
            return
        if path != self.path and path.exists():
            self._show_note(row, f"{path.name} is there already: give another name, or open that one", "doubt")
        elif path != self.path:
            self._show_note(row, f"= {home_path(path)}")

    def on_form_entry_done(self, event: FormEntry.Done) -> None:
        if event.entry.ask.name == "file":
            self.action_save()
        else:
            self._step(1)

    def action_next_field(self) -> None:
        self._step(1)

    def action_field_before(self) -> None:
        self._step(-1)

    def action_next_part(self) -> None:
        fields = self._inputs()
        here = next((n for n, field in enumerate(fields) if field.has_focus), 0)
        firsts = {f"f-{table.lines[0].ask.name}" for table in self.query(PairTable)}
        firsts |= {f"f-{form_fields[0].name}" for form_fields in (self._targets, self._firsts, (self._file,))}
        self._to(next((field for field in fields[here + 1 :] if field.id in firsts), fields[0]))

    def _step(self, by: int) -> None:
        fields = self._inputs()
        here = next((n for n, field in enumerate(fields) if field.has_focus), -by if by > 0 else 0)
        self._to(fields[min(max(here + by, 0), len(fields) - 1)])

    def _to(self, field: Widget) -> None:
        field.focus()
        field.scroll_visible(animate=False)

    async def action_take_out(self) -> None:
        for table in self.query(PairTable):
            for line in table.lines:
                if line.field.has_focus or line.value.has_focus:
                    await table.take_out(line)
                    self._keep()
                    self._understand()
                    return
        self.notify("Put the cursor on a line of materials, groups or fixed parts first.")

    # -- saving and leaving ------------------------------------------------------------------------

    def action_save(self) -> None:
        self.start_latest(self._save, "save")

    async def _save(self) -> None:
        await self._parse()
        note = self.query_one("#form-note", Static)
        if self.parsed.request is None:
            wrong = next((row for row in self.query(FormEntry) if row.ask.name in self.parsed.wrong), None)
            if wrong is not None:
                # What is wrong with a line is its value, unless it has no name.
                self._to(wrong.value if isinstance(wrong, PairEntry) and wrong.field.value else wrong.field)
            note.update(f"Not saved yet. {self.parsed.problem or 'See the fields marked ✗.'}")
            return
        typed = self.typed()
        path = exchange.plan_files.place_for(typed["file"], typed["title"], self.folder)
        if path != self.path and path.exists():
            note.update(f"Not saved: {path} is there already. Give another name, or open that one.")
            self._to(next(row for row in self.query(FormEntry) if row.ask.name == "file").field)
            return
        try:
            await asyncio.to_thread(exchange.plan_files.write_plan, path, self.parsed.request)
        except ClaybenchError as error:
            note.update(f"Not saved. {error}")
            return
        self.notebook.drafts.drop(self._draft)
        self.dismiss(path)

    async def action_start_over(self) -> None:
        self.notebook.drafts.drop(self._draft)
        first = self._initial()
        for row in self.query(FormEntry):
            if not isinstance(row, PairEntry):
                row.put(first.get(row.ask.name, ""))
        for table in self.query(PairTable):
            await table.refill(filled_lines(first, table.table))
        self._inputs()[0].focus()
        self._understand()
        self.query_one("#form-note", Static).update("Started over.")

    def action_leave(self) -> None:
        self.dismiss(None)


def filled_lines(typed: Mapping[str, str], table: str) -> list[str]:
    """The filled lines of a table, in their order."""
    own = [(int(name.rpartition("-")[2]), text) for name, text in typed.items() if name.rpartition("-")[0] == table]
    return [text for _, text in sorted(own) if text]
