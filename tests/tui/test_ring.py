"""A ring test with its guide and stopwatch, and what the slab's page then says."""

from __future__ import annotations

from pathlib import Path

from claybench.record.opening import open_lab
from claybench.terms import SlabEvent
from claybench.tui.forms.slab_log import ask_slab_event
from claybench.tui.slabs.slab_page import SlabPlace
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened


async def test_the_stopwatch_fills_in_the_seconds_and_the_sorptivity_follows(
    sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await ask_slab_event(driver.app, "P2", "ring_test")
        await driver.settle()
        assert "Press a ring about 5 cm wide" in driver.text() and "Measure 5 mL" in driver.text()
        await driver.press("ctrl+t")
        driver.clock.forward(2)
        driver.app.screen.tick(driver.clock())  # type: ignore[attr-defined]
        await driver.settle()
        assert "120 s running" in driver.text()
        driver.clock.forward(2)
        await driver.press("ctrl+t")
        assert "240 s" in driver.text()
        assert "it has gone slow" in " ".join(driver.text().split())
        await driver.press("ctrl+s")
    with open_lab(path).reading() as record:
        newest = max(record.rows(SlabEvent, slab="P2", event="ring_test"), key=lambda row: row.at)
    assert (newest.ring_seconds, newest.face, newest.ring_water_ml) == (240.0, "form", 5.0)


async def test_the_page_names_face_day_and_strength_of_what_speaks_against_it(
    sample_lab_file: Path, tmp_path: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1], END) as driver:
        await driver.app.push_screen(SlabPlace("P2"))
        await driver.settle()
        said = " ".join(driver.said("#card").split())
    assert said.startswith("Resurface its form face")
    assert "slow on the form face, strong: " in said
    assert "ring test on the form face, faint" in said
    assert "salts on the form face, since 9 Jul 2026, clear" in said
