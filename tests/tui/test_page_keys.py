"""Keys of the pages of one piece, batch, slab and layer that no other test presses: what each writes, or says."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, BatchLine, FaultSeen, Fired, Piece, Run, Slab, SlabEvent
from claybench.tui.bench.run_page import RunPlace
from claybench.tui.book.batch_page import BatchPlace
from claybench.tui.pieces.piece_page import PiecePlace
from claybench.tui.slabs.slab_page import SlabPlace
from claybench.work.recipes import mix_batch
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


@pytest.fixture
def path(sample_lab_file: Path, tmp_path: Path) -> Path:
    return copy_lab(sample_lab_file, tmp_path / "lab.claybench")


def fired_piece(path: Path) -> Fired:
    """A piece that is whole, fired, soaked and weighed in water."""
    with closing(open_lab(path)) as lab, lab.reading() as record:
        whole = {row.piece for row in record.rows(Piece) if row.ended is None}
        return next(row for row in record.rows(Fired) if row.suspended_g is not None and row.piece in whole)


async def test_a_piece_is_looked_at_explained_measured_and_ended_from_its_page(path: Path) -> None:
    fired = fired_piece(path)
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(PiecePlace(fired.piece))
        await driver.settle()
        await driver.press("ctrl+o")
        why = driver.text()
        assert f"Where the figures of {fired.piece} come from" in why and "drying shrinkage" in why.casefold()
        await driver.press("escape", "m")
        assert f"of {fired.piece}" in driver.said("#reading-name")
        await driver.press("escape", "x")
        await driver.fill(fault="crack", note="at the edge")
        await driver.press("ctrl+s")
        assert "crack" in driver.said("#facts") + driver.text()
        await driver.press("b")
        assert "what became of it" in driver.text() and "out of the test since" in driver.text()
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        seen = [row for row in record.rows(FaultSeen, piece=fired.piece) if row.note == "at the edge"]
        assert [(row.fault, row.firing) for row in seen] == [("crack", fired.firing)]
        piece = record.one(Piece, fired.piece)
        assert (piece.ended, str(piece.ended_at)) == ("broken", "2026-09-25")


async def test_pieces_are_looked_at_and_ended_from_the_list_too(path: Path) -> None:
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("4", "x")
        await driver.fill(fault="specks")
        await driver.press("ctrl+s", "b")
        await driver.fill(ended="lost")
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        (lost,) = [row for row in record.rows(Piece) if row.ended == "lost"]
        assert record.rows(FaultSeen, piece=lost.piece)[-1].fault == "specks"


async def test_a_batch_gets_its_log_weights_figures_and_pieces_from_its_page(path: Path) -> None:
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(BatchPlace("B-07-3"))
        await driver.settle()
        await driver.press("o")
        await driver.fill(event="screened", mesh="80")
        await driver.press("ctrl+s")
        assert "screened" in driver.text()
        await driver.press("e")
        await driver.fill(note="stood over night")
        await driver.press("ctrl+s", "w")
        assert "fire clay" in driver.text()
        await driver.press("escape", "n")
        await driver.fill(count="2")
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        events = record.rows(BatchEvent, batch="B-07-3")
        assert [(row.event, row.mesh) for row in events][-1] == ("screened", 80)
        assert record.one(Batch, "B-07-3").note == "stood over night"
        assert len(record.rows(Piece, batch="B-07-3")) == 2


async def test_weights_of_a_batch_without_any_begin_with_the_recipe(path: Path) -> None:
    with closing(open_lab(path)) as lab:
        mix_batch(lab, Batch(batch="B-07-4", body="B-07", made="slip", mixed_at=END), [])
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(BatchPlace("B-07-4"))
        await driver.settle()
        await driver.press("w")
        assert "fire clay" in driver.text() and "grog" in driver.text()
        await driver.write("500")
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        assert [(row.material, row.mass_g) for row in record.rows(BatchLine, batch="B-07-4")] == [("fire clay", 500.0)]


async def test_what_happened_to_a_slab_is_chosen_and_entered(path: Path) -> None:
    async with opened(path, SIZES[1], END) as driver:
        await driver.press("2", "home", "down", "down", "t", "o")
        await driver.fill(event="chipped")
        await driver.press("ctrl+s")
        await driver.fill(face="form", count="1", note="by the corner")
        await driver.press("ctrl+s")
        await driver.app.push_screen(SlabPlace("P7"))
        await driver.settle()
        await driver.press("v")
        await driver.fill(in_service_on="today")
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        newest = [row for row in record.rows(SlabEvent, slab="P3") if row.at >= END]
        assert sorted(row.event for row in newest) == ["chipped", "turned"]
        assert str(record.one(Slab, "P7").in_service_on) == "2026-09-25"


async def test_a_layer_is_corrected_lifted_and_its_batch_opened_from_its_page(path: Path) -> None:
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(RunPlace("D148"))
        await driver.settle()
        await driver.press("b")
        assert "B-07-3" in driver.said("#heading")
        await driver.press("escape", "e")
        await driver.fill(note="poured twice")
        await driver.press("ctrl+s", "l")
        await driver.fill(outcome="lifted early")
        await driver.press("ctrl+s")
    with closing(open_lab(path)) as lab, lab.reading() as record:
        run = record.one(Run, "D148")
        assert (run.note, run.outcome) == ("poured twice", "lifted_early") and run.ended_at is not None


async def test_a_touch_where_no_layer_lies_says_so(path: Path) -> None:
    async with opened(path, SIZES[0], END) as driver:
        await driver.app.push_screen(SlabPlace("P3"))
        await driver.settle()
        await driver.press("w")
        assert "No layer lies here." in driver.text()
