"""The screen paints before the record, keeps drafts, shows text as typed, undoes, and says what went wrong."""

from __future__ import annotations

import asyncio
import json
import threading
from datetime import datetime
from pathlib import Path

import pytest

from claybench.ask.bench import bench_now
from claybench.errors import CannotOpen
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import TABLE_OF, Body, Family, Material, Slab
from claybench.tui.app import NotebookApp
from claybench.tui.book.book_pages import BOOK_PAGES
from claybench.tui.drafts import Drafts
from claybench.tui.keys import PLACES
from claybench.tui.place import Place
from claybench.tui.table_view import TableColumn, TableRow, TableView
from claybench.work.recipes import add_body, add_family, add_material
from claybench.work.slabs import enter_slab
from tests.sample import END, copy_lab
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow

NASTY = "[/b] [red] [/"


async def test_the_first_screen_is_painted_before_the_record_is_opened(lab_path: Path) -> None:
    may_open = threading.Event()

    def slow() -> Lab:
        may_open.wait(20)
        return open_lab(lab_path)

    app = NotebookApp(opener=slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = "\n".join("".join(part.text for part in strip) for strip in app.screen._compositor.render_strips())
        assert "[1 Bench]" in shown and "opening the lab" in shown
        assert not app.opened.is_set()
        may_open.set()
        await app.opened.wait()
        await app.workers.wait_for_complete()


async def test_a_screen_that_comes_later_names_the_lab_at_once(lab_path: Path) -> None:
    class Waiting(Place):
        def look_again(self) -> None:
            """Its answer is long in coming."""

        def tick(self, now: datetime) -> None:
            """So is the second."""

    async with opened(lab_path) as driver:
        await driver.app.push_screen(Waiting())
        assert "Test lab" in driver.said("#top") and "opening" not in driver.said("#top")


async def test_a_lab_that_does_not_open_says_why(tmp_path: Path) -> None:
    broken = tmp_path / "notes.txt"
    broken.write_text("no lab at all")
    app = NotebookApp(str(broken))
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(5):
            await pilot.pause()
            await app.workers.wait_for_complete()
        assert isinstance(app.failed, CannotOpen)
        assert app.screen.__class__.__name__ == "FailedScreen"
    assert broken.read_text() == "no lab at all"


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "140x40"])
@pytest.mark.parametrize("place", ["1", "2", "3", "4", "5", "6", "7"])
async def test_every_place_has_help_and_shows_the_sample(
    sample_lab_file: Path, tmp_path: Path, size: tuple[int, int], place: str
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, size, END) as driver:
        await driver.press(place)
        if place == "3":
            await driver.press("escape")
        assert f"[{place} " in driver.text()
        await driver.press("f1")
        assert "Everywhere" in driver.text() or "Help" in driver.text()
        await driver.press("escape")
        assert f"[{place} " in driver.text()


async def test_text_is_shown_as_typed_everywhere(lab_path: Path) -> None:
    lab = open_lab(lab_path)
    add_family(lab, Family(family=NASTY))
    add_material(lab, Material(material=NASTY, caution=NASTY))
    add_body(lab, Body(body=NASTY, title=NASTY, family=NASTY, note=NASTY), [(NASTY, 100.0)])
    slab = Slab(slab=NASTY, family=NASTY, length_mm=500, width_mm=400, thickness_mm=45, note=NASTY)
    enter_slab(lab, slab, at=END, mass_g=12_000)
    lab.close()
    async with opened(lab_path, (140, 40)) as driver:
        assert "[/b]" in driver.text()
        for keys in (["2"], ["enter"], ["escape", "5"], ["enter"], ["escape", "c"], ["escape", "n"], ["escape", "3"]):
            await driver.press(*keys)
            assert "[/b]" in driver.text(), keys
        await driver.press("escape", "6")
        for _ in BOOK_PAGES[1:]:
            await driver.press("right")
        assert "[/b]" in driver.text()
        await driver.press("5", "enter", "e", "ctrl+s")
        await driver.press("escape", "ctrl+p")
        await driver.write("[/b")
        await driver.settle()
        await driver.press("escape")


