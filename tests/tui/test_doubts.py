"""A doubt stands beside its field as long as it holds, and goes when another field clears it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


async def test_a_new_batch_is_told_apart_from_one_that_is_there(sample_lab_file: Path, tmp_path: Path) -> None:
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), SIZES[1], END) as driver:
        await driver.press("p")
        await driver.fill(slab="P7", batch="X-9")
        assert "? a new batch: name its body" in driver.text()
        await driver.fill(slab="P3", batch="B-01-1")
        assert "a new batch" not in driver.text()


async def test_a_touch_of_before_is_typed_over_now(sample_lab_file: Path, tmp_path: Path) -> None:
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), SIZES[0], END) as driver:
        await driver.press("enter", "c", "left", "enter")  # fluid; on to its time
        await driver.write("-10 min")
        assert "= Fri 25 Sep 14:21" in driver.text()
        await driver.press("ctrl+s")
        assert "felt fluid" in driver.text() and "turned over" not in driver.text()
