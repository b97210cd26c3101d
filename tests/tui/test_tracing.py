"""Plaster found in clay is entered on the run's page and traced from there, with keys alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import FaultSeen, Run
from claybench.tui.bench.run_page import RunPlace
from claybench.tui.pieces.piece_page import PiecePlace
from claybench.tui.pieces.trace_page import TracePlace
from claybench.tui.table_view import TableView
from claybench.tui.text_screen import TextLines
from tests.paper.reading import text_of
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


async def test_found_in_clay_and_traced_to_slab_and_board(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    with open_lab(path).reading() as record:
        run = next(row for row in record.rows(Run) if row.wedged_on == "canvas board" and row.slab == "P4")
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(RunPlace(run.run))
        await driver.settle()
        await driver.press("o", "ctrl+s", "t")
        lines = driver.text()
        assert f"Trace of {run.run}" in lines and "shared by" in lines
        await driver.press("end")
        assert "wedged on canvas board" in driver.text() + lines
        await driver.press("escape")
        assert isinstance(driver.app.screen, RunPlace)
    with open_lab(path).reading() as record:
        assert [row.fault for row in record.rows(FaultSeen, run=run.run)] == ["plaster_found"]


async def test_the_bars_at_risk_are_filtered_opened_and_printed(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.app.push_screen(TracePlace("slab", "P4"))
        await driver.settle()
        table = driver.app.screen.query_one(TableView)
        whole = len(table.rows)
        assert {row.cells[0] for row in table.rows} == {"way back", "at risk"}
        await driver.press("slash")
        await driver.write("pop-out")
        await driver.press("enter")
        assert 0 < len(table.rows) < whole and {row.cells[0] for row in table.rows} == {"at risk"}
        bar = table.rows[0].cells[2]
        assert f"piece {bar}  (" in driver.text() and "chipped 6 Jul" in driver.text()
        await driver.press("p")
        assert bar in text_of(tmp_path / "documents" / "claybench" / "trace P4.pdf")
        await driver.press("enter")
        assert isinstance(driver.app.screen, PiecePlace) and driver.app.screen.code == bar


async def test_the_line_below_the_list_hangs_below_its_text(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, (60, 24), END) as driver:
        await driver.app.push_screen(TracePlace("slab", "P4"))
        await driver.settle()
        table = driver.app.screen.query_one(TableView)
        kinds = [row.cells[1] for row in table.rows]
        await driver.press("tab", *["down"] * kinds.index("event"))
        first, *further = str(driver.app.screen.query_one("#advice", TextLines).render()).splitlines()
        assert first.startswith("event P4  chipped")
        assert further and all(line[:10] == " " * 10 != line[1:11] for line in further)


async def test_long_evidence_hangs_below_its_own_column(sample_lab_file: Path, tmp_path: Path) -> None:
    """What speaks against a slab, below the list: no line but a sentence begins at the edge."""
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), SIZES[0], END) as driver:
        await driver.press("2", "down")
        shown = str(driver.app.screen.query_one("#advice", TextLines).content).splitlines()
        assert len(shown) > 5
        assert all(line.startswith("  ") for line in shown[2:])
