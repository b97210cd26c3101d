"""What a screen may ask of the app, as a protocol: screens import this, and never the app itself."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from typing import TYPE_CHECKING, Concatenate, ParamSpec, Protocol, TypeVar, cast

if TYPE_CHECKING:
    import asyncio
    from datetime import datetime

    from textual.dom import DOMNode
    from textual.screen import Screen
    from textual.widget import AwaitMount
    from textual.worker import Worker

    from claybench.acts.act import Act, Values
    from claybench.errors import ClaybenchError, Question
    from claybench.insight.unusable_rows import FaultyRow
    from claybench.record.lab import Lab
    from claybench.tui.drafts import Drafts
    from claybench.tui.key_queue import KeyQueue
    from claybench.tui.seen_cautions import SeenCautions

P = ParamSpec("P")
T = TypeVar("T")


class Notebook(Protocol):
    """The app as screens and forms see it: it asks the record, does acts, and opens other screens."""

    opened: asyncio.Event
    """Set once the lab is open."""
    keys: KeyQueue
    room: str
    """The air of the room, for the top line."""
    lab_name: str
    seen_act: int
    """The newest act that the screens have looked at."""

    @property
    def styles_read(self) -> int:
        """How often the styles were read: they are, when colours change."""

    @property
    def lab(self) -> Lab:
        """The open lab."""

    @property
    def drafts(self) -> Drafts:
        """What was typed and not saved."""

    @property
    def person(self) -> str:
        """Who works here: the hand that was named for measuring, else whose account it is."""

    @property
    def seen_cautions(self) -> SeenCautions:
        """Which cautions people have seen, and so need not have whole each time."""

    def now(self) -> datetime:
        """The moment by the lab's clock, in the lab's zone."""

    # -- asking and doing --------------------------------------------------------------------------

    async def consult(self, question: Callable[Concatenate[Lab, P], T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Ask the record one question in a thread; screens never query themselves."""

    async def do(self, act: Callable[Concatenate[Lab, P], T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Do one act in a thread, then let every screen look again; errors are the caller's to show."""

    async def attempt(self, act: Callable[Concatenate[Lab, P], object], *args: P.args, **kwargs: P.kwargs) -> bool:
        """Do one act and say at once what came of it; True when it was done. Opens nothing, so keys go on."""

    async def perform(
        self,
        act: Act,
        values: Values,
        *,
        meant: Sequence[Question] = (),
        asked: Sequence[Question] | None = None,
        quiet: bool = False,
    ) -> str:
        """Do a declared act and return the code of what was recorded."""

    async def perform_here(
        self,
        act: Act,
        values: Values,
        *,
        meant: Sequence[Question] = (),
        quiet: bool = False,
        then: Callable[[str], None] | None = None,
    ) -> None:
        """Do an act that needs no form; what speaks against it is asked in one question, errors are said at once."""

    # -- saying ------------------------------------------------------------------------------------

    def ask_whether(self, questions: Sequence[Question], answered: Callable[[Sequence[Question] | None], None]) -> None:
        """Ask in one question whether an act is meant in spite of all these reasons; `answered` gets them with what was
        said to each, or None where it is not meant."""

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Say what went wrong in the background."""

    def complain(self, error: ClaybenchError) -> None:
        """Say what was wrong and what would work."""

    def complain_gone(self, error: ClaybenchError) -> None:
        """Say that what a page was about is gone; once, however many pages were about it."""

    def say_last(self) -> None:
        """Name the act just done and how to take it back."""

    def notify(self, message: str, *, title: str = ..., timeout: float | None = ..., markup: bool = ...) -> None:
        """Say something for a few seconds."""

    def clear_notifications(self) -> None:
        """Take away what was said before."""

    # -- screens -----------------------------------------------------------------------------------

    @property
    def screen(self) -> Screen[object]:
        """The screen in front."""

    def push_screen(self, screen: Screen[T], callback: Callable[[T | None], None] | None = None) -> AwaitMount:
        """Open a screen; `callback` gets what it is left with."""

    def open_screen(
        self, name: str, *args: object, then: Callable[[object], None] | None = None, **about: object
    ) -> AwaitMount:
        """Open a screen of the registry; `then` gets what it is left with."""

    async def open_record(self, kind: str, code: str) -> None:
        """Show the page of one record; materials, lots and firings are lines of the book."""

    def to_front(self, place: str) -> Screen[object]:
        """Go to the front screen of a place and return it; the pages that were open above it are left."""

    def go_to(self, place: str, part: str, code: str = "") -> None:
        """Go to a part of a front screen: a page of the book, a sizing; there to a record, where one is named."""

    def correct_fault(self, fault: FaultyRow) -> None:
        """Open the form of a row that cannot be used, beginning with what is wrong with it."""

    def start_worker(self, work: Awaitable[object], group: str = ...) -> Worker[object]:
        """Begin something in the background; what goes wrong in it is said, and ends nothing."""


def notebook_of(node: DOMNode) -> Notebook:
    """The app that a widget or a screen belongs to, as a screen may see it."""
    return cast("Notebook", node.app)
