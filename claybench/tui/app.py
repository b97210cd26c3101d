"""The notebook on the screen: its places, the keys that work in all of them, and the clock that runs through them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING

from textual.css.query import NoMatches
from textual.filter import LineFilter
from textual.screen import Screen
from textual.widget import AwaitMount

from claybench import ask, record, work
from claybench.errors import ClaybenchError
from claybench.tui import forms
from claybench.tui.caution_list import CautionList
from claybench.tui.find_box import FindBox, FindProvider
from claybench.tui.keys import EVERYWHERE, bindings
from claybench.tui.lab_app import LabApp
from claybench.tui.library_patches import CachedStylesheet, UnstyledFilter
from claybench.tui.place import Place
from claybench.tui.registry import FRONTS, PAGES, front_screen, screen_class
from claybench.tui.table_view import TableView
from claybench.tui.text_screen import FailedScreen, HelpScreen

if TYPE_CHECKING:
    from claybench.insight.unusable_rows import FaultyRow
    from claybench.record.history import ActEntry
    from claybench.record.lab import Lab
    from claybench.tui.notebook import Notebook


async def undo_last_act(notebook: Notebook) -> None:
    """Take back the last act of this bench."""
    await _step(notebook, work.any_row.undo_last, "There is nothing to take back.")


async def redo_last_act(notebook: Notebook) -> None:
    """Do again what was taken back."""
    await _step(notebook, work.any_row.redo_last, "There is nothing to do again.")


async def _step(notebook: Notebook, act: Callable[[Lab], ActEntry | None], nothing: str) -> None:
    try:
        entry = await notebook.do(act)
    except ClaybenchError as error:
        notebook.complain(error)
        return
    if entry is None:
        notebook.notify(nothing)
    else:
        notebook.clear_notifications()
        notebook.notify(f"{record.history.undo_label(entry)}.", markup=False)


_LOOK_EVERY = 5
"""Seconds between looks for acts of another bench."""


class NotebookApp(LabApp):
    """claybench on the screen."""

    TITLE = "claybench"
    CSS_PATH = "look.tcss"
    BINDINGS = bindings(EVERYWHERE)
    COMMANDS = {FindProvider}
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"

    def __init__(self, where: str | None = None, *, opener: Callable[[], Lab] | None = None) -> None:
        super().__init__(where, opener=opener)
        self.stylesheet = self._styles = CachedStylesheet(variables=self.get_css_variables())
        self.room = ""
        """The air of the room, for the top line."""
        self.lab_name = ""

    def get_line_filters(self) -> Sequence[LineFilter]:
        """What is done to each line before it is shown: without colour, plots need care."""
        filters = super().get_line_filters()
        return [UnstyledFilter(), *filters] if self.no_color else filters

    @property
    def styles_read(self) -> int:
        """How often the styles were read."""
        return self._styles.times_read

    @property
    def person(self) -> str:
        return forms.pieces.measuring_hand(self) or self.lab.who

    # -- starting ----------------------------------------------------------------------------------

    def on_mount(self) -> None:
        for name in FRONTS:
            self.add_mode(name, partial(front_screen, name))
        self.switch_mode("bench")
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.start_worker(self._open(), group="open")

    async def _open(self) -> None:
        try:
            await self.open_lab()
        except ClaybenchError as error:
            await self.push_screen(FailedScreen(error))
            return
        await self.record_changed()
        self.set_interval(1, self._tick)
        self.set_interval(_LOOK_EVERY, self._look_for_others)
        self.start_worker(self._keep_copy(), group="copy")

    async def _keep_copy(self) -> None:
        """Today's copy of the lab, made while people look at the bench."""
        await self.consult(record.backup.keep_copy)

    # -- as time goes by ---------------------------------------------------------------------------

    def places(self) -> list[Place]:
        """The screens that are open in this place, the one in front last."""
        return [screen for screen in self.screen_stack if isinstance(screen, Place)]

    async def record_changed(self) -> None:
        """Let the screens look again."""
        self.seen_act = await self.consult(ask.history.newest_act_number)
        for place in self.places():
            place.look_again()

    async def _look_for_others(self) -> None:
        if await self.consult(ask.history.newest_act_number) != self.seen_act:
            await self.record_changed()

    def _tick(self) -> None:
        for place in self.places():
            with suppress(NoMatches):  # its widgets are not there yet, or, while claybench closes, no longer
                place.tick(self.now())

    # -- opening screens ---------------------------------------------------------------------------

    def open_screen(
        self, name: str, *args: object, then: Callable[[object], None] | None = None, **about: object
    ) -> AwaitMount:
        return self.push_screen(screen_class(name)(*args, **about), then)

    async def open_record(self, kind: str, code: str) -> None:
        if kind in PAGES:
            await self.open_screen(PAGES[kind], code)
        else:
            self.go_to("book", kind, code)

    def correct_fault(self, fault: FaultyRow) -> None:
        self.start_worker(forms.correcting.correct_fault(self, fault))

    def to_front(self, place: str) -> Screen[object]:
        self.switch_mode(place)
        for page in reversed(self.screen_stack[1:]):
            page.dismiss(None)
        return self.screen_stack[0]

    def go_to(self, place: str, part: str, code: str = "") -> None:
        front = self.to_front(place)
        if isinstance(front, Place):
            front.turn_to(part, code)

    # -- keys that work everywhere -----------------------------------------------------------------

    def action_go(self, place: str) -> None:
        """Go to a place, as it was left; to its front where one is in it already. Leaving forms keeps their drafts.

        A page of another place that was opened from here is left, or this key would show what bears another's name.
        """
        if place != self.current_mode:
            self.switch_mode(place)
            if getattr(self.screen, "tab", place) != place:
                self.to_front(place)
        elif len(self.screen_stack) > 1:
            self.to_front(place)
        elif self.opened.is_set() and isinstance(self.screen, Place):
            self.screen.look_again()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Undo and redo have no key while a form is open or a text is typed: nobody sees what they would change."""
        if action in ("undo_last", "redo_last"):
            return not getattr(self.screen, "is_form", False) and not self._is_typed_into("u")
        return super().check_action(action, parameters)

    def _is_typed_into(self, letter: str) -> bool:
        """Whether a letter would be typed where the focus is."""
        return self.focused is not None and self.focused.check_consume_key(letter, letter)

    async def action_undo_typing(self) -> None:
        await undo_last_act(self)

    async def action_undo_last(self) -> None:
        await undo_last_act(self)

    async def action_redo_last(self) -> None:
        await redo_last_act(self)

    def action_command_palette(self) -> None:
        if not isinstance(self.screen, FindBox):
            self.push_screen(FindBox())

    def action_save_table(self) -> None:
        if self.opened.is_set() and isinstance(self.screen, Place):
            self.start_worker(forms.saving_tables.save_screen_table(self, self.screen))

    def action_sort(self, by: int) -> None:
        """Sort the table on the screen by its next column, the one before, or (0) the other way round."""
        sheets = [sheet for sheet in self.screen.query(TableView) if sheet.sorts and sheet.columns]
        sheet = next((each for each in sheets if each.has_focus), sheets[0] if sheets else None)
        if sheet is None:
            self.notify("There is no table on this screen that can be sorted.")
        else:
            sheet.sort(sheet.order.step(by, len(sheet.columns)) if by else sheet.order.turned())

    def action_whose_bar(self) -> None:
        self._open_once("whose")

    def action_show_faulty(self) -> None:
        self.go_to("book", "faulty")

    def action_read_table(self) -> None:
        if self.opened.is_set():
            self._open_once("files")

    def _open_once(self, name: str) -> None:
        if getattr(self.screen, "place", "") != name:
            self.open_screen(name)

    def action_turn_cautions(self) -> None:
        """The cautions of this screen: whole, further down, or folded again."""
        shown = [each for each in self.screen.query(CautionList) if each.display]
        for cautions in shown:
            cautions.turn()
        if not shown:
            self.notify("Nothing that is done here has cautions.")

    def action_show_help(self) -> None:
        if isinstance(self.screen, Place):
            self.push_screen(HelpScreen(self.screen.place))
