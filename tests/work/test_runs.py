"""Acts on runs: pouring, touching, lifting off, and what each refuses."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from claybench.errors import BadInput, NotFound, Refused
from claybench.record.lab import Lab
from claybench.terms import Batch, Body, Check, Family, Run
from claybench.work import any_row, runs

HOUR = timedelta(hours=1)


def test_a_layer_is_poured(poured: Lab, at: datetime) -> None:
    with poured.reading() as record:
        assert record.rows(Run) == [Run(run="R-1", batch="B-07-1", slab="P1", started_at=at, layer_mm=10.0)]


def test_the_slip_does_not_wait_for_the_records(bench: Lab, at: datetime) -> None:
    run = Run(run="R-2", batch="new", slab="P1", started_at=at)
    with pytest.raises(BadInput, match="no batch 'new'. Name its body too") as told:
        runs.start_run(bench, run)
    assert told.value.field == "body"
    runs.start_run(bench, run, body="N-1", family="red")
    with bench.reading() as record:
        assert record.one(Batch, "new") == Batch(batch="new", body="N-1", made="slip", mixed_at=at)
        assert record.one(Body, "N-1").family == "red"
        assert record.codes(Family) == ["buff", "red"]
    any_row.undo_last(bench)
    with bench.reading() as record:
        assert record.codes(Run) == [] and record.find(Body, "N-1") is None


def test_a_slab_that_is_not_there_takes_no_layer(bench: Lab, at: datetime) -> None:
    with pytest.raises(NotFound, match="no slab 'P2'"):
        runs.start_run(bench, Run(run="R-3", batch="B-07-1", slab="P2", started_at=at))


def test_a_layer_is_touched(poured: Lab, at: datetime) -> None:
    runs.add_check(poured, "R-1", "sticky", at=at + HOUR, action="cut", penetration_mm=12.0, note="edge first")
    with poured.reading() as record:
        assert record.rows(Check) == [
            Check(run="R-1", at=at + HOUR, feel="sticky", action="cut", penetration_mm=12.0, note="edge first")
        ]


def test_a_touch_that_cannot_have_been(poured: Lab, at: datetime) -> None:
    with pytest.raises(BadInput, match="was not poured yet at that time") as told:
        runs.add_check(poured, "R-1", "fluid", at=at - timedelta(minutes=1))
    assert told.value.field == "at"
    with pytest.raises(BadInput, match="Feel cannot be 'leathery'. Use one of fluid, sticky"):
        runs.add_check(poured, "R-1", "leathery", at=at + HOUR)
    with pytest.raises(NotFound, match="no run 'R-9'"):
        runs.add_check(poured, "R-9", "fluid", at=at)
    runs.add_check(poured, "R-1", "fluid", at=at + HOUR)
    with pytest.raises(Refused):
        runs.add_check(poured, "R-1", "sticky", at=at + HOUR)
    runs.lift_off(poured, "R-1", "workable", at=at + 2 * HOUR)
    with pytest.raises(Refused, match="was lifted before that. Correct the time, or undo the lift"):
        runs.add_check(poured, "R-1", "stiff", at=at + 3 * HOUR)
    runs.add_check(poured, "R-1", "workable", at=at + 2 * HOUR)


def test_a_layer_is_lifted(poured: Lab, at: datetime) -> None:
    runs.lift_off(
        poured,
        "R-1",
        "workable",
        at=at + 2 * HOUR,
        clay_off_g=1500.0,
        slab_after_g=9900.0,
        wedged_on="plaster bat",
    )
    with poured.reading() as record:
        (run,) = record.rows(Run)
    assert (run.outcome, run.ended_at, run.clay_off_g) == ("workable", at + 2 * HOUR, 1500.0)
    assert (run.slab_after_g, run.wedged_on) == (9900.0, "plaster bat")
    with pytest.raises(Refused, match="was lifted already. Correct the run instead, or undo the lift"):
        runs.lift_off(poured, "R-1", "workable", at=at + 3 * HOUR)
    any_row.undo_last(poured)
    with poured.reading() as record:
        assert record.rows(Run) == [Run(run="R-1", batch="B-07-1", slab="P1", started_at=at, layer_mm=10.0)]


def test_a_lift_that_cannot_have_been(poured: Lab, at: datetime) -> None:
    with pytest.raises(BadInput, match="Lifted lies before poured"):
        runs.lift_off(poured, "R-1", "workable", at=at - HOUR)
    with pytest.raises(BadInput, match="Outcome cannot be 'eaten'"):
        runs.lift_off(poured, "R-1", "eaten", at=at + HOUR)
    with pytest.raises(NotFound):
        runs.lift_off(poured, "R-9", "workable", at=at + HOUR)


def test_the_bare_slab_is_not_weighed_under_another_layer(poured: Lab, at: datetime) -> None:
    runs.start_run(poured, Run(run="R-2", batch="B-07-1", slab="P1", started_at=at + HOUR, area_cm2=300.0))
    with pytest.raises(Refused, match="R-2 still lies on slab P1, so this is not the mass of the bare slab"):
        runs.lift_off(poured, "R-1", "workable", at=at + 2 * HOUR, slab_after_g=9900.0)
    runs.lift_off(poured, "R-1", "workable", at=at + 2 * HOUR)
    runs.lift_off(poured, "R-2", "too_stiff", at=at + 3 * HOUR, slab_after_g=9900.0)
    with poured.reading() as record:
        assert [run.slab_after_g for run in record.rows(Run)] == [None, 9900.0]
