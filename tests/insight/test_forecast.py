"""Forecasts of the time to workable: the fit learns, checks condition, intervals are honest."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from claybench.ask.runs import forecast_runs
from claybench.insight.drying.composition import Composition, centred_shares
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import ForecastLayer, forecast
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.insight.drying.resistance_fit import ResistanceFit, fit_resistances
from claybench.record.lab import Lab
from tests.sample import END


def runs(seed: int, count: int = 120) -> tuple[list[FinishedRun], dict[str, float], dict[str, float]]:
    """Runs made up from true parts of six bodies and three slabs, noise of 8 %."""
    dice = random.Random(seed)
    bodies = {f"b{n}": dice.gauss(0.45, 0.3) for n in range(6)}
    slabs = {f"s{n}": dice.gauss(-2.2, 0.3) for n in range(3)}
    out = []
    for number in range(count):
        body, slab = dice.choice(list(bodies)), dice.choice(list(slabs))
        conditions = LayerConditions(dice.uniform(4, 7), dice.uniform(0, 0.55), 20.0, 20.0)
        p, q = conditions.unit_times()
        time = (math.exp(bodies[body]) * p + math.exp(slabs[slab]) * q) * math.exp(dice.gauss(0, 0.08))
        low = time * dice.uniform(0.85, 1.0)
        high = low + dice.uniform(6, 14)
        out.append(FinishedRun(str(number), body, "f", slab, conditions, 0.03, 0.01, low, high))
    return out, bodies, slabs


def known_layer(water_mm: float, wetness: float) -> ForecastLayer:
    """A layer of a body and on a slab that the runs know."""
    conditions = LayerConditions(water_mm, wetness, 20.0, 20.0)
    return ForecastLayer(body="b1", family="f", slab="s1", conditions=conditions, layer_log_sd=0.07, wetness_sd=0.02)


def test_the_fit_finds_what_the_runs_were_made_of() -> None:
    made, bodies, slabs = runs(1)
    fit = fit_resistances(made)
    for body, true in bodies.items():
        assert fit.resistances(body, "f", None).body == pytest.approx(true, abs=0.25)
    for slab, true in slabs.items():
        assert fit.resistances(None, "f", slab).slab == pytest.approx(true, abs=0.5)


def test_nothing_known_gives_the_priors_and_a_wide_interval() -> None:
    unknown = replace(known_layer(5.5, 0.1), body="x", family=None, slab="y", wetness_sd=0.1)
    empty = forecast(fit_resistances([]), unknown)
    fit = fit_resistances(runs(2)[0])
    known = forecast(fit, known_layer(5.5, 0.1))
    assert empty.high_min / empty.low_min > 3 * (known.high_min / known.low_min)


def test_a_slip_of_the_finger_hardly_moves_the_fit() -> None:
    made, _, _ = runs(3)
    clean = fit_resistances(made).resistances("b0", "f", "s0").body
    made[0] = replace(made[0], body="b0", slab="s0", low_min=1.0, high_min=2.0)
    assert fit_resistances(made).resistances("b0", "f", "s0").body == pytest.approx(clean, abs=0.1)


def test_a_touch_that_finds_it_not_ready_moves_the_forecast() -> None:
    fit, layer = fit_resistances(runs(4)[0]), known_layer(5.5, 0.1)

    def ask(floor: float) -> float:
        return forecast(fit, layer, not_before_min=floor).median_min

    start = ask(0)
    assert ask(0.3 * start) == pytest.approx(start, rel=0.01)
    assert ask(1.2 * start) > 1.2 * start


def test_wetter_slabs_and_thicker_layers_take_longer() -> None:
    fit = fit_resistances(runs(5)[0])

    def ask(water: float, wet: float) -> float:
        return forecast(fit, known_layer(water, wet)).median_min

    assert ask(6, 0) / ask(3, 0) == pytest.approx(4, rel=0.15)  # the square of the depth, nearly
    assert ask(5, 0.6) > ask(5, 0.1)


def test_open_runs_of_the_sample(sample_lab: Lab) -> None:
    found = forecast_runs(sample_lab, None, as_of=END)
    assert [each.run for each in found] == ["D148", "D149", "D150"]
    for seen in (each.forecast for each in found):
        assert 0 < seen.low_min < seen.median_min < seen.high_min
        assert any("not yet workable" in text for text in seen.because)


@pytest.mark.parametrize("wetness", [0.0, 0.5, 0.8, 0.9])
def test_a_layer_is_forecast_on_any_slab_however_wet(wetness: float) -> None:
    layer = ForecastLayer(
        body=None,
        family=None,
        slab="P1",
        conditions=LayerConditions(5.0, wetness, 20.0, 20.0, 0.001),
        layer_log_sd=0.1,
        wetness_sd=0.15,
    )
    found = forecast(ResistanceFit(), layer)
    assert 0 < found.low_min < found.median_min < found.high_min
    # The air alone takes so long, half as much again for the doubt of it.
    assert found.high_min <= 1.5 * 5.0 / 0.001


def thinned(seed: int, bodies: int, log_effect: float) -> list[FinishedRun]:
    """Plain runs, and three of each of so many bodies whose slip was deflocculated; e^u longer by an effect."""
    dice = random.Random(seed)
    made, _, slabs = runs(seed)
    for number in range(3 * bodies):
        slab, wet = dice.choice(list(slabs)), dice.uniform(0, 0.4)
        conditions = LayerConditions(dice.uniform(2, 4), wet, 20.0, 20.0)
        p, q = conditions.unit_times()
        body = f"d{number % bodies}"
        u = 0.45 + log_effect + 0.2 * math.sin(number % bodies)
        time = (math.exp(u) * p + math.exp(slabs[slab]) * q) * math.exp(dice.gauss(0, 0.08))
        made.append(
            FinishedRun(f"t{number}", body, "f", slab, conditions, 0.03, 0.01, 0.95 * time, 1.05 * time,
                        composition=Composition(deflocculated=True))
        )  # fmt: skip
    return made


def test_a_first_deflocculated_slip_is_forecast_slower_and_with_doubt() -> None:
    """Before the lab has dried any: plain slip's time alone was 2.4 to 5 times too short, on labs of other making."""
    fit = fit_resistances(runs(4)[0])
    plain = forecast(fit, replace(known_layer(3.0, 0.1), body="new"))
    first = forecast(fit, replace(known_layer(3.0, 0.1), body="new", composition=Composition(deflocculated=True)))
    assert first.median_min == pytest.approx(3.4 * plain.median_min, rel=0.15)
    assert first.low_min < 2 * plain.median_min
    assert first.high_min > 7 * plain.median_min


