"""Reading a spreadsheet's table in on the screen: every step by keys, faults shown, one act, undone, nothing lost."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from claybench.exchange.reading import table_import
from claybench.exchange.reading.mapping import save_mapping
from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchLine, Body, Fired, Piece, Slab
from claybench.tui.table_view import TableView
from claybench.work.recipes import add_body
from tests.sample import END
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow

BARS = (
    "Prüfstäbe der dritten Reihe;;;;;;\r\n\r\n"
    "Bar;Date;Wet length (cm);Firing;Fired length (cm);Shape;Remarks\r\n"
    "801;03.04.2025;10,05;F-1;8,8;Stab;[/b]=1\r\n"
    "802;25.04.2025;10;F-1;;Stab;\r\n"
)


@pytest.fixture
def shop(lab_path: Path) -> Path:
    """A lab with a batch."""
    lab = open_lab(lab_path)
    add_body(lab, Body(body="B-1"), [("kaolin", 100.0)])
    with lab.acting("a batch") as act:
        act.add(Batch(batch="X-1", body="B-1", mixed_at=END))
        act.add(Slab(slab="P1", length_mm=500, thickness_mm=45))
    lab.close()
    return lab_path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where files are looked for first."""
    found = tmp_path / "documents" / "claybench"
    (found / "old book").mkdir(parents=True)
    (found / "old book" / "bars.csv").write_bytes(BARS.encode("cp1252"))
    (found / "picture.png").write_bytes(b"\x89PNG")
    return found


async def to_columns(driver: Driver) -> None:
    """Choose the file by letters, and say that a row is a piece."""
    await driver.press("R")
    assert "picture" not in driver.text()
    await driver.write("old")
    await driver.press("enter")
    await driver.write("bars")
    await driver.press("enter")
    assert "What is a row of this file?" in driver.text()
    await driver.write("with its m")
    await driver.press("enter")


async def test_a_table_is_read_in_step_by_step(shop: Path, folder: Path) -> None:
    async with opened(shop) as driver:
        await to_columns(driver)
        text = driver.text()
        assert "[Columns]" in text and "plastic length" in text and "10,05" in text
        assert "needed" in text  # the batch, which no column says
        assert "faults" in driver.said("#said") and "cp1252" in driver.said("#said")
        await driver.press("end", "enter")
        await driver.fill(batch="X-1")
        await driver.press("ctrl+s")
        assert "every row" in driver.text()
        # what is wrong: a word of another tongue, a firing that is not there
        await driver.press("right", "right")
        assert "Stab" in driver.text() and "Faults 4" in driver.text()
        await driver.press("ctrl+s")
        assert "[Faults 4]" in driver.text()
        await driver.press("end", "enter")  # from the fault to the column it stands in
        assert "[Columns]" in driver.text() and driver.app.screen.query_one(TableView).record.name == "Shape"
        await driver.press("e")
        await driver.fill(words="Stab = bar")
        await driver.press("ctrl+s", "o")
        await driver.go_to("f-name_new")
        await driver.press("left", "ctrl+s", "right")
        said = driver.said("#said")
        assert "Nothing is wrong" in said and "piece 801" in said and "plastic length 100.5 mm" in said
        assert "✗" not in driver.text()
        await driver.press("ctrl+s")
        assert "u takes it back" in driver.text() and "[1 Bench]" in driver.text()
        with driver.app.lab.reading() as record:
            first, second = record.rows(Piece)
            assert (first.piece, first.batch, first.shape, first.note) == ("801", "X-1", "bar", "[/b]=1")
            assert (first.formed_at, second.plastic_mm) == (first.formed_at, 100.0)
            assert [row.fired_mm for row in record.rows(Fired)] == [88.0, None]
        await driver.press("u")
        with driver.app.lab.reading() as record:
            assert record.count(Piece) == 0


async def test_what_is_asked_is_answered_and_the_sound_rows_are_taken(shop: Path, folder: Path) -> None:
    (folder / "inches.csv").write_text(
        "Bar,Batch,Wet length,Dry length\n1,X-1,4.00,3.75\n2,X-1,3.75,4.00\n3,X-1,4.00,3.80\n4,X-9,4.00,3.75\n"
    )
    async with opened(shop, (140, 40)) as driver:
        await driver.press("R")
        await driver.write("inches")
        await driver.press("enter")
        await driver.write("with its m")
        await driver.press("enter")
        assert "In which unit are they?  a: answer it." in driver.said("#said")
        await driver.press("a")
        assert "--unit in" in driver.text()
        await driver.write("in")
        await driver.press("enter", "right", "right")
        assert "It grew in drying" in driver.text() and "no batch 'X-9'" in driver.text()
        await driver.press("end", "x")  # the row of the batch that nobody knows
        assert "X-9" not in driver.text() and "Faults 1" in driver.text()
        await driver.press("g")
        assert "2 added. 1 row is left, each with why" in driver.text()
        with driver.app.lab.reading() as record:
            assert [(row.piece, row.dry_mm) for row in record.rows(Piece)] == [("1", 95.25), ("3", 96.52)]
    left = (folder / "inches left.csv").read_text(encoding="utf-8-sig").splitlines()
    assert len(left) == 2 and left[1].startswith('2,X-1,3.75,4.00,"row 3: ')


