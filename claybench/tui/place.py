"""What every screen has: the top line, its own content, the keys at the foot; and what each shows of the record."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Awaitable, Callable, Coroutine, Iterable
from datetime import datetime, timedelta
from typing import Generic, TypeVar, cast

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.reactive import Reactive
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static
from textual.worker import Worker, WorkType

from claybench import ask
from claybench.errors import ClaybenchError, NotFound
from claybench.tui.foot import Foot
from claybench.tui.notebook import Notebook, notebook_of
from claybench.tui.plain_table import PlainTable, table_of_view
from claybench.tui.registry import FRONTS
from claybench.tui.table_view import TableView

Answer = TypeVar("Answer")

TABS = tuple((name, name.capitalize()) for name in FRONTS)


class Tabs(Static):
    """The places with their number keys; a click goes there."""

    def __init__(self, current: str) -> None:
        super().__init__(id="tabs", markup=False)
        self.current = current
        self._spans: list[tuple[int, int, str]] = []

    def render(self) -> Text:
        """The places in one line, the one you are at in brackets."""
        text, self._spans = Text(no_wrap=True), []
        for number, (name, word) in enumerate(TABS, 1):
            here = name == self.current
            shown = f"[{number} {word}]" if here else f" {number} {word} "
            self._spans.append((len(text), len(text) + len(shown), name))
            text.append(shown, style="bold reverse" if here else "")
        return text

    async def on_click(self, event: events.Click) -> None:
        """Go to the place under the mouse."""
        for start, end, name in self._spans:
            if start <= event.x < end:
                await self.run_action(f"app.go('{name}')")


class Place(Screen[object]):
    """A screen of the notebook: the top line, its own content, and the keys at the foot."""

    place = "bench"
    """Its name among the keys."""
    tab = "bench"
    """The place it belongs to."""
    takes_text = False
    """Whether one types as soon as it is there, so that a digit is no place to go to."""
    is_form = False
    """Whether it is filled in and saved: what was done before is no matter of its keys."""
    shown = False
    """Whether its first look at the record is over, whatever came of it."""

    _styles_read = 0
    """What the app's styles stood at when this screen's widgets last got theirs; they get them as they are made."""

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
    """What has the focus. It paints itself, as does what had it; the screen around them stays."""

    @property
    def notebook(self) -> Notebook:
        """The app, as far as a screen needs to know it."""
        return notebook_of(self)

    @property
    def zone(self) -> str:
        """The name of the lab's clock."""
        return str(self.notebook.lab.zone)

    # -- content -----------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        """Top line, content, foot."""
        yield Tabs(self.tab)
        opened = self.notebook.opened.is_set()
        yield Static(self._top_line(self.notebook.now()) if opened else "opening the lab …", id="top", markup=False)
        yield from self.compose_content()
        yield Foot()

    def compose_content(self) -> Iterable[Widget]:
        """The widgets between top line and foot."""
        return ()

    def on_screen_resume(self, event: events.ScreenResume) -> None:
        """Look again whenever the screen comes to the front."""
        styles_read = self.notebook.styles_read
        event.refresh_styles = self._styles_read not in (0, styles_read)
        self._styles_read = styles_read
        if self.notebook.opened.is_set():
            self.come_to_front()

    def come_to_front(self) -> None:
        """Show what holds now."""
        self.look_again()

    def look_again(self) -> None:
        """Show what holds now, in the background; a newer look replaces one under way."""
        self.start_latest(self._look, "look")

    async def _look(self) -> None:
        self.tick(self.notebook.now())
        self.shown = True

    def tick(self, now: datetime) -> None:
        """Once a second: the top line as it is now."""
        for top in self.query("#top").results(Static):  # none while the screen is still being made
            top.update(self._top_line(now), layout=False)  # one line it stays

    def _top_line(self, now: datetime) -> str:
        """The lab's name, the time and the air of the room."""
        name = self.notebook.lab_name or "claybench"
        right = f"{now:%a} {now.day} {now:%b %H:%M}" + (f"   {self.notebook.room}" if self.notebook.room else "")
        room = max(self.app.size.width - len(right) - 3, 8)
        left = name if len(name) <= room else name[: room - 1] + "…"
        return f" {left}".ljust(room + 2) + right

    def turn_to(self, part: str, code: str = "") -> None:
        """Show a part of this screen, at the line of a record; for front screens that have parts."""

    def tables(self) -> list[PlainTable]:
        """The tables on this screen, for saving; texts that are tables are added by their places."""
        return [table_of_view(self.table_name(), sheet, self.zone) for sheet in self.query(TableView)]

    def table_name(self) -> str:
        """What the table of this screen is called."""
        return self.place

    # -- in the background -------------------------------------------------------------------------

    def start_worker(self, work: Awaitable[object], group: str = "default") -> None:
        """Begin something in the background that ends with this screen; what goes wrong in it is said."""
        self.run_worker(work, exit_on_error=False, group=group)

    def start_latest(self, work: Callable[[], Coroutine[None, None, object]], group: str) -> None:
        """Begin something in the background; a newer one of its group replaces one under way.

        The function is handed over, not its coroutine, since one replaced before it began would never run.
        """
        self.run_worker(cast("WorkType[object]", work), exclusive=True, group=group, exit_on_error=False)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """The app says what went wrong."""
        self.notebook.on_worker_state_changed(event)

    def action_back(self) -> None:
        """Back to where one came from."""
        self.dismiss(None)


