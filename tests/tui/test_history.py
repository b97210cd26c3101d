"""The history in the book: Enter shows what an act changed, d takes it back; nothing is undone by looking."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.record.history import list_acts
from claybench.record.opening import open_lab
from claybench.terms import Family
from claybench.work.any_row import correct_row
from claybench.work.recipes import add_family
from tests.tui.driver import SIZES, opened


async def test_looking_at_an_act_changes_nothing(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_family(lab, Family(family="buff"))
    correct_row(lab, Family, "buff", {"stain_rank": 2})
    lab.close()
    async with opened(lab_path, SIZES[0]) as driver:
        await driver.press("6", "left", "enter")
        assert "changed family buff: stain rank – → 2" in driver.text()
        await driver.press("escape")
        with driver.app.lab.reading() as record:
            before = len(list_acts(record))
        assert "takes back" not in driver.text()
        await driver.press("d")
        assert "takes back" in driver.text()
        with driver.app.lab.reading() as record:
            assert len(list_acts(record)) == before + 1 and record.one(Family, "buff").stain_rank is None
        await driver.press("left", "d")
        assert "A setting is changed, not deleted" in driver.text()


@pytest.mark.parametrize(
    ("line", "left"), [(2, {"white", "red"}), (0, {"buff", "white"})], ids=["the oldest", "the newest"]
)
async def test_undo_after_an_act_was_taken_back_in_the_history_does_that_one_again(
    lab_path: Path, line: int, left: set[str]
) -> None:
    lab = open_lab(lab_path)
    for name in ("buff", "white", "red"):
        add_family(lab, Family(family=name))
    lab.close()

    async with opened(lab_path, SIZES[0]) as driver:

        def families() -> set[str]:
            with driver.app.lab.reading() as record:
                return {row.family for row in record.rows(Family)}

        await driver.press("6", "left", *["down"] * line, "d")
        assert families() == left and "Took back: " in driver.text()
        await driver.press("u")
        assert families() == {"buff", "white", "red"} and "Did again: " in driver.text()
        await driver.press("U")
        assert families() == left and "Took back: " in driver.text()
        await driver.press("u")
        await driver.press("u", "u", "u")
        assert families() == set()
        await driver.press("U", "U", "U")
        assert families() == {"buff", "white", "red"}
        await driver.press("U")
        assert families() == left


async def test_what_another_bench_did_is_taken_back_in_the_history_only_and_comes_back(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_family(lab, Family(family="mine"))
    lab.bench = "another bench"
    add_family(lab, Family(family="theirs"))
    lab.close()
    async with opened(lab_path, SIZES[0]) as driver:

        def families() -> set[str]:
            with driver.app.lab.reading() as record:
                return {row.family for row in record.rows(Family)}

        await driver.press("6", "left", "d")
        assert families() == {"mine"}
        await driver.press("u")
        assert families() == {"mine", "theirs"}
        await driver.press("u", "u")
        assert families() == {"theirs"}
