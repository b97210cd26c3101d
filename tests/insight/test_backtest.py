"""Backtest of the forecasts: each run by what was known when it was poured, and after each touch."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, timedelta

import pytest

from claybench.insight.drying.backtest import (
    BacktestedRun,
    backtest_runs,
    forecast_steps,
    forecasts_at_pour,
    lifts_to_next_refit,
)
from claybench.insight.drying.forecast import Forecast
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


@pytest.fixture(scope="module")
def at_pours(made: MadeLab) -> tuple[dict[str, Forecast], list[tuple[int, int]]]:
    """What was said of all runs, and what was told on the way."""
    told: list[tuple[int, int]] = []
    forecasts = model(made).forecasts
    return forecasts_at_pour(forecasts, forecasts.poured, lambda done, total: told.append((done, total))), told


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
    first, last = list(plain)[: COUNT // 2], list(plain)[-COUNT // 6 :]
    assert [changed[run] for run in first] == pytest.approx([plain[run] for run in first])
    assert max(changed[run] / plain[run] for run in last) > 1.1


def test_of_one_slab_or_of_one_body(made: MadeLab, found: list[BacktestedRun]) -> None:
    whole = model(made)
    slab, body = found[-1].slab, found[-1].body
    told: list[tuple[int, int]] = []
    own = backtest_runs(whole.forecasts, slab=slab, body=body, progress=lambda done, total: told.append((done, total)))
    assert told == [(done, len(own)) for done in range(1, len(own) + 1)]  # refitted before these alone
    assert {(each.slab, each.body) for each in own} == {(slab, body)}
    # Which runs are looked at changes nothing in what was said of each.
    assert own == [each for each in found if (each.slab, each.body) == (slab, body)]
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


def test_what_was_said_at_each_pour_is_what_a_lab_that_ended_there_says(
    made: MadeLab, at_pours: tuple[dict[str, Forecast], list[tuple[int, int]]]
) -> None:
    said, told = at_pours
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


def test_looking_back_the_table_and_a_runs_page_say_one_forecast_at_the_pour(
    made: MadeLab, found: list[BacktestedRun], at_pours: tuple[dict[str, Forecast], list[tuple[int, int]]]
) -> None:
    said, _ = at_pours
    assert {each.run: each.forecast for each in found} == said
    for each in found[::17]:
        assert forecast_steps(model(made).forecasts, each.run)[0].forecast == said[each.run]


def test_refits_of_a_large_lab_follow_from_what_was_lifted_before(
    made: MadeLab, monkeypatch: pytest.MonkeyPatch
) -> None:
    refits = [0]
    while refits[-1] < 100_000:
        refits.append(refits[-1] + lifts_to_next_refit(refits[-1]))
    assert sum(each <= 200 for each in refits) == 201 and len(refits) < 350
    assert sum(refits) < 10 * 100_000  # runs fitted, over all refits
    # In a lab that is large already with a dozen runs, figures depend neither on what is asked nor on later runs.
    monkeypatch.setattr("claybench.insight.drying.backtest._RUNS_REFITTED", 50)
    forecasts = model(made).forecasts
    told: list[int] = []
    said = forecasts_at_pour(forecasts, forecasts.poured, lambda _, total: told.append(total))
    assert 5 < told[0] < COUNT / 1.5
    slab = made.runs[-1].slab
    own = backtest_runs(forecasts, slab=slab)
    assert own and {each.run: each.forecast for each in own} == {each.run: said[each.run] for each in own}
    early = sorted(forecasts.poured, key=lambda code: forecasts.poured[code].run.started_at)[: 2 * COUNT // 3]
    shorter = forecasts.with_runs({code: forecasts.poured[code] for code in early})
    assert forecasts_at_pour(shorter, early) == {code: said[code] for code in early}
