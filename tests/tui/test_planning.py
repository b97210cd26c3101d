"""Planning with keys only: a plan from an empty lab, wrong bounds, drafts, what is proposed for the sample."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.insight.plan.design.plan_file import parse_plan
from claybench.record.opening import open_lab
from claybench.terms import Batch, Body, BodyLine
from tests.sample import END, buff_plan, copy_lab
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow

BUFF = buff_plan("less shrinkage", 2, {"total_shrinkage_pct": (9, 10.5), "absorption_pct": (0, 4)})


def planned(folder: Path, text: str = BUFF, name: str = "buff.toml") -> Path:
    """A plan file beside the lab."""
    path = folder / "plans" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


async def line(driver: Driver, name: str, value: str) -> None:
    """One line of a table; Enter goes from the name to the value, and on to the next line."""
    await driver.write(name)
    await driver.tap("enter")
    await driver.write(value)
    await driver.press("enter")


async def test_a_plan_is_written_in_an_empty_lab_and_wrong_bounds_are_named(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        assert "7 Plan" in driver.text()
        await driver.press("7")
        assert "No plan yet" in driver.text()
        await driver.press("n")
        await driver.write("T")
        await driver.press("enter")
        await driver.write("f")
        await driver.tap("ctrl+n")
        await line(driver, "a", "9-30")
        await line(driver, "b", "0-40")
        said = driver.said("#said")
        assert "contradict each other" in said and "a at most 30" in said and "b at most 40" in said
        assert "✗ a at most 30: not with b at most 40" in driver.text()
        await driver.press("ctrl+s")
        assert "Not saved yet" in driver.said("#form-note")
        # Leaving half-way keeps every line of it; saving again goes to the first value that is wrong.
        await driver.press("escape", "n", "ctrl+s")
        assert "contradict each other" in driver.said("#said")
        await driver.write("00")
        await driver.press("ctrl+s")
        assert "9-3000" in driver.text() and "It runs from 0 to 100" in driver.text()
        await driver.press(*["backspace"] * 4, "9", "0", "ctrl+s")
        assert "6 bodies of f" in driver.said("#heading") and "Body 1" in driver.said("#facts")
        await driver.press("left")
        assert "No slab is kept for f" in driver.said("#said")
        await driver.press("escape")
        assert "t.toml" in driver.text()
    saved = parse_plan((lab_path.parent / "plans" / "t.toml").read_text(encoding="utf-8"))
    assert saved.materials == {"a": (9.0, 90.0), "b": (0.0, 40.0)} and saved.count == 6


async def test_a_line_is_taken_out_and_what_a_file_held_is_kept_beside_it(lab_path: Path) -> None:
    path = planned(lab_path.parent, "# my own words\n" + BUFF)
    async with opened(lab_path) as driver:
        await driver.press("7", "e")
        await driver.press("ctrl+n", "ctrl+n", "up", "up", "up", "ctrl+t", "ctrl+r")
        assert "10 bodies" not in driver.said("#said") and "The bounds agree" in driver.said("#said")
        await driver.press("ctrl+n", "ctrl+n", "up", "up", "up", "ctrl+t", "ctrl+s")
        await driver.press("escape")
    assert list(parse_plan(path.read_text(encoding="utf-8")).materials) == ["fire clay", "ball clay", "feldspar"]
    assert "# my own words" in path.with_name("buff.toml.before").read_text(encoding="utf-8")


async def test_a_file_that_is_no_plan_says_so_and_one_from_elsewhere_is_remembered(
    lab_path: Path, tmp_path: Path
) -> None:
    planned(lab_path.parent, "count = 0\n", "bad.toml")
    (tmp_path / "far").mkdir()
    far = tmp_path / "far" / "far.toml"
    far.write_text(BUFF.replace("less", "far less"), encoding="utf-8")
    async with opened(lab_path, (140, 40)) as driver:
        await driver.press("7")
        assert "✗" in driver.text() and "bad.toml" in driver.text()
        await driver.press("o")
        await driver.write(str(far))
        await driver.press("enter")
        assert "far less shrinkage" in driver.said("#heading")
        await driver.press("escape")
        assert "far less shrinkage" in driver.text() and "far.toml" in driver.text()


async def test_what_is_proposed_for_the_sample(sample_lab_file: Path, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    path = copy_lab(sample_lab_file, tmp_path / "own" / "lab.claybench")
    planned(path.parent)
    async with opened(path, start=END) as driver:
        await driver.press("7", "enter")
        facts = driver.said("#facts")
        assert "total shrinkage, %" in facts and "want 9-10.5" in facts and "●" in facts and "chance" in facts
        assert "again" in driver.text() and "B-01" in driver.text()
        bodies, calendar = driver.app.screen.tables()  # saved in full, whatever there is room for
        assert "fire clay (parts)" in bodies.headings and "total shrinkage, %, 90 % low" in bodies.headings
        assert calendar.rows and {len(row) for row in bodies.rows} == {len(bodies.headings)}
        await driver.press("w")
        assert "mean of 3 batches meets every target" in driver.text()
        await driver.press("escape", "right")
        drawn = driver.said("#drawn")
        assert "fire clay" in drawn and "chance to meet every target" in drawn and "held: " in drawn and "░" in drawn
        await driver.press("t", "v")
        assert (
            "total shrinkage, %" in driver.said("#drawn")
            and drawn.splitlines()[0] != driver.said("#drawn").splitlines()[0]
        )
        await driver.press("right")
        days = driver.said("#days")
        assert "Pour body 1" in days and "▼" in days and "Lift body 1" in days
        assert "batches" in driver.said("#said")
        # The same question has the same answer, though asked again.
        await driver.press("left", "left", "r")
        assert driver.said("#facts") == facts


async def test_a_set_is_made_with_one_key_followed_and_taken_back_as_one_act(
    sample_lab_file: Path, tmp_path: Path
) -> None:
    (tmp_path / "own").mkdir()
    path = copy_lab(sample_lab_file, tmp_path / "own" / "lab.claybench")
    planned(path.parent)
    async with opened(path, start=END) as driver:
        await driver.press("7", "enter")
        await driver.press("a")
        assert "B-11, B-12" in driver.text() and "feldspar takes" in driver.text() and "enough" in driver.text()
        await driver.fill(mixed_at="9am")
        assert "= Sat 26 Sep 09:00" in driver.text()  # END is a Friday afternoon
        await driver.fill(mass="1 kg", mixed_at="")
        await driver.press("ctrl+s")
        assert "2 designed" in driver.said("#heading") and "■□□□□" in driver.text() and "B-12-1" in driver.text()
        held = open_lab(path)
        with held.reading() as record:
            body, batch = record.one(Body, "B-11"), record.one(Batch, "B-11-1")
            lines = record.rows(BodyLine, body="B-11")
        assert (body.test_set, body.family) == ("less shrinkage", "buff") and (body.parent or "").startswith("B-")
        assert sum(line.parts for line in lines) == pytest.approx(100)
        assert batch.dry_mass_g == 1000.0 and batch.water_g and batch.mixed_at >= END
        # Its batch page, the weighing out, then back to the proposals, which say what was made.
        await driver.press("enter")
        assert "to be mixed" in driver.text()
        await driver.press("escape", "g")
        assert "FIRE CLAY" in driver.said("#target")
        await driver.press("escape", "escape")
        assert "made as" in driver.text() and "B-12" in driver.text()
        await driver.press("m")
        await driver.press("u")
        assert "made as" not in driver.text()
        with held.reading() as record:
            assert "B-11" not in record.codes(Body) and "B-12-1" not in record.codes(Batch)
        held.close()
        # One alone, marked, under a code of its own.
        await driver.press("down", "space", "up", "m")
        await driver.fill(bodies="mine")
        await driver.press("ctrl+s")
        assert "mine" in driver.text() and "mine-1" in driver.text()
        await driver.press("escape", "escape")
        assert "1 designed" in driver.text()


async def test_text_of_a_plan_is_shown_as_typed(lab_path: Path) -> None:
    nasty = "[/b] [red] [/"
    bounds = f'''"{nasty}" = [20, 80]\n"b [/i]" = [20, 80]\nc = [0, 60]\n'''
    planned(lab_path.parent, f'title = "{nasty}"\nfamily = "{nasty}"\ncount = 1\n[materials]\n{bounds}')
    async with opened(lab_path, (140, 40)) as driver:
        for keys in (["7"], ["enter"], ["right"], ["left", "m"], ["ctrl+s"], ["ctrl+y"]):
            await driver.press(*keys)
            assert "[/b]" in driver.text(), keys
        await driver.press("escape", "e")
        assert "[/b]" in driver.text() and '"b [/i]" = [20, 80]' in driver.said("#said")