_HOLDS_FOR = timedelta(minutes=1)
"""How long an answer holds while nothing is done: water leaves slabs and layers slowly."""


class AnswerPlace(Place, Generic[Answer]):
    """A screen that shows an answer of the record, and asks for it again whenever the record changes."""

    rests_on_record = False
    """Whether its answer follows from the record and the time alone, so that it is asked for again only where one of
    them went on; else whenever the screen comes to the front."""
    answer: Answer | None = None
    """What was answered last; None before anything was."""
    _looked_at: tuple[int, datetime] | None = None
    """The newest act, and the moment, that it was last asked at."""

    def come_to_front(self) -> None:
        """Look again where anything may have changed."""
        self.start_latest(self._look_where_changed, "look")

    @abstractmethod
    async def fetch_answer(self) -> Answer:
        """What the record says; runs off the screen's own thread through `notebook.consult`."""

    @abstractmethod
    def show_answer(self, answer: Answer) -> None:
        """Put it on the screen."""

    def look_again(self) -> None:
        """Ask again, whatever was answered before."""
        self._looked_at = None  # holds for the look that replaces this one, too
        super().look_again()

    async def _look_where_changed(self) -> None:
        if self.rests_on_record and self._looked_at is not None:
            act, moment = self._looked_at
            unchanged = act == await self.notebook.consult(ask.history.newest_act_number)
            if unchanged and abs(self.notebook.now() - moment) < _HOLDS_FOR:
                self.tick(self.notebook.now())
                return
        await self._look()

    async def _look(self) -> None:
        self._looked_at, asked_at = None, (self.notebook.seen_act, self.notebook.now())
        try:
            answer = await self.fetch_answer()
        except ClaybenchError as error:
            self.shown = True
            if not self._corrects_instead(error):
                (self._leave_gone if isinstance(error, NotFound) else self.notebook.complain)(error)
            return
        if self.is_mounted and self.is_attached:
            self.answer = answer
            self.show_answer(answer)
            self.tick(self.notebook.now())
            self._looked_at = asked_at
        self.shown = True

    def _leave_gone(self, error: ClaybenchError) -> None:
        """What a page is about is gone: the page leaves, at once or when it would come to the front."""
        if self.app.screen_stack[0] is self:
            self.notebook.complain(error)
        elif self.notebook.screen is self:
            self.notebook.complain_gone(error)
            self.dismiss(None)

    def _corrects_instead(self, error: ClaybenchError) -> bool:
        """Where the row that this page is about cannot be used: its entries open in place of it, to correct them."""
        if not isinstance(error, ask.snapshot.LeftOut) or self.notebook.screen is not self or self.place == self.tab:
            return False
        self.notebook.complain(error)
        self.notebook.correct_fault(error.fault)
        self.dismiss(None)
        return True


class RecordPlace(AnswerPlace[Answer]):
    """The page of one record."""

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
