"""One test piece through drying, fire and water."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from textual.widget import Widget
from textual.widgets import Static

from claybench import ask
from claybench.insight.bodies.comparison.property_columns import raw_of
from claybench.measure.piece import reasons
from claybench.measure.properties.built_in import BUILT_IN
from claybench.terms import FaultSeen, Fired, Measurement, Piece
from claybench.tui.forms.correcting import was
from claybench.tui.forms.pieces import add_photo, end_piece, see_fault
from claybench.tui.keys import PIECE, bindings
from claybench.tui.lines import Line, Lines, LinesPlace, Page
from claybench.tui.listing import Listing, of_rows
from claybench.tui.pieces.measuring_grid import MeasurePlace
from claybench.tui.pieces.record_lines import RecordLinesPlace, fault_text, fired_text, reading_text
from claybench.tui.say import Reading, show_trace
from claybench.tui.words import moment, number, plain_word

if TYPE_CHECKING:
    from claybench.ask.pieces import PiecePage
    from claybench.record.changed import Changed


def unfired_lines(piece: Piece) -> list[str]:
    """What is known of it plastic and dry."""
    plastic = [number(piece.plastic_mm, unit="mm")] if piece.plastic_mm is not None else []
    plastic += [number(piece.plastic_g, unit="g")] if piece.plastic_g is not None else []
    dry = [number(piece.dry_mm, unit="mm")] if piece.dry_mm is not None else []
    dry += [number(piece.dry_g, unit="g")] if piece.dry_g is not None else []
    how = f" by {plain_word(piece.dry_how)}" if piece.dry_how else ""
    return [
        f"formed {moment(piece.formed_at)}: " + (", ".join(plastic) or "not measured plastic"),
        f"dry{how} {moment(piece.dry_at)}: {', '.join(dry)}" if dry else "not measured dry yet: m",
    ]


class PiecePlace(LinesPlace["PiecePage"]):
    """One piece."""

    place = "piece"
    tab = "pieces"
    BINDINGS = bindings(PIECE)

    def __init__(self, piece: str) -> None:
        super().__init__()
        self.piece_code = piece
        self._page: PiecePage | None = None
        self._corrected: dict[tuple[Any, ...], Changed] = {}

    def compose_content(self) -> Iterable[Widget]:
        """Its facts."""
        yield Static(f"Piece {self.piece_code}", id="heading", classes="heading", markup=False)
        with Page(classes="box"):
            yield Lines(id="facts")

    async def fetch_answer(self) -> PiecePage:
        """Its page."""
        page = await self.notebook.consult(ask.pieces.piece_page, self.piece_code)
        kinds = (Fired, FaultSeen, Measurement)
        self._corrected = await self.notebook.consult(ask.history.corrections, *kinds, piece=self.piece_code)
        return page

    def show_answer(self, answer: PiecePage) -> None:
        """Readings, measures, doubts, faults."""
        self._page = answer
        piece, line = answer.piece, answer.lines[0]
        where = f", dried as {answer.run.run} on slab {answer.run.slab}" if answer.run else ", run not known"
        self.query_one("#heading", Static).update(f"Piece {piece.piece}  {line.body}, batch {piece.batch}{where}")
        zone = self.notebook.now().tzinfo
        lines: list[str | Line] = [*unfired_lines(piece)]
        for each in answer.lines:
            lines.append("")
            if each.fired is not None:
                said = f"  {each.fired.firing}: fired {fired_text(each.fired)}"
                lines.append(Line(said + was(each.fired, self._corrected, zone), each.fired))
            for name, value in each.measures.values.items():
                declared = BUILT_IN[name]
                lines.append(f"  {declared.title:<22}{number(value, declared.digits + 1)} {declared.sign}".rstrip())
            lines += [f"  ? {asked.text}" for asked in each.questions]
        for title, rows in (
            ("Looked at", [(row.seen_on, fault_text(row), row) for row in answer.faults]),
            ("Further readings", [(row.at.astimezone(zone), reading_text(row), row) for row in answer.readings]),
            ("Photos", [(row.taken_on, f"{row.file}  {row.note or ''}", row) for row in answer.photos]),
        ):
            lines += ["", title] if rows else []
            for when, said, row in rows:
                lines.append(Line(f"  {moment(when)}  {said}".rstrip() + was(row, self._corrected, zone), row))
        if piece.ended:
            lines += ["", f"{piece.ended} {moment(piece.ended_at)}"]
        if piece.note:
            lines += ["", piece.note]
        self.query_one(Lines).fill(lines)

    def tables(self) -> list[Listing]:
        """Its card, its firings, what was seen and read."""
        page = self._page
        if page is None:
            return []
        return [
            of_rows(f"piece {self.piece_code}", [page.piece], self.zone),
            of_rows("firings", [line.fired for line in page.lines if line.fired], self.zone),
            of_rows("faults", page.faults, self.zone),
            of_rows("readings", page.readings, self.zone),
            of_rows("photos", page.photos, self.zone),
        ]

    def action_measure(self) -> None:
        """Enter or correct a reading."""
        self.notebook.push_screen(MeasurePlace([self.piece_code], start=self.piece_code))

    def action_fault(self) -> None:
        """Looked at it."""
        last = self._page.lines[-1].fired if self._page else None
        self.start_worker(see_fault(self.notebook, self.piece_code, last.firing if last else ""))

    def action_trace(self) -> None:
        """Back to its cause, forward to what shares it."""
        self.start_worker(show_trace(self.notebook, piece=self.piece_code))

    def action_why(self) -> None:
        """Where each figure comes from."""
        if self._page is None:
            return
        lines: list[str] = []
        for each in self._page.lines[1:] or self._page.lines:
            found = reasons(raw_of(each.piece, each.fired))
            if found and each.fired is not None:
                lines += [f"FIRING {each.fired.firing}", ""]
            for reason in found.values():
                lines += [*reason.lines(), ""]
        nothing = "No figure follows from what was measured so far."
        self.notebook.push_screen(Reading(f"Where the figures of {self.piece_code} come from", lines or [nothing]))

    def action_correct(self) -> None:
        """Everything of it, line by line, to correct."""
        self.notebook.push_screen(RecordLinesPlace("piece", self.piece_code))

    def action_photo(self) -> None:
        """A picture of it."""
        self.start_worker(add_photo(self.notebook, "piece", self.piece_code))

    def action_end(self) -> None:
        """Broken or lost."""
        self.start_worker(end_piece(self.notebook, self.piece_code))
