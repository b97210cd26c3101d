"""Everything the record holds about one piece, body or slab, line by line, so that each can be corrected or deleted:
card, firings, further readings, faults, photos. Bodies and slabs have their photos here.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.terms import FaultSeen, Fired, Measurement, Piece
from claybench.tui.forms.correcting import correct_line, delete_line
from claybench.tui.forms.pieces import add_photo, further_reading
from claybench.tui.keys import ROWS, bindings
from claybench.tui.place import AnswerPlace
from claybench.tui.sheet import Col, Row, Sheet
from claybench.tui.words import moment, number, plain_word

_EMPTY = "Nothing here yet.\n\nn adds a photo: the name of its file, and what it shows."


class RecordLinesPlace(AnswerPlace[Any]):
    """The lines about one thing."""

    place = "rows"
    tab = "pieces"
    BINDINGS = bindings(ROWS)

    def __init__(self, kind: str, code: str, tab: str = "pieces") -> None:
        self.tab = tab
        super().__init__()
        self._kind = kind
        """piece, body or slab."""
        self._code = code

    def compose_content(self) -> Iterable[Widget]:
        """A heading and the lines."""
        what = "Everything of" if self._kind == "piece" else "Photos of"
        yield Static(f"{what} {self._kind} {self._code}", id="heading", classes="heading", markup=False)
        yield Sheet([Col("what", 10), Col("when", 12), Col("", 30, grows=True)], id="list", empty=_EMPTY)

    def on_mount(self) -> None:
        """Keys go to the list."""
        self.query_one(Sheet).focus()

    async def fetch_answer(self) -> Any:
        """The rows."""
        return await self.notebook.consult(ask.pieces.rows_about, self._kind, self._code)

    def show_answer(self, answer: Any) -> None:
        """One line a row."""
        rows = []
        for row in answer:
            what, when, said = record_line(row)
            when = when.astimezone(self.notebook.now().tzinfo) if isinstance(when, datetime) else when
            rows.append(Row((what, moment(when), said), row))
        self.query_one(Sheet).fill(rows)

    # -- keys --------------------------------------------------------------------------------------

    def on_sheet_chosen(self, event: Sheet.Chosen) -> None:
        """Correct the line."""
        self.start_worker(correct_line(self.notebook, event.record))

    def action_open(self) -> None:
        """Correct the line."""
        self.query_one(Sheet).choose()

    def action_delete(self) -> None:
        """Delete the line; undo brings it back."""
        row = self.query_one(Sheet).record
        if row is not None:
            self.start_worker(delete_line(self.notebook, row))

    def action_photo(self) -> None:
        """A picture."""
        self.start_worker(add_photo(self.notebook, self._kind, self._code, self.tab))

    def action_reading(self) -> None:
        """A further reading."""
        if self._kind == "piece":
            self.start_worker(further_reading(self.notebook, self._code))
        else:
            self.notify("Readings belong to a piece or a batch.")


def record_line(row: Any) -> tuple[str, Any, str]:
    """A row in words: what it is, when, and what it says."""
    if isinstance(row, Piece):
        said = [f"plastic {number(row.plastic_mm, unit='mm')}", f"dry {number(row.dry_mm, unit='mm')}", row.note or ""]
        return "card", row.formed_at, ", ".join(part for part in said if part)
    if isinstance(row, Fired):
        return f"fired {row.firing}", row.soaked_at, fired_text(row)
    if isinstance(row, Measurement):
        return "reading", row.at, reading_text(row)
    if isinstance(row, FaultSeen):
        return "looked", row.seen_on, fault_text(row)
    return "photo", row.taken_on, f"{row.file}  {row.note or ''}".strip()


def fired_text(row: Fired) -> str:
    """What one firing did to a piece."""
    said = f"{number(row.fired_mm, unit='mm')}, {number(row.fired_g, unit='g')}"
    if row.soaked_g is not None or row.suspended_g is not None:
        said += f"; soaked {number(row.soaked_g, unit='g')}, hanging in water {number(row.suspended_g, unit='g')}"
        said += f" ({plain_word(row.soak_method)})"
    said += f"; warp {number(row.warp_pct, unit='%')}" if row.warp_pct is not None else ""
    said += f"; {row.colour}" if row.colour else ""
    return said + (f"; {row.note}" if row.note else "")


_SIGNS = {"<": "less than", ">": "more than", "~": "about"}


def reading_text(row: Measurement) -> str:
    """A further reading."""
    unit = {"mm": "mm", "g": "g"}.get(row.what.rpartition("_")[2], "")
    parts = [
        plain_word(row.what).removesuffix(f" {unit}").strip(),
        _SIGNS.get(row.sign or "", ""),
        number(row.value, unit=unit) if row.value is not None else "",
        f"to {number(row.value_high, unit=unit)}" if row.value_high is not None else "",
        row.word or "",
        f"({row.method})" if row.method else "",
    ]
    parts += [f"in {row.firing}" if row.firing else "", f"by {row.by}" if row.by else "", row.note or ""]
    return " ".join(part for part in parts if part)


def fault_text(row: FaultSeen) -> str:
    """What was seen."""
    said = "clean" if row.fault == "none" else plain_word(row.fault)
    said += f" × {row.count}" if row.count else ""
    return f"{row.firing or 'before firing'}: {said}" + (f"  {row.note}" if row.note else "")
