"""What speaks against an act is asked in one question, answered by a second key, and an answer holds."""

from __future__ import annotations

from pathlib import Path

from claybench.record import open_lab
from claybench.terms import Run
from claybench.tui.forms import Form
from claybench.tui.question import QuestionScreen
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened


def _runs(path: Path) -> list[str]:
    lab = open_lab(path)
    with lab.reading() as record:
        found = [run.run for run in record.rows(Run)]
    lab.close()
    return found


async def test_red_slip_on_a_suspect_white_slab_is_asked_about_once(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    before = _runs(path)
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("p")
        await driver.fill(slab="P2", batch="R-02-1", layer_mm="10 mm")
        await driver.press("ctrl+s")
        assert isinstance(driver.app.screen, QuestionScreen)
        assert "P2 is suspect: 1." in driver.text() and "P2 is kept for white, this is red." in driver.text()
        assert _runs(path) == before
        # The keys one is at already do not answer it.
        await driver.press("ctrl+s", "enter", "y")
        assert isinstance(driver.app.screen, QuestionScreen) and _runs(path) == before
        await driver.press("escape")
        assert isinstance(driver.app.screen, Form) and "Nothing was saved." in driver.text()
        assert driver.app.screen.typed()["slab"] == "P2"
        await driver.press("ctrl+s", "ctrl+y")
        assert len(_runs(path)) == len(before) + 1
