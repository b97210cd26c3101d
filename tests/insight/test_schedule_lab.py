"""The schedule of the sample lab: slabs as its record says they are, times as its fit foretells them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time

import pytest

from claybench import clock
from claybench.ask.lab_model import lab_model
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.schedule.calendar_words import explain_unplaced
from claybench.insight.plan.schedule.lab_schedule import WantedPour, lab_calendar, schedule_request
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.slab_to_dry_tonight import find_drying_gains
from claybench.record.lab import Lab
from claybench.terms import Body
from tests.insight.schedule_rules import faults
from tests.sample import END, at

TWELVE = ("B-01", "B-02", "B-07", "W-12", "R-02", "B-01", "B-02", "W-12", "R-02", "B-07", "W-12", "B-02")


@pytest.fixture(scope="module")
def model(sample_lab: Lab) -> LabModel:
    return lab_model(sample_lab, as_of=END)[1]


def wish(model: LabModel, body: str, code: str = "next", area: float = 1270.0) -> WantedPour:
    return WantedPour(code, model.layers.bodies[body], area, 10.0)


def test_the_slabs_are_as_the_record_says(model: LabModel) -> None:
    asked = schedule_request(model, ())
    slabs = {slab.code: slab for slab in asked.slabs}
    assert sorted(slabs) == ["P1", "P2", "P3", "P4", "P5", "P6", "P7"]  # P8 broke and was retired
    assert slabs["P7"].out_of_use.startswith("still drying from its cast")
    assert {code for code, slab in slabs.items() if slab.busy_until is not None} == {"P1", "P4", "P5"}
    assert (slabs["P1"].lying, slabs["P1"].family, slabs["P3"].usable_cm2) == ("D149", "white", 2020)
    for code, slab in slabs.items():
        wet = model.wetnesses[code]
        assert slab.water_g == wet.water_g and slab.capacity_g == wet.capacity_g
        hours = model.slabs.drying(code).law_in(wet.air).hours_until(wet.water_g or 0.0, 0.05 * wet.capacity_g)
        if hours:
            assert slab.drying(slab.water_g or 0.0, hours) == pytest.approx(0.05 * slab.capacity_g)
        assert slab.fan is not None and slab.fan(1000.0, 10.0) < slab.drying(1000.0, 10.0)


def test_what_lies_there_gives_the_rest_of_its_water(sample_lab: Lab, model: LabModel) -> None:
    """D148 was poured at 13:42 on 1560 cm²: what it has to give in all, it has given or will give."""
    run = model.poured["D148"]
    need = run.layer.water_g
    soon = lab_model(sample_lab, as_of=at("2026-09-25T13:43:00+01:00"))[1]
    first, later = ({s.code: s for s in schedule_request(m, ()).slabs}["P4"].arriving_g for m in (soon, model))
    assert need is not None and 0 <= later < 0.3 * need < first < need


def test_times_are_those_of_the_forecast(model: LabModel) -> None:
    asked = schedule_request(model, [wish(model, "W-12")])
    forecast = asked.layers[0].forecast
    now = model.wetnesses["P2"].now
    assert now is not None
    foretold = model.forecasts.forecast_layer(model.layers.bodies["W-12"], "P2", 10.0)
    assert forecast("P2", now) == pytest.approx((foretold.median_min, foretold.low_min, foretold.high_min), rel=0.01)
    at_node = model.forecasts.forecast_layer(model.layers.bodies["W-12"], "P2", 10.0, wetness=0.25)
    assert forecast("P2", 0.25)[0] == pytest.approx(at_node.median_min)
    medians = [forecast("P2", step / 50)[0] for step in range(18)]
    assert medians == sorted(medians)


def test_twelve_layers_find_slabs_within_bench_hours(model: LabModel) -> None:
    asked = schedule_request(model, [wish(model, body, f"n{index}") for index, body in enumerate(TWELVE)])
    found = place_layers(asked)
    assert faults(asked, found) == [] and not found.unplaced
    family = {layer.code: layer.family for layer in asked.layers}
    of_slab = {slab.code: slab.family for slab in asked.slabs}
    assert all(of_slab[each.slab] == family[each.layer] for each in found.placed)
    assert all(each.start >= END for each in found.placed)
    rows = lab_calendar(model, asked, found)
    lisbon = clock.parse_zone("Europe/Lisbon")
    there = [row.at.astimezone(lisbon).time() for row in rows if row.what in ("pour", "touch", "lift", "turn")]
    assert all(time(8) <= each <= time(18, 30) for each in there)  # bench_until of the sample's settings
    assert "every 15 min" in next(row.text for row in rows if row.what == "touch")
    assert all(gain.days > 0 for gain in find_drying_gains(asked, found, effort=100))


def test_a_slab_spoken_against_is_not_used(model: LabModel) -> None:
    white = [wish(model, "W-12")]
    assert {each.slab for each in place_layers(schedule_request(model, white)).placed} <= {"P1", "P2"}
    asked = schedule_request(model, white, against={"P1": "the wrong clay was dried on it", "P2": "slow"})
    found = place_layers(asked)
    assert found.unplaced == ("next",)
    said = explain_unplaced(asked, found)["next"]
    assert "P1: the wrong clay was dried on it" in said and "P2: slow" in said and "P7: still drying" in said


def test_bodies_only_thought_of_go_by_their_family(model: LabModel) -> None:
    new, other = (
        WantedPour("new 1", Body(body="new 1", family="buff"), 1270.0, 10.0),
        Body(body="new 2", family="porcelain"),
    )
    asked = schedule_request(model, [new, replace(new, code="new 2", body=other)])
    found = place_layers(asked)
    assert [each.layer for each in found.placed] == ["new 1"] and found.unplaced == ("new 2",)
    assert explain_unplaced(asked, found)["new 2"] == "No slab is kept for porcelain."


def test_a_broken_slab_is_out_of_use_until_it_is_resurfaced(sample_lab: Lab) -> None:
    """P8 broke on 28 May and was retired the next day."""
    model = lab_model(sample_lab, as_of=at("2026-05-28T20:00:00+01:00"))[1]
    slabs = {slab.code: slab for slab in schedule_request(model, ()).slabs}
    assert slabs["P8"].out_of_use == "broken since 28 May"
    before = lab_model(sample_lab, as_of=at("2026-05-20"))[1]
    assert {slab.code: slab for slab in schedule_request(before, ()).slabs}["P8"].out_of_use == ""


def test_an_overdue_layer_is_taken_to_come_off_at_the_next_touch(sample_lab: Lab) -> None:
    model = lab_model(sample_lab, as_of=at("2026-09-26T12:00:00+01:00"))[1]
    slab = next(slab for slab in schedule_request(model, ()).slabs if slab.code == "P4")
    assert slab.busy_until == datetime.fromisoformat("2026-09-26T12:00:00+01:00")  # its touch is long overdue


def test_an_empty_lab_leaves_layers_open(lab: Lab) -> None:
    model = lab_model(lab)[1]
    asked = schedule_request(model, [WantedPour("first", Body(body="first", family="buff"), 1000.0, 10.0)])
    found = place_layers(asked)
    assert found.unplaced == ("first",) and explain_unplaced(asked, found) == {"first": "No slab is kept for buff."}
