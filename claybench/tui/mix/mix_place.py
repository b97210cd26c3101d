"""Sizing slabs and batches: fields on one side, figures on the other, following the typing."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.containers import Container, VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.errors import BadInput, ClaybenchError
from claybench.tui.caution_list import CautionList
from claybench.tui.forms.field_set import FieldSet
from claybench.tui.forms.form_entry import FormEntry, FormRows
from claybench.tui.keys import MIX, bindings
from claybench.tui.mix.sizing_kinds import SIZING_KINDS, SizingKind, SizingResult
from claybench.tui.place import AnswerPlace
from claybench.tui.text_screen import TextScreen

if TYPE_CHECKING:
    from claybench.ask.sizing_start import SizingStart

_WIDE = 110


class MixPlace(AnswerPlace["SizingStart"]):
    """Sizes a slab, a batch of slip, a correction or a blend."""

    place = tab = "mix"
    AUTO_FOCUS = ""
    takes_text = True
    rests_on_record = True
    BINDINGS = bindings(MIX)

    def __init__(self) -> None:
        super().__init__()
        self._wanted = ""
        """What was asked for before the lab had answered."""
        self._kind: SizingKind | None = None
        self._kinds: dict[str, SizingKind] = {}
        self._lacking = ""
        """Why there are no figures."""
        self._fields = FieldSet((), {})
        self._blamed: FormEntry | None = None
        """The field that the last sizing found fault with."""
        self._start: SizingStart | None = None
        self._body = ""

    def compose_content(self) -> Iterable[Widget]:
        yield Static("", id="mix-head", classes="heading", markup=False)
        with Container(id="mix"):
            yield FormRows(id="mix-asks", classes="form")
            with VerticalScroll(id="mix-results"):
                yield Static("", id="figures", classes="text", markup=False)
                yield CautionList()

    def on_resize(self, event: events.Resize) -> None:
        self.query_one("#mix").set_class(event.size.width >= _WIDE, "wide")

    async def fetch_answer(self) -> SizingStart:
        return await self.notebook.consult(ask.sizing_start.sizing_start)

    def show_answer(self, answer: SizingStart) -> None:
        first, self._start = self._start is None, answer
        for kind in self._kinds.values():
            kind.forget()
        if first:
            self.action_show(self._wanted or ("slip" if answer.bodies else "slab"))
        else:
            self._figures()

    # -- fields ------------------------------------------------------------------------------------

    def action_show(self, kind: str) -> None:
        if self._start is None:
            self._wanted = kind
            return
        self.start_latest(partial(self._show, kind), "fields")

    def turn_to(self, part: str, code: str = "") -> None:
        """A sizing by its name; a batch of slip of the body that is named."""
        self._body = code or self._body
        self.action_show(part)

    async def _show(self, name: str) -> None:
        kind = self._kinds.setdefault(name, SIZING_KINDS[name](self.notebook))
        assert self._start is not None
        asks = kind.asks(self._start, self._body)
        typed = self.notebook.drafts.load(f"mix {name}")
        if self._body:
            typed.pop("body", None)
        self._body = ""
        holder = self.query_one("#mix-asks")
        self._kind, self._fields = None, FieldSet((), {})  # never the fields of one kind with the figures of another
        await holder.remove_children()
        fields = FieldSet(asks, typed)
        await holder.mount_all(fields)
        self._kind, self._fields = kind, fields
        begins = {"slab": "; Ctrl+n pours it step by step", "slip": "; Ctrl+n weighs it out"}.get(name, "")
        self.query_one("#mix-head", Static).update(f"{kind.title}   (Ctrl+s records it{begins}; Ctrl+o says why)")
        if self.notebook.screen is self:
            self._fields.entries[kind.first].field.focus()
        self._fields.show_understood(self.notebook.now())
        self._figures()

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        if event.entry not in self._fields.entries or self._kind is None:
            return
        event.entry.show_understood(self.notebook.now())
        self.notebook.drafts.keep(f"mix {self._kind.name}", self._fields.changed())
        self._figures()

    def on_form_entry_done(self, event: FormEntry.Done) -> None:
        self._fields.step(1, around=True)

    def action_next_field(self) -> None:
        self._fields.step(1, around=True)

    def action_field_before(self) -> None:
        self._fields.step(-1, around=True)

    def action_leave(self) -> None:
        self.set_focus(None)

    # -- figures -----------------------------------------------------------------------------------

    def _figures(self) -> None:
        if not self._fields.entries:
            return
        self.start_latest(self._figure, "size")

    async def _figure(self) -> SizingResult | None:
        """Size from what is typed now, show it and return it; None where it cannot be sized, for `_lacking` to say."""
        kind, start, sized = self._kind, self._start, None
        if kind is None or start is None:
            self._lacking = "The fields are not there yet."
            return None
        typed = self._fields.typed()
        if self._blamed is not None and self._blamed in self._fields.entries:
            self._blamed.show_understood(self.notebook.now())
        self._blamed = None
        try:
            sized = await kind.size(typed, start)
            lines = sized.lines
        except BadInput as error:
            lines = [error.reason, error.remedy]
            if self._fields.changed():  # nobody is blamed for what is not typed yet
                self._blamed = self._fields.find(error.field)
                if self._blamed is not None:
                    self._blamed.say(error.reason, "wrong")
        except ClaybenchError as error:
            lines = [error.reason, error.remedy]
        self._lacking = "" if sized else " ".join(filter(None, lines))
        self.query_one("#figures", Static).update("\n".join(lines))
        self.query_one(CautionList).display = sized is not None
        if sized is not None:
            self.query_one(CautionList).tell(sized.care, sized.cautions)
        return sized

    def action_why(self) -> None:
        self.start_worker(self._why())

    async def _why(self) -> None:
        sized = await self._figure()
        if sized is None:
            self._say_lacking("no figure to explain")
        else:
            self.notebook.push_screen(TextScreen("Where each figure comes from", sized.reasons()))

    def action_record(self) -> None:
        self.start_worker(self._record())

    async def _record(self) -> None:
        sized = await self._figure()
        if sized is None:
            self._say_lacking("nothing to record")
        else:
            self.query_one(CautionList).when_done()()
            await sized.record()

    def action_begin(self) -> None:
        self.start_worker(self._begin())

    async def _begin(self) -> None:
        sized = await self._figure()
        if sized is None:
            self._say_lacking("nothing to begin")
        elif sized.begin is None:
            self.notify("This has no steps to begin; Ctrl+s records what the figures say.")
        else:
            self.query_one(CautionList).when_done()()
            await sized.begin()

    def _say_lacking(self, what: str) -> None:
        self.notify(f"There is {what} until it is sized. {self._lacking}", markup=False)
