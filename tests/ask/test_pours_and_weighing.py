"""The pour as a check-list, and a batch on its way into the bucket: what the record says of both."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from claybench.ask.pour_steps import pour_page
from claybench.ask.sizing_start import body_recipe, body_slip, sizing_start
from claybench.ask.weighing_out import weighing_out
from claybench.errors import BadInput
from claybench.mix.doses import Dose
from claybench.mix.pour_steps import POUR_STEPS
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Lot, Material, Run, Slab, SlabEvent
from claybench.work.any_row import undo_last
from claybench.work.recipes import add_body, add_lot, add_material, mix_batch, water_in, weigh_in
from claybench.work.runs import start_run
from claybench.work.slabs import begin_pour, enter_slab, pour_step
from tests.conftest import Ticking

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def pouring(lab: Lab) -> Lab:
    slabs = [
        Slab(slab=code, length_mm=400, width_mm=300, thickness_mm=40, pour="A", cast_at=AT) for code in ("P1", "P2")
    ]
    begin_pour(lab, slabs)
    return lab


def test_steps_are_done_one_after_the_other_for_every_slab_of_the_mix(pouring: Lab) -> None:
    page = pour_page(pouring, "p1")
    assert page.slabs == ("P1", "P2")
    assert page.next is not None and page.next.step.name == "water" and page.since is None
    for number, step in enumerate(POUR_STEPS[:5]):
        pour_step(pouring, ["P1", "P2"], step.name, at=AT + timedelta(minutes=2 * number))
    page = pour_page(pouring, "P2", as_of=AT + timedelta(minutes=9))
    assert [each.step.name for each in page.steps if each.at] == ["water", "sift", "soak", "mix", "pour"]
    assert page.since == AT + timedelta(minutes=8)
    assert page.next is not None and page.next.step.name == "level"
    with pouring.reading() as record:
        assert {(row.slab, row.event) for row in record.rows(SlabEvent)} >= {("P1", "mixed"), ("P2", "mixed")}


def test_what_was_mixed_the_day_before_has_set_and_is_demoulded_next(pouring: Lab, ticking: Ticking) -> None:
    ticking.time = AT
    pour_step(pouring, ["P1"], "water", at=AT)
    ticking.forward(hours=19)
    weighed = pour_page(pouring, "P1").next
    assert weighed is not None and weighed.step.name == "sift", "water waits as long as one likes"
    pour_step(pouring, ["P1"], "mix", at=AT + timedelta(hours=19))
    ticking.forward(minutes=5)
    assert (mixed := pour_page(pouring, "P1").next) is not None and mixed.step.name == "pour"
    ticking.forward(hours=19)
    assert (later := pour_page(pouring, "P1").next) is not None and later.step.name == "demould"


def test_a_step_is_taken_back(pouring: Lab) -> None:
    pour_step(pouring, ["P1", "P2"], "water", at=AT, remark="14 °C")
    assert pour_page(pouring, "P1").steps[0].remark == "14 °C"
    undo_last(pouring)
    assert pour_page(pouring, "P1").steps[0].at is None


def test_steps_that_were_never_logged_are_not_called_done(pouring: Lab, lab: Lab) -> None:
    pour_step(pouring, ["P1"], POUR_STEPS[-1].name, at=AT)
    page = pour_page(pouring, "P1")
    assert page.next is None and page.unlogged == len(POUR_STEPS) - 1 and not page.in_use_before
    for step in POUR_STEPS[:-1]:
        pour_step(pouring, ["P2"], step.name, at=AT, mass_g=9_500 if step.event == "weighed" else None)
    assert pour_page(pouring, "P2").unlogged == 0
    enter_slab(lab, Slab(slab="old", length_mm=400, thickness_mm=40, in_service_on=date(2025, 1, 1)), at=AT)
    old = pour_page(lab, "old")
    assert old.in_use_before and old.next is None and old.unlogged == len(POUR_STEPS)


def test_two_steps_in_one_second_stay_two(pouring: Lab) -> None:
    for step in ("water", "sift", "soak"):
        pour_step(pouring, ["P1"], step, at=AT)
    assert [each.step.name for each in pour_page(pouring, "P1").steps if each.at] == ["water", "sift", "soak"]


def test_the_mass_as_cast_belongs_to_the_slab_that_was_weighed(pouring: Lab) -> None:
    with pytest.raises(BadInput, match="not weighed"):
        pour_step(pouring, ["P1"], "weigh", at=AT)
    pour_step(pouring, ["P1"], "weigh", at=AT, mass_g=9_500)
    assert pour_page(pouring, "P1").steps[9].remark == "9 500 g"
    with pytest.raises(BadInput, match="has no step 'stir'"):
        pour_step(pouring, ["P1"], "stir", at=AT)


def test_every_step_shows_the_cautions_of_its_act(pouring: Lab) -> None:
    seen = set()
    for number, step in enumerate(POUR_STEPS):
        page = pour_page(pouring, "P1", as_of=AT + timedelta(minutes=number))
        assert page.next is not None and page.next.step is step
        seen |= {caution.text[:30] for caution in page.cautions}
        assert page.cautions[-1].text.startswith("These are usual cautions")
        pour_step(
            pouring,
            ["P1"],
            step.name,
            at=AT + timedelta(minutes=number),
            mass_g=9_500 if step.event == "weighed" else None,
        )
    assert pour_page(pouring, "P1").next is None
    assert any("Setting plaster burns" in text for text in seen) and any("Dry it in air no hotter" in t for t in seen)


@pytest.fixture
def shelf(lab: Lab) -> Lab:
    add_material(lab, Material(material="kaolin", kind="clay", specific_gravity=2.6, caution="dusty"))
    add_material(lab, Material(material="quartz", kind="filler", specific_gravity=2.65))
    add_lot(lab, Lot(lot="K-1", material="kaolin", moisture_pct=10.0, received_on=date(2026, 1, 5)))
    add_body(lab, Body(body="W-01", family="white"), [("kaolin", 60.0), ("quartz", 40.0)])
    mix_batch(lab, Batch(batch="W-01-1", body="W-01", mixed_at=AT, made="slip", dry_mass_g=1000.0, water_g=900.0))
    return lab


def test_targets_carry_the_water_of_moist_lots(shelf: Lab) -> None:
    page = weighing_out(shelf, "w-01-1")
    assert [(line.material, line.lot) for line in page.lines] == [("kaolin", "K-1"), ("quartz", None)]
    assert [line.target_g for line in page.lines] == [pytest.approx(600 / 0.9), pytest.approx(400)]
    assert [line.weigh_g for line in page.lines] == [667, 400]
    # 667 g of kaolin hold 600.3 g dry and 66.7 g of water: 0.9 · 1000.3 − 66.7 = 833.57, in steps of 1 g.
    assert page.water_to_add_g == 834
    assert page.next == 0 and page.care["kaolin"].caution == "dusty"


def test_what_was_really_put_in_decides_the_water(shelf: Lab) -> None:
    weigh_in(shelf, "W-01-1", 1, "kaolin", "K-1", 700.0)
    assert weighing_out(shelf, "W-01-1").next == 1
    weigh_in(shelf, "W-01-1", 2, "quartz", None, 400.0)
    page = weighing_out(shelf, "W-01-1")
    assert page.next is None and page.so_far_g == 1100
    assert page.dry_g == pytest.approx(630 + 400)
    assert page.water_to_add_g == 857  # 0.9 · 1030 − 70
    water_in(shelf, "W-01-1", dry_g=page.dry_g, water_g=927.0)
    with shelf.reading() as record:
        assert record.one(Batch, "W-01-1").water_g == 927
    weigh_in(shelf, "W-01-1", 1, "kaolin", "K-1", 690.0)
    assert [line.weighed_g for line in weighing_out(shelf, "W-01-1").lines] == [690, 400]


def test_additions_are_weighed_on_top_of_the_dry_mass(shelf: Lab) -> None:
    batch = Batch(batch="W-01-2", body="W-01", mixed_at=AT, made="slip", dry_mass_g=1000.0, water_g=900.0)
    mix_batch(shelf, batch, doses=[Dose("sodium silicate", 0.3, deflocculant=True)])
    page = weighing_out(shelf, "W-01-2")
    silicate = page.lines[-1]
    assert (silicate.material, silicate.addition, silicate.target_g) == ("sodium silicate", True, pytest.approx(3.0))
    assert silicate.basis == "0.3 % dry"
    weigh_in(shelf, "W-01-2", 3, "sodium silicate", None, 3.0)
    page = weighing_out(shelf, "W-01-2")
    assert page.dry_g == 0 and page.lines[-1].weighed_g == 3 and page.next == 0
    with shelf.reading() as record:
        assert record.one(Material, "sodium silicate").kind == "deflocculant"


def test_a_batch_without_a_dry_mass_says_what_is_missing(shelf: Lab) -> None:
    mix_batch(shelf, Batch(batch="W-01-2", body="W-01", mixed_at=AT))
    with pytest.raises(BadInput, match="no dry mass to weigh out"):
        weighing_out(shelf, "W-01-2")


def test_sizing_takes_the_water_of_batches_that_poured_well(shelf: Lab) -> None:
    enter_slab(shelf, Slab(slab="P1", family="white", length_mm=500, width_mm=400, thickness_mm=45), at=AT, mass_g=9000)
    assert body_recipe(shelf, "W-01").poured_well == ()
    start_run(shelf, Run(run="R1", batch="W-01-1", slab="P1", started_at=AT, layer_mm=10.0))
    lying = body_recipe(shelf, "W-01").slabs[0]
    assert "R1 lies on it" in lying.not_now
    with shelf.acting("lifted") as act:
        act.change(Run, "R1", {"ended_at": AT + timedelta(hours=1), "outcome": "workable"})
    found = body_recipe(shelf, "W-01")
    assert found.poured_well == (("W-01-1", pytest.approx(0.9)),) and found.water_per_dry == pytest.approx(0.9)
    assert found.slabs[0].not_now == ""
    assert found.slabs[0].usable_area_cm2 == pytest.approx(47 * 37)


def test_a_thicker_layer_takes_longer(shelf: Lab) -> None:
    enter_slab(shelf, Slab(slab="P1", family="white", length_mm=500, width_mm=400, thickness_mm=45), at=AT, mass_g=9000)
    found = body_recipe(shelf, "W-01")
    thin, thick = found.time_on("P1", 6.0, 1.4), found.time_on("P1", 12.0, 1.4)
    assert thick.median_min > 2 * thin.median_min
    assert found.time_on("P1", 6.0, 1.6).median_min < thin.median_min


def test_what_the_screen_starts_with(shelf: Lab) -> None:
    start = sizing_start(shelf)
    assert start.bodies == ("W-01",) and start.batches == ("W-01-1",) and start.families == ("white",)
    assert start.fan.speed_m_s > start.room.speed_m_s
    slip = body_slip(shelf, "w-01")
    assert slip.lines == (("kaolin", 60.0), ("quartz", 40.0))
    assert slip.solids_sg == pytest.approx(100 / (60 / 2.6 + 40 / 2.65))
