"""Where faulty rows are told: bench, slabs, a page of the book that corrects them, a command; what an import keeps."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from claybench.__main__ import main
from claybench.exchange.folder_in import import_folder
from claybench.record.lab import Lab
from claybench.terms import TABLES
from tests.odd.holding import holding, make, row_ids
from tests.odd.small_lab import NOW
from tests.odd.values import Odd, odd_values
from tests.tui.driver import opened

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make(tmp_path_factory.mktemp("told") / "odd.claybench")


@pytest.fixture
def path(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(made, tmp_path / "odd.claybench"))


def spoil(path: Path) -> list[tuple[Odd, int]]:
    """A slab of no length and a lot that is all water."""
    ids = row_ids(path)
    return [
        (Odd("slabs", "length_mm", {"length_mm": 0.00001}), ids["slabs"][1]),
        (Odd("lots", "moisture_pct", {"moisture_pct": 100.0}), ids["lots"][0]),
    ]


def test_commands_tell_and_answer(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with holding(path, spoil(path)):
        assert main(["--lab", str(path), "slabs", "--json"]) == 0
        said = capsys.readouterr()
        assert [each["slab"] for each in json.loads(said.out)] == ["P1", "P3", "P4"]
        assert said.err == "1 row cannot be used as it stands: slab P2. See: claybench faulty\n"
        assert main(["--lab", str(path), "faulty", "--json"]) == 0
        found = json.loads(capsys.readouterr().out)
        assert [(each["table"], each["key"], each["column"], each["left_out"]) for each in found] == [
            ("lots", {"lot": "FC-1"}, "moisture_pct", False),
            ("slabs", {"slab": "P2"}, "length_mm", True),
        ]
        assert main(["--lab", str(path), "faulty"]) == 0
        assert "moisture is 100 %; it must be at least 0 and at most 99.9" in capsys.readouterr().out


async def test_the_bench_tells_and_the_book_corrects(path: Path) -> None:
    with holding(path, spoil(path)):
        async with opened(path, start=NOW) as driver:
            assert "1 row cannot be used as it stands: slab P2: ! shows why" in driver.text()
            await driver.press("exclamation_mark")
            assert "[Faulty]" in driver.text() and "lot FC-1" in driver.text() and "slab P2" in driver.text()
            await driver.press("down", "enter")
            await driver.fill(length_mm="400")
            await driver.press("ctrl+s")
            assert "lot FC-1" in driver.text() and "it must be at least 1 and" not in driver.text()
            await driver.press("1")
            assert "cannot be used" not in driver.text()


async def test_opening_a_row_that_is_left_out_opens_its_entries(path: Path) -> None:
    with holding(path, spoil(path)):
        async with opened(path, start=NOW) as driver:
            await driver.app.open_record("slabs", "P2")
            await driver.settle()
            assert "Correct slab P2" in driver.text()


def test_settings_are_kept_as_they_are_understood(lab: Lab, tmp_path: Path) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "settings.csv").write_text("name,value\nbag_g,30 kg\nbench_from,8:30\n", encoding="utf-8")
    import_folder(lab, folder)
    assert (lab.setting("bag_g"), lab.setting("bench_from")) == ("30000", "08:30")


def test_a_lab_with_a_value_past_its_checks_is_opened(path: Path) -> None:
    odd = Odd("slabs", "thickness_mm", {"thickness_mm": -4.0})
    with holding(path, [(odd, row_ids(path)["slabs"][0])]):
        assert main(["--lab", str(path), "slabs"]) == 0


async def test_every_place_opens_on_a_lab_of_odd_values(path: Path) -> None:
    """The last odd value of each column of each table, in a row of its own where there are enough."""
    ids, held = row_ids(path), list[tuple[Odd, int]]()
    for table in TABLES.values():
        for number, column in enumerate(table.columns):
            values = list(odd_values(table, column))
            if values and table.name != "settings":
                held.append((values[-1], ids[table.name][number % len(ids[table.name])]))
    with holding(path, held):
        async with opened(path, start=NOW) as driver:
            for key in "1234567":
                await driver.press(key)
                assert driver.app.mishaps == []
                await driver.press("escape")
            await driver.press("6")
            for _ in range(9):
                await driver.press("right")
                assert driver.app.mishaps == []
