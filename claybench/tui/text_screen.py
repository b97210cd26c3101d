"""Screens that only say something: the lab that did not open, a text to read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import VerticalScroll
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from claybench import ask
from claybench.errors import ClaybenchError
from claybench.tui.display_text import moment_text

if TYPE_CHECKING:
    from claybench.tui.notebook import Notebook


class FailedScreen(Screen[None]):
    """The lab was not opened: why, and what to do."""

    BINDINGS = [Binding("escape,q,enter", "app.quit", "close", id="failed.close")]

    def __init__(self, error: ClaybenchError) -> None:
        super().__init__()
        self.error = error

    def compose(self) -> ComposeResult:
        """Three sentences."""
        yield Static(
            f"{self.error.title}\n\n{self.error.reason}\n\n{self.error.remedy}\n\nEnter closes claybench.",
            id="failed",
            markup=False,
        )


class TextScreen(ModalScreen[None]):
    """A text to read, such as the reasons behind figures."""

    BINDINGS = [Binding("escape,q,enter", "dismiss(None)", "close", id="reading.close")]

    def __init__(self, title: str, lines: Iterable[str]) -> None:
        super().__init__()
        self.heading = title
        self.lines = list(lines)

    def compose(self) -> ComposeResult:
        """Title and text."""
        with VerticalScroll(id="reading") as scroll:
            scroll.border_title = None
            yield Static(self.heading, classes="heading", markup=False)
            yield Static("\n".join(self.lines), markup=False)
            yield Static("Esc closes", classes="dim", markup=False)


async def show_trace(
    notebook: Notebook, *, piece: str | None = None, slab: str | None = None, run: str | None = None
) -> None:
    """The way back from a piece, a slab or the clay of a run, and what is at risk with it."""
    trace = await notebook.consult(ask.fault_trace.trace_fault, piece=piece, slab=slab, run=run)
    zone = notebook.now().tzinfo
    reasons = Counter((each.reason, each.kind) for each in trace.at_risk if not each.reason.startswith("its run"))
    lines = [
        f"{reason}: shared by {_count_text(reasons[reason, 'batch'], 'batch', 'batches')}"
        f" and {_count_text(reasons[reason, 'piece'], 'piece', 'pieces')}"
        for reason in dict.fromkeys(reason for reason, _ in reasons)
    ]
    lines += [""] if lines else []
    lines += [
        f"{link.kind:<7} {link.code:<12}{moment_text(link.at.astimezone(zone)) if link.at else '':<14}{link.text}"
        for link in trace.chain
    ]
    lines += ["", "At risk with it" if trace.at_risk else "Nothing else is at risk with it."]
    lines += [f"{each.kind:<7} {each.code:<12}{each.reason}" for each in trace.at_risk]
    notebook.push_screen(TextScreen(f"Trace of {piece or slab or run}", lines))


def _count_text(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"
