"""Test pieces with what was read off them and what follows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, TypeVar

from textual import events
from textual.widget import Widget

from claybench import ask
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.readings import LENGTHS
from claybench.tui.display_text import NOTHING, number_text
from claybench.tui.forms.pieces import ask_firing, ask_new_pieces, ask_piece_end, ask_piece_fault
from claybench.tui.keys import PIECES, bindings
from claybench.tui.list_place import ListPlace, filter_field
from claybench.tui.pieces.measuring_grid import MeasurePlace
from claybench.tui.pieces.piece_page import PiecePlace
from claybench.tui.pieces.repeatability import RepeatabilityPlace
from claybench.tui.pieces.typed_reading import reading_cell
from claybench.tui.table_view import TableColumn, TableRow, TableView

if TYPE_CHECKING:
    from claybench.insight.pieces.piece_lines import PieceLine

Cell = TypeVar("Cell")
_WIDE = 110
_EMPTY = """No test piece yet.

n forms pieces of a batch: their codes are short enough to scratch into clay."""
_MEASURES = tuple(BUILT_IN[name] for name in BUILT_IN.first(4))
_COLUMNS = (
    TableColumn("piece", 6),
    TableColumn("body", 7),
    TableColumn("batch", 9),
    TableColumn("firing", 7),
    *(TableColumn(each.word, max(len(each.word) + 1, 7), right=True, unit=each.unit) for each in LENGTHS),
    *(TableColumn(each.narrow, max(len(each.narrow), 7), right=True, unit=each.sign) for each in _MEASURES),
    TableColumn("", 10, grows=True, name="doubt or end"),
)


class PiecesPlace(ListPlace["list[PieceLine]", tuple[str, str]]):
    """The list of pieces, newest first."""

    place = tab = "pieces"
    rests_on_record = True
    BINDINGS = bindings(PIECES)

    def compose_content(self) -> Iterable[Widget]:
        yield filter_field("letters of a piece, batch, body or firing; Enter keeps them")
        yield TableView(
            _COLUMNS,
            id="list",
            empty=_EMPTY,
        )

    async def fetch_answer(self) -> list[PieceLine]:
        return await self.notebook.consult(ask.pieces.piece_lines)

    def show_answer(self, answer: list[PieceLine]) -> None:
        narrow = self.size.width < _WIDE
        rows = []
        for line in reversed(answer):
            piece, fired = line.piece, line.fired
            doubt = "? " + line.questions[0].text if line.questions else piece.ended or ""
            measures = [number_text(line.measures.get(each.name), each.digits) for each in _MEASURES]
            cells = (
                piece.piece,
                line.body,
                piece.batch,
                fired.firing if fired else NOTHING,
                *(reading_cell(line.recorded(each)) for each in LENGTHS),
                *measures,
                doubt,
            )
            record = (piece.piece, fired.firing if fired else "")
            rows.append(TableRow(_narrow_cells(cells) if narrow else cells, record, also=piece.batch))
        self.table.fill(rows, _narrow_cells(_COLUMNS) if narrow else _COLUMNS)

    def on_resize(self, event: events.Resize) -> None:
        if self.answer is not None and (event.size.width < _WIDE) != (len(self.table.columns) < len(_COLUMNS)):
            self.show_answer(self.answer)

    # -- keys --------------------------------------------------------------------------------------

    def _here(self) -> tuple[str, str]:
        return self.table.record or ("", "")

    def open_line(self, record: tuple[str, str]) -> None:
        self.notebook.push_screen(PiecePlace(record[0]))

    def action_form_pieces(self) -> None:
        self.start_worker(ask_new_pieces(self.notebook))

    def action_measure(self) -> None:
        sheet = self.table
        if sheet.rows:
            codes = list(dict.fromkeys(row.record[0] for row in sheet.rows))
            self.notebook.push_screen(MeasurePlace(codes, start=self._here()[0]))

    def action_repeats(self) -> None:
        codes = list(dict.fromkeys(row.record[0] for row in self.table.rows))
        self.notebook.push_screen(RepeatabilityPlace(codes))

    def action_fire(self) -> None:
        codes = list(dict.fromkeys(row.record[0] for row in self.table.rows))
        self.start_worker(ask_firing(self.notebook, codes))

    def action_fault(self) -> None:
        if self._here()[0]:
            self.start_worker(ask_piece_fault(self.notebook, *self._here()))

    def action_end(self) -> None:
        if self._here()[0]:
            self.start_worker(ask_piece_end(self.notebook, self._here()[0]))


def _narrow_cells(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    """Without batch and lengths, which the piece's page shows."""
    return (*cells[:2], *cells[3:4], *cells[7:])
