"""Without colour every chart is drawn as well: colours are taken out of lines some parts of which have no style."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.tui.slabs.slab_page import SlabPlace
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened


async def test_a_chart_is_drawn_without_colour(
    sample_lab_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), SIZES[0], END) as driver:
        await driver.app.push_screen(SlabPlace("P2"))
        await driver.settle()
        text = driver.text()
        assert "wetness, % of what" in text and "17 Feb" in text, "the chart with its dates"
        colours = {
            segment.style.color.triplet
            for strip in driver.app.screen._compositor.render_strips()
            for segment in strip
            if segment.style is not None and segment.style.color is not None and segment.style.color.triplet is not None
        }
        assert colours and all(len(set(colour)) == 1 for colour in colours), "greys alone"
