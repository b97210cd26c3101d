"""One key saves the table on any screen: as shown, every digit, units in the headings, nothing overwritten."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from claybench.exchange.folder_in import import_folder
from claybench.record.opening import open_lab
from claybench.terms import Material
from claybench.work.recipes import add_material
from tests.sample import END, copy_lab
from tests.tui.driver import Driver, opened

pytestmark = pytest.mark.slow


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where tables are offered to go."""
    folder = tmp_path / "documents" / "claybench"
    folder.mkdir(parents=True)
    return folder


def read(path: Path, between: str = ",") -> list[list[str]]:
    """The lines of a saved table."""
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.reader(stream, delimiter=between))


async def save(driver: Driver, key: str = "T") -> None:
    """Save with the name that is offered."""
    await driver.press(key)
    await driver.press("ctrl+s")


ROWS = {
    "bodies": "body,title,family\nB-1,one,buff\nB-2,two,buff\n",
    "body_lines": "body,position,material,parts\nB-1,1,kaolin,100\n",
    "slabs": "slab,family,length_mm,width_mm,thickness_mm,dry_mass_g\nP1,buff,500,400,45,12000\n",
    "slab_log": "slab,at,event,mass_g\nP1,2026-09-01T09:00:00+01:00,weighed,12100\n",
    "batches": "batch,body,mixed_at,dry_mass_g\nX-1,B-1,2026-09-01T10:00:00+01:00,1000\n",
    "batch_lines": "batch,position,material,mass_g\nX-1,1,kaolin,1000\n",
    "runs": "run,batch,slab,started_at,layer_mm,ended_at,outcome\n"
    "D1,X-1,P1,2026-09-01T11:00:00+01:00,10,2026-09-01T12:30:00+01:00,workable\n",
    "checks": "run,at,feel\nD1,2026-09-01T12:00:00+01:00,sticky\nD1,2026-09-01T12:20:00+01:00,workable\n",
    "firings": "firing,fired_on,peak_temp_c\nF-1,2026-09-10,1222\n",
    "pieces": "piece,batch,run,plastic_mm,dry_mm\n3A,X-1,D1,100,94\n3C,X-1,D1,100,\n",
    "fired": "piece,firing,fired_mm\n3A,F-1,88.123456789\n",
}
PLACES = [
    (["1"], "slabs now", "wet (%)"),
    (["2"], "slabs", "wet, 90 % low (%)"),
    (["enter"], "log P", "event"),
    (["escape", "4"], "pieces", "drying (%)"),
    (["enter"], "piece ", "plastic length (mm)"),
    (["escape", "m"], "readings", "dry length (mm)"),
    (["escape", "5"], "bodies", "recipe"),
    (["enter"], "recipe ", "parts of dry mass"),
    (["escape", "6"], "batches", "dry (g)"),
    (["enter"], "weights ", "mass (g)"),
    (["g"], "weighing ", "put in (g)"),
    (["escape", "escape", "right"], "runs", "to workable from (min)"),
    (["enter"], "touches ", "feel"),
    (["escape", "right"], "firings", "peak (°C)"),
    (["left", "left", "left"], "history", "when (Europe/Lisbon)"),
    (["left"], "settings", "setting"),
]


@pytest.fixture
def small(lab_path: Path, tmp_path: Path) -> Path:
    """A lab with one or two of everything."""
    source = tmp_path / "rows"
    source.mkdir()
    for name, text in ROWS.items():
        (source / f"{name}.csv").write_text(text, encoding="utf-8")
    lab = open_lab(lab_path)
    import_folder(lab, source)
    lab.close()
    return lab_path


async def test_every_screen_with_a_table_has_it_to_save(small: Path) -> None:
    async with opened(small, start=END) as driver:
        for keys, name, heading in PLACES:
            await driver.press(*keys)
            first = driver.app.screen.tables()[0]
            assert first.name.startswith(name)
            assert heading in first.headings
            assert len(set(first.headings)) == len(first.headings) and all(first.headings)
            assert first.rows and {len(row) for row in first.rows} == {len(first.headings)}


async def test_what_is_filtered_is_what_is_saved_in_full(sample_lab_file: Path, tmp_path: Path, folder: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    async with opened(path, (140, 40), END) as driver:
        await driver.press("4", "slash")
        await driver.write("F-01")
        await driver.press("enter")
        await save(driver)
    lines = read(folder / "pieces 2026-09-25.csv")
    assert lines[0] == [
        "piece", "body", "batch", "firing", "plastic (mm)", "dry (mm)", "fired (mm)",
        "drying (%)", "firing (%)", "total (%)", "absorbs (%)", "doubt or end",
    ]  # fmt: skip
    assert {line[3] for line in lines[1:]} == {"F-01"}
    measured = next(line for line in lines[1:] if line[9])
    shrunk = 100 * (1 - float(measured[6]) / float(measured[4]))
    assert float(measured[9]) == pytest.approx(shrunk, rel=1e-12)  # 11.7 on the screen


async def test_the_due_list_and_a_comparison(sample_lab_file: Path, tmp_path: Path, folder: Path) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    async with opened(path, start=END) as driver:
        await driver.press("T")
        await driver.go_to("f-which")
        await driver.press("right", "ctrl+s")
        assert read(folder / "due 2026-09-25.csv")[0] == ["when (Europe/Lisbon)", "kind", "code", "what"]
        await driver.press("5", "space", "space", "c")
        await save(driver)
    found = next(file for file in folder.iterdir() if file.name.startswith("comparison"))
    lines = read(found)
    low, mean, high = (lines[0].index(f"total shrinkage {word} (%)") for word in ("low", "mean", "high"))
    line = next(each for each in lines[1:] if each[low])
    assert float(line[low]) < float(line[mean]) < float(line[high])


async def test_nothing_is_overwritten_and_a_decimal_comma_is_kept_in_mind(
    sample_lab_file: Path, tmp_path: Path, folder: Path
) -> None:
    path = copy_lab(sample_lab_file, tmp_path / "sample.claybench")
    theirs = folder / "theirs.csv"
    theirs.write_text("precious")
    async with opened(path, (140, 40), END) as driver:
        await driver.press("4", "T")
        await driver.fill(to="theirs")
        assert "there already" in driver.text()
        await driver.press("ctrl+s")
        assert "Nothing was saved" in driver.text()
        assert theirs.read_text() == "precious"
        await driver.go_to("f-decimal")
        await driver.press("right")
        await driver.fill(to="mine")
        await driver.press("ctrl+s")
        assert "12,5" not in theirs.read_text()
        line = next(each for each in read(folder / "mine.csv", ";")[1:] if each[9])
        assert "," in line[9]
        await driver.press("T")
        assert "[comma]" in driver.text()


async def test_a_screen_where_one_types_saves_with_f2(small: Path, folder: Path) -> None:
    async with opened(small, start=END) as driver:
        await driver.press("4", "m")
        await save(driver, "f2")
        assert [file.name for file in folder.iterdir()] == ["readings 2026-09-25.csv"]
        await driver.press("escape", "3", "escape", "T")
        assert "no table on this screen" in driver.text()


async def test_text_that_would_run_is_guarded(lab_path: Path, folder: Path) -> None:
    lab = open_lab(lab_path)
    add_material(lab, Material(material="=1+1", caution="@x", loi_pct=2.5))
    lab.close()
    async with opened(lab_path) as driver:
        await driver.press("6", "right", "right", "right", "right")
        await save(driver)
    (file,) = folder.iterdir()
    assert read(file)[1][:4] == ["'=1+1", "", "", "2.5"]
