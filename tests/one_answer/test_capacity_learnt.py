"""What a slab holds by the times of its layers is one figure for wetness, verdict, plan, words and forecast."""

from __future__ import annotations

from datetime import timedelta

import pytest

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.plan.schedule.lab_schedule import schedule_request
from claybench.quantity.shown import percent
from tests.campaign.replay import known_at
from tests.campaign.simulate import make_lab
from tests.campaign.truth import MadeLab
from tests.campaign.wetness_campaign import Looked, table


@pytest.fixture(scope="module")
def lab() -> MadeLab:
    return make_lab(12, days=40)


@pytest.fixture(scope="module")
def model(lab: MadeLab) -> LabModel:
    return known_at(lab, max(run.ended_at for run in lab.runs if run.ended_at is not None) + timedelta(hours=2))


def test_wetness_is_of_what_its_layers_say_it_holds(model: LabModel) -> None:
    moved = 0
    for code, nominal in model.slabs.wetnesses.items():
        shown = model.wetnesses[code]
        assert shown.water_g == nominal.water_g
        assert shown.now is not None and shown.water_g is not None
        assert shown.now == pytest.approx(min(shown.water_g / shown.capacity_g, 1.0))
        moved += abs(shown.capacity_g / nominal.capacity_g - 1) > 0.01
    assert moved >= 2


def test_plan_and_words_speak_of_that_share(model: LabModel) -> None:
    for slab in schedule_request(model, ()).slabs:
        assert slab.capacity_g == model.wetnesses[slab.code].capacity_g
    for code in list(model.wetnesses)[:3]:
        now = model.wetnesses[code].now
        foretold = model.forecasts.forecast_layer(None, code, 10.0)
        assert now is not None and f"slab {code} {percent(now)} wet" in foretold.because
    run = model.runs[-1]
    words = model.forecasts.forecast_run(run.run).because
    assert f"slab {run.slab} {percent(model.poured[run.run].wetness)} wet" in words


def test_a_forecast_counts_the_capacity_once(model: LabModel) -> None:
    """The same water in the slab, told as a share of what it holds or not told at all: one forecast, but for a skin."""
    for code, wet in model.wetnesses.items():
        if wet.skin[0] > 0.001 or wet.now is None:
            continue
        untold = model.forecasts.forecast_layer(None, code, 10.0)
        told = model.forecasts.forecast_layer(None, code, 10.0, wetness=wet.now)
        assert told.median_min == pytest.approx(untold.median_min, rel=1e-3)


def test_an_earlier_moment_is_of_that_capacity_too(model: LabModel) -> None:
    code = next(iter(model.wetnesses))
    at = model.at - timedelta(days=3)
    nominal, shown = model.slabs.wetness_at(code, at), model.wetness_at(code, at)
    assert nominal is not None and shown is not None
    ratio = model.wetnesses[code].capacity_g / model.slabs.wetnesses[code].capacity_g
    assert shown == pytest.approx(nominal / ratio)


def test_a_look_holds_where_the_truth_lies_within() -> None:
    looked = Looked(True, 0.2, 0.25, 0.3, 0.31)
    assert not looked.holds
    assert looked.width == pytest.approx(0.1)
    assert list(table({"one": [looked, Looked(False, 0.2, 0.25, 0.4, 0.31)]}))[2].startswith(
        "| one | 0.0 % | 100.0 % |"
    )
