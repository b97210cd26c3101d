"""Codes stand 1, 2, 10 wherever they are listed, whatever the order they were entered in."""

from __future__ import annotations

from pathlib import Path

import pytest

from claybench.__main__ import main
from claybench.ask.search import find_codes
from claybench.exchange.folder_out import export_folder
from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchLine, Body, Family, Lot, Material, Piece, Slab
from claybench.tui.table_view import TableView
from tests.sample import END
from tests.tui.driver import opened

pytestmark = pytest.mark.slow

ENTERED = ("10", "1", "11", "2", "9")
ORDER = ("1", "2", "9", "10", "11")


@pytest.fixture
def codes(lab_path: Path) -> Path:
    """A lab whose codes were entered as a folder sorts them, or worse."""
    lab = open_lab(lab_path)
    with lab.acting("Entered all") as act:
        for n in ENTERED:
            act.add(Family(family=f"F{n}"))
        for n in ENTERED:
            act.add(Material(material=f"clay {n}"))
            act.add(Lot(lot=f"L-{n}", material=f"clay {n}"))
            act.add(Body(body=f"B-{n}", family="F10", test_set="set"))
            act.add(Slab(slab=f"S{n}", family="F10", length_mm=500.0, width_mm=400.0, thickness_mm=45.0, cast_at=END))
        act.add(Batch(batch="M1", body="B-1", made="slip", mixed_at=END))
        act.add(BatchLine(batch="M1", position=1, material="clay 1", mass_g=1000.0))
        for n in ENTERED:
            act.add(Piece(piece=f"{n}A", batch="M1", shape="bar"))
    lab.close()
    return lab_path


def listed(said: str, codes: list[str]) -> list[str]:
    """The codes in the order in which a text names each first."""
    words = said.replace(",", " ").replace(":", " ").replace('"', " ").replace(";", " ").split()
    return [word for word in dict.fromkeys(words) if word in codes]


@pytest.mark.parametrize(
    ("keys", "made"),
    [
        (["1"], "S{}"),
        (["2"], "S{}"),
        (["4"], "{}A"),
        (["4", "m"], "{}A"),
        (["5"], "B-{}"),
        (["6", *["right"] * 3], "F{}"),
        (["6", *["right"] * 4], "clay {}"),
        (["6", *["right"] * 5], "L-{}"),
    ],
    ids=["bench", "slabs", "pieces", "measuring", "bodies", "families", "materials", "lots"],
)
async def test_on_the_screen(codes: Path, keys: list[str], made: str) -> None:
    async with opened(codes, (140, 40), END) as driver:
        await driver.press(*keys)
        sheet = driver.app.screen.query(TableView).first()
        shown = [next(cell for cell in row.cells if cell.strip()) for row in sheet.rows]
        order = reversed(ORDER) if keys[0] == "4" else ORDER  # the newest pieces stand first
        assert shown == [made.format(n) for n in order]


@pytest.mark.parametrize(
    ("arguments", "made"),
    [(["slabs"], "S{}"), (["slabs", "--json"], "S{}"), (["bodies"], "B-{}"), (["table", "pieces"], "{}A")],
    ids=["slabs", "slabs as JSON", "bodies", "table"],
)
def test_in_commands(
    codes: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    made: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main([*arguments, "--lab", str(codes)]) == 0
    said = capsys.readouterr().out
    wanted = [made.format(n) for n in ORDER]
    assert listed(said, wanted) == wanted


def test_in_what_is_found_by_letters(codes: Path) -> None:
    lab = open_lab(codes)
    assert [hit.code for hit in find_codes(lab, "B-")] == [f"B-{n}" for n in ORDER]
    lab.close()


def test_the_lab_folder_keeps_the_order_of_code_points(codes: Path, tmp_path: Path) -> None:
    lab = open_lab(codes)
    export_folder(lab, tmp_path / "folder")
    lab.close()
    rows = (tmp_path / "folder" / "slabs.csv").read_text(encoding="utf-8").splitlines()[1:]
    assert [row.split(",")[0] for row in rows] == sorted(f"S{n}" for n in ENTERED)
