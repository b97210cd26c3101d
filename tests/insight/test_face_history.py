"""What a face has become: changes are found, told from wetness and slips, and followed by forecasts and the fit."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from claybench.insight.drying.face_history import FaceHistory, face_history
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.lab_fit import fit_lab
from claybench.insight.drying.resistance_fit import fit_resistances
from claybench.insight.slab_condition.slowness import change_window, is_slow
from tests.insight.test_capacity import made

HALF = 2 * math.log(2)
"""Shift of v = ln 1/S² where the sorptivity falls to a half."""


def history(runs: list[FinishedRun], slab: str = "s0") -> FaceHistory:
    """By what the other slab says."""
    return face_history(fit_resistances(runs), slab, [run for run in runs if run.slab == slab])


@pytest.mark.parametrize("seed", [6, 7, 8])
def test_a_face_gone_slow_is_found_with_its_day_and_a_sound_one_left_in_peace(seed: int) -> None:
    runs = made(seed, 160, slow_from=120)
    own = [int(run.run) for run in runs if run.slab == "s0"]
    slow, sound = history(runs), history(runs, "s1")
    assert is_slow(slow.runs)
    assert not any(is_slow(sound.runs[:number]) for number in range(len(sound.runs)))
    begun = next(number for number, run in enumerate(own) if run >= 120)
    first, likeliest, last = change_window(slow)
    assert first <= begun <= last
    assert abs(likeliest - begun) <= 3
    assert slow.now @ slow.shifts == pytest.approx(HALF, abs=0.5)


def test_scores_are_standard_normal_on_a_sound_face() -> None:
    """Drawn in by their intervals: their spread is below 1."""
    scores = [each.score for each in history(made(6, 160, slow_from=120), "s1").runs]
    assert abs(np.mean(scores)) < 0.35
    assert np.std(scores[5:]) < 1.2


def test_one_slip_is_no_change() -> None:
    runs = made(9, 80)
    last = max(number for number, run in enumerate(runs) if run.slab == "s0")
    assert runs[last].high_min is not None
    runs[last] = replace(runs[last], low_min=2.5 * runs[last].low_min, high_min=2.5 * (runs[last].high_min or 0))
    assert not is_slow(history(runs[: last + 1]).runs)


def test_a_face_that_is_as_it_was_again_is_no_longer_slow() -> None:
    runs = made(10, 160, slow_from=100)
    sound = made(10, 160)
    back = history([*runs[:130], *sound[130:]])
    numbers = [int(run.run) for run in runs if run.slab == "s0"]
    before = sum(number < 130 for number in numbers)
    assert is_slow(back.runs[:before])
    assert not is_slow(back.runs)


def test_smoothing_knows_more_than_the_moment_did() -> None:
    """Forward and backward agree on the last run; each row is a distribution."""
    slow = history(made(6, 160, slow_from=120))
    assert slow.smoothed.sum(axis=1) == pytest.approx(1)
    assert slow.slow_by_all[-1] == pytest.approx(slow.runs[-1].slow_chance)
    own = [int(run.run) for run in made(6, 160, slow_from=120) if run.slab == "s0"]
    begun = next(number for number, run in enumerate(own) if run >= 120)
    assert slow.slow_by_all[begun + 1] > slow.runs[begun + 1].slow_chance


def test_the_fit_does_not_blame_bodies_for_a_face() -> None:
    """With the shift of each run allowed for, bodies come out as in the lab in which nothing went wrong."""
    sound = fit_lab(made(6, 160)).fit
    runs = made(6, 160, slow_from=80)
    naive, told = fit_resistances(runs), fit_lab(runs)

    def off(fit: object) -> float:
        bodies = (f"b{number}" for number in range(6))
        gaps = [fit.resistances(body, "f", None).body - sound.resistances(body, "f", None).body for body in bodies]  # type: ignore[attr-defined]
        return float(np.mean(np.abs(gaps)))

    assert off(told.fit) < 0.05
    assert told.fit.spreads.scatter < naive.spreads.scatter
    assert told.fit.resistances(None, "f", "s0").slab == pytest.approx(
        sound.resistances(None, "f", "s0").slab, abs=0.25
    )


def test_each_face_has_its_own_history() -> None:
    """One face goes slow, the other does not: told apart where each layer's face was told, and not by a guess."""
    runs = made(6, 240, slow_from=120)
    own = [run.run for run in runs if run.slab == "s0"]
    sound = {run.run: run for run in made(6, 240)}
    faces = [
        replace(run if int(run.run) % 4 else sound[run.run], face="open" if int(run.run) % 4 else "form")
        for run in runs
    ]
    told = fit_lab(faces).histories
    assert is_slow(told["s0", "open"].runs)
    assert not is_slow(told["s0", "form"].runs)
    untold = fit_lab([replace(run, face=None) for run in runs]).histories
    assert [each.run for each in untold["s0", None].runs] == own
