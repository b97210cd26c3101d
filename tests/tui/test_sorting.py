"""Tables on the screen are sorted by any column, either way, what is missing last."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from textual.widgets import Input

from claybench.insight.slab_condition.verdict import READINESS
from claybench.quantity.shown import natural_key
from claybench.tui.display_text import NOTHING, CellText, moment_text, number_text
from claybench.tui.row_order import RowOrder, sort_rows
from claybench.tui.table_view import TableRow, TableView
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, Driver, opened

pytestmark = pytest.mark.slow


def texts(*cells: str, falling: bool = False) -> list[str]:
    rows = [TableRow((cell,), place) for place, cell in enumerate(cells)]
    return [row.cells[0] for row in sort_rows(rows, RowOrder(0, falling))]


def test_numbers_by_their_size_texts_with_numbers_in_them_and_days_by_the_calendar() -> None:
    assert texts(number_text(1200), number_text(None), number_text(95.5), number_text(1300)) == [
        "95.5",
        "1 200",
        "1 300",
        NOTHING,
    ]
    assert texts(number_text(1200), NOTHING, number_text(95.5), "", falling=True) == ["1 200", "95.5", NOTHING, ""]
    assert texts("B-10", "b-2", "A") == ["A", "b-2", "B-10"]
    days = [
        moment_text(date(2026, 3, 12)),
        moment_text(date(2025, 12, 1)),
        moment_text(datetime(2026, 1, 5, 8, tzinfo=UTC)),
    ]
    assert texts(*days) == [days[1], days[2], days[0]]
    assert texts("3", NOTHING, "12", "3") == ["3", "3", "12", NOTHING]


def test_words_with_a_place_of_their_own_stand_by_it() -> None:
    verdicts = [CellText(word, word, rank=READINESS.index(word)) for word in ("suspect", "damp", "saturated", "ready")]
    assert texts(*verdicts, NOTHING) == ["ready", "damp", "saturated", "suspect", NOTHING]
    assert texts(*verdicts, NOTHING, falling=True) == ["suspect", "saturated", "damp", "ready", NOTHING]


def test_equal_lines_stay_as_they_were_either_way() -> None:
    rows = [TableRow((text, str(place)), place) for place, text in enumerate("abab")]
    for falling, expected in ((False, "0213"), (True, "1302")):
        assert "".join(row.cells[1] for row in sort_rows(rows, RowOrder(0, falling))) == expected
    assert sort_rows(rows, RowOrder()) == rows


def test_steps_go_through_the_columns_and_back_to_none() -> None:
    order, seen = RowOrder(), []
    for _ in range(4):
        order = order.step(1, 3)
        seen.append(order.column)
    assert seen == [0, 1, 2, None] and RowOrder().step(-1, 3) == RowOrder(2)
    assert [RowOrder().clicked(1), RowOrder(1).clicked(1), RowOrder(1, True).clicked(1)] == [
        RowOrder(1),
        RowOrder(1, True),
        RowOrder(),
    ]


def column(driver: Driver, at: int) -> list[str]:
    return [row.cells[at] for row in driver.app.screen.query_one(TableView).rows]


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
async def test_pieces_are_sorted_by_keys_and_by_a_heading(
    sample_lab_file: Path, tmp_path: Path, size: tuple[int, int]
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, size, END) as driver:
        await driver.press("4")
        sheet = driver.app.screen.query_one(TableView)
        titles = [each.title for each in sheet.columns]
        total, here = titles.index("total %"), sheet.record
        for _ in range(total + 1):
            await driver.press("greater_than_sign")
        assert "↑total" in driver.text()
        known = [cell.value for cell in column(driver, total) if cell != NOTHING]  # type: ignore[attr-defined]
        assert known == sorted(known) and len(known) > 50
        assert column(driver, total)[len(known) :] == [NOTHING] * (len(sheet.rows) - len(known))
        assert sheet.record == here  # the cursor goes with its line
        await driver.press("equals_sign")
        assert "↓total" in driver.text() and column(driver, total)[: len(known)] != [NOTHING] * len(known)
        await driver.press("less_than_sign", "greater_than_sign", "greater_than_sign")
        assert titles[sheet.order.column or 0] == titles[total + 1]
        await driver.pilot.click(TableView, offset=(3, 0))
        await driver.settle()
        assert sheet.order == RowOrder(0) and "↑piece" in driver.text()
        await driver.press("slash")  # filtered lines keep the order
        await driver.write("F-01")
        await driver.settle()
        codes = column(driver, 0)
        assert codes == sorted(codes, key=natural_key) and 3 < len(codes) < len(sheet._all)


async def test_a_sign_typed_into_a_field_sorts_nothing(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, SIZES[0], END) as driver:
        await driver.press("5", "slash")
        await driver.press("greater_than_sign")
        assert driver.app.screen.query_one(TableView).order == RowOrder()
        assert driver.app.screen.query_one("#filter", Input).value == ">"
