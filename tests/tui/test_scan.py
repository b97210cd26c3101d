"""A label scanned into the find box opens its record: a scanner types the text and at once Enter."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.search import scan_text
from claybench.terms import Batch, Body, Lot, Slab
from tests.sample import copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


async def scan(driver: Driver, text: str) -> None:
    """The find box, then all the scanner's keys and Enter at once."""
    await driver.tap("ctrl+p")
    driver.send(*text, "enter")
    await driver.settle()


async def test_a_scanned_label_opens_its_record(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1]) as driver:
        for kind, code, words in (
            (Batch, "B-01-1", "Batch B-01-1"),
            (Body, "B-01", "Body B-01"),
            (Slab, "P3", "Slab P3"),
        ):
            await scan(driver, scan_text(kind, code))
            assert words in driver.said("#heading")
        await scan(driver, scan_text(Lot, "PIT-1"))
        assert "[Lots]" in driver.said("#pages")
        await driver.press("enter")
        assert "PIT-1" in driver.text()


@pytest.mark.parametrize("text", ["claybench:batch/B-0", "claybench:batch/gone%5B1%5D"])
async def test_a_label_of_something_else_opens_nothing(sample_lab_file: Path, tmp_path: Path, text: str) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0]) as driver:
        await scan(driver, text)
        assert "There is no batch" in driver.text()
        assert not driver.app.screen.query("#facts")


async def test_letters_still_find_and_list(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1]) as driver:
        await driver.tap("ctrl+p")
        await driver.write("B-01-1")
        await driver.settle()
        assert "batch B-01-1" in driver.text() and "batch B-01-10" in driver.text()
