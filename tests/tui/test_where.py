"""Which slab is best now, asked from home, from a batch and from the form for a pour, with keys alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Run
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


async def slabs(driver: Driver) -> list[str]:
    """The list's lines as the screen shows them, each from its slab on."""
    await driver.settle()
    lines = [line.removeprefix("> ").strip() for line in driver.text().splitlines()]
    return [line for line in lines if line[:1] == "P" and line[1:2].isdigit() and "%" in line]


async def test_from_home_a_line_begins_the_run(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("b", "b", "ctrl+u")
        await driver.write("B-01")
        await driver.press("enter")
        lines = await slabs(driver)
        assert [line[:2] for line in lines[:2]] == ["P3", "P4"]
        assert "busy: D148 lies" in lines[1]
        assert "Best now: P3" in driver.text()
        before = driver.said("#heading")
        await driver.press("left", "left")
        assert "8 mm" in driver.text()
        assert driver.said("#heading") < before  # a thinner layer is sooner
        await driver.press("enter")
        assert "Pour slip on a slab" in driver.text()
        await driver.fill(batch="X-9")
        await driver.press("ctrl+s")
    with open_lab(path).reading() as record:
        newest = max(record.rows(Run), key=lambda run: run.started_at)
    assert (newest.slab, newest.layer_mm, newest.batch) == ("P3", 8.0, "X-9")


async def test_a_batch_asks_for_itself_and_a_form_takes_the_slab(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.app.open_record("batches", "B-01-1")
        await driver.press("b")
        assert "B-01, buff, all poured" in driver.text()
        await driver.press("escape", "r", "ctrl+b")
        await driver.press("d", "ctrl+u")
        await driver.write("8,5")
        assert "= 8.5 mm" in driver.text()
        await driver.press("enter", "enter")
        typed = {entry.ask.name: entry.text for entry in driver.app.screen.query("FormEntry")}  # type: ignore[attr-defined]
        assert (typed["batch"], typed["slab"], typed["layer_mm"]) == ("B-01-1", "P3", "8.5 mm")
        assert typed["area_cm2"].endswith("cm²")


async def test_a_wrong_name_or_depth_says_so(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1], END) as driver:
        await driver.press("b")
        shown = await slabs(driver)
        await driver.press("d")
        await driver.write("[")
        assert "✗" in driver.text() and await slabs(driver) == shown  # what was asked last stays
        await driver.press("enter", "b")
        await driver.write("[/b]")
        await driver.settle()
        assert "No batch and no body" in driver.text() and await slabs(driver) == []
