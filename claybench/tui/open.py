"""Opening the screen of a record by its kind and code."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from claybench.tui.app import Notebook


async def open_record(app: Notebook, kind: str, code: str) -> None:
    """Show the page of one record; materials, lots and firings are lines of the book."""
    if kind == "runs":
        from claybench.tui.bench.run import RunPlace

        await app.push_screen(RunPlace(code))
    elif kind == "slabs":
        from claybench.tui.slabs.page import SlabPlace

        await app.push_screen(SlabPlace(code))
    elif kind == "bodies":
        from claybench.tui.bodies.body_page import BodyPlace

        await app.push_screen(BodyPlace(code))
    elif kind == "batches":
        from claybench.tui.book.batch_page import BatchPlace

        await app.push_screen(BatchPlace(code))
    elif kind == "pieces":
        from claybench.tui.pieces.piece_page import PiecePlace

        await app.push_screen(PiecePlace(code))
    else:
        from claybench.tui.book.book_place import BookPlace

        book = app.to_front("book")
        if isinstance(book, BookPlace):
            book.turn_to(kind, code)
