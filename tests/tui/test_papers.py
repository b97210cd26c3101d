"""One key saves the paper that belongs to a screen, beside the person's other documents."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.paper.reading import PAPERS, printed_codes, sizes_of, text_of
from tests.sample import copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


@pytest.fixture
def documents(tmp_path: Path) -> Path:
    """Where papers go."""
    return tmp_path / "documents" / "claybench"


async def find(driver: Driver, scan: str) -> None:
    """Open a record by its label."""
    await driver.tap("ctrl+p")
    await driver.write(scan)
    await driver.press("enter")


async def test_p_prints_what_is_on_the_screen(sample_lab_file: Path, tmp_path: Path, documents: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0]) as driver:
        for scan, name, words in (
            ("batch/B-01-1", "bench sheet B-01-1.pdf", "Weigh out"),
            ("slab/P3", "passport P3.pdf", "slab for the buff family"),
            ("body/B-02", "report B-02.pdf", "first towards 12 %"),
        ):
            await find(driver, f"claybench:{scan}")
            await driver.press("p")
            assert "Saved" in driver.text()
            assert words in text_of(documents / name)
        await driver.press("c", "right", "p")
        assert "2 bodies side by side" in text_of(documents / "comparison B-02 B-01.pdf")
        first = (documents / "comparison B-02 B-01.pdf").stat().st_mtime_ns
        await driver.press("p")
        assert (documents / "comparison B-02 B-01 (2).pdf").exists()
        assert (documents / "comparison B-02 B-01.pdf").stat().st_mtime_ns == first
        assert len(list(documents.iterdir())) == 5


async def test_labels_are_asked_about_and_printed(sample_lab_file: Path, tmp_path: Path, documents: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1]) as driver:
        await find(driver, "claybench:batch/B-01-1")
        await driver.press("l")
        await driver.fill(copies="5", grid="2 x 4", start="6", paper="Letter")
        assert "8 on a sheet" in driver.text()
        await driver.press("ctrl+s")
        assert "2 sheets" in driver.text()
        saved = documents / "labels batch B-01-1.pdf"
        assert len(printed_codes(saved)) == 5
        assert sizes_of(saved) == [pytest.approx(PAPERS["Letter"], abs=0.1)] * 2
        await driver.press("l")
        await driver.fill(grid="20x30")
        await driver.press("ctrl+s")
        assert "fewer labels" in driver.text()
        await driver.fill(grid="many")
        await driver.press("ctrl+s")
        assert "3x8" in driver.text()


async def test_slabs_and_bodies_get_labels_too(sample_lab_file: Path, tmp_path: Path, documents: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1]) as driver:
        for noun, code in (("slab", "P3"), ("body", "B-01")):
            await find(driver, f"claybench:{noun}/{code}")
            await driver.press("l", "ctrl+s")
            assert code in text_of(documents / f"labels {noun} {code}.pdf")
