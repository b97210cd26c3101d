"""The Mix place driven by keys: all four sizings, the pour step by step, weighing out one material at a time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from claybench.record.opening import open_lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine, Lot, Material, Slab, SlabEvent
from claybench.work.recipes import add_body, add_lot, add_material
from tests.tui.driver import SIZES, opened

pytestmark = pytest.mark.slow

AT = datetime(2026, 3, 12, 9, 0, tzinfo=UTC)


@pytest.fixture
def path(lab_path: Path) -> Path:
    """A lab with two bodies on the shelf."""
    lab = open_lab(lab_path)
    add_material(lab, Material(material="kaolin", kind="clay", specific_gravity=2.6, caution="dusty"))
    add_lot(lab, Lot(lot="K-1", material="kaolin", moisture_pct=10.0))
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)])
    add_body(lab, Body(body="W-02", family="white"), [("kaolin", 30.0), ("feldspar", 70.0)])
    lab.close()
    return lab_path


@pytest.mark.parametrize("size", SIZES)
async def test_a_slab_is_poured_step_by_step_and_the_clock_outlives_the_program(
    path: Path, size: tuple[int, int]
) -> None:
    async with opened(path, size) as screen:
        await screen.press("3", "ctrl+b")
        await screen.fill(length_mm="500", width_mm="400", depth_mm="45")
        assert "dries out before a fan in about" in screen.said("#figures")
        await screen.press("ctrl+n", "ctrl+s")
        assert screen.said("#running").startswith("First: Weigh cool water")
        await screen.press("enter")
        await screen.write("14")
        await screen.press("ctrl+s")
        screen.clock.forward(2)
        await screen.press("enter")
        assert "Setting plaster burns" in screen.said("#cautions")
    later = AT + timedelta(minutes=6, seconds=30)
    async with opened(path, size, later) as screen:
        await screen.press("2", "enter", "r")
        said = screen.said("#running")
        assert said.startswith("4 min 30 s since the last step.") and "Let it soak" in said and "3 to 5 min" in said
        assert "14 °C" in screen.said("#steps")
        await screen.press("enter", "u")
        assert "4 min 30 s" in screen.said("#running")
        with screen.app.lab.reading() as record:
            assert record.one(Slab, "P1").plaster_g == pytest.approx(8429.3, abs=0.5)
            assert len(record.rows(SlabEvent)) == 3  # the list of what to weigh, and two steps


async def test_a_batch_is_weighed_out_one_material_at_a_time(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", additions="silicate 0.3 %", water_per_dry="0.9")
        assert "Ctrl+b sizes one" in screen.said("#figures")
        await screen.press("ctrl+n", "ctrl+s")
        assert screen.said("#target").startswith("KAOLIN   667 g")
        assert "kaolin: dusty" in screen.said("#cautions")
        await screen.write("66")  # a slipped digit is asked about, not refused
        await screen.press("enter")
        assert "66 g of kaolin went in, and 667 g were wanted: 90.1 % less." in " ".join(screen.text().split())
        await screen.press("escape", "end", "ctrl+u")
        await screen.write("668")
        await screen.press("enter")
        assert screen.said("#target").startswith("QUARTZ   400 g   the scale shows 400 g")
        await screen.press("ctrl+t")
        assert "the scale shows 1 068 g (all so far" in screen.said("#target")
        await screen.write("1069")
        await screen.press("enter", "escape")
    async with opened(path) as screen:  # closed half-way: what was weighed is there, and so is what comes next
        await screen.press("6", "enter", "g")
        assert screen.said("#target").startswith("SILICATE   3 g")
        await screen.write("3")
        await screen.press("enter")
        assert "WATER   835 g" in screen.said("#target")
        await screen.write("0,837 L")
        assert screen.said("#echo") == "= 837 mL at 0.998 g/mL = 835.33 g, 0.326 g off the target (0.0 %)"
        await screen.press("end", "ctrl+u")
        await screen.write("835")
        await screen.press("enter")
        with screen.app.lab.reading() as record:
            lines = [(row.material, row.lot, row.mass_g) for row in record.rows(BatchLine)]
            batch = record.one(Batch, "W-01-1")
        assert lines == [("kaolin", "K-1", 668), ("quartz", None, 401), ("silicate", None, 3)]
        assert (batch.dry_mass_g, batch.water_g) == (pytest.approx(1002.2), pytest.approx(901.8))


async def test_slip_is_brought_to_its_target_and_the_batch_remembers(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+l")
        await screen.fill(body="W-01", dry_g="1 kg", slip_sg="1.4")
        await screen.press("ctrl+s", "ctrl+s")
        await screen.press("escape", "3", "ctrl+t")
        await screen.fill(mass_g="740", volume_ml="500", slip_g="2 kg")
        assert "add water" in screen.said("#figures")
        await screen.press("ctrl+o")
        assert "slip sg = mass / volume" in screen.text()
        await screen.press("escape", "ctrl+s", "ctrl+s")
        with screen.app.lab.reading() as record:
            (event,) = record.rows(BatchEvent)
        assert (event.event, event.slip_sg) == ("water_added", 1.4)
        # 740 / 500 = 1.48 g/mL; G = 100 / (60 / 2.6 + 40 / 2.6) = 2.6: 1054.05 g dry in 2 kg want 1216.22 g at 1.4.
        assert event.mass_g == pytest.approx(1054.05 * 1.2 / (2.6 * 0.4) - (2000 - 1054.05), abs=0.1)


async def test_the_mixtures_of_a_line_become_bodies_of_one_set(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+g")
        await screen.fill(first="W-01", second="W-02")
        assert "5 mixtures of 1 000 g dry clay, g dry of each body" in screen.said("#figures")  # no slip weighed yet
        await screen.fill(sg_first="1.4", sg_second="1.45")
        assert "5 mixtures of 1 000 g dry clay, mL of slip of each body" in screen.said("#figures")
        await screen.press("ctrl+s", "ctrl+s")
        with screen.app.lab.reading() as record:
            made = [row for row in record.rows(Body) if row.test_set]
            lines = {row.material: row.parts for row in record.rows(BodyLine, body=made[0].body)}
        assert [row.body for row in made] == ["W-01-W-02-1", "W-01-W-02-2", "W-01-W-02-3"]
        assert lines == {"kaolin": 52.5, "quartz": 30, "feldspar": 17.5}
        await screen.press("escape", "u")
        with screen.app.lab.reading() as record:
            assert record.count(Body) == 2


async def test_several_slabs_of_one_mix_are_recorded_together(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("3", "ctrl+b")
        await screen.fill(length_mm="300", width_mm="300", plaster="half a bag", count="2")
        await screen.press("ctrl+s")
        await screen.fill(slab="P1")
        await screen.press("ctrl+s")
        assert "1 code for 2 slabs" in screen.text()
        await screen.fill(slab="P1, P2")
        await screen.press("ctrl+s")
        with screen.app.lab.reading() as record:
            slabs = record.rows(Slab)
        assert [slab.slab for slab in slabs] == ["P1", "P2"]
        assert len({slab.pour for slab in slabs}) == 1 and slabs[0].pour


async def test_a_hopeful_dry_mass_is_asked_about(path: Path) -> None:
    async with opened(path) as screen:
        await screen.press("2", "e")
        await screen.fill(slab="P1", length_mm="500", width_mm="400", thickness_mm="45", mass_g="12 kg")
        await screen.press("ctrl+s", "escape")
        screen.clock.forward(24 * 60)
        await screen.press("2", "y")
        await screen.fill(mass_g="11.5 kg")
        assert "never in an oven" in " ".join(screen.text().split())
        await screen.press("ctrl+s")
        assert "not constant yet" in " ".join(screen.text().split())
