"""The app: paints first, opens the lab in a thread, asks and does on behalf of the screens."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, TypeVar

from textual import events
from textual.app import App
from textual.command import Provider
from textual.filter import LineFilter
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from claybench.errors import ClaybenchError, Question, Unanswered
from claybench.tui.bare import Bare
from claybench.tui.key_queue import KeyQueue
from claybench.tui.keys import EVERYWHERE, bindings
from claybench.tui.styles import Styles

if TYPE_CHECKING:
    from claybench.acts.declare import Act, Values
    from claybench.record.lab import Lab
    from claybench.tui.drafts import Drafts

P = ParamSpec("P")
T = TypeVar("T")

_LOOK_EVERY = 5
"""Seconds between looks for acts of another bench."""


def _find() -> type[Provider]:
    from claybench.tui.find import Finder

    return Finder


class Notebook(App[None]):
    """claybench on the screen."""

    TITLE = "claybench"
    CSS_PATH = "look.tcss"
    BINDINGS = bindings(EVERYWHERE)
    COMMANDS = {_find}
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"

    def __init__(self, where: str | None = None, *, opener: Callable[[], Lab] | None = None) -> None:
        super().__init__()
        self.stylesheet = Styles(variables=self.get_css_variables())
        self.where = where
        self._opener = opener
        self._lab: Lab | None = None
        self.opened = asyncio.Event()
        self.failed: ClaybenchError | None = None
        self.room = ""
        """The air of the room, for the top line."""
        self.lab_name = ""
        self.seen_act = -1
        """The newest act that the screens have looked at."""
        self._gone = (-1, "")
        """What was last said to be gone, and the newest act then."""
        self._acting = asyncio.Lock()
        self.keys = KeyQueue(self)
        self.mishaps: list[BaseException] = []
        """What went wrong in the background."""

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What is done to each line before it is shown: without colour, plots need care."""
        found = super().get_line_filters()
        return [Bare(), *found] if self.no_color else found

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

    # -- starting ----------------------------------------------------------------------------------

    def on_mount(self) -> None:
        """Paint the bench, then open the lab."""
        from claybench.tui.bench.place import BenchPlace
        from claybench.tui.bodies.body_list import BodiesPlace
        from claybench.tui.book.book_place import BookPlace
        from claybench.tui.mix.place import MixPlace
        from claybench.tui.pieces.piece_list import PiecesPlace
        from claybench.tui.plan.plan_list import PlanPlace
        from claybench.tui.slabs.place import SlabsPlace

        for name, place in (
            ("bench", BenchPlace),
            ("slabs", SlabsPlace),
            ("mix", MixPlace),
            ("pieces", PiecesPlace),
            ("bodies", BodiesPlace),
            ("book", BookPlace),
            ("plan", PlanPlace),
        ):
            self.add_mode(name, place)
        self.switch_mode("bench")
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.run_worker(self._open(), exit_on_error=False, group="open")

    async def _open(self) -> None:
        try:
            self._lab = await asyncio.to_thread(self._opener or self._open_named)
        except ClaybenchError as error:
            from claybench.tui.say import Failed

            self.failed = error
            self.keys.give_up()
            await self.push_screen(Failed(error))
            return
        self.opened.set()
        await self.record_changed()
        self.set_interval(1, self._tick)
        self.set_interval(_LOOK_EVERY, self._look_for_others)
        self.run_worker(self._keep_copy(), exit_on_error=False, group="copy")

    async def _keep_copy(self) -> None:
        """Today's copy of the lab, made while people look at the bench."""
        from claybench.record.backup import keep_copy

        await self.consult(keep_copy)

    def _open_named(self) -> Lab:
        from claybench.record.opening import default_path, open_lab, open_or_create

        return open_lab(self.where) if self.where else open_or_create(default_path())

    @property
    def lab(self) -> Lab:
        """The open lab."""
        assert self._lab is not None, "asked before the lab was open"
        return self._lab

    @property
    def drafts(self) -> Drafts:
        """What was typed and not saved."""
        from claybench.tui.drafts import Drafts

        return Drafts(self.lab.where)

    def now(self) -> datetime:
        """The moment by the lab's clock, in the lab's zone."""
        from claybench import clock

        zone = getattr(self, "_zone", None)
        if zone is None:
            zone = self._zone = self.lab.zone
        return clock.in_zone(self.lab.now(), zone)

    # -- asking and doing --------------------------------------------------------------------------

    async def consult(self, question: Callable[Concatenate[Lab, P], T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Ask the record one question in a thread; screens never query themselves."""
        await self.opened.wait()
        return await asyncio.to_thread(question, self.lab, *args, **kwargs)

    async def do(self, act: Callable[Concatenate[Lab, P], Any], *args: P.args, **kwargs: P.kwargs) -> Any:
        """Do one act in a thread, then let every screen look again; errors are the caller's to show."""
        await self.opened.wait()
        async with self._acting:
            found = await asyncio.to_thread(act, self.lab, *args, **kwargs)
        await self.record_changed()
        return found

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
        from claybench.acts.declare import perform

        code = await self.do(perform, act, values, now=self.now(), anyway=tuple(meant), asked=asked)
        if not quiet:
            self.say_last()
        return str(code)

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
            questions = asked.questions

            def answered(yes: bool | None) -> None:
                if yes:
                    again = self.perform_here(act, values, meant=questions, quiet=quiet, then=then)
                    self.run_worker(again, exit_on_error=False)

            self.ask_whether(questions, answered)
        except ClaybenchError as error:
            self.complain(error)
        else:
            if then is not None:
                then(code)

    def ask_whether(self, questions: Sequence[Question], answered: Callable[[bool | None], None]) -> None:
        """Ask in one question whether an act is meant in spite of all these reasons."""
        from claybench.tui.question import QuestionScreen

        self.push_screen(QuestionScreen(questions), answered)

    async def attempt(self, act: Callable[Concatenate[Lab, P], Any], *args: P.args, **kwargs: P.kwargs) -> bool:
        """Do one act and say at once what came of it; True when it was done. Opens nothing, so keys go on."""
        self.keys.go_beside()
        try:
            await self.do(act, *args, **kwargs)
        except ClaybenchError as error:
            self.complain(error)
            return False
        self.say_last()
        return True

    def complain(self, error: ClaybenchError) -> None:
        """Say what was wrong and what would work."""
        self.notify(str(error), title=error.title, severity="warning", timeout=8, markup=False)

    def complain_gone(self, error: ClaybenchError) -> None:
        """Say that what a page was about is gone; once, however many pages were about it."""
        if self._gone != (self.seen_act, str(error)):
            self._gone = (self.seen_act, str(error))
            self.complain(error)

    def say_last(self) -> None:
        """Name the act just done and how to take it back."""
        self.run_worker(self._say_last(), exit_on_error=False, group="said")

    async def _say_last(self) -> None:
        from claybench.record.history import acts

        def newest(lab: Lab) -> str:
            with lab.reading() as record:
                found = acts(record, limit=1)
            return found[0].label if found else ""

        label = await self.consult(newest)
        if label:
            self.clear_notifications()  # act after act, only the newest is of use, and a pile hides the screen
            self.notify(f"{label}.  u takes it back.", timeout=4, markup=False)

    async def record_changed(self) -> None:
        """Let the screens look again."""
        from claybench.tui.place import Place

        self.seen_act = await self.consult(last_act)
        for screen in self.screen_stack:
            if isinstance(screen, Place):
                screen.look_again()

    async def _look_for_others(self) -> None:
        if await self.consult(last_act) != self.seen_act:
            await self.record_changed()

    def _tick(self) -> None:
        from textual.css.query import NoMatches

        from claybench.tui.place import Place

        for screen in self.screen_stack:
            if isinstance(screen, Place):
                with suppress(NoMatches):  # its widgets are not there yet, or, while claybench closes, no longer
                    screen.tick(self.now())

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

    # -- keys that work everywhere -----------------------------------------------------------------

    def action_go(self, place: str) -> None:
        """Go to a place, as it was left; to its front where one is in it already. Leaving forms keeps their drafts."""
        if place == self.current_mode:
            self.to_front(place)
        else:
            self.switch_mode(place)
        self.call_after_refresh(self._look_here)

    def to_front(self, place: str) -> Screen[Any]:
        """Go to the front screen of a place and return it; the pages that were open above it are left."""
        self.switch_mode(place)
        for page in reversed(self.screen_stack[1:]):
            page.dismiss(None)
        return self.screen_stack[0]

    def _look_here(self) -> None:
        from claybench.tui.place import Place

        if self.opened.is_set() and isinstance(self.screen, Place):
            self.screen.look_again()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Undo and redo have no key while a form is open or a text is typed: nobody sees what they would change."""
        if action in ("undo_last", "redo_last"):
            from textual.widgets import Input

            from claybench.tui.forms.choice import Choice

            return not getattr(self.screen, "is_form", False) and not isinstance(self.focused, Input | Choice)
        return super().check_action(action, parameters)

    async def action_undo_typing(self) -> None:
        """Take back the last reading while readings are typed one after another."""
        await self._step(back=True)

    async def action_undo_last(self) -> None:
        """Take back the last act of this bench."""
        await self._step(back=True)

    async def action_redo_last(self) -> None:
        """Do again what was taken back."""
        await self._step(back=False)

    async def _step(self, *, back: bool) -> None:
        from claybench.record.history import taken_back
        from claybench.work.common import redo_last, undo_last

        try:
            entry = await self.do(undo_last if back else redo_last)
        except ClaybenchError as error:
            self.complain(error)
            return
        if entry is None:
            self.notify("There is nothing to take back." if back else "There is nothing to do again.")
        else:
            self.clear_notifications()
            self.notify(f"{taken_back(entry)}.", markup=False)

    def action_command_palette(self) -> None:
        """Find anything; a label can be scanned into the box."""
        from claybench.tui.find import FindBox

        if not isinstance(self.screen, FindBox):
            self.push_screen(
                FindBox(placeholder="a command, run, slab, body or piece; or scan a label", id="--command-palette")
            )

    def action_save_table(self) -> None:
        """The table of this screen as a CSV for a spreadsheet."""
        from claybench.tui.place import Place

        if not self.opened.is_set() or not isinstance(self.screen, Place):
            return
        found = [each for each in self.screen.tables() if each.rows]
        if not found:
            self.notify("There is no table on this screen, or no line in it.")
            return
        from claybench.tui.tables import save_listing

        self.run_worker(save_listing(self, found, self.screen.tab), exit_on_error=False)

    def action_sort(self, by: int) -> None:
        """Sort the table on the screen by its next column, the one before, or (0) the other way round."""
        from claybench.tui.sheet import Sheet

        found = [sheet for sheet in self.screen.query(Sheet) if sheet.sorts and sheet.columns]
        sheet = next((each for each in found if each.has_focus), found[0] if found else None)
        if sheet is None:
            self.notify("There is no table on this screen that can be sorted.")
            return
        sheet.sort(sheet.order.step(by, len(sheet.columns)) if by else sheet.order.turned())

    def action_whose_bar(self) -> None:
        """Whose bar it is."""
        from claybench.tui.pieces.piece_identification import IdentifyPlace

        if not isinstance(self.screen, IdentifyPlace):
            self.push_screen(IdentifyPlace())

    def action_show_faulty(self) -> None:
        """Rows that cannot be used."""
        from claybench.tui.book.book_place import BookPlace

        book = self.to_front("book")
        if isinstance(book, BookPlace):
            book.turn_to("faulty")

    def action_read_table(self) -> None:
        """A table from a spreadsheet's CSV."""
        from claybench.tui.table_import.file_list import ImportFilesPlace

        if self.opened.is_set() and not isinstance(self.screen, ImportFilesPlace):
            self.push_screen(ImportFilesPlace())

    def action_show_help(self) -> None:
        """What this screen is for, and its keys."""
        from claybench.tui.help import Help
        from claybench.tui.place import Place

        screen: Screen[Any] = self.screen
        if isinstance(screen, Place):
            self.push_screen(Help(screen.place))


def last_act(lab: Lab) -> int:
    """Number of the newest act."""
    with lab.reading() as record:
        return record.last_act()