async def test_what_was_typed_is_kept_as_a_draft_and_comes_back(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("2", "e")
        await driver.fill(slab="OLD-1", length_mm="20 in")
        await driver.press("escape", "e")
        assert "OLD-1" in driver.text() and "= 508 mm" in driver.text()
        assert "Your draft is back" in driver.text()
        await driver.press("ctrl+r")
        assert "OLD-1" not in driver.text()


def test_a_damaged_draft_is_passed_over(tmp_path: Path) -> None:
    drafts = Drafts("a lab")
    drafts.keep("form", {"a": "1"})
    assert drafts.load("form") == {"a": "1"}
    for text in ("{", "[]", json.dumps({"a": 1})):
        drafts._path("form").write_text(text)
        assert drafts.load("form") in ({}, {"a": "1"})
    drafts.keep("form", {"a": ""})
    assert not drafts._path("form").exists()


async def test_a_wrong_entry_says_why_beside_the_field_and_stays(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("2", "e")
        await driver.fill(slab="P1", length_mm="1 pint")
        await driver.press("ctrl+s")
        text = driver.text()
        assert "1 pint" in text and "✗" in text
        assert "cannot be saved yet" in text
        lab = driver.app.lab
    with open_lab(lab_path).reading() as record:
        assert record.count(Slab) == 0
    lab.close()


async def test_undo_and_redo_by_key(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("2", "e")
        await driver.fill(slab="P1", length_mm="50 cm", width_mm="40 cm", thickness_mm="4.5 cm", mass_g="12 kg")
        await driver.press("ctrl+s")
        assert "P1" in driver.text()
        await driver.press("u")
        assert "No slab yet" in driver.text()
        await driver.press("U")
        assert "P1" in driver.text()


async def test_impossible_readings_are_asked_about_and_kept(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, (80, 24), END) as driver:
        await driver.press("4", "m")
        while "dry length" not in driver.said("#reading-name"):
            await driver.press("ctrl+n")
        code = driver.app.screen.query_one(TableView).record
        await driver.write("104")
        await driver.press("enter")
        assert "grew" in driver.text()
        await driver.press("ctrl+y")
        assert "is saved" in driver.said("#said")
    lab = open_lab(path)
    from claybench.ask.pieces import piece_page

    page = piece_page(lab, code)
    assert page.piece.dry_mm == 104.0
    assert any("grew" in asked.text for asked in page.lines[0].questions)
    lab.close()


async def test_a_bell_when_a_touch_is_due(
    sample_lab_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, (80, 24), END) as driver:
        rung: list[bool] = []
        monkeypatch.setattr(driver.app, "bell", lambda: rung.append(True))
        driver.clock.forward(30)
        waiting = bench_now(driver.app.lab).due
        late = [each for each in waiting if each.kind == "touch" and each.overdue(driver.clock())]
        assert late
        for _ in range(2):  # once for each, not every second
            driver.app._tick()
            await driver.settle()
            assert len(rung) == len(late)
        assert "now    touch" in driver.text()


async def test_the_sheet_holds_a_hundred_thousand_rows(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("4")  # the bench fills its lines anew each second
        sheet = driver.app.screen.query_one(TableView)
        drawn: list[int] = []
        original = sheet.render_line
        sheet.render_line = lambda y: (drawn.append(y), original(y))[1]  # type: ignore[method-assign]
        sheet.fill(
            [TableRow((f"row {n}", NASTY), n) for n in range(100_000)], [TableColumn("a", 12), TableColumn("b", 20)]
        )
        await driver.press("end")
        assert "row 99999" in driver.text()
        assert len(drawn) < 1000


def test_every_key_is_declared_once_and_explained() -> None:
    for place, (_, keys) in PLACES.items():
        ids = [key.id for key in keys]
        assert len(ids) == len(set(ids)), place
        pressed = [one for key in keys for one in key.key.split(",")]
        assert len(pressed) == len(set(pressed)), place
        assert all(key.help for key in keys)
        assert not any(one.startswith("ctrl+alt") for one in pressed)


async def test_resizing_and_closing_half_way_loses_nothing(lab_path: Path) -> None:
    async with opened(lab_path, (140, 40)) as driver:
        await driver.press("2", "e")
        await driver.fill(slab="P9", length_mm="450")
        await driver.pilot.resize_terminal(80, 24)
        await driver.settle()
        assert "P9" in driver.text()
    async with opened(lab_path) as driver:
        await driver.press("2", "e")
        assert "P9" in driver.text()


def test_tables_of_the_form_are_those_of_the_record() -> None:
    """Labels come from the dictionary, so that screen and folder speak of the same thing."""
    from claybench.acts.field import ActField

    for column in TABLE_OF[Slab].columns:
        assert ActField.of_column(Slab, column.name).label == column.label


async def test_two_benches_see_each_other(lab_path: Path) -> None:
    async with opened(lab_path) as driver:
        await driver.press("5")
        other = open_lab(lab_path)
        await asyncio.to_thread(add_body, other, Body(body="X-1"), [])
        other.close()
        await driver.app._look_for_others()
        await driver.settle()
        assert "X-1" in driver.text()


async def test_the_mouse_goes_to_places_and_opens_lines(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, (80, 24), END) as driver:
        await driver.pilot.click("#tabs", offset=(13, 0))
        await driver.settle()
        assert "[2 Slabs]" in driver.text()
        for _ in range(2):  # the first click puts the line there, the second opens it
            await driver.pilot.click("#list", offset=(4, 2))
            await driver.settle()
        assert "Slab P2" in driver.said("#heading")


async def test_a_list_is_filtered_by_letters_and_kept(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "lab.claybench")
    async with opened(path, (140, 40), END) as driver:
        for place, letters, shown, gone in (("5", "buff", "B-01", "W-01"), ("6", "W-1", "W-10", "B-01-1")):
            await driver.press(place, "slash")
            await driver.write(letters)
            await driver.press("enter")
            lines = driver.text().splitlines()[3:]
            assert any(shown in line for line in lines)
            assert not any(gone in line for line in lines)


async def test_a_piece_is_traced_back_and_forward(sample_lab_file: Path, tmp_path: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    async with opened(path, start=END) as driver:
        await driver.press("4")  # each list is there before a line of it is opened
        await driver.press("enter")
        await driver.press("t")
        said = driver.text()
        assert "Trace of" in said and "batch" in said and "slab" in said
        await driver.press("escape", "2")
        await driver.press("enter")
        await driver.press("c")
        assert "Trace of P1" in driver.text() and "newest first" in driver.text()


async def test_a_tick_after_the_widgets_are_gone_harms_nothing(sample_lab_file: Path, tmp_path: Path) -> None:
    """The clock goes on for a moment while claybench closes."""
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    async with opened(path, start=END) as driver:
        await driver.app.screen.query_one("#slabs").remove()
        driver.app._tick()
        await driver.settle()
        assert driver.app.is_running
