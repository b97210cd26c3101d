"""Layers as arrays against the single law; bodies eliminated against a full matrix; capacities learnt from wet runs."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import ForecastLayer, log_time_mixture
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.insight.drying.resistance_fit import ResistanceFit, fit_resistances
from claybench.insight.drying.resistance_priors import (
    FAMILY_SD,
    PRIOR_SPREADS,
    prior_body_resistance,
    prior_slab_resistance,
)
from claybench.insight.drying.transfer_law import LayerArrays, log_minutes, log_minutes_and_gradient
from tests.water.closed_form import time_to_workable


def made(seed: int, count: int, *, holds: float = 20.0, slow_from: int | None = None) -> list[FinishedRun]:
    """Runs on two slabs, times by the single law on slabs that truly hold so much, feel of 8 %, held for 20 mm."""
    dice = random.Random(seed)
    bodies = {f"b{number}": 0.8 * math.exp(dice.gauss(0, 0.15)) for number in range(6)}
    out = []
    for number in range(count):
        body, slab = dice.choice(list(bodies)), f"s{number % 2}"
        wet, water = dice.uniform(0.0, 0.6), dice.uniform(4, 6)
        by_air, sorptivity = dice.uniform(0.0005, 0.002), 3.0
        if slow_from is not None and slab == "s0" and number >= slow_from:
            sorptivity /= 2
        time = time_to_workable(water, bodies[body], sorptivity, wet * 20 / holds, holds, 20.0, by_air)
        time *= math.exp(dice.gauss(0, 0.08))
        low = max(time - dice.uniform(0, 10), 0.0)
        conditions = LayerConditions(water, wet, 20.0, 20.0, by_air)
        out.append(FinishedRun(str(number), body, "f", slab, conditions, 0.02, 0.005, low, low + 11))
    return out


def test_many_layers_at_once_take_what_single_ones_do() -> None:
    """`tests.water.closed_form` stands on its own tests; full slabs leave the rest to the air there, too."""
    cases = [(3.0, 0.1, 0.0), (5.0, 0.5, 0.001), (6.0, 0.7, 0.002), (5.0, 0.85, 0.003), (4.0, 0.3, 0.01)]
    layers = LayerArrays.from_conditions([LayerConditions(water, wet, 20.0, 23.0, air) for water, wet, air in cases])
    wanted = [math.log(time_to_workable(water, 0.7, 2.5, wet, 20.0, 23.0, air)) for water, wet, air in cases]
    found = log_minutes(np.full(5, -2 * math.log(0.7)), np.full(5, -2 * math.log(2.5)), layers)
    assert found == pytest.approx(wanted, abs=2e-3)


def test_the_gradient_is_how_time_changes_with_body_and_slab() -> None:
    layers = LayerArrays.from_conditions([LayerConditions(5.0, wet, 20.0, 20.0, 0.002) for wet in (0.0, 0.4, 0.6)])
    body, slab, step = np.full(3, 0.4), np.full(3, -2.0), 1e-4
    _, by_body, by_slab = log_minutes_and_gradient(body, slab, layers)
    assert by_body == pytest.approx(
        (log_minutes(body + step, slab, layers) - log_minutes(body, slab, layers)) / step, abs=0.01
    )
    assert by_slab == pytest.approx(
        (log_minutes(body, slab + step, layers) - log_minutes(body, slab, layers)) / step, abs=0.01
    )


def test_bodies_eliminated_one_by_one_come_to_the_full_matrix() -> None:
    """The covariance of all parts together, inverted in one piece with numpy."""
    runs = made(2, 60)
    fit = fit_resistances(runs)
    solver, posterior = fit.solver, fit.posterior
    assert solver is not None and posterior is not None
    _, information, by_body, by_slab = solver.linear
    count = 1 + solver.bodies + solver.slabs
    full = np.diag(
        [FAMILY_SD**-2]
        + [posterior.spreads.body_sd**-2] * solver.bodies
        + [posterior.spreads.slab_sd**-2] * solver.slabs
    )
    for number in range(len(runs)):
        row = np.zeros(count)
        row[0] = row[1 + solver.runs.body[number]] = by_body[number]
        row[1 + solver.bodies + solver.runs.slab[number]] = by_slab[number]
        full += information[number] * np.outer(row, row)
    inverse = np.linalg.inv(full)
    for body, place in fit.groups.bodies.items():
        resistances = fit.resistances(body, "f", "s1")
        pick = np.zeros(count)
        pick[[0, 1 + place]] = 1.0
        slab = 1 + solver.bodies + fit.groups.slabs["s1"]
        # The spreads of bodies and slabs took one more step after the matrix was made.
        assert resistances.var_body == pytest.approx(pick @ inverse @ pick, rel=0.02)
        assert resistances.covariance == pytest.approx(pick @ inverse[:, slab], rel=0.05, abs=1e-4)


@pytest.mark.parametrize("holds", [17.5, 22.5])
def test_wet_runs_say_how_much_a_slab_holds(holds: float) -> None:
    fit = fit_resistances(made(3, 160, holds=holds))
    for grid in fit.grids.values():
        assert 0.02 < grid.sd < 0.07
        assert grid.mean == pytest.approx(math.log(holds / 20), abs=2.5 * grid.sd)
    assert fit.fitted_prior is not None
    assert math.copysign(1, fit.fitted_prior.mean) == math.copysign(1, math.log(holds / 20))


def test_dry_runs_leave_the_capacity_open() -> None:
    dry = [replace(run, conditions=replace(run.conditions, wetness=0.0, capacity_mm=60.0)) for run in made(4, 40)]
    assert all(grid.sd > 0.07 for grid in fit_resistances(dry).grids.values())


def test_a_forecast_takes_all_a_slab_may_be() -> None:
    """Near the limit: wider than the same layer on a dry slab, and its quantiles hold what they say of its cases."""
    fit = fit_resistances(made(5, 60))

    def layer(wetness: float, air: float = 0.0, **about: str | None) -> ForecastLayer:
        conditions = LayerConditions(5.0, wetness, 20.0, 20.0, air)
        named: dict[str, str | None] = {"body": "b1", "family": "f", "slab": "s0"} | about
        return ForecastLayer(conditions=conditions, layer_log_sd=0.02, wetness_sd=0.02, **named)

    def width(wetness: float) -> float:
        mixture = log_time_mixture(fit, layer(wetness, 0.001))
        low, high = mixture.quantiles((0.05, 0.95))
        assert mixture.cdf(np.array([low, high])) == pytest.approx([0.05, 0.95], abs=1e-6)
        return high - low

    assert width(0.66) > 2 * width(0.1)
    unknown = layer(0.1, body=None, family=None, slab="?")
    usual = LayerArrays.from_conditions([unknown.conditions])
    wanted = log_minutes(np.array([prior_body_resistance()]), np.array([prior_slab_resistance()]), usual)[0]
    assert log_time_mixture(ResistanceFit(), unknown).mean == pytest.approx(wanted, abs=0.1)
    assert fit.spreads.body_sd != PRIOR_SPREADS.body_sd
