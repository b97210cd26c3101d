"""Comparing with keys: every property, one with its differences, heat; another reference, another limit."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.comparison import side_by_side
from claybench.record.lab import Lab
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


async def beside(driver: Driver, *codes: str) -> None:
    """Mark some bodies and compare them."""
    await driver.press("5", "home")
    rows = [row.record[0] for row in driver.app.screen.query_one("#list").rows]  # type: ignore[attr-defined]
    at = 0
    for code in sorted(codes, key=rows.index):
        await driver.tap(*["down"] * (rows.index(code) - at), "space")
        at = rows.index(code) + 1
    await driver.press("c")


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
async def test_differences_of_one_property(
    sample_lab_file: Path, sample_lab: Lab, tmp_path: Path, size: tuple[int, int]
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    found = side_by_side(sample_lab, ["B-01", "B-05", "B-07"], as_of=END)
    (one,) = [
        one
        for each in found.results
        if (each.body, each.firing) == ("B-05", "F-04")
        for one in found.differences_of(each)
        if one.name == "absorption_pct"
    ]
    time = next(each.relative_time for each in found.results if each.body == "B-05")
    async with opened(path, size, END) as driver:
        await beside(driver, "B-01", "B-05", "B-07")
        assert "mean ± half the 95 % interval, or its ends" in driver.text()
        await driver.press("v", "right", "home")
        text = driver.text()
        assert "absorption, %; less B-01" in text
        assert f"{one.mean:+.2f}" in text and one.words()[:14] in text
        said = driver.said("#about").replace("\n", " ")
        assert "B-05 at cone 6 F-04: absorption boiled (as in ASTM C373) 2.4 %" in said
        assert f"lab's scatter {one.lab_low:+.2f} to {one.lab_high:+.2f}" in said
        assert f"These batches can show a difference of {one.minimum_detectable:.2f} %, with" in said
        assert f"with two more of it {one.minimum_detectable_more:.2f} %" in said
        assert "as tile group BIb (ISO 13006)" in said
        assert time is not None and f"slab and wetness taken out: {time.median:.2f}" in said
        await driver.press("r")
        assert "less B-05" in driver.text()


async def test_where_bodies_are_tight(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1], END) as driver:
        await beside(driver, "R-01", "W-01", "W-07")
        await driver.press("v", "v")
        text = driver.text()
        assert "absorbs under 3 %, and does not bloat yet" in text
        assert "nowhere under 3 %" in text and "(absorption o + ^, total shrinkage x * <: " in text
        await driver.press("t")
        await driver.fill(limit_pct="1 %")
        await driver.press("ctrl+s")
        await driver.press("end")
        assert "absorbs under 1 %" in driver.text()
        assert "under 1 % from about 1 2" in driver.said("#about").replace("\n", " ")
