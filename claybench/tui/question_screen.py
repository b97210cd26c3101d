"""The one question that an act is asked about: every reason in it, answered by a second, deliberate key."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from claybench.errors import Question
from claybench.tui.keys import QUESTION, bindings


class QuestionScreen(ModalScreen[bool]):
    """All that speaks against an act; True when it is meant all the same."""

    BINDINGS = bindings(QUESTION)
    is_question = True
    """Nobody answers it who has not seen it."""

    def __init__(self, questions: Sequence[Question]) -> None:
        super().__init__()
        self.questions = tuple(questions)

    def compose(self) -> ComposeResult:
        """The reasons, and the two ways on."""
        count = len(self.questions)
        with VerticalScroll(id="question"):
            heading = "Is this meant?" if count == 1 else f"Is this meant? {count} things speak against it."
            yield Static(heading, classes="heading", markup=False)
            yield Static("\n".join(f"? {each.text}" for each in self.questions), markup=False)
            yield Static(
                "Ctrl+y: yes, record it as it is.   Esc: back, nothing is recorded.", classes="keys", markup=False
            )

    def action_meant(self) -> None:
        """Record it."""
        self.dismiss(True)

    def action_back(self) -> None:
        """Do not."""
        self.dismiss(False)
