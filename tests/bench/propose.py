"""How long proposing eight bodies of five materials takes: `python -m tests.bench.propose` prints a line for each lab.

Made-up values of two properties, three pieces a batch; recipes are brought to what a scale weighs, as a plan does.
"""

from __future__ import annotations

import time
from functools import partial

import numpy as np

from claybench.insight.plan.design.region import Group, Region, RegionInShares
from claybench.insight.plan.design.rounding import round_recipes
from claybench.insight.plan.surfaces.observations import Observation
from claybench.insight.plan.surfaces.proposals import propose

REGION = Region.from_bounds(
    {"kaolin": (10, 60), "ball clay": (10, 50), "feldspar": (10, 30), "quartz": (5, 20), "talc": (0, 10)},
    [Group(("kaolin", "ball clay"), 45, 70)],
)
TARGETS = {"total_shrinkage_pct": (11.0, 12.5), "absorption_pct": (0.0, 2.0)}
_REPEATS = 5


def known(batches: int) -> dict[str, list[Observation]]:
    """Values of so many batches, each of a body of its own."""
    dice = np.random.default_rng(batches)
    found: dict[str, list[Observation]] = {name: [] for name in TARGETS}
    for number, row in enumerate(REGION.sample(max(batches, 1), 1)[:batches] / 100):
        heights = (8 + 6 * row[1] + 9 * row[0] * row[3], 9 - 20 * row[2] - 30 * row[4])
        for values, height in zip(found.values(), heights, strict=True):
            batch = height + dice.normal(0, 0.15)
            values += [
                Observation(tuple(row.tolist()), batch + float(dice.normal(0, 0.15)), str(number)) for _ in range(3)
            ]
    return found


def _round(shares: np.ndarray) -> np.ndarray:
    return round_recipes(REGION, 100 * shares, 0.1) / 100


def main() -> None:
    """Measure and print the slowest of a few."""
    for batches in (0, 1, 12, 40, 80, 160):
        ask = partial(propose, RegionInShares(REGION), known(batches), TARGETS, 8, round_recipes=_round)
        spans = []
        for _ in range(_REPEATS):
            begin, worked = time.perf_counter(), time.process_time()
            assert len(ask().bodies) == 8
            spans.append((time.perf_counter() - begin, time.process_time() - worked))
        clock, work = max(spans)
        print(f"{batches} batches known: {clock:.2f} s, of which {work:.2f} s at work (wanted: under 2 s)")


if __name__ == "__main__":
    main()