@pytest.mark.parametrize("log_effect", [0.6, 2.0])
def test_what_was_learnt_of_deflocculated_slips_serves_the_next(log_effect: float) -> None:
    fit = fit_resistances(thinned(4, 4, log_effect))
    layer = replace(known_layer(3.0, 0.1), body="new", composition=Composition(deflocculated=True))
    untold = fit_resistances(runs(4)[0])
    learnt, first = forecast(fit, layer), forecast(untold, layer)
    plain = forecast(fit, replace(layer, composition=Composition()))
    assert math.log(learnt.high_min / learnt.low_min) < 0.6 * math.log(first.high_min / first.low_min)
    thin = fit.resistances("new", "f", "s1", composition=Composition(deflocculated=True))
    share = thin.body - fit.resistances("new", "f", "s1").body
    assert share == pytest.approx(log_effect, abs=0.35)
    assert learnt.median_min > plain.median_min


def test_plain_bodies_know_nothing_of_deflocculation() -> None:
    """The same plain runs give the same plain forecast, whether deflocculated ones stand beside them or not."""
    plain = fit_resistances(thinned(5, 0, 1.0))
    beside = fit_resistances(thinned(5, 4, 1.0))
    for body in ("b0", "b3"):
        layer = replace(known_layer(5.0, 0.2), body=body)
        assert forecast(beside, layer).median_min == pytest.approx(forecast(plain, layer).median_min, rel=0.05)


def by_recipe(seed: int, count: int = 160) -> tuple[list[FinishedRun], float]:
    """Runs of twenty bodies that differ by how much fine clay they hold, e^u by 2.5 for the whole of it."""
    dice = random.Random(seed)
    made, slope = [], 2.5
    shares = {f"b{number}": dice.uniform(-0.25, 0.25) for number in range(20)}
    own = {body: slope * share + dice.gauss(0, 0.08) for body, share in shares.items()}
    for number in range(count):
        body = dice.choice(list(shares))
        conditions = LayerConditions(dice.uniform(4, 7), dice.uniform(0, 0.4), 20.0, 20.0)
        p, q = conditions.unit_times()
        time = (math.exp(0.45 + own[body]) * p + math.exp(-2.2) * q) * math.exp(dice.gauss(0, 0.08))
        composition = Composition(shares={"fine clay": shares[body], "flint": -shares[body]})
        made.append(
            FinishedRun(
                str(number), body, "f", f"s{number % 2}", conditions, 0.03, 0.01, 0.95 * time, 1.05 * time,
                composition=composition,
            )
        )  # fmt: skip
    return made, slope


def test_a_new_body_is_forecast_by_its_recipe() -> None:
    """What many bodies teach of a new one: nearer and narrower than by its family alone."""
    made, slope = by_recipe(11)
    fit = fit_resistances(made)
    blind = fit_resistances([replace(run, composition=Composition()) for run in made])
    for share in (-0.2, 0.2):
        composition = Composition(shares={"fine clay": share, "flint": -share})
        told = fit.resistances("new", "f", "s1", composition=composition)
        untold = blind.resistances("new", "f", "s1", composition=composition)
        truth = 0.45 + slope * share
        assert abs(told.body - truth) < 0.25
        assert abs(untold.body - truth) > 0.35
        assert told.var_body < 0.5 * untold.var_body


def test_shares_are_taken_from_the_mean_of_their_family() -> None:
    parts = {"a": {"clay": 60.0, "flint": 40.0}, "b": {"clay": 3.0, "flint": 1.0}, "c": {"clay": 1.0}, "empty": {}}
    shares = centred_shares(parts, {"a": "white", "b": "white", "c": "red"})
    assert shares["a"] == pytest.approx({"clay": -0.075, "flint": 0.075})
    assert shares["b"] == pytest.approx({"clay": 0.075, "flint": -0.075})
    assert shares["c"] == {}
    assert "empty" not in shares
