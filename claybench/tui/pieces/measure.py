"""Readings entered one piece after another: type, Enter, type, Enter. Each is saved when it is made."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from textual.widget import Widget
from textual.widgets import Input, Static

from claybench.errors import ClaybenchError
from claybench.measure.piece import questions
from claybench.terms import TABLE_OF, Fired, Piece
from claybench.tui.care import care
from claybench.tui.forms.ask import Ask
from claybench.tui.keys import MEASURE, bindings
from claybench.tui.place import Place
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import NOTHING, number

READINGS = ("plastic_mm", "plastic_g", "dry_mm", "dry_g", "fired_mm", "fired_g", "soaked_g", "suspended_g")
_METHODS = {"dry_mm": "air", "dry_g": "oven", "soaked_g": "boil", "suspended_g": "boil"}


class MeasurePlace(Place):
    """One kind of reading at a time, down the list of pieces."""

    place = "measure"
    tab = "pieces"
    BINDINGS = bindings(MEASURE)

    def __init__(self, pieces: Sequence[str], *, start: str = "", reading: str = "", firing: str = "") -> None:
        super().__init__()
        self._codes = list(pieces)
        self._start = start
        self._reading = reading
        self._firing = firing
        self._lines: dict[str, Any] = {}
        self._firings: list[str] = []

    def middle(self) -> Iterable[Widget]:
        """The reading, the field, the list."""
        yield Static("", id="reading-name", classes="heading", markup=False)
        yield Input(compact=True, id="value", classes="filter", select_on_focus=False)
        yield Static("", id="said", classes="text", markup=False)
        yield Sheet(
            [Col("piece", 6), Col("batch", 10), *[Col(_short(name), 9, right=True) for name in READINGS]],
            id="list",
        )

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Sheet).can_focus = False
        self.query_one("#value", Input).focus()

    async def answer(self) -> Any:
        """The pieces' readings, and the firings there are."""
        from claybench.ask.pieces import firings, piece_lines

        return await self.app.consult(piece_lines), [row.firing for row, _ in await self.app.consult(firings)]

    def show(self, found: Any) -> None:
        """The list with what is there already."""
        lines, self._firings = found
        first = not self._lines
        self._lines = {}
        for line in lines:
            if line.piece.piece in self._codes and (
                line.piece.piece not in self._lines or (line.fired and line.fired.firing == self._firing)
            ):
                self._lines[line.piece.piece] = line
        if not self._reading:
            self._reading = self._guess()
        rows = []
        for code in self._codes:
            line = self._lines.get(code)
            if line is None:
                continue
            values = [number(self._held(line, name)) for name in READINGS]
            rows.append(Row((code, line.piece.batch, *values), code))
        sheet = self.query_one(Sheet)
        sheet.fill(rows)
        if first and self._start:
            sheet.cursor = next((n for n, row in enumerate(sheet.rows) if row.record == self._start), 0)
        self._head()

    def _guess(self) -> str:
        """The first reading that the piece under way has not got."""
        line = self._lines.get(self._start) or next(iter(self._lines.values()), None)
        if line is None:
            return READINGS[0]
        return next((name for name in READINGS[::2] if self._held(line, name) is None), "fired_mm")

    @staticmethod
    def _held(line: Any, name: str) -> float | None:
        source = line.piece if name in TABLE_OF[Piece].names else line.fired
        return getattr(source, name) if source is not None else None

    def _ask(self) -> Ask:
        kind = Piece if self._reading in TABLE_OF[Piece].names else Fired
        return Ask.of(kind, self._reading)

    def _head(self) -> None:
        where = ""
        if self._reading in TABLE_OF[Fired].names and self._reading not in TABLE_OF[Piece].names:
            line = self._lines.get(self._code())
            self._firing = (line.fired.firing if line and line.fired else "") or (
                self._firings[0] if self._firings else ""
            )
            where = f" in firing {self._firing or NOTHING}"
        method = _METHODS.get(self._reading)
        how = f" ({method})" if method else ""
        self.query_one("#reading-name", Static).update(f"{self._ask().label}{how} of {self._code()}{where}")

    def _care(self) -> str:
        """Cautions where the reading asks for them: pieces are boiled for it."""
        return care("boil") if _METHODS.get(self._reading) == "boil" else ""

    def _code(self) -> str:
        return str(self.query_one(Sheet).record or "")

    # -- typing ------------------------------------------------------------------------------------

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what is understood, and ask where it cannot be."""
        if not event.value.strip():
            self.query_one("#said", Static).update(self._care())
            return
        found = self._ask().understand(event.value, self.app.now())
        said = f"✗ {found.wrong}" if found.wrong else found.echo
        if found.value is not None and (doubt := self._doubt(found.value)):
            said = f"{found.echo}   ? {doubt}"
        self.query_one("#said", Static).update(said)

    def _doubt(self, value: float) -> str:
        from claybench.insight.comparison import raw_of

        line = self._lines.get(self._code())
        if line is None:
            return ""
        changed: dict[str, Any] = {self._reading: value}
        raw = replace(raw_of(line.piece, line.fired), **changed)
        return next((asked.text for asked in questions(raw) if asked.field == self._reading), "")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Save and go to the next piece; nothing typed leaves it as it is."""
        if not event.value.strip():
            self.action_move(1)
            return
        found = self._ask().understand(event.value, self.app.now())
        if found.value is None:
            return
        self.run_worker(self._save(self._code(), found.value, self._doubt(found.value)), exit_on_error=False)

    async def _save(self, code: str, value: float, doubt: str) -> None:
        from claybench.work.pieces import measure

        reading, box = self._reading, self.query_one("#value", Input)
        try:
            await self.app.do(
                measure, code, reading, value, at=self.app.now(),
                firing=self._firing or None, method=_METHODS.get(reading),
            )  # fmt: skip
        except ClaybenchError as error:
            self.query_one("#said", Static).update(f"✗ {error}")
            return
        with box.prevent(Input.Changed):
            box.value = ""
        self.action_move(1)
        kept = f"{code}: {number(value)} is saved." + (f"   ? {doubt}" if doubt else "")
        self.query_one("#said", Static).update(kept)

    def action_move(self, by: int) -> None:
        """Another piece."""
        self.query_one(Sheet).action_move(by)
        self._head()

    def action_reading(self, by: int) -> None:
        """Another reading, from the first piece on."""
        self._reading = READINGS[(READINGS.index(self._reading) + by) % len(READINGS)]
        self.query_one("#said", Static).update(self._care())
        self.query_one(Sheet).action_jump(0)
        self._head()

    def action_leave(self) -> None:
        """Back to the pieces."""
        self.dismiss(None)


def _short(name: str) -> str:
    kind, unit = name.rsplit("_", 1)
    return f"{'hanging' if kind == 'suspended' else kind} {unit}"
