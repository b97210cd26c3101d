"""Time to workable as an interval, read off a run's checks."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.workable_interval import observed_workable_time
from claybench.terms import Check, Run

START = datetime(2026, 3, 12, 10, 0, tzinfo=UTC)


def run(outcome: str | None = None, ended: float | None = None) -> Run:
    return Run(
        run="R1",
        batch="B",
        slab="P",
        started_at=START,
        outcome=outcome,
        ended_at=START + timedelta(minutes=ended) if ended is not None else None,
    )


def checks(*felt: tuple[float, str]) -> list[Check]:
    return [Check(run="R1", at=START + timedelta(minutes=at), feel=feel) for at, feel in felt]


@pytest.mark.parametrize(
    ("the_run", "felt", "low", "high"),
    [
        (run("workable", 66), [(20, "fluid"), (45, "sticky"), (60, "workable")], 45, 60),
        (run("workable", 66), [(45, "sticky"), (60, "stiff")], 45, 60),
        (run("workable", 31), [(30, "workable")], 0, 30),
        (run("lifted_early", 41), [(20, "fluid"), (40, "sticky")], 40, None),
        (run("abandoned", 90), [(40, "sticky")], 40, None),
        (run("workable", 66), [(45, "sticky")], 45, 66),
        (run("workable", 66), [], 0, 66),
        (run(), [(20, "fluid")], 20, None),
    ],
)
def test_intervals(the_run: Run, felt: list[tuple[float, str]], low: float, high: float | None) -> None:
    found = observed_workable_time(the_run, checks(*felt))
    assert found is not None
    assert (found.low_min, found.high_min) == (low, high)


def test_best_estimate_lies_within_and_turned_layers_are_left_out() -> None:
    found = observed_workable_time(run("workable", 66), checks((45, "sticky"), (60, "workable")))
    assert found is not None
    assert found.best_min == pytest.approx(math.sqrt(45 * 60))
    turned = Check(run="R1", at=START + timedelta(minutes=30), feel="sticky", action="turned_over")
    found = observed_workable_time(run("workable", 66), [turned, *checks((60, "workable"))])
    assert found is not None and not found.modelled


def test_nothing_looked_at_says_nothing() -> None:
    assert observed_workable_time(run(), []) is None
