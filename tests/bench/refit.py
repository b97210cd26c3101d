"""How long a lab's model takes to learn from all its runs: `python -m tests.bench.refit` prints a line for each part.

`--profile` says which functions the time goes to; `--runs N` measures one lab of so many runs.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import time
from collections.abc import Callable, Iterator
from datetime import UTC
from typing import Any

from claybench.insight.drying.lab_model import LabModel
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.slowness import slowness_scores
from tests.bench.made_lab import MadeLab, make_lab

WANTED = {400: 1.0, 100_000: 20.0}
"""Seconds for a refit, by the number of runs."""


def main() -> None:
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--runs", type=int, action="append", help="measure a lab of so many runs")
    asked.add_argument("--profile", action="store_true", help="say where the time goes")
    given = asked.parse_args()
    for runs in given.runs or list(WANTED):
        lab = make_lab(runs, bodies=3000 if runs >= 10_000 else 40, slabs=40 if runs >= 10_000 else 8)
        print(f"{runs} runs of {len(lab.bodies)} bodies on {len(lab.slabs)} slabs")
        if given.profile:
            _profiled(lab)
            continue
        so_far = 0.0
        for name, took, busy in parts(lab):
            so_far += took
            print(f"  {name:<44} {took:8.2f} s   processor {busy:8.2f} s   so far {so_far:8.2f} s")
        if runs in WANTED:
            print(f"  wanted: a refit, up to the parts of bodies and slabs, in {WANTED[runs]:.0f} s")


def parts(lab: MadeLab) -> Iterator[tuple[str, float, float]]:
    """Each part with the seconds it took by the clock and on the processor, in the order they are needed in."""
    found: dict[str, LabModel] = {}

    def make(_: None) -> None:
        found["model"] = build(lab)

    yield ("rows put in order", *_timed(make, None))
    for name, ask in _STEPS:
        yield (name, *_timed(ask, found["model"]))


def seconds_of_a_refit(runs: int) -> float:
    """Processor seconds from rows to the parts of bodies and slabs."""
    lab = make_lab(runs, bodies=max(40, runs // 33), slabs=8 if runs < 10_000 else 40)
    begun = time.process_time()
    assert build(lab).forecasts.fit
    return time.process_time() - begun


def _timed(call: Callable[[Any], object], of: Any) -> tuple[float, float]:
    clock, busy = time.perf_counter(), time.process_time()
    call(of)
    return time.perf_counter() - clock, time.process_time() - busy


def build(lab: MadeLab) -> LabModel:
    """The model of the lab at its end."""
    return LabModel(lab.rows(), at=lab.at, zone=UTC, settings=Settings())


_STEPS: tuple[tuple[str, Any], ...] = (
    ("wetness of every slab through its life", lambda model: model.slabs.wetnesses),
    ("every layer and the wetness it began at", lambda model: model.poured),
    ("parts of bodies and slabs", lambda model: model.forecasts.fit),
    ("slowness of every slab", lambda model: [slowness_scores(model, slab) for slab in model.slabs.balances]),
)


def _profiled(lab: MadeLab) -> None:
    watch = cProfile.Profile()
    watch.enable()
    model = build(lab)
    for _, ask in _STEPS:
        ask(model)
    watch.disable()
    pstats.Stats(watch).sort_stats("cumulative").print_stats(40)


if __name__ == "__main__":
    main()
