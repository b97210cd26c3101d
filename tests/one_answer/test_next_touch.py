"""When a layer is to be touched next: every place is asked about the same layer, and there is one answer."""

from __future__ import annotations

import contextlib
import io
import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from claybench.__main__ import main
from claybench.ask.bench import bench_now
from claybench.ask.lab_model import lab_model
from claybench.ask.runs import forecast_runs, run_page
from claybench.insight.drying.next_touch import touch_due
from claybench.insight.plan.schedule.calendar_words import write_calendar
from claybench.insight.plan.schedule.lab_schedule import lab_slabs
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import ScheduleRequest
from claybench.record.lab import Lab
from claybench.record.opening import open_lab
from claybench.terms import Run, Slab
from claybench.work.runs import add_check, lift_off, start_run
from claybench.work.settings import set_setting
from claybench.work.slabs import enter_slab
from tests.conftest import Ticking
from tests.insight.schedule_cases import HOURS, NOW, layer, slab

POURED = datetime(2026, 3, 12, 8, 0, tzinfo=UTC)


def on_the_bench(lab: Lab, path: Path, run: str) -> datetime | None:
    """By the row of its slab."""
    layers = [each for found in bench_now(lab).slabs for each in found.layers]
    return next((each.next_touch for each in layers if each.run == run), None)


def among_what_is_due(lab: Lab, path: Path, run: str) -> datetime | None:
    """By the list of what is due."""
    return next((due.at for due in bench_now(lab).due if due.code == run and due.kind == "touch"), None)


def on_its_page(lab: Lab, path: Path, run: str) -> datetime | None:
    """By the run's own page."""
    return run_page(lab, run).layer.next_touch


def by_the_question(lab: Lab, path: Path, run: str) -> datetime | None:
    """By the question behind the command."""
    return forecast_runs(lab, [run])[0].next_touch


def by_the_command(lab: Lab, path: Path, run: str) -> datetime | None:
    """By `claybench forecast --json`."""
    said = io.StringIO()
    at = lab.now().isoformat()
    with contextlib.redirect_stdout(said):
        assert main(["--lab", str(path), "forecast", "--run", run, "--as-of", at, "--json"]) == 0
    (found,) = json.loads(said.getvalue())
    return None if found["next_touch"] is None else datetime.fromisoformat(found["next_touch"])


PLACES: dict[str, Callable[[Lab, Path, str], datetime | None]] = {
    "bench row": on_the_bench,
    "what is due": among_what_is_due,
    "run page": on_its_page,
    "question": by_the_question,
    "command": by_the_command,
}


@pytest.fixture
def lying(lab_path: Path) -> Iterator[Lab]:
    """A lab in a file, since a command reads it too: one layer poured at eight."""
    opened = open_lab(lab_path)
    opened.now = Ticking(POURED)
    slab = Slab(slab="P1", family="buff", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70)
    enter_slab(opened, slab, at=POURED - timedelta(days=1), mass_g=9_500)
    start_run(opened, Run(run="R1", batch="B1", slab="P1", started_at=POURED, layer_mm=25.0), body="B", family="buff")
    yield opened
    opened.close()


def answers(lab: Lab, path: Path, at: datetime) -> set[datetime | None]:
    """What all places say at a moment: one answer where they agree."""
    lab.now = Ticking(at)
    return {ask(lab, path, "R1") for ask in PLACES.values()}


def window_opens(lab: Lab, at: datetime) -> datetime:
    """The early end of the forecast, at a moment."""
    lab.now = Ticking(at)
    return POURED + timedelta(minutes=lab_model(lab)[1].forecasts.forecast_run("R1").low_min)


def test_a_layer_is_left_alone_until_its_window_opens(lying: Lab, lab_path: Path) -> None:
    opens = window_opens(lying, POURED)
    assert opens > POURED + timedelta(minutes=30)  # else an interval of 15 min would say the same
    assert answers(lying, lab_path, POURED + timedelta(minutes=5)) == {opens}


def test_one_felt_too_early_is_left_alone_until_then(lying: Lab, lab_path: Path) -> None:
    early = POURED + timedelta(minutes=5)
    add_check(lying, "R1", "fluid", at=early)
    opens = window_opens(lying, early)
    assert opens > early + timedelta(minutes=15)
    assert answers(lying, lab_path, early) == {opens}


def test_once_its_window_is_open_it_is_touched_at_the_interval(lying: Lab, lab_path: Path) -> None:
    at = window_opens(lying, POURED) + timedelta(minutes=30)
    add_check(lying, "R1", "sticky", at=at)
    assert answers(lying, lab_path, at) == {max(at + timedelta(minutes=15), window_opens(lying, at))}
    set_setting(lying, "touch_every_min", "50")
    assert answers(lying, lab_path, at) == {at + timedelta(minutes=50)}


@pytest.mark.parametrize("feel", ["workable", "stiff"])
def test_one_that_felt_workable_is_to_be_lifted_and_not_touched(lying: Lab, lab_path: Path, feel: str) -> None:
    at = POURED + timedelta(minutes=90)
    add_check(lying, "R1", feel, at=at)
    assert answers(lying, lab_path, at) == {None}
    assert [due.kind for due in bench_now(lying).due if due.code == "R1"] == ["lift"]
    lift_off(lying, "R1", at=at, outcome="workable")
    assert answers(lying, lab_path, at) == {None}


def test_the_plan_calendar_says_when_the_window_opens() -> None:
    """A layer thought of, by the same rule as one that lies there."""
    asked = ScheduleRequest(NOW, HOURS, (slab("S"),), (layer("A"),))
    (placed,) = place_layers(asked).placed
    (row,) = (row for row in write_calendar(asked, place_layers(asked), touch_every_min=15) if row.what == "touch")
    low = (placed.low - placed.start).total_seconds() / 60
    assert row.at == touch_due(placed.start, None, low, 15) == placed.low


def test_a_plan_takes_a_layer_that_should_be_workable_to_come_off_at_that_touch(lying: Lab) -> None:
    at = POURED + timedelta(hours=40)
    add_check(lying, "R1", "sticky", at=at)
    lying.now = Ticking(at)
    model = lab_model(lying)[1]
    (due,) = (due for due in bench_now(lying).due if due.kind == "touch")
    (state,) = lab_slabs(model, {})
    assert state.busy_until is not None and state.busy_until >= due.at
    add_check(lying, "R1", "workable", at=at + timedelta(minutes=10))
    lying.now = Ticking(at + timedelta(minutes=10))
    (state,) = lab_slabs(lab_model(lying)[1], {})
    assert state.busy_until == at + timedelta(minutes=10)
