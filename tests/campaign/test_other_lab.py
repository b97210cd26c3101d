"""The other simulator: water is neither made nor lost, layers dry as they should, and changes come when told."""

from __future__ import annotations

import json
import math
from datetime import timedelta
from pathlib import Path
from statistics import median

import numpy as np
import pytest

from claybench.record.opening import open_lab
from tests.campaign.other_file import truth_of, write_lab
from tests.campaign.other_lab import make_other_lab
from tests.campaign.other_physics import (
    SLAB_CELLS,
    AirNow,
    Face,
    Plaster,
    Soil,
    Surroundings,
    minutes_until,
    pour,
    viscosity_ratio,
)
from tests.campaign.other_recipes import common_clay, make_body, solids_mm, water_over_solids
from tests.campaign.other_truth import Change, OtherLab, OtherRun

pytestmark = pytest.mark.slow

ROOM, STANDS = AirNow(20.0, 0.55, 0.15), Surroundings(0.3, 0.4)


def soil_with(layer_mm: float = 10.0, wetness: float = 0.05, temp_c: float = 20.0, face: Face | None = None) -> Soil:
    """A common layer on a slab of 30 mm."""
    plaster = Plaster(30.0, 0.42, 0.028, 52.0, np.full(SLAB_CELLS, wetness))
    if face:
        plaster.faces["form"] = face
    return Soil(plaster, pour(common_clay(), solids_mm(1.45, layer_mm), water_over_solids(1.45), temp_c, "form"))


def minutes(soil: Soil, air: AirNow = ROOM) -> float:
    """Until it is workable."""
    assert soil.layer is not None
    return minutes_until(soil, air, STANDS, soil.layer.clay.workable_void, 10_000)


def ratio(slower: Soil, faster: Soil) -> float:
    """Of their times."""
    return minutes(slower) / minutes(faster)


def held(soil: Soil) -> float:
    """Water in clay, plaster and gone to the air [mm]."""
    return soil.plaster.water_mm + (soil.layer.water_mm if soil.layer else 0.0) + soil.evaporated_mm


def runs_on(lab: OtherLab, slab: str) -> list[OtherRun]:
    """The truth of the runs on one slab's form face that were not left to the air."""
    return [
        each
        for each in lab.truth
        if isinstance(each, OtherRun) and each.slab == slab and each.face == "form" and each.filled < 0.93
    ]


@pytest.mark.parametrize("wetness", [0.02, 0.5, 0.9])
def test_water_is_neither_made_nor_lost(wetness: float) -> None:
    soil = soil_with(wetness=wetness)
    before = held(soil)
    minutes_until(soil, ROOM, STANDS, 0.5, 2000)
    assert held(soil) == pytest.approx(before, rel=1e-9)
    soil.layer = None
    before = held(soil)
    for _ in range(400):
        soil.step(AirNow(25.0, 0.4, 1.0), Surroundings(), 60.0)
    assert held(soil) == pytest.approx(before, rel=1e-9)
    assert soil.plaster.saturation.min() >= 0
    assert soil.plaster.wetness < 0.1


def test_the_plaster_is_never_more_than_full() -> None:
    soil = soil_with(20, 0.7)
    for _ in range(300):
        soil.step(ROOM, STANDS, 10.0)
        assert soil.plaster.saturation.max() < 1.01


def test_a_wet_slab_is_slower_and_a_full_one_leaves_it_to_the_air() -> None:
    dry, damp, wet, full = (minutes(soil_with(wetness=wetness)) for wetness in (0.02, 0.3, 0.45, 0.8))
    assert dry < damp < wet
    assert full > 8 * dry


def test_time_goes_about_as_the_square_of_the_depth() -> None:
    assert 1.8 < math.log2(ratio(soil_with(12), soil_with(6))) < 2.15


def test_small_steps_come_to_the_same() -> None:
    fine = soil_with()
    assert fine.layer is not None
    passed = 0.0
    while fine.layer.void_ratio > fine.layer.clay.workable_void:
        passed += fine.step(ROOM, STANDS, 0.1)
    assert minutes(soil_with()) == pytest.approx(passed, rel=0.04)


def test_cold_water_is_slower_by_its_viscosity() -> None:
    cold = minutes(soil_with(temp_c=10), AirNow(10.0, 0.55, 0.15))
    assert cold / minutes(soil_with()) == pytest.approx(viscosity_ratio(10), rel=0.06)


def test_viscosity_is_that_of_the_tables() -> None:
    """1.306, 1.002 and 0.798 mPa s at 10, 20 and 30 °C (CRC Handbook)."""
    assert viscosity_ratio(10) == pytest.approx(1.306 / 1.002, rel=0.01)
    assert viscosity_ratio(30) == pytest.approx(0.798 / 1.002, rel=0.01)


def test_a_face_that_draws_less_or_is_clogged_is_slower() -> None:
    assert ratio(soil_with(face=Face(0.0, 0.5)), soil_with()) > 1.3
    assert ratio(soil_with(face=Face(800.0, 1.0)), soil_with()) > 1.5


