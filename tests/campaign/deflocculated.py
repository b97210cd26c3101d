"""Deflocculated slips: the first that a lab pours, and what it has learnt by the later ones.

`python -m tests.campaign.deflocculated [--seeds FIRST LAST] [--days N]` prints the lines of docs/models.md. The labs
are those of `other_lab`, in which a deflocculated slip settles into a denser cake by physics of its own.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import repeat
from statistics import mean, median

from tests.campaign.changed import HeldInterval, held_at_all, score_ratio
from tests.campaign.measure import DAYS
from tests.campaign.other_lab import make_other_lab
from tests.campaign.other_truth import OtherRun
from tests.campaign.replay import known_at

GROUPS = ("first", "second and third", "fourth to tenth", "plain slips beside them")


def look(seed: int, days: int) -> dict[str, list[HeldInterval]]:
    """Forecasts of one lab's first ten deflocculated layers, and of as many plain ones poured next to them."""
    lab = make_other_lab(seed, days=days)
    held: dict[str, list[HeldInterval]] = {group: [] for group in GROUPS}
    count, owed = 0, 0
    for truth in lab.truth:
        if not isinstance(truth, OtherRun) or not held_at_all(truth):
            continue
        if truth.deflocculated:
            group = GROUPS[0] if count == 0 else GROUPS[1] if count < 3 else GROUPS[2]
            count, owed = count + 1, owed + 1
        elif owed:
            group, owed = GROUPS[3], owed - 1
        else:
            continue
        forecast = known_at(lab, truth.started_at).forecasts.forecast_run(truth.run)
        held[group].append(HeldInterval.of_run(forecast, truth))
        if count == 10 and not owed:
            break
    return held


def table(held: Mapping[str, Sequence[HeldInterval]]) -> Iterator[str]:
    """The figures as lines of a table."""
    yield "| layer | forecasts | 90 % interval holds | score over the oracle's | ln(forecast over what came) | width |"
    yield "|---|---|---|---|---|---|"
    for group, own in held.items():
        covered = 100 * mean(each.covered for each in own)
        width = math.exp(median(each.width for each in own) / 2)
        yield (
            f"| {group} | {len(own)} | {covered:.0f} % | {score_ratio(own):.2f} | "
            f"{median(each.error for each in own):+.2f} | ×÷ {width:.2f} |"
        )


def main() -> None:
    """Read the options, measure, print."""
    options = argparse.ArgumentParser(prog="python -m tests.campaign.deflocculated", description=__doc__)
    options.add_argument("--seeds", type=int, nargs=2, default=(1, 20), metavar=("FIRST", "LAST"), help="made-up labs")
    options.add_argument("--days", type=int, default=DAYS, help="days that each lab lives")
    given = options.parse_args()
    seeds = range(given.seeds[0], given.seeds[1] + 1)
    held: dict[str, list[HeldInterval]] = {group: [] for group in GROUPS}
    with ProcessPoolExecutor() as workers:
        for number, one in enumerate(workers.map(look, seeds, repeat(given.days)), 1):
            for group, own in one.items():
                held[group] += own
            sys.stderr.write(f"\r{number} of {len(seeds)} labs")
    sys.stderr.write("\n")
    for line in table(held):
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
