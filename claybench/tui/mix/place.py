"""Sizing slabs and batches: fields on one side, figures on the other, following the typing."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from functools import partial
from typing import Any

from textual import events
from textual.containers import Container, VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench.errors import BadInput, ClaybenchError
from claybench.tui.forms.ask import Ask, Understood, values_of
from claybench.tui.forms.rows import Entry, Fields
from claybench.tui.keys import MIX, bindings
from claybench.tui.place import Place

_WIDE = 110


class MixPlace(Place):
    """Sizes a slab or a batch of slip."""

    place = tab = "mix"
    AUTO_FOCUS = ""
    BINDINGS = bindings(MIX)

    def __init__(self) -> None:
        super().__init__()
        self.kind = "slip"
        self._wanted = ""
        """What was asked for before the lab had answered."""
        self.sized: Any = None
        self._asks: tuple[Ask, ...] = ()
        self._entries: list[Entry] = []
        self._bodies: tuple[str, ...] = ()
        self._settings: Any = None
        self._recipe: Any = None
        self._body = ""

    def middle(self) -> Iterable[Widget]:
        """Fields and figures."""
        yield Static("", id="mix-head", classes="heading", markup=False)
        with Container(id="mix"):
            yield Fields(id="mix-asks", classes="form")
            with VerticalScroll(id="mix-results"):
                yield Static("", id="figures", classes="text", markup=False)

    def on_resize(self, event: events.Resize) -> None:
        """Side by side where there is room."""
        self.query_one("#mix").set_class(event.size.width >= _WIDE, "wide")

    async def answer(self) -> Any:
        """The bodies there are, and the settings."""
        from claybench.ask.bodies import body_codes

        return await self.app.consult(body_codes)

    def show(self, found: Any) -> None:
        """Fields once, figures whenever the record changed."""
        first = self._settings is None
        self._bodies, self._settings = found
        self._recipe = None
        if first:
            self.action_show(self._wanted or ("slip" if self._bodies else "slab"))
        else:
            self._figures()

    # -- fields ------------------------------------------------------------------------------------

    def action_show(self, kind: str) -> None:
        """Size a slab, or a batch of slip."""
        if self._settings is None:
            self._wanted = kind
            return
        self.latest(partial(self._show, kind), "fields")

    def start_with(self, body: str) -> None:
        """Size a batch of this body."""
        self._body = body
        self.action_show("slip")

    async def _show(self, kind: str) -> None:
        from claybench.tui.mix.asks import SLAB_ASKS, slip_asks

        self.kind = kind
        body = self._body or (self._bodies[-1] if self._bodies else "")
        self._asks = SLAB_ASKS if kind == "slab" else slip_asks(self._bodies, body, self._settings)
        typed = self.app.drafts.load(f"mix {kind}")
        if self._body:
            typed.pop("body", None)
        holder = self.query_one("#mix-asks")
        await holder.remove_children()
        self._entries = [Entry(ask, typed.get(ask.name, ask.text)) for ask in self._asks]
        await holder.mount_all(self._entries)
        word = "A slab" if kind == "slab" else "A batch of slip"
        other = "Ctrl+l sizes a batch" if kind == "slab" else "Ctrl+b sizes a slab"
        self.query_one("#mix-head", Static).update(f"{word}   ({other}; Ctrl+s records it; Ctrl+o says why)")
        if self.app.screen is self:
            self._entries[1 if kind == "slab" else 0].field.focus()
        for entry in self._entries:
            if entry.text:
                self._echo(entry)
        self._figures()

    def on_entry_changed(self, event: Entry.Changed) -> None:
        """Figures follow."""
        if event.entry not in self._entries:
            return
        self._echo(event.entry)
        changed = {entry.ask.name: entry.text for entry in self._entries if entry.text != entry.ask.text}
        self.app.drafts.keep(f"mix {self.kind}", changed)
        self._figures()

    def _echo(self, entry: Entry) -> None:
        found = entry.ask.understand(entry.text, self._now())
        if found.wrong and entry.text.strip():
            entry.say(found.wrong, "wrong")
        elif found.echo and found.echo.removeprefix("= ") != entry.text.strip():
            entry.say(found.echo)
        else:
            entry.say("" if entry.text.strip() else entry.ask.note)

    def _now(self) -> datetime:
        return self.app.now()

    def _understood(self) -> dict[str, Understood]:
        return values_of(self._asks, {entry.ask.name: entry.text for entry in self._entries}, self._now())

    def on_entry_done(self, event: Entry.Done) -> None:
        """Enter goes to the next field."""
        self._step(event.entry, 1)

    def action_next_field(self) -> None:
        """Next field."""
        self._step(None, 1)

    def action_field_before(self) -> None:
        """Field before."""
        self._step(None, -1)

    def _step(self, start: Entry | None, by: int) -> None:
        entries = self._entries
        if not entries:
            return
        at = entries.index(start) if start else next((n for n, e in enumerate(entries) if e.field.has_focus), -by)
        entry = entries[(at + by) % len(entries)]
        entry.field.focus()
        entry.scroll_visible(animate=False)

    def action_leave(self) -> None:
        """Out of the field."""
        self.set_focus(None)

    # -- figures -----------------------------------------------------------------------------------

    def _figures(self) -> None:
        if not self._entries:
            return
        self.latest(self._figure, "size")

    async def _figure(self) -> None:
        from claybench.mix import size_slab, size_slip
        from claybench.tui.mix.asks import slab_request, slip_request
        from claybench.tui.mix.results import slab_lines, slip_lines

        found = self._understood()
        values = {name: each.value for name, each in found.items()}
        self.sized = None
        try:
            if any(each.wrong for each in found.values()):
                name = next(name for name, each in found.items() if each.wrong)
                raise BadInput(found[name].wrong)
            if self.kind == "slab":
                self.sized = size_slab(slab_request(values, self._settings))
                lines = slab_lines(self.sized)
            else:
                self.sized = size_slip(slip_request(values, await self._recipe_of(values["body"])))
                lines = slip_lines(self.sized)
        except BadInput as error:
            lines = [error.reason, error.remedy]
            for entry in self._entries:
                if error.field and entry.ask.name == error.field:
                    entry.say(error.reason, "wrong")
        except ClaybenchError as error:
            lines = [error.reason, error.remedy]
        self.query_one("#figures", Static).update("\n".join(lines))

    async def _recipe_of(self, body: str) -> Any:
        from claybench.ask.batches import recipe

        if self._recipe is None or self._recipe.body.body.casefold() != body.casefold():
            self._recipe = await self.app.consult(recipe, body)
        return self._recipe

    def action_why(self) -> None:
        """Where each figure comes from."""
        from claybench.tui.mix.results import reasons
        from claybench.tui.say import Reading

        if self.sized is not None:
            self.app.push_screen(Reading("Where each figure comes from", reasons(self.sized.figures())))

    def action_record(self) -> None:
        """Turn it into a slab or a batch."""
        from claybench.tui.mix.record import record_batch, record_slab

        if self.sized is None:
            self.notify("There is nothing to record yet; see what the figures say.")
        elif self.kind == "slab":
            self.run_worker(record_slab(self.app, self.sized), exit_on_error=False)
        else:
            self.run_worker(record_batch(self.app, self.sized, self._recipe), exit_on_error=False)
