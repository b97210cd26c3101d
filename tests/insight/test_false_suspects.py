"""What must not make a sound slab suspect: pours back to back, layers that were turned or cut, another hand."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.slowness import slowness_evidence, slowness_scores
from claybench.terms import Run, SlabEvent
from tests.bench.made_lab import MadeLab, make_lab

SLAB = "P00"


def model_of(lab: MadeLab) -> LabModel:
    """At the end of the lab's record."""
    return LabModel(lab.rows(), at=lab.at, zone=UTC, settings=Settings())


def suspect(lab: MadeLab) -> list[str]:
    """Slabs called slow, with what was said."""
    model = model_of(lab)
    assert len(slowness_scores(model, SLAB)) > 5
    return [each.text for slab in model.slabs.balances for each in slowness_evidence(model, slab)]


def stretched(lab: MadeLab, runs: set[str], factor: float, **about: str) -> MadeLab:
    """The same lab, these runs felt workable later by a factor."""
    begun = {run.run: run.started_at for run in lab.runs}

    def later(code: str, at: datetime) -> datetime:
        return begun[code] + factor * (at - begun[code])

    checks = [
        replace(check, at=later(check.run, check.at), **about) if check.run in runs else check for check in lab.checks
    ]
    ended = [
        replace(run, ended_at=later(run.run, run.ended_at)) if run.run in runs and run.ended_at else run
        for run in lab.runs
    ]
    return replace(lab, checks=checks, runs=ended)


@pytest.fixture(scope="module")
def sound() -> MadeLab:
    return make_lab(120, slabs=4, bodies=8, seed=3)


def newest(lab: MadeLab, slab: str, count: int) -> set[str]:
    return {run.run for run in [run for run in lab.runs if run.slab == slab][-count:]}


def test_a_sound_slab_is_left_in_peace_and_a_slow_one_is_not(sound: MadeLab) -> None:
    assert suspect(sound) == []
    assert suspect(stretched(sound, newest(sound, SLAB, 8), 1.8)) != []


def test_layers_that_were_turned_or_cut_say_nothing(sound: MadeLab) -> None:
    runs = newest(sound, SLAB, 8)
    assert suspect(stretched(sound, runs, 1.8, action="cut")) == []
    assert suspect(stretched(sound, runs, 0.4, action="turned_over")) == []


def test_another_hand_that_feels_it_later_does_not_spoil_every_slab(sound: MadeLab) -> None:
    """A second person calls a layer workable an eighth later than the first, on whatever slab; common practice, no
    source for how much."""
    draw = random.Random(7)
    theirs = {run.run for run in sound.runs if draw.random() < 0.5}
    signed = [replace(run, by="second" if run.run in theirs else "first") for run in sound.runs]
    checks = [replace(check, by="second" if check.run in theirs else "first") for check in sound.checks]
    assert suspect(stretched(replace(sound, runs=signed, checks=checks), theirs, 1.125)) == []


def test_pours_back_to_back_on_a_slab_that_has_not_rested(sound: MadeLab) -> None:
    """The skin of a slab is wetter than its mean just after a lift, so that the second layer takes a tenth longer
    (from memory): a day with four pours on one slab must not make it suspect."""
    lab = sound
    last = lab.at - timedelta(days=1)
    own = [run for run in lab.runs if run.slab == SLAB]
    template, touched = own[-1], [check for check in lab.checks if check.run == own[-1].run]
    runs, checks = list(lab.runs), list(lab.checks)
    start = last
    for number in range(4):
        took = (template.ended_at or last) - template.started_at
        factor = math.sqrt(1 + 0.2 * (number > 0)) * (1 + 0.12 * number)  # wetter each time, and its skin more so
        code = f"B{number}"
        runs.append(
            replace(template, run=code, started_at=start, ended_at=start + factor * took, slab_before_g=None,
                    slab_after_g=None)
        )  # fmt: skip
        checks += [replace(check, run=code, at=start + factor * (check.at - template.started_at)) for check in touched]
        start += factor * took + timedelta(minutes=5)
    assert suspect(replace(lab, runs=runs, checks=checks, at=start)) == []


def test_a_resurfaced_slab_begins_anew(sound: MadeLab) -> None:
    """What slowed a slab down went with its old face: it neither accuses the new one nor stays in its forecasts."""
    own = [run for run in sound.runs if run.slab == SLAB]
    renewed = SlabEvent(slab=SLAB, at=own[-8].started_at - timedelta(minutes=30), event="resurfaced")

    def slowed(runs: list[Run], *events: SlabEvent) -> MadeLab:
        found = stretched(sound, {run.run for run in runs}, 2.2)
        return replace(found, events=[*found.events, *events])

    assert suspect(slowed(own[-8:])) != []
    assert suspect(slowed(own[-16:-8], renewed)) == []

    def foretold(lab: MadeLab) -> float:
        return model_of(lab).forecasts.forecast_layer(lab.bodies[0], SLAB, 10.0, wetness=0.5).median_min

    because = model_of(slowed([], renewed)).forecasts.forecast_layer(sound.bodies[0], SLAB, 10.0).because
    assert "8 times on this slab since it was resurfaced" in because
    assert foretold(sound) < foretold(slowed(own[:-8], renewed)) < 0.7 * foretold(slowed(own[:-8]))
