"""The app's dealings with the record: it opens the lab in a thread, asks and does on behalf of the screens."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from datetime import UTC, datetime, tzinfo
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from textual import events
from textual.app import App
from textual.worker import Worker, WorkerState

from claybench import acts, ask, clock, record
from claybench.errors import ClaybenchError, Question, Unanswered
from claybench.tui import forms
from claybench.tui.drafts import Drafts
from claybench.tui.key_queue import KeyQueue
from claybench.tui.seen_cautions import SeenCautions

if TYPE_CHECKING:
    from claybench.acts.act import Act, Values
    from claybench.record.lab import Lab

P = ParamSpec("P")
T = TypeVar("T")


class LabApp(App[None]):
    """An app with one lab, which is opened once the first screen is painted."""

    def __init__(self, where: str | None = None, *, opener: Callable[[], Lab] | None = None) -> None:
        super().__init__()
        self._opener = opener or (lambda: record.opening.open_named(where))
        self._lab: Lab | None = None
        self._zone: tzinfo = UTC
        self.opened = asyncio.Event()
        self.failed: ClaybenchError | None = None
        self.seen_act = -1
        """The newest act that the screens have looked at."""
        self._gone = (-1, "")
        """What was last said to be gone, and the newest act then."""
        self._acting = asyncio.Lock()
        self.keys = KeyQueue(self, self.deliver)
        self.mishaps: list[BaseException] = []
        """What went wrong in the background."""

    # -- keys in their turn ------------------------------------------------------------------------

    async def on_event(self, event: events.Event) -> None:
        """What is typed waits for its turn, so that it lands where it was meant."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded and self.keys.take(event):
            return
        await super().on_event(event)

    async def deliver(self, event: events.Event) -> None:
        """Hand on what was typed, now that its turn has come."""
        await super().on_event(event)

    def on_unmount(self) -> None:
        """No key is handed on any more."""
        self.keys.close()

    # -- the lab -----------------------------------------------------------------------------------

    async def open_lab(self) -> None:
        """Open the lab in a thread; `ClaybenchError` where it cannot be opened."""
        try:
            self._lab = await asyncio.to_thread(self._opener)
        except ClaybenchError as error:
            self.failed = error
            self.keys.give_up()
            raise
        self._zone = self._lab.zone
        self.opened.set()

    @property
    def lab(self) -> Lab:
        assert self._lab is not None, "asked before the lab was open"
        return self._lab

    @property
    def drafts(self) -> Drafts:
        return Drafts(self.lab.where)

    @property
    def seen_cautions(self) -> SeenCautions:
        return SeenCautions(self.lab.where)

    def now(self) -> datetime:
        return clock.in_zone(self.lab.now(), self._zone)

    # -- asking and doing --------------------------------------------------------------------------

    async def consult(self, question: Callable[Concatenate[Lab, P], T], *args: P.args, **kwargs: P.kwargs) -> T:
        await self.opened.wait()
        return await asyncio.to_thread(question, self.lab, *args, **kwargs)

    async def do(self, act: Callable[Concatenate[Lab, P], T], *args: P.args, **kwargs: P.kwargs) -> T:
        await self.opened.wait()
        async with self._acting:
            result = await asyncio.to_thread(act, self.lab, *args, **kwargs)
        await self.record_changed()
        return result

    async def perform(
        self,
        act: Act,
        values: Values,
        *,
        meant: Sequence[Question] = (),
        asked: Sequence[Question] | None = None,
        quiet: bool = False,
    ) -> str:
        """Do a declared act and return the code of what was recorded; `Unanswered` where something speaks against it
        that is not among what is `meant` all the same, and then nothing is recorded. `asked` is all there is to ask,
        where the screen knows; `quiet` leaves it to the screen to say that it is done."""
        code = await self.do(acts.act.perform, act, values, now=self.now(), anyway=tuple(meant), asked=asked)
        if not quiet:
            self.say_last()
        return code

    async def perform_here(
        self,
        act: Act,
        values: Values,
        *,
        meant: Sequence[Question] = (),
        quiet: bool = False,
        then: Callable[[str], None] | None = None,
    ) -> None:
        """Do an act that needs no form; what speaks against it is asked in one question, errors are said at once.

        `then` gets what was recorded, once it is.
        """
        try:
            code = await self.perform(act, values, meant=meant, quiet=quiet)
        except Unanswered as asked:

            def answered(meant: Sequence[Question] | None) -> None:
                if meant is not None:
                    self.start_worker(self.perform_here(act, values, meant=meant, quiet=quiet, then=then))

            self.ask_whether(asked.questions, answered)
        except ClaybenchError as error:
            self.complain(error)
        else:
            if then is not None:
                then(code)

    async def attempt(self, act: Callable[Concatenate[Lab, P], object], *args: P.args, **kwargs: P.kwargs) -> bool:
        self.keys.go_beside()
        try:
            await self.do(act, *args, **kwargs)
        except ClaybenchError as error:
            self.complain(error)
            return False
        self.say_last()
        return True

    async def record_changed(self) -> None:
        """Called after each act, so that screens can look again."""

    # -- saying ------------------------------------------------------------------------------------

    def ask_whether(self, questions: Sequence[Question], answered: Callable[[Sequence[Question] | None], None]) -> None:
        self.push_screen(forms.question_screen.QuestionScreen(questions), answered)

    def complain(self, error: ClaybenchError) -> None:
        self.notify(str(error), title=error.title, severity="warning", timeout=8, markup=False)

    def complain_gone(self, error: ClaybenchError) -> None:
        if self._gone != (self.seen_act, str(error)):
            self._gone = (self.seen_act, str(error))
            self.complain(error)

    def say_last(self) -> None:
        self.start_worker(self._say_last(), group="said")

    async def _say_last(self) -> None:
        label = await self.consult(ask.history.newest_act)
        if label:
            self.clear_notifications()  # act after act, only the newest is of use, and a pile hides the screen
            self.notify(f"{label}.  u takes it back.", timeout=4, markup=False)

    def start_worker(self, work: Awaitable[object], group: str = "default") -> Worker[object]:
        return self.run_worker(work, exit_on_error=False, group=group)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Nothing that goes wrong in the background stays unsaid."""
        error = event.worker.error
        if event.state is WorkerState.ERROR and error is not None:
            self.mishaps.append(error)
            if isinstance(error, ClaybenchError):
                self.complain(error)
            else:
                text = f"{type(error).__name__}: {error}"
                self.notify(
                    f"{text}. What was saved is safe.", title="Something went wrong", severity="error", markup=False
                )
