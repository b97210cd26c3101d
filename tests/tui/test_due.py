"""What is due can be gone to: Enter opens it, and the keys of the bench act on its layer or slab."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.ask.bench import bench_now
from claybench.ask.runs import run_page
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


async def go(driver: Driver, words: str) -> None:
    """To the line that says so."""
    lines = driver.text().splitlines()
    here = max(at for at, line in enumerate(lines) if line.startswith("> "))
    away = next(at for at, line in enumerate(lines) if words in line) - here
    await driver.press(*(["down"] * away or ["up"] * -away))


async def test_enter_opens_what_is_due(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("d")
        assert "· P1" in driver.text()  # where the line of the slabs stood
        await go(driver, "fired pieces from F-10")
        await driver.press("enter")
        assert "fired length" in driver.text() and "in firing F-10" in driver.text()
        pieces = driver.app.screen._codes  # type: ignore[attr-defined]
        assert len(pieces) == 11
        await driver.press("escape")
        await go(driver, "dry pieces")
        await driver.press("enter")
        assert "dry length" in driver.text()
        await driver.press("escape")
        await go(driver, "weigh P3")
        await driver.press("enter")
        assert "P3" in driver.text() and "Bench" in driver.text()
        assert driver.app.screen.code == "P3"  # type: ignore[attr-defined]
        await driver.press("escape")
        due = bench_now(driver.app.lab).due
        (chipped,) = [each for each in due if each.kind == "look_over"]
        assert chipped.code == "P4" and "chipped 6 Jul and not looked over since" in chipped.text
        # after what has its hour and before what is still to come
        before, later = due[: due.index(chipped)], due[due.index(chipped) + 1 :]
        assert not any(each.overdue(END) for each in later) and any(each.kind == "weigh" for each in before)
        await driver.press("down")
        assert "> today  look over the form face of P4" in driver.text()
        await driver.press("enter")
        assert driver.app.screen.code == "P4"  # type: ignore[attr-defined]
        await driver.press("escape", "d")
        assert "> P1" in driver.text()


async def test_a_touch_that_is_due_is_noted_from_its_line(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("d")
        await go(driver, "touch D150 on P5")
        await driver.press("s")
        assert run_page(driver.app.lab, "D150").layer.poured.checks[-1].feel == "sticky"
        await go(driver, "measure 18 dry pieces")
        await driver.press("w")
        assert "Put the line on a layer first" in driver.text()
        await go(driver, "touch D150 on P5")
        await driver.press("enter")
        assert driver.app.screen.place == "run"  # type: ignore[attr-defined]
