"""Which of my bodies: a line answered while it is typed, a form, kept questions, and handing over to the comparison."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from claybench.record.opening import open_lab
from claybench.terms import Body, Family
from claybench.tui.table_view import TableView
from claybench.work.recipes import add_body, add_family
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow

LINE = "buff family, cone 6, absorption under 3, since March"


def codes(driver: Driver) -> list[str]:
    return list(dict.fromkeys(row.cells[1] for row in driver.app.screen.query_one(TableView).rows))


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
async def test_a_line_is_answered_while_it_is_typed(
    sample_lab_file: Path, tmp_path: Path, size: tuple[int, int]
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, size, END) as driver:
        await driver.press("5", "a")
        assert "every body: 30 of 30 bodies" in driver.said("#understood")
        await driver.write(LINE)
        await driver.settle()
        assert "absorption under 3 %; made since 1 Mar 2026: 4 of 30 bodies" in driver.said("#understood")
        answered = codes(driver)
        assert answered == ["B-05", "B-06", "B-07", "B-10"] and "2.4 (1)" in driver.text()
        await driver.write(", famly white")
        await driver.settle()
        assert "Did you mean family?" in driver.text() and codes(driver) == answered  # the last answer stays
        await driver.press("enter", "c")  # from the list: compare these
        heading = driver.said("#heading")
        assert all(code in heading for code in answered)
        await driver.press("escape", "a")
        await driver.clear()
        await driver.press("escape")  # an empty line is no question
        assert len(codes(driver)) == 30 and "absorbs" not in driver.text()


async def test_the_form_writes_the_same_line_and_says_what_is_wrong(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[1], END) as driver:
        await driver.press("5", "f")
        await driver.fill(family="bluff", absorption_pct="under 3")
        assert "Did you mean buff?" in driver.text() and "= under 3 %" in driver.text()
        await driver.press("ctrl+s")
        assert "cannot be saved" in driver.text()
        await driver.fill(family="buff", cone="6", since="March")
        await driver.press("ctrl+s")
        line = driver.app.screen.query_one("#question", Input).value
        assert line == "family buff, cone 6, absorption under 3, since 2026-03-01"
        assert codes(driver) == ["B-05", "B-06", "B-07", "B-10"]


async def test_a_question_is_kept_asked_again_renamed_and_deleted(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("5", "s")
        assert any("no question to keep" in note.message for note in driver.app._notifications)
        await driver.press("a")
        await driver.write("cone 6, absorption under 1")
        await driver.press("enter", "s")
        await driver.fill(name="tight [/b]")
        await driver.press("ctrl+s", "a")
        await driver.clear()
        await driver.press("escape", "o")
        assert "tight [/b]" in driver.text() and "cone 6, absorption under 1" in driver.text()
        await driver.press("r")
        await driver.fill(name="tight")
        await driver.press("ctrl+s", "enter")
        assert "absorption under 1 %" in driver.text() and codes(driver) == ["W-08"]
        await driver.press("o", "d")
        assert "No question is kept yet" in driver.text()
        await driver.press("u")
        assert "tight" in driver.text()


async def test_names_are_shown_as_typed_and_an_empty_lab_says_what_to_do(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("5", "a")
        await driver.write("family x")
        await driver.settle()
        assert "this lab has no families yet" in driver.text()
    lab = open_lab(lab_path)
    add_family(lab, Family(family="[/b]"))
    add_body(lab, Body(body="[/b]", title="[/b]", family="[/b]"), [("kaolin", 100.0)])
    lab.close()
    async with opened(lab_path) as driver:
        await driver.press("5", "a")
        await driver.write("family [/b]")
        await driver.settle()
        assert "[/b] family: 1 of 1 bodies" in driver.said("#understood")
