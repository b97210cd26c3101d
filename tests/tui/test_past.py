"""How forecasts came out, and how each touch moved one: on the screen, with keys alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from claybench.errors import Refused
from claybench.tui.bench.backtest_page import BacktestPlace
from claybench.tui.bench.run_page import RunPlace
from claybench.tui.slabs.slab_page import SlabPlace
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow


@pytest.fixture
def documents(tmp_path: Path) -> Path:
    """Where figures go."""
    return tmp_path / "documents" / "claybench"


async def test_the_labs_forecasts_are_drawn_and_saved(sample_lab_file: Path, tmp_path: Path, documents: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("h")
        assert "runs came within their 90 % interval" in driver.said("#heading")
        text = driver.text()
        assert "as forecast, o within 90 %, + outside" in text and "D147" in text
        assert "across: came, minutes after the pour" in text
        assert re.search(r"D147 .* 1 h 11", text)  # what came, whatever was forecast
        await driver.press("g", "right", "ctrl+s")  # svg rather than png
        assert (documents / "forecasts the lab.svg").stat().st_size > 5000
        place = driver.app.screen
        assert isinstance(place, BacktestPlace)
        place.answer = None  # as while the work goes on
        place.tick(END)
        assert re.search(r": (\d+) of \1 refits", driver.said("#heading"))
        await driver.press("enter")
        assert isinstance(driver.app.screen, RunPlace)
    with pytest.raises(Refused, match="Nobody waits"):
        BacktestPlace()._count_refits(1, 71)  # the page was left


async def test_a_slabs_figures_go_round_and_each_is_saved_as_wanted(
    sample_lab_file: Path, tmp_path: Path, documents: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.app.push_screen(SlabPlace("P2"))
        await driver.settle()
        text = driver.text()
        assert "wetness, % of what" in text and "│ 24 Aug salts, 24 Aug cleaned" in text
        heights = [int(found[1]) for line in text.splitlines() if (found := re.match(r" +(\d+) [^\w\s]", line))]
        assert heights in ([80, 40, 0], [100, 50, 0]), "each far enough from the next to have a line of its own"
        await driver.press("right")
        assert "time over forecast" in driver.text() and "wetness, % of what" not in driver.text()
        await driver.press("left", "g", "left", "ctrl+s")  # the last kind
        assert (documents / "slab P2.pdf").read_bytes().startswith(b"%PDF")
        await driver.press("h")
        assert isinstance(driver.app.screen, BacktestPlace) and driver.said("#heading").startswith("Slab P2: ")


async def test_the_run_says_how_each_touch_moved_its_forecast(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.app.push_screen(RunPlace("D148"))
        await driver.settle()
        said = driver.said("#facts").splitlines()
        expected = [line.split("workable about ")[1] for line in said if "workable about" in line]
        assert len(expected) == 5 and expected[0] != expected[-1]
        await driver.press("s")  # still sticky at 14:31
        again = [line for line in driver.said("#facts").splitlines() if "workable about" in line]
        assert len(again) == 6 and again[-1].split("workable about ")[1] != expected[-1]
