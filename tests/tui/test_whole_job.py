"""The whole job with keys only, from an empty lab: slab, body, batch, run, touches, pieces, comparison."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchLine, Body, Check, Fired, Piece, Run, Slab
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow


async def test_the_whole_job(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        assert "Nothing is in this lab yet" in driver.text()
        await cast_a_slab(driver)
        await dry_the_slab(driver)
        await design(driver, "W-01", "kaolin 50, ball clay 30, feldspar 20")
        await design(driver, "W-02", "kaolin 40, ball clay 40, feldspar 20")
        for number, body in enumerate(("W-01", "W-02"), 1):
            await mix(driver, body)
            await dry(driver, f"R{number}", f"{body}-1")
            await measure(driver, f"{body}-1", f"R{number}", drying=4 + number)
        await compare(driver)
    lab = open_lab(lab_path)
    with lab.reading() as record:
        assert record.codes(Slab) == ["P1"]
        assert record.codes(Body) == ["W-01", "W-02"]
        assert record.count(BatchLine) == 6
        run = record.one(Run, "R1")
        assert (run.outcome, run.clay_off_g) == ("workable", 500.0)
        assert [check.feel for check in record.rows(Check, run="R1")] == ["fluid", "sticky", "workable"]
        pieces = record.rows(Piece)
        assert len(pieces) == 6
        assert {piece.dry_mm for piece in pieces} == {95.0, 94.0}
        assert record.count(Fired) == 6
        assert len(record.rows(Batch)) == 2
    lab.close()


async def cast_a_slab(driver: Driver) -> None:
    """Size a slab of 50 × 40 × 4.5 cm and record it as cast."""
    await driver.press("2", "n")
    assert "A slab" in driver.said("#mix-head")
    await driver.fill(length_mm="50 cm", width_mm="400", depth_mm="1 3/4 in")
    assert "lift" in driver.said("#figures")
    await driver.press("ctrl+s")
    await driver.fill(family="white")
    await driver.press("ctrl+s")
    assert "Slab P1" in driver.said("#heading")
    await driver.press("escape", "escape", "2")
    assert "P1" in driver.text()


async def dry_the_slab(driver: Driver) -> None:
    """Twelve days before the fan; dry by its weighing, it is taken into service."""
    driver.clock.forward(12 * 24 * 60)
    await driver.press("2", "y")
    await driver.fill(mass_g="9.8 kg")
    await driver.press("ctrl+s")
    await driver.press("enter", "v")
    await driver.fill(in_service_on="today")
    await driver.press("ctrl+s", "escape")


async def design(driver: Driver, code: str, recipe: str) -> None:
    """A body by its recipe in one line."""
    await driver.press("5", "n")
    await driver.fill(body=code, family="white", recipe=recipe)
    await driver.press("ctrl+s")
    assert code in driver.text()


async def mix(driver: Driver, body: str) -> None:
    """A batch from the pieces wanted."""
    await driver.press("3")
    await driver.press("ctrl+l")
    await driver.fill(body=body)
    assert "weigh out" in driver.said("#figures")
    await driver.press("ctrl+s")
    await driver.press("ctrl+s")
    assert f"Batch {body}-1" in driver.said("#heading")
    await driver.press("escape", "escape")


async def dry(driver: Driver, run: str, batch: str) -> None:
    """Pour, touch three times, lift."""
    await driver.press("1", "p")
    await driver.fill(batch=batch, slab="P1", layer_mm="9", area_cm2="550 cm2")
    await driver.press("ctrl+s")
    assert run in driver.text()
    for minutes, key in ((20, "f"), (20, "s"), (15, "w")):
        driver.clock.forward(minutes)
        await driver.press(key)
    assert "lift it" in driver.text()
    await driver.press("l")
    await driver.fill(clay_off_g="500 g")
    await driver.press("ctrl+s")
    assert "lift it" not in driver.text()
    driver.clock.forward(60 * 30)


async def measure(driver: Driver, batch: str, run: str, drying: float) -> None:
    """Three bars, their dry and fired lengths."""
    await driver.press("4", "n")
    await driver.fill(batch=batch, run=run, count="3")
    await driver.press("ctrl+s")
    await driver.press("home", "m")
    assert "dry length" in driver.said("#reading-name")
    for _ in range(3):
        await driver.write(f"{100 - drying:g}")
        await driver.press("enter")
    await driver.press("escape", "f")
    await driver.press("ctrl+s")
    await driver.press("home", "m")
    while "fired length" not in driver.said("#reading-name"):
        await driver.press("ctrl+n")
    for _ in range(3):
        await driver.write(f"{(100 - drying) * 0.93:.2f}")
        await driver.press("enter")
    await driver.press("escape")


async def compare(driver: Driver) -> None:
    """Both bodies side by side."""
    await driver.press("5", "home", "space", "space", "c")
    text = driver.text()
    assert "W-01" in text and "W-02" in text
    assert "drying" in text and "±" in text