async def test_a_mapping_is_a_draft_and_can_be_kept_by_name(shop: Path, folder: Path) -> None:
    async with opened(shop, (140, 40)) as driver:
        await to_columns(driver)
        await driver.press("end", "up", "enter")  # the remarks: somewhere else
        await driver.write("formed how")
        await driver.press("enter")
        assert "formed how" in driver.text()
        await driver.press("s")
        await driver.fill(name="old bars")
        await driver.press("ctrl+s", "escape")
    async with opened(shop, (140, 40)) as driver:  # claybench was closed meanwhile
        await driver.press("R")
        assert "bars.csv" in driver.text()
        await driver.write("bars")
        await driver.press("enter", "right")
        assert "formed how" in driver.text()
        await driver.press("d")
        await driver.press("m", "enter")
        assert "[Columns]" in driver.text() and "formed how" in driver.text()


async def test_headings_elsewhere_and_materials_in_columns(shop: Path, folder: Path) -> None:
    (folder / "mixes.csv").write_text(
        "Mix,Clay,Date,a,b\nMix,Clay,Date,Kaolin (kg),Frit (g)\nX-9,B-1,2026-03-02,1.2,300\n"
    )
    async with opened(shop, (140, 40)) as driver:
        await driver.press("R")
        await driver.write("mixes")
        await driver.press("enter")
        await driver.write("a batch;")
        await driver.press("enter", "left", "down", "h", "right")
        assert "mass_g: Kaolin" in driver.text()
        line = next(line for line in driver.text().splitlines() if line[2:].startswith("Mix "))
        assert line.split()[-1] == "X-9"  # what it becomes stands beside it where there is room
        await driver.press("o")
        await driver.fill(time_of_day="12:00")
        await driver.press("ctrl+s", "ctrl+s")
        with driver.app.lab.reading() as record:
            assert [(row.material, row.mass_g) for row in record.rows(BatchLine)] == [
                ("kaolin", 1200.0),
                ("Frit", 300.0),
            ]


async def test_a_kept_mapping_knows_the_encoding(shop: Path, folder: Path) -> None:
    (folder / "old mac.csv").write_bytes("Bar,Batch,Note\n1,X-1,weiß\n".encode("mac-roman"))
    text = 'rows = "pieces"\nencoding = "mac-roman"\n[columns]\nBar = "piece"\nBatch = "batch"\nNote = "note"\n'
    save_mapping("old mac", text)
    async with opened(shop, (140, 40)) as driver:
        await driver.press("R")
        await driver.write("old mac")
        await driver.press("enter", "enter")
        assert "weiß" not in driver.text()
        await driver.press("m", "enter", "right")
        assert "weiß" in driver.text() and "Nothing is wrong" in driver.said("#said")


async def test_files_that_are_no_tables_say_so_and_nothing_breaks(shop: Path, folder: Path) -> None:
    (folder / "empty.csv").write_bytes(b"")
    (folder / "packed.csv").write_bytes(b"PK\x03\x04")
    (folder / "long.csv").write_bytes(b"x" * 5_000_000)
    async with opened(shop, (140, 40)) as driver:
        await driver.press("R")
        for name, said in (
            ("empty", "is empty"),
            ("packed", "own file"),
            ("long", "more than 100 000"),
            ("./no.csv", "cannot be read"),
        ):
            await driver.press("end", "ctrl+u")
            await driver.write(name)
            await driver.press("enter")
            # whole, wherever a long path would break its lines
            assert any(said in notice.message for notice in driver.app._notifications)
            driver.app.clear_notifications()
        await driver.press("escape")
        assert "[1 Bench]" in driver.text()


async def test_the_screen_answers_while_many_rows_are_read(
    shop: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "scale.csv").write_text("Slab,Date,Weight\n" + "P1,2026-03-02 09:00,12000\n" * 5_000)
    may_go, waits = threading.Event(), threading.Event()
    original = table_import.preview_table

    def slow(*args: object, **kwargs: object) -> object:
        waits.set()
        may_go.wait(20)
        return original(*args, **kwargs)  # type: ignore[arg-type]

    monkeypatch.setattr(table_import, "preview_table", slow)
    async with opened(shop, (140, 40)) as driver:
        await driver.press("R")
        await driver.write("scale")
        await driver.press("enter")
        await driver.write("weighing of a slab")
        await driver.pilot.press("enter")
        while not waits.is_set():
            await driver.pilot.pause()
        assert "Looking at every row" in driver.text()
        await driver.pilot.press("left")  # the screen goes on
        assert "[File]" in driver.text() and "5001 rows" in driver.text()
        may_go.set()
        await driver.settle()
        assert "4999 faults" in driver.said("#said")  # the same weighing again and again
