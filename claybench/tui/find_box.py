"""Finding anything: commands by what they do, records by a few letters of their code or by their label's scan."""

from __future__ import annotations

from functools import partial

from rich.text import Text
from textual.command import CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.widgets import Input

from claybench import ask
from claybench.errors import NotFound
from claybench.tui.keys import PLACES, Key
from claybench.tui.notebook import Notebook, notebook_of
from claybench.tui.place import Place


class FindBox(CommandPalette):
    """The palette, which also takes what a scanner types: a label's text and at once Enter."""

    def __init__(self) -> None:
        super().__init__(placeholder="a command, run, slab, body or piece; or scan a label", id="--command-palette")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Open what was scanned without waiting for the list, which a scanner is quicker than."""
        scan = ask.search.read_scan(event.value)
        if scan is None:
            return
        event.stop()
        event.prevent_default()
        notebook = notebook_of(self)
        # A search just begun would look for its list when the box is gone, and take the program with it.
        self.workers.cancel_node(self)
        self.dismiss()
        self.app.call_later(open_scanned, notebook, *scan)


async def open_scanned(notebook: Notebook, kind: type[object], code: str) -> None:
    """Open the record a label names, or say that there is none."""
    await notebook.opened.wait()
    hits = await notebook.consult(ask.search.find_codes, ask.search.scan_text(kind, code))
    if not hits:
        notebook.complain(
            NotFound(f"There is no {ask.search.noun_of(kind)} '{code}' in this lab.", "The label may be another lab's.")
        )
        return
    await notebook.open_record(hits[0].kind, hits[0].code)


class FindProvider(Provider):
    """What the palette offers."""

    @property
    def notebook(self) -> Notebook:
        """The app."""
        return notebook_of(self.screen)

    def _keys(self) -> list[Key]:
        here = self.screen.place if isinstance(self.screen, Place) else ""
        return [*(PLACES[here][1] if here in PLACES else ()), *PLACES["everywhere"][1]]

    async def discover(self) -> Hits:
        """All keys of this screen."""
        for key in self._keys():
            if key.words:
                yield DiscoveryHit(Text(f"{key.words} ({key.shown()})"), partial(self._press, key), help=key.help)

    async def search(self, query: str) -> Hits:
        """Keys and records that hold the letters."""
        matcher = self.matcher(query)
        for key in self._keys():
            score = max(matcher.match(key.words), matcher.match(key.help))
            if score > 0:
                yield Hit(score, Text(f"{key.words} ({key.shown()})"), partial(self._press, key), help=key.help)
        if self.notebook.opened.is_set():
            for number, hit in enumerate(await self.notebook.consult(ask.search.find_codes, query)):
                yield Hit(1 - number / 1000, Text(f"{hit.noun} {hit.code}"), partial(self._open, hit.kind, hit.code))

    async def _press(self, key: Key) -> None:
        await self.screen.run_action(key.action)

    async def _open(self, kind: str, code: str) -> None:
        await self.notebook.open_record(kind, code)
