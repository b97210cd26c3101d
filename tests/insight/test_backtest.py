"""Backtest of the forecasts: each run by what was known when it was poured, and after each touch."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, timedelta

import pytest

from claybench.insight.drying.backtest import (
    REFITS,
    BacktestedRun,
    backtest_runs,
    forecast_steps,
    forecasts_at_pour,
)
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.terms import Check
from tests.bench.made_lab import MadeLab, make_lab

COUNT = 36


@pytest.fixture(scope="module")
def made() -> MadeLab:
    return make_lab(COUNT, slabs=3, bodies=6)


@pytest.fixture(scope="module")
def found(made: MadeLab) -> list[BacktestedRun]:
    return backtest_runs(model(made).forecasts)


def model(lab: MadeLab) -> LabModel:
    return LabModel(lab.rows(), at=lab.at, zone=UTC, settings=Settings())


def later_ones_slower(made: MadeLab) -> list[Check]:
    """Its checks, those of its later half twice as late: slow, and not so slow as to pass for slips."""
    runs = sorted(made.runs, key=lambda run: run.started_at)
    later = {run.run: run.started_at for run in runs[len(runs) // 2 :]}
    return [
        replace(check, at=later[check.run] + 2 * (check.at - later[check.run])) if check.run in later else check
        for check in made.checks
    ]


def test_every_touched_run_is_forecast_without_its_own_result(found: list[BacktestedRun]) -> None:
    assert len(found) == COUNT
    assert sum(each.covered for each in found) / len(found) > 0.75
    each = found[-1]
    assert each.covered == (each.forecast.low_min <= each.best_min <= each.forecast.high_min)
    # Not conditioned on its own touches, either.
    assert not any("not yet workable" in text for text in each.forecast.because)


def test_what_came_later_changes_nothing(made: MadeLab, found: list[BacktestedRun]) -> None:
    plain = {each.run: each.forecast.median_min for each in found}
    rows = replace(made.rows(), checks=later_ones_slower(made))
    other = LabModel(rows, at=made.at, zone=UTC, settings=Settings())
    changed = {each.run: each.forecast.median_min for each in backtest_runs(other.forecasts)}
    first, last = list(plain)[: COUNT // 2], list(plain)[-COUNT // REFITS :]
    assert [changed[run] for run in first] == pytest.approx([plain[run] for run in first])
    assert max(changed[run] / plain[run] for run in last) > 1.1


def test_of_one_slab_or_of_one_body(made: MadeLab, found: list[BacktestedRun]) -> None:
    whole = model(made)
    slab, body = found[-1].slab, found[-1].body
    own = backtest_runs(whole.forecasts, slab=slab, body=body)
    assert {(each.slab, each.body) for each in own} == {(slab, body)}
    assert len(own) == sum((each.slab, each.body) == (slab, body) for each in found)
    starts = [each.started_at for each in found]
    assert starts == sorted(starts)


def test_each_touch_that_finds_it_not_ready_moves_the_forecast_on(made: MadeLab) -> None:
    run = made.runs[-1]
    steps = forecast_steps(model(made).forecasts, run.run)
    assert [step.check.feel if step.check else None for step in steps] == [None, "fluid", "sticky"]
    poured, fluid, sticky = (step.forecast.median_min for step in steps)
    assert poured <= fluid * (1 + 1e-9)  # a search for quantiles ends at the twelfth digit
    assert fluid < sticky
    low, high = steps[2].expected(run.started_at)
    touched = steps[2].check
    assert touched is not None and touched.at - timedelta(minutes=1) < low < high


def test_runs_touched_too_late_or_lifted_too_early_count_as_intervals_without_an_end(made: MadeLab) -> None:
    late, early = made.runs[-1].run, made.runs[-2].run
    kept = [check for check in made.checks if not (check.run == late and check.feel != "workable")]
    kept = [check for check in kept if not (check.run == early and check.feel == "workable")]
    runs = [replace(run, outcome="lifted_early") if run.run == early else run for run in made.runs]
    rows = replace(made.rows(), checks=kept, runs=runs)
    other = LabModel(rows, at=made.at, zone=UTC, settings=Settings())
    slabs = {run.slab for run in made.runs[-2:]}
    found = {each.run: each for slab in slabs for each in backtest_runs(other.forecasts, slab=slab)}
    assert not found[late].complete and found[late].time_ratio[0] == 0
    assert not found[early].complete and math.isinf(found[early].time_ratio[1])


def test_what_was_said_at_each_pour_is_what_a_lab_that_ended_there_says(made: MadeLab) -> None:
    told: list[tuple[int, int]] = []
    said = forecasts_at_pour(model(made).forecasts, lambda done, total: told.append((done, total)))
    assert set(said) == {run.run for run in made.runs} and told[-1][0] == told[-1][1] == len(told)
    for run in sorted(made.runs, key=lambda each: each.started_at)[5::10]:
        begun = run.started_at
        open_then = {each.run for each in made.runs if each.ended_at is None or each.ended_at > begun}
        runs = [
            replace(each, ended_at=None, outcome=None, slab_after_g=None, clay_off_g=None)
            if each.run in open_then
            else each
            for each in made.runs
            if each.started_at <= begun
        ]
        rows = replace(
            made.rows(),
            runs=runs,
            checks=[each for each in made.checks if each.at <= begun],
            events=[each for each in made.events if each.at <= begun],
            air=[each for each in made.air if each.at <= begun],
        )
        then = LabModel(rows, at=begun, zone=UTC, settings=Settings()).forecasts.forecast_run(run.run)
        assert said[run.run].median_min == pytest.approx(then.median_min, rel=0.01)
        assert said[run.run].high_min == pytest.approx(then.high_min, rel=0.03)
