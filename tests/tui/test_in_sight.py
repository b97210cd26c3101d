"""A list never hides the line the cursor is on."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.geometry import Size

from claybench.record.opening import open_lab
from claybench.terms import Family, Slab
from claybench.tui.table_view import TableView
from claybench.work.recipes import add_family
from claybench.work.slabs import enter_slab
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow

SMALL = (60, 20)


@pytest.fixture
def many(lab_path: Path) -> Path:
    """Ninety families, and forty slabs none of which was weighed."""
    lab = open_lab(lab_path)
    for number in range(90):
        add_family(lab, Family(family=f"F-{number}", note="odd" if number % 2 else "even"))
    for number in range(40):
        slab = Slab(slab=f"S-{number}", length_mm=500, width_mm=400, thickness_mm=45)
        enter_slab(lab, slab, at=END, mass_g=12_000)
    lab.close()
    return lab_path


async def resize(driver: Driver, size: tuple[int, int]) -> None:
    """Another size of the terminal."""
    await driver.pilot.resize_terminal(*size)
    await driver.settle()
    assert driver.app.size == Size(*size)


def in_sight(driver: Driver, sheet: TableView) -> bool:
    """Whether the line of the cursor is drawn, with its mark, below the head."""
    line = sheet.rows[sheet.cursor].cells[0]
    top = sheet.content_region.y
    shown = driver.text().splitlines()[top + 1 : top + sheet.size.height]
    return any(row.startswith(("> ", "· ")) and line in row for row in shown)


async def _wander(driver: Driver, sheet: TableView) -> None:
    for keys in (["end"], ["up"] * 3, ["pageup"], ["up"] * 30, ["home"], ["down"] * 25, ["pagedown"], ["up"] * 22):
        for key in keys:
            await driver.tap(key)
            assert in_sight(driver, sheet), (key, sheet.cursor, sheet.scroll_offset)


@pytest.mark.parametrize("size", [*SIZES, SMALL], ids=["80x24", "140x40", "60x20"])
@pytest.mark.parametrize("place", ["bench", "slabs", "families"])
async def test_wherever_the_cursor_goes_its_line_is_seen(many: Path, size: tuple[int, int], place: str) -> None:
    async with opened(many, size, END) as driver:
        await driver.press(*{"bench": ["1"], "slabs": ["2"], "families": ["6", *["right"] * 3]}[place])
        await _wander(driver, driver.app.screen.query(TableView).first())


@pytest.mark.parametrize(
    "keys", [["end"], ["home", *["down"] * 20], ["end", *["up"] * 12]], ids=["end", "middle", "up"]
)
async def test_another_size_of_the_terminal_hides_no_line(many: Path, keys: list[str]) -> None:
    async with opened(many, SIZES[1], END) as driver:
        for place in ("1", "2", "6"):
            await driver.press(place, *(["right"] * 3 if place == "6" else []), *keys)
            sheet = driver.app.screen.query(TableView).first()
            here = sheet.record
            for size in (SIZES[0], SMALL, SIZES[1], SMALL, SIZES[0], SIZES[1]):
                await resize(driver, size)
                assert sheet.record == here and in_sight(driver, sheet), (place, size)


async def test_filter_sort_and_a_newer_look_hide_no_line(many: Path) -> None:
    async with opened(many, SIZES[0], END) as driver:
        await driver.press("6", *["right"] * 3, "end")
        sheet = driver.app.screen.query_one(TableView)
        here = sheet.record
        assert here == "F-89"
        for keys in (["equals_sign"], ["equals_sign"], ["greater_than_sign"], ["less_than_sign"], ["slash", *"odd"]):
            await driver.press(*keys)
            assert sheet.record == here and in_sight(driver, sheet), keys
        await driver.press(*["backspace"] * 3, "enter")
        assert sheet.record == here and in_sight(driver, sheet)
        add_family(driver.app.lab, Family(family="A-1"))
        await driver.app.record_changed()
        await driver.settle()
        assert sheet.record == here and in_sight(driver, sheet)


async def test_what_is_due_shows_its_line_whatever_room_it_is_given(sample_lab_file: Path, tmp_path: Path) -> None:
    async with opened(copy_lab(sample_lab_file, tmp_path / "lab.claybench"), SIZES[1], END) as driver:
        await driver.press("d", "end")
        due = driver.app.screen.query_one("#due", TableView)
        assert len(due.rows) > 4
        for size in (SIZES[0], SMALL, SIZES[1], SMALL):
            await resize(driver, size)
            assert in_sight(driver, due), size
        await _wander(driver, due)


async def test_the_mouse_takes_the_cursor_along(many: Path) -> None:
    async with opened(many, SIZES[0], END) as driver:
        await driver.press("6", *["right"] * 3)
        sheet = driver.app.screen.query_one(TableView)
        for _ in range(12):
            await driver.pilot._post_mouse_events([_wheel()], sheet, offset=(3, 3))
            await driver.settle()
            assert in_sight(driver, sheet)
        assert sheet.cursor > 0


def _wheel() -> type:
    from textual.events import MouseScrollDown

    return MouseScrollDown


@pytest.mark.parametrize("size", SIZES)
async def test_a_long_name_is_shown_whole_where_there_is_room(lab_path: Path, size: tuple[int, int]) -> None:
    lab = open_lab(lab_path)
    enter_slab(
        lab, Slab(slab="P1", family="white stoneware", length_mm=400.0, width_mm=300.0, thickness_mm=50.0), at=END
    )
    lab.close()
    async with opened(lab_path, size=size) as driver:
        assert "white stoneware" in driver.text()


async def test_a_cell_beside_the_scrollbar_says_that_it_is_cut(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("5")
        lines = [line for line in driver.text().splitlines() if "fire clay" in line]
        assert len(lines) >= 10 and all("…" in line[70:] for line in lines), lines
