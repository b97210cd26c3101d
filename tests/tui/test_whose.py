"""An unknown bar found on the screen, from anywhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.driver import opened
from tests.tui.test_measuring import bars

pytestmark = pytest.mark.slow


async def test_an_unknown_bar_is_found_from_any_screen(lab_path: Path) -> None:
    bars(lab_path)
    async with opened(lab_path) as driver:
        await driver.press("2")
        await driver.press("W")
        assert "Whose bar is it?" in driver.text()
        await driver.write("19,4 mm")
        await driver.press("enter")
        assert "= 19.4 mm" in driver.text()
        assert "> 3F" in driver.text() and "19.4 mm (same)" in driver.text()
        await driver.press("down", "down")
        await driver.write("F9")
        assert "✗ firings: none yet" in driver.text()
        await driver.press("ctrl+u", "down", "enter")
        assert "Piece 3F" in driver.said("#heading")
        await driver.press("escape", "escape")
        assert "Whose bar is it?" in driver.text()
        await driver.press("escape")
        assert "Whose bar is it?" not in driver.text()
        await driver.press("4", "w")
        assert "Length between the marks" in driver.said("#said")