def test_particles_that_repel_each_other_pack_closer_and_dry_slower() -> None:
    """From slips of one depth a deflocculated one has less water to lose, and keeps it longer for each mm of that."""
    rng = np.random.default_rng(1)
    parent = make_body(rng, "white", 1, None, 0.0, False)
    pace: dict[bool, list[float]] = {True: [], False: []}
    for thin in (True, False):
        for number in range(6):
            body = make_body(rng, "white", number + 2, parent, 0.0, thin)
            void = water_over_solids(body.slip_sg)
            soil = soil_with()
            soil.layer = pour(body.clay, solids_mm(body.slip_sg, 10), void, 20.0, "form")
            lost = solids_mm(body.slip_sg, 10) * (void - body.clay.workable_void)
            pace[thin].append(minutes(soil) / lost**2)
    assert median(pace[True]) > 2 * median(pace[False])


def test_seeds_reproduce() -> None:
    one, again, other = (make_other_lab(seed, days=12, slabs=4) for seed in (1, 1, 2))
    assert one == again
    assert one.truth != other.truth


@pytest.fixture(scope="module")
def changed() -> OtherLab:
    """A small lab on which most things happen."""
    kinds = ("half", "quarter", "slide_half", "chip", "overheated")
    wanted = [Change(kind, f"S{place}", 17.0, over_days=10) for place, kind in enumerate(kinds, 1)]
    wanted.append(Change("resurfaced", "S2", 33.0))
    return make_other_lab(4, days=45, slabs=6, families=1, changes=wanted)


def test_changes_happen_when_told(changed: OtherLab) -> None:
    assert changed.start is not None
    for change in changed.changes:
        day = (change.at - changed.start) / timedelta(days=1)
        told = 33 if change.kind == "resurfaced" else 17
        assert told - 1 <= day < told + 5, change
    first = {change.slab: change.at for change in changed.changes if change.kind != "resurfaced"}
    for each in changed.truth:
        assert isinstance(each, OtherRun) and each.poured_at
        if each.slab not in first or each.poured_at < first[each.slab]:
            assert each.rate == 1
            assert not each.spoiled


def test_rates_come_to_what_was_told(changed: OtherLab) -> None:
    resurfaced = next(change.at for change in changed.changes if change.kind == "resurfaced")
    rates = {
        slab: [each.rate for each in runs_on(changed, slab) if kind in each.change.split(",")]
        for slab, kind in (("S1", "half"), ("S3", "slide_half"), ("S4", "chip"))
    }
    quarter = [each for each in runs_on(changed, "S2") if each.change]
    assert median(rates["S1"]) == pytest.approx(0.5, abs=0.12)
    assert median(each.rate for each in quarter if each.started_at < resurfaced) == pytest.approx(0.25, abs=0.08)
    assert all(each.rate == 1 for each in quarter if each.started_at > resurfaced)
    assert max(rates["S3"][:1]) > min(rates["S3"][-3:])
    assert set(rates["S4"]) == {1.0}


def test_a_slab_that_was_heated_weighs_less_dry(changed: OtherLab) -> None:
    change = next(change for change in changed.changes if change.kind == "overheated")
    before, after = (changed.dry_g_at("S5", change.at + timedelta(hours=hours)) for hours in (-1, 20))
    assert 0.95 < after / before < 0.995


def test_what_is_written_is_in_order(changed: OtherLab) -> None:
    ends: dict[str, object] = {}
    for run in sorted(changed.runs, key=lambda run: run.started_at):
        assert run.ended_at is not None and run.ended_at > run.started_at
        if run.slab in ends:
            assert run.started_at >= ends[run.slab]  # type: ignore[operator]
        ends[run.slab] = run.ended_at
        checks = [check.at for check in changed.checks if check.run == run.run]
        assert all(run.started_at < at <= run.ended_at for at in checks)
        assert len(checks) == len(set(checks))
    assert {run.run for run in changed.runs} == {each.run for each in changed.truth}


def test_wetness_is_known_at_any_time(changed: OtherLab) -> None:
    for each in changed.truth:
        assert isinstance(each, OtherRun) and each.poured_at
        assert changed.wetness_at(each.slab, each.poured_at) == pytest.approx(each.wetness, abs=0.02)
        assert 0 <= each.wetness_after <= 1.02


def test_a_slab_cast_on_the_way_is_used_once_it_is_dry() -> None:
    lab = make_other_lab(2, days=40, slabs=3, families=1, new_slabs=1)
    assert lab.start is not None
    made = lab.slabs[-1]
    assert made.cast_at and made.in_service_on
    cast = lab.start + timedelta(minutes=lab.tracks[made.slab].minutes[0])
    assert cast.date() == made.cast_at
    assert lab.wetness_at(made.slab, cast) == pytest.approx(1, abs=0.01)
    used = [each for each in lab.truth if each.slab == made.slab]
    assert used and all(each.started_at.date() >= made.in_service_on and each.wetness < 0.9 for each in used)


def test_a_lab_can_be_kept_in_a_file(tmp_path: Path) -> None:
    made = make_other_lab(3, days=10, slabs=3)
    write_lab(made, tmp_path / "other.claybench")
    lab = open_lab(tmp_path / "other.claybench")
    lab.close()
    json.dumps(truth_of(made), allow_nan=False)
