"""The cautions of what is about to be done: whole until it was done with them in view, then one line of their headings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual import events
from textual.errors import NoWidget
from textual.geometry import Region
from textual.widget import Widget
from textual.widgets import Static

from claybench import mix
from claybench.tui.notebook import notebook_of

if TYPE_CHECKING:
    from claybench.mix.material_cautions import Caution

SHOWS = "F4 shows them whole"


class CautionList(Static):
    """Unfolded for whoever has not seen each of them at this act; what is folded is one key, or a click, away."""

    def __init__(self, id: str = "cautions") -> None:
        super().__init__("", id=id, classes="text", markup=False)
        self._act = self._person = ""
        self._usual: tuple[Caution, ...] = ()
        self._of_case: tuple[Caution, ...] = ()
        """What follows from the numbers at hand: always said whole, first."""
        self._seen = False
        """Whether the person has seen all of these at this act."""
        self._wanted = False
        """Whether somebody asked for them whole."""
        self._rows_seen: set[int] = set()
        """Lines of the whole list that have been in view."""

    def on_mount(self) -> None:
        """Hear of it when what it stands in is scrolled."""
        if isinstance(self.parent, Widget):
            self.watch(self.parent, "scroll_y", self._scrolled, init=False)

    def tell(self, act: str, cautions: Sequence[Caution]) -> None:
        """Show what is to be taken care of at an act, to the person who works here."""
        of_case = tuple(each for each in cautions if each.of_case)
        told = (act, tuple(each for each in cautions if not each.of_case), notebook_of(self).person)
        if told != (self._act, self._usual, self._person):
            self._act, self._usual, self._person = told
            self._of_case = of_case
            self._look_up()
        elif of_case != self._of_case:
            self._of_case = of_case
            self._paint()

    def when_done(self) -> Callable[[], None]:
        """To be called once what is begun now is done: whoever has the whole list in view now has seen it then."""
        told = (self._person, self._act, self._usual)
        if not self._usual or self._folded or self._unseen_rows():
            return lambda: None
        store = notebook_of(self).seen_cautions

        def done() -> None:
            store.add(*told)
            if self.is_attached:
                self._look_up()

        return done

    def turn(self) -> None:
        """Show them whole, go on to what of them is not in view, or fold what has been seen."""
        if self._folded:
            self._wanted = True
            self._paint()
            self.call_after_refresh(self._go_to_row, 0)
        elif unseen := self._unseen_rows():
            self._go_to_row(min(unseen))
        else:
            self._wanted = False
            self._paint()

    def on_click(self) -> None:
        """As its key does."""
        self.turn()

    def on_resize(self, event: events.Resize) -> None:
        """Other lines: what was in view before says nothing of them."""
        self._rows_seen.clear()
        self.call_after_refresh(self._look)

    @property
    def _folded(self) -> bool:
        return self._seen and not self._wanted and bool(mix.folded_cautions.folded_line(self._usual, SHOWS))

    def _look_up(self) -> None:
        self._seen = notebook_of(self).seen_cautions.has_seen(self._person, self._act, self._usual)
        self._wanted = False
        self._paint()

    def _paint(self) -> None:
        whole = self._of_case if self._folded else (*self._of_case, *self._usual)
        lines = [f"! {caution.line()}" for caution in whole]
        if self._folded:
            lines.append(mix.folded_cautions.folded_line(self._usual, SHOWS))
        self.update("\n".join(lines))

    def _go_to_row(self, row: int) -> None:
        if isinstance(self.parent, Widget):
            at = self.virtual_region.y + row
            self.parent.scroll_to_region(Region(0, at, 1, 1), animate=False, top=True)

    def _scrolled(self) -> None:
        self._look()
        self.call_after_refresh(self._look)

    def _look(self) -> None:
        """Take note of the lines that are in view now."""
        try:
            found = self.screen.find_widget(self)
        except NoWidget:  # not laid out yet
            return
        visible, top = found.visible_region, found.region.y
        if visible.area and found.region.height == self.size.height:
            self._rows_seen |= set(range(visible.y - top, visible.bottom - top))

    def _unseen_rows(self) -> set[int]:
        self._look()
        return set(range(self.size.height)) - self._rows_seen
