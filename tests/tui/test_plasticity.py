"""Points of plasticity typed in with keys, and what follows on the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Batch, Body, Family, Measurement
from claybench.work.recipes import add_body, add_family, mix_batch
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow


def a_batch(path: Path) -> None:
    """A lab with one batch."""
    from datetime import UTC, datetime

    lab = open_lab(path)
    add_family(lab, Family(family="buff"))
    add_body(lab, Body(body="B-07", family="buff"), [])
    mix_batch(lab, Batch(batch="B-07-1", body="B-07", mixed_at=datetime(2026, 3, 11, 9, 0, tzinfo=UTC)), [])
    lab.close()


def points(path: Path) -> list[Measurement]:
    lab: Lab = open_lab(path)
    with lab.reading() as record:
        found = record.rows(Measurement)
    lab.close()
    return found


async def to_plasticity(driver: Driver) -> None:
    await driver.press("6", "enter", "t")
    assert "Plasticity of B-07-1" in driver.said("#heading")


async def test_points_by_the_cup_one_after_another(lab_path: Path) -> None:
    """Two points of Das, Prob. 4.3: 42 % at 15 and 39.1 % at 28 blows give 39.6 by hand; a thread of 18.7, 20.9."""
    a_batch(lab_path)
    async with opened(lab_path) as driver:
        await to_plasticity(driver)
        assert "No point yet" in driver.text()
        await driver.press("c")
        for blows, wet in (("15", "28,4 g"), ("28", "27.82")):
            await driver.fill(count=blows, wet_g=wet, dry_g="20")
            await driver.press("ctrl+s")
        assert "28 blows at 39.1 % water" in driver.said("#form-note")
        assert "liquid limit 39.6 %" in driver.said("#form-note")
        await driver.press("escape", "t")
        await driver.fill(wet_g="73.74", dry_g="70", tin="50")
        assert "Water 18.7 % of dry mass" in driver.said("#form-note")
        await driver.press("ctrl+s", "escape")
        said = driver.said("#results")
        assert "39.6 %   cup, two points, not the 3 of ASTM D4318" in said and "20.9 %" in said
        assert "One thread only" in said
        await driver.press("u")
        assert "plastic limit " not in driver.said("#results")
    kept = points(lab_path)
    assert [(row.count, row.wet_g, row.dry_g) for row in kept] == [
        (15, 28.4, 20.0),
        (28, 27.82, 20.0),
    ]


async def test_a_dry_mass_comes_a_day_later_with_its_tin(lab_path: Path) -> None:
    a_batch(lab_path)
    async with opened(lab_path) as driver:
        await to_plasticity(driver)
        await driver.press("f")
        await driver.fill(value="18.2 mm", method="80 g 30°", wet_g="78.16 g", tin="50 g")
        await driver.press("ctrl+s", "escape")
        assert "no dry mass yet" in driver.text()
        driver.clock.forward(24 * 60)
        await driver.press("enter")
        await driver.fill(dry_g="70")
        await driver.press("ctrl+s")
        assert "40.8" in driver.text()
        await driver.press("d")
        assert "No point yet" in driver.text()
        await driver.press("u")
        assert "40.8" in driver.text()
    assert points(lab_path) == [
        Measurement(batch="B-07-1", at=points(lab_path)[0].at, what="liquid_cone", value=18.2, method="80 g 30°",
                    wet_g=28.16, dry_g=20.0,
                    note="tin 50 g taken off")
    ]  # fmt: skip


async def test_what_cannot_be_says_why_beside_the_field_and_stays(lab_path: Path) -> None:
    a_batch(lab_path)
    async with opened(lab_path) as driver:
        await to_plasticity(driver)
        await driver.press("c")
        await driver.fill(count="22", wet_g="20", dry_g="28")
        await driver.press("ctrl+s")
        assert "✗ Dry it cannot" in driver.text()
        await driver.press("escape", "c")
        assert "Your draft is back" in driver.said("#form-note") and "28" in driver.text()
    assert points(lab_path) == []


async def test_a_bend_has_a_number_and_no_mass(lab_path: Path) -> None:
    a_batch(lab_path)
    async with opened(lab_path) as driver:
        await to_plasticity(driver)
        await driver.press("b")
        await driver.fill(value="6")
        await driver.press("ctrl+s")
        assert "5 or less" in driver.text()
        await driver.fill(value="4")
        await driver.press("ctrl+s", "escape")
        assert "4 of 5" in driver.text()
