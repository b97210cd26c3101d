"""The question before an act: all that speaks against it, and what each material is of which nobody said it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Input, Static

from claybench import acts
from claybench.errors import BadInput, Question
from claybench.tui.forms.choice_field import ChoiceField
from claybench.tui.keys import QUESTION, bindings
from claybench.tui.text_field import TextField

NAMED = "substance by its name"
"""The choice beside the kinds: its name is typed."""


class ChoiceRows(Vertical):
    """One question with answers to choose among, the last of them a name to type; it begins with the last choice."""

    def __init__(self, question: Question, number: int) -> None:
        super().__init__()
        self.question = question
        said = question.answer or question.choices[-1]
        named = said not in question.choices
        self.choice = ChoiceField((*question.choices, NAMED), NAMED if named else said, True, id=f"is-{number}")
        self.name_field = TextField(
            said if named else "", id=f"named-{number}", placeholder="its name, such as manganese dioxide"
        )
        self._wrong = Static("", classes="wrong", markup=False)

    def compose(self) -> ComposeResult:
        yield Static(f"? {self.question.short or self.question.text}", markup=False)
        yield self.choice
        yield self.name_field
        yield self._wrong

    def on_mount(self) -> None:
        """A name is typed only where one is chosen."""
        self._show()

    def _show(self) -> None:
        self.name_field.display = self.choice.value == NAMED
        self._say("")

    def _say(self, wrong: str) -> None:
        self._wrong.display = bool(wrong)
        self._wrong.update(f"✗ {wrong}")

    @property
    def fields(self) -> tuple[Widget, ...]:
        """Where one types, from top to bottom."""
        return (self.choice, self.name_field) if self.name_field.display else (self.choice,)

    def on_choice_field_changed(self, event: ChoiceField.Changed) -> None:
        """Ask for the name, or no more."""
        event.stop()
        self._show()

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was wrong is being typed anew."""
        event.stop()
        self._say("")

    def answered(self) -> Question | None:
        """The question with what was chosen or typed; None where that is no substance, which is said."""
        said = self.name_field.value if self.choice.value == NAMED else self.choice.value
        try:
            acts.material_naming.read_answer(self.question.about, said)
        except BadInput as error:
            self._say(f"{error.reason} Try another of its names or its formula, or choose above.")
            self.name_field.focus()
            self.name_field.scroll_visible(animate=False)
            return None
        return replace(self.question, answer=said)


class QuestionScreen(ModalScreen["tuple[Question, ...] | None"]):
    """All that speaks against an act; the questions with their answers when it is meant all the same."""

    BINDINGS = bindings(QUESTION)
    is_question = True
    """Nobody answers it who has not seen it."""

    def __init__(self, questions: Sequence[Question]) -> None:
        super().__init__()
        self.questions = tuple(questions)
        self._rows = [ChoiceRows(each, n) for n, each in enumerate(self.questions) if each.choices]

    def compose(self) -> ComposeResult:
        against = [each for each in self.questions if not each.choices]
        with VerticalScroll(id="question", can_focus=not self._rows):
            if against:
                heading = (
                    "Is this meant?" if len(against) == 1 else f"Is this meant? {len(against)} things speak against it."
                )
                yield Static(heading, classes="heading", markup=False)
                yield Static("\n".join(f"? {each.text}" for each in against), markup=False)
            if self._rows:
                told = "What is it? Of what stays unknown, read the safety data sheet."
                yield Static(told, classes="heading", markup=False)
                yield from self._rows
            yield Static(self._keys(), classes="keys", markup=False)

    def _keys(self) -> str:
        if not self._rows:
            return "Ctrl+y: yes, record it as it is.   Esc: back, nothing is recorded."
        return "Letters or ← → choose.  Ctrl+y: record it so.  Esc: not recorded."

    def on_mount(self) -> None:
        """Begin with the first that has answers to choose among."""
        if self._rows:
            self._rows[0].choice.focus()

    @property
    def _fields(self) -> list[Widget]:
        return [field for rows in self._rows for field in rows.fields]

    def on_key(self, event: events.Key) -> None:
        """Enter and arrows go from field to field."""
        step = {"enter": 1, "down": 1, "tab": 1, "up": -1, "shift+tab": -1}.get(event.key)
        fields = self._fields
        if step and fields:
            here = next((n for n, each in enumerate(fields) if each.has_focus), -1)
            to = fields[min(max(here + step, 0), len(fields) - 1)]
            to.focus()
            to.scroll_visible(animate=False)
            event.stop()
            event.prevent_default()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter in a name goes on, too."""
        event.stop()

    def action_meant(self) -> None:
        """Record it, where every answer can be used."""
        answered = {each.question: each.answered() for each in self._rows}
        said = [answered.get(each, each) for each in self.questions]
        known = tuple(each for each in said if each is not None)
        if len(known) == len(said):
            self.dismiss(known)

    def action_back(self) -> None:
        """Nothing is recorded."""
        self.dismiss(None)
