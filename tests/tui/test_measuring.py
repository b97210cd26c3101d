"""The grid of readings driven with keys: next piece, next reading, doubts, second readings, drafts, taking back."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

from claybench.ask.bench import bench_now
from claybench.record.opening import open_lab
from claybench.record.read import Reader
from claybench.terms import Batch, Body, Family, FaultSeen, Fired, Firing, Measurement, Piece
from claybench.tui.book.book_pages import BOOK_PAGES
from claybench.work import any_row
from claybench.work.pieces import add_firing, end_piece, form_pieces
from claybench.work.recipes import add_body, add_family, mix_batch
from tests.tui.driver import opened

CODES = ("3A", "3C", "3E", "3F", "3H", "3K")
AT = datetime(2026, 3, 10, 9, 0, tzinfo=UTC)


def bars(path: Path, *, dry: float | None = 19.2) -> None:
    """Six bars of one batch, their marks 20 mm apart; the first five are dry."""
    lab = open_lab(path)
    add_family(lab, Family(family="buff"))
    add_body(lab, Body(body="B-07", family="buff"), [])
    mix_batch(lab, Batch(batch="B-07-1", body="B-07", mixed_at=AT), [])
    lengths = [None if dry is None else round(dry + n / 10, 1) for n in (-1, 0, 1, 2, 1)] + [None]
    form_pieces(lab, [
        Piece(piece=code, batch="B-07-1", shape="bar", formed_at=AT, plastic_mm=20.0, dry_mm=length)
        for code, length in zip(CODES, lengths, strict=True)
    ])  # fmt: skip
    lab.close()


@contextmanager
def record(path: Path) -> Iterator[Reader]:
    lab = open_lab(path)
    with lab.reading() as found:
        yield found
    lab.close()


async def test_a_slipped_digit_is_asked_about_and_one_key_keeps_it(lab_path: Path) -> None:
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("4", "home", "m")
        assert "dry length (air) of 3K" in driver.said("#reading-name")
        await driver.write("91.2")
        await driver.press("enter")
        assert "91.2 is far from 5 pieces like it, 19.1–19.4 mm. Was 19.2 meant?" in driver.text()
        await driver.press("enter")  # no answer to it
        with record(lab_path) as found:
            assert found.one(Piece, "3K").dry_mm is None
        await driver.press("ctrl+y")
        assert "3K: 91.2 mm is saved" in driver.said("#said")
        await driver.press("ctrl+z", "up", "1", "9", ".", "2", "enter")
        assert "3K: 19.2 mm is saved" in driver.said("#said")
    with record(lab_path) as found:
        piece = found.one(Piece, "3K")
        assert (piece.dry_mm, piece.dry_how) == (19.2, "air")


async def test_what_stands_there_is_corrected_or_read_twice(lab_path: Path) -> None:
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("4", "end", "m")
        await driver.press("shift+tab")
        while "dry length" not in driver.said("#reading-name"):
            await driver.press("tab")
        assert "of 3A   it has 19.1 mm" in driver.said("#reading-name")
        await driver.write("19.2")
        await driver.press("enter")
        assert "stands there already and would be corrected" in driver.text()
        await driver.press("escape", "ctrl+r")
        await driver.press("up")
        await driver.write("x")
        assert "✗" in driver.said("#said")
    async with opened(lab_path) as driver:
        await driver.press("4", "end", "m")
        assert "✗" in driver.said("#said"), "a half-typed entry comes back, with why it cannot be used"
        await driver.press("ctrl+u", "-", "enter", "ctrl+y")
        assert "is cleared" in driver.said("#said")
    with record(lab_path) as found:
        again = found.rows(Measurement)
        assert [(row.piece, row.what, row.value) for row in again] == [("3A", "dry_mm", 19.2)]
        assert sum(piece.dry_mm is None for piece in found.rows(Piece)) == 2


async def test_a_second_firing_and_every_reading_of_it(lab_path: Path) -> None:
    bars(lab_path)
    lab = open_lab(lab_path)
    for day, firing in ((11, "F1"), (12, "F2")):
        add_firing(lab, Firing(firing=firing, fired_on=date(2026, 3, day)), ["3A"])
    lab.close()
    async with opened(lab_path) as driver:
        await driver.press("4", "end", "m")
        while "fired length" not in driver.said("#reading-name"):
            await driver.press("tab")
        assert "in firing F2" in driver.said("#reading-name")
        typed = ("18 mm", "9.2 g", "9.9 g", "5.5", "0.4 of 20 mm", "warm buff")
        for text in typed:
            if text == "9.9 g":
                await driver.press("ctrl+t")
                assert "soaked mass (vacuum) of 3A" in driver.said("#reading-name")
                assert "ISO 10545-3" in driver.said("#said")
                await driver.press("ctrl+s")
                await driver.write("0.5")
                await driver.press("ctrl+s")
                assert "soaked mass (vacuum 0.5 h) of 3A" in driver.said("#reading-name")
            await driver.write(text)
            await driver.press("enter")
            if text == "9.9 g":  # another soak of the same bar
                await driver.press("ctrl+t")
                assert "it has" not in driver.said("#reading-name")
                await driver.write("9.6 g")
                await driver.press("enter", "ctrl+t", "ctrl+t")
                assert "soaked mass (vacuum 0.5 h) of 3A in firing F2   it has 9.9 g" in driver.said("#reading-name")
            await driver.press("tab")
        await driver.press("shift+tab", "ctrl+f")
        assert "in firing F1" in driver.said("#reading-name")
        await driver.write("buff")
        await driver.press("enter", "ctrl+l")
        await driver.press("ctrl+s")
    with record(lab_path) as found:
        first, second = found.rows(Fired, piece="3A")
        assert (first.firing, first.colour) == ("F1", "buff")
        assert (second.fired_mm, second.fired_g, second.soaked_g, second.suspended_g) == (18.0, 9.2, 9.9, 5.5)
        assert (second.soak_method, second.warp_pct, second.colour) == ("vacuum", 2.0, "warm buff")
        assert second.soak_hours == 0.5
        assert [(row.what, row.value, row.method) for row in found.rows(Measurement, piece="3A")] == [
            ("soaked_g", 9.6, "soaked")
        ]
        assert [row.fault for row in found.rows(FaultSeen)] == ["none"]


async def test_what_is_broken_is_neither_due_nor_asked_for(lab_path: Path) -> None:
    bars(lab_path, dry=None)
    lab = open_lab(lab_path)
    lab.now = lambda: datetime(2026, 3, 12, 9, 0, tzinfo=UTC)
    for code in CODES[:5]:
        end_piece(lab, code, "lost" if code == "3A" else "broken", on=date(2026, 3, 11))
    assert any("measure 1 dry piece" in due.text for due in bench_now(lab).due)
    end_piece(lab, "3K", "scrapped", on=date(2026, 3, 11))
    assert not bench_now(lab).due
    lab.close()
    async with opened(lab_path) as driver:
        await driver.press("4", "m")
        assert "No piece to measure" in driver.text()
    with record(lab_path) as found:
        assert {piece.plastic_mm for piece in found.rows(Piece)} == {20.0}


async def test_who_types_fast_types_into_the_next_cell(lab_path: Path) -> None:
    """The next bar is there before the one before is in the record; what cannot be saved stands in its cell again."""
    bars(lab_path, dry=None)
    async with opened(lab_path) as driver:
        await driver.press("4", "m")
        while "plastic mass" not in driver.said("#reading-name"):
            await driver.press("tab")
        async with driver.app._acting:  # no act gets through meanwhile
            for text in ("61", "62"):
                await driver.write(text)
                await driver.tap("enter")
            assert "plastic mass of 3F" in driver.said("#reading-name")
        await driver.settle()
        assert "3H: 62 g is saved" in driver.said("#said")
        lab = driver.app.lab
        any_row.delete_row(lab, Piece, "3F")
        await driver.write("63")
        await driver.press("enter")
        assert "✗ 3F: " in driver.said("#said")
    with record(lab_path) as found:
        assert {piece.piece: piece.plastic_g for piece in found.rows(Piece)} == {
            "3K": 61.0, "3H": 62.0, "3E": None, "3C": None, "3A": None,
        }  # fmt: skip


async def test_the_filter_finds_a_batch_that_a_narrow_screen_leaves_out(lab_path: Path) -> None:
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("4", "slash")
        await driver.write("b-07-1")
        assert "3A" in driver.text()
        await driver.write("9")
        assert "No line holds these letters." in driver.text()


async def test_what_is_read_with_is_said_once_and_noted_with_each_reading(lab_path: Path) -> None:
    """An instrument entered in the book, chosen beside the hand, stands by the reading and tells its step."""
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("6", *["right"] * [page.name for page in BOOK_PAGES].index("instruments"), "n")
        await driver.fill(instrument="ruler 2", kind="ruler", step="0.5")
        await driver.press("ctrl+s")
        assert "ruler 2" in driver.text() and "0.5 mm" in driver.text()
        await driver.press("4", "home", "m", "ctrl+o")
        await driver.fill(lengths_with="ruler 2")
        await driver.press("ctrl+s")
        assert "dry length (air) of 3K with ruler 2" in driver.said("#reading-name")
        await driver.write("19.5")
        await driver.press("enter")
        assert "3K: 19.5 mm is saved" in driver.said("#said")
    with record(lab_path) as found:
        (said,) = found.rows(Measurement, piece="3K")
        assert (said.what, said.value, said.instrument, said.firing) == ("dry_mm", None, "ruler 2", None)
