"""Plaster found in clay is entered on the run's page and traced from there, with keys alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import FaultSeen, Run
from claybench.tui.bench.run_page import RunPlace
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
    with open_lab(path).reading() as record:
        assert [row.fault for row in record.rows(FaultSeen, run=run.run)] == ["plaster_found"]
