"""The screen of a form: type, see what is understood, save; leaving keeps a draft."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, Mapping, Sequence
from typing import TypedDict, Unpack

from textual.widget import Widget
from textual.widgets import Static

from claybench.acts.act import Values
from claybench.acts.field import ActField, FieldReading
from claybench.errors import BadInput, ClaybenchError, Question, Unanswered
from claybench.mix.material_cautions import Caution
from claybench.tui.caution_list import CautionList
from claybench.tui.forms.field_set import FieldSet
from claybench.tui.forms.form_entry import FormEntry, FormRows
from claybench.tui.forms.held_names import learn_names
from claybench.tui.keys import FORM, bindings
from claybench.tui.place import Place

Save = Callable[[Values], Awaitable[object]]
Doubts = Callable[[Values], Iterable[tuple[str, str]]]
Follows = Callable[[Values], str]
Cautions = Callable[[Values], Sequence[Caution]]


class FormOptions(TypedDict, total=False):
    """How a form begins, and what it says while one types."""

    tab: str
    """The place it belongs to."""
    draft: str
    """The name its draft is kept by; its title where none is given."""
    first: str
    """The field to start in; the first empty one where none is named."""
    note: str
    """What stands at its foot."""
    care: str
    """The act that its cautions belong to."""
    cautions: Cautions
    """What is to be taken care of, by what is typed."""
    concerned_by: Sequence[str]
    """The fields that say what the act works on."""
    concerned: Mapping[str, object]
    """What of them the cautions are of."""
    look_up_cautions: Callable[[Values], Awaitable[Cautions]]
    """The cautions of what else these fields may say."""
    doubts: Doubts
    """What is doubtful in what is typed, field by field."""
    follows: Follows
    """What follows from what is typed, said at its foot."""


def _no_cautions(_values: Values) -> Sequence[Caution]:
    return ()


class Form(Place):
    """Asks for some values and hands them to `save`; dismisses with what `save` returned, or None."""

    place = "form"
    takes_text = is_form = True
    BINDINGS = bindings(FORM)

    def __init__(self, title: str, asks: Sequence[ActField], save: Save, **options: Unpack[FormOptions]) -> None:
        self.tab = options.get("tab", "bench")
        super().__init__()
        self.heading = title
        self.asks = tuple(asks)
        self._save = save
        self._draft = options.get("draft") or title
        self._doubts = options.get("doubts")
        self._note = options.get("note", "")
        self._care = options.get("care", "")
        self._cautions = options.get("cautions", _no_cautions)
        self._concerned_by = options.get("concerned_by", ())
        self._concerned = options.get("concerned", {})
        self._look_up_cautions = options.get("look_up_cautions")
        self._first = options.get("first", "")
        self._follows = options.get("follows")
        self._said_follows = False
        self._doubted: set[str] = set()
        """Fields beside which a doubt stands."""
        self._saving = False
        self.meant: tuple[Question, ...] = ()
        """What was asked about and is meant all the same; what is typed afterwards is asked about anew."""
        self.fields = FieldSet((), {})
        """The rows, from top to bottom."""

    def compose_content(self) -> Iterable[Widget]:
        """Title, rows, and a line for what concerns the whole form."""
        typed = self.notebook.drafts.load(self._draft) if self.notebook.opened.is_set() else {}
        self._from_draft = {ask.name for ask in self.asks if ask.name in typed and typed[ask.name] != ask.text}
        self.fields = FieldSet(self.asks, typed)
        yield Static(self.heading, classes="heading", markup=False)
        with FormRows(classes="form"):
            yield from self.fields
        said = "Your draft is back; Ctrl+r starts over." if self._from_draft else self._note
        yield Static(said, id="form-note", markup=False)
        yield CautionList()

    def on_mount(self) -> None:
        """Start in the first field, or the one asked for."""
        self._start_in().field.focus()
        self.fields.show_understood(self.notebook.now())
        self._show_doubts()
        self._tell_cautions()
        self.start_worker(self._learn_names())

    async def _learn_names(self) -> None:
        """What the lab holds of the names that are typed here."""
        for entry in await learn_names(self.notebook, self.fields.entries):
            if entry.text.strip():
                entry.show_understood(self.notebook.now())
        self._show_doubts()

    def _start_in(self) -> FormEntry:
        start = self.fields.find(self._first)
        # a choice that may stay empty is passed over: a blank typed there would choose its first word
        empty = (each for each in self.fields if not each.ask.text and (each.ask.required or not each.is_choice))
        return start or next(empty, self.fields.entries[0])

    def typed(self) -> dict[str, str]:
        """Everything typed."""
        return self.fields.typed()

    def put(self, **texts: str) -> None:
        """Put texts into fields as if they were typed."""
        self.fields.put(texts)

    def understood(self) -> dict[str, FieldReading]:
        """Everything typed, understood."""
        return self.fields.understand(self.notebook.now())

    # -- typing ------------------------------------------------------------------------------------

    def on_form_entry_changed(self, event: FormEntry.Changed) -> None:
        """Say what is understood and keep the draft."""
        self.meant = ()
        event.entry.show_understood(self.notebook.now())
        self._show_doubts()
        self._say_what_follows()
        self._tell_cautions()
        self.notebook.drafts.keep(self._draft, self.fields.changed())

    def _show_doubts(self) -> None:
        if self._doubts is None:
            return
        values = {name: each.value for name, each in self.understood().items()}
        said = dict(self._doubts(values))
        for entry in self.fields:
            if entry.ask.name in said:
                entry.say(said[entry.ask.name], "doubt")
            elif entry.ask.name in self._doubted:
                entry.show_understood(self.notebook.now())  # what was doubtful became clear in another field
        self._doubted = set(said)

    def _tell_cautions(self) -> None:
        values = {name: each.value for name, each in self.understood().items()}
        concerned = {name: values[name] for name in self._concerned_by if values.get(name)}
        if self._look_up_cautions is not None and concerned != self._concerned:
            self._concerned = concerned
            self.start_latest(self._learn_cautions, "cautions")
        self.query_one(CautionList).tell(self._care, self._cautions(values))

    async def _learn_cautions(self) -> None:
        """The cautions of the batch, body or pieces that are named now."""
        assert self._look_up_cautions is not None
        self._cautions = await self._look_up_cautions(dict(self._concerned))
        self._tell_cautions()

    def _say_what_follows(self) -> None:
        if self._follows is None:
            return
        values = {name: each.value for name, each in self.understood().items()}
        said = self._follows(values)
        if said or self._said_follows:
            self._say(said or self._note)
        self._said_follows = bool(said)

    def on_form_entry_done(self, event: FormEntry.Done) -> None:
        """Enter: next field; on the last one, save."""
        if event.entry is self.fields.entries[-1]:
            self.action_save()
        else:
            self.fields.step(1)

    def action_next_field(self) -> None:
        """Next field."""
        self.fields.step(1)

    def action_field_before(self) -> None:
        """Field before."""
        self.fields.step(-1)

    # -- saving and leaving ------------------------------------------------------------------------

    def action_save(self) -> None:
        """Save what is typed; what cannot be used is said beside its field."""
        readings = self.understood()
        wrong = [entry for entry in self.fields if readings[entry.ask.name].wrong]
        for entry in wrong:
            entry.say(readings[entry.ask.name].wrong, "wrong")
        if wrong:
            wrong[0].enter()
            self._say(f"{len(wrong)} field{'s' if len(wrong) > 1 else ''} cannot be saved yet.")
            return
        if not self._saving:
            self._saving = True
            values = {name: each.value for name, each in readings.items()}
            self.start_worker(self._finish(values))

    async def _finish(self, values: Values) -> None:
        done = [each.when_done() for each in self.query(CautionList)]
        try:
            result = await self._save(dict(values))
        except Unanswered as asked:
            self._ask_whether(asked, values)
            return
        except ClaybenchError as error:
            self._show_error(error)
            return
        finally:
            self._saving = False
        self.notebook.drafts.drop(self._draft)
        for mark_seen in done:
            mark_seen()
        self.dismiss(result if result is not None else values)

    def _ask_whether(self, asked: Unanswered, values: Values) -> None:
        """One question with every reason; yes saves, anything else goes back to the form."""

        def answered(meant: Sequence[Question] | None) -> None:
            if meant is not None:
                self.meant = tuple(meant)
                self._saving = True
                self.start_worker(self._finish(values))
            else:
                self._back_from(asked)

        self.notebook.ask_whether(asked.questions, answered)

    def _back_from(self, asked: Unanswered) -> None:
        """It was not meant: to the field that the first reason is about, all of it still typed."""
        about = {each.field for each in asked.questions}
        entry = next((entry for entry in self.fields if entry.ask.name in about), None)
        if entry is not None:
            entry.enter()
        self._say("Nothing was saved.")

    def _show_error(self, error: ClaybenchError) -> None:
        entry = self.fields.find(error.field) if isinstance(error, BadInput) else None
        if entry is None:
            self._say(f"Nothing was saved. {error}")
            return
        entry.say(str(error), "wrong")
        entry.enter()
        self._say("Nothing was saved.")

    def _say(self, text: str) -> None:
        self.query_one("#form-note", Static).update(text)

    def tell(self, note: str) -> None:
        """Another note, of what became known meanwhile."""
        self._note = note
        self._say(note)

    def action_start_over(self) -> None:
        """Drop the draft; everything is as when the form was first opened, and one types where one did then."""
        self.notebook.drafts.drop(self._draft)
        for entry in self.fields:
            entry.put(entry.ask.text)
            entry.show_understood(self.notebook.now())
        self._show_doubts()
        self._start_in().enter()
        self.meant = ()
        self._said_follows = False
        self._say(" ".join(("Started over.", self._note)))

    def action_leave(self) -> None:
        """Leave; the draft stays."""
        self.dismiss(None)
