"""Everything of a piece line by line: photos, further readings, corrections, deletions; photos of bodies and slabs."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import FaultSeen, Fired, Firing, Measurement, Photo, Slab
from claybench.work.pieces import add_firing, see_fault
from claybench.work.slabs import enter_slab
from tests.tui.driver import opened
from tests.tui.test_measuring import AT, bars, record

pytestmark = pytest.mark.slow


async def test_everything_of_a_piece_is_entered_corrected_and_deleted(lab_path: Path) -> None:
    bars(lab_path)
    lab = open_lab(lab_path)
    add_firing(lab, Firing(firing="F1", fired_on=date(2026, 3, 11)), ["3A"])
    see_fault(lab, FaultSeen(piece="3A", firing="F1", seen_on=date(2026, 3, 12), fault="crack", count=1))
    lab.close()
    async with opened(lab_path) as driver:
        await driver.press("4", "end", "enter", "i")
        await driver.fill(file="3a [/b].jpg", note="the crack")
        await driver.press("ctrl+s")
        assert "There is no file 3a [/b].jpg from here" in driver.text()
        await driver.press("ctrl+y")
        assert "3a [/b].jpg  the crack" in driver.text()
        await driver.press("e", "r")
        await driver.fill(value="19,15", by="m")
        await driver.press("ctrl+s")
        text = driver.text()
        for said in ("fired F1", "F1: crack × 1", "dry 19.15 mm by m", "3a [/b].jpg"):
            assert said in text, said
        await driver.press("home", "down", "enter")
        await driver.fill(warp_pct="1.5", colour="warm buff")
        await driver.press("ctrl+s")
        assert "warp 1.5 %; warm buff" in driver.text()
        await driver.press("end", "d")
        assert "photo       12 Mar" not in driver.text()  # the line's start: messages may lie over its end
        await driver.press("u")
        assert "photo       12 Mar" in driver.text()
        await driver.press("escape")
        assert "warp 1.5 %; warm buff" in driver.said("#facts")
    with record(lab_path) as found:
        assert found.rows(Fired)[0].colour == "warm buff"
        (again,) = found.rows(Measurement)
        assert (again.piece, again.what, again.value, again.by) == ("3A", "dry_mm", 19.15, "m")
        assert [(row.file, row.piece, row.note) for row in found.rows(Photo)] == [("3a [/b].jpg", "3A", "the crack")]


async def test_bodies_and_slabs_have_photos_too(lab_path: Path) -> None:
    bars(lab_path)
    lab = open_lab(lab_path)
    enter_slab(lab, Slab(slab="P1", length_mm=400.0, width_mm=300.0, thickness_mm=50.0), at=AT)
    lab.close()
    async with opened(lab_path) as driver:
        for place, heading, name in (("2", "slab P1", "p1.jpg"), ("5", "body B-07", "b.jpg")):
            await driver.press(place, "home", "enter", "i")
            assert f"Photos of {heading}" in driver.said("#heading")
            await driver.press("n")
            await driver.fill(file=name)
            await driver.press("ctrl+s", "ctrl+y")
            assert name in driver.text()
            await driver.press("escape", "escape")
    with record(lab_path) as found:
        assert [(row.file, row.slab, row.body) for row in found.rows(Photo)] == [
            ("p1.jpg", "P1", None),
            ("b.jpg", None, "B-07"),
        ]
