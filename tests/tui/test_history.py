"""The history in the book: Enter shows what an act changed, d takes it back; nothing is undone by looking."""

from __future__ import annotations

from pathlib import Path

from claybench.record import acts, open_lab
from claybench.terms import Family
from claybench.work.common import correct
from claybench.work.recipes import add_family
from tests.tui.driver import SIZES, opened


async def test_looking_at_an_act_changes_nothing(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_family(lab, Family(family="buff"))
    correct(lab, Family, "buff", {"stain_rank": 2})
    lab.close()
    async with opened(lab_path, SIZES[0]) as driver:
        await driver.press("6", "left", "enter")
        assert "changed family buff: stain rank – → 2" in driver.text()
        await driver.press("escape")
        with driver.app.lab.reading() as record:
            before = len(acts(record))
        assert "takes back" not in driver.text()
        await driver.press("d")
        assert "takes back" in driver.text()
        with driver.app.lab.reading() as record:
            assert len(acts(record)) == before + 1 and record.one(Family, "buff").stain_rank is None
        await driver.press("left", "d")
        assert "A setting is changed, not deleted" in driver.text()
