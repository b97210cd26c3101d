"""How wet slabs are said to be, held against how wet they were: `python -m tests.campaign.wetness_campaign`.

At pours and at random moments between, in labs of several makings. The makings are declared in `makings`.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import mean, median

from tests.campaign.makings import MAKINGS, MadeDifferently
from tests.campaign.other_lab import make_other_lab
from tests.campaign.replay import known_at
from tests.campaign.truth import MadeLab

DAYS = 75
LOOKS = 8
"""Random moments in each lab at which every slab is looked at."""
OTHER = "the other simulator"
_Asked = defaultdict[datetime, list[tuple[bool, str, float]]]
POURS = 24
"""Last pours of each lab that are looked at."""
_AS_SHOWN = 5e-4
"""Half of the last digit in which a wetness is kept by the tests' own bookkeeping."""


@dataclass(frozen=True, slots=True)
class Looked:
    """One slab looked at: what was said, and what was true."""

    at_pour: bool
    low: float
    now: float
    high: float
    wetness: float
    """True water over true capacity."""

    @property
    def holds(self) -> bool:
        """Whether the truth lies within what was said."""
        return self.low - _AS_SHOWN <= self.wetness <= self.high + _AS_SHOWN

    @property
    def width(self) -> float:
        """Of the interval, in wetness."""
        return self.high - self.low


def look_at_lab(seed: int, making: str, *, days: int = DAYS, looks: int = LOOKS, pours: int = POURS) -> list[Looked]:
    """One lab of a making: its last pours, and all its slabs at random moments of its last three quarters."""
    lab, asked = _other_lab(seed, days, looks) if making == OTHER else _lab(seed, making, days, looks)
    for truth in lab.truth[-pours:]:
        asked[truth.started_at].append((True, truth.slab, truth.wetness))
    found = []
    for at, slabs in sorted(asked.items()):
        said = known_at(lab, at).wetnesses
        for at_pour, slab, wetness in slabs:
            wet = said[slab]
            if wet.now is not None and wet.low is not None and wet.high is not None:
                found.append(Looked(at_pour, wet.low, wet.now, wet.high, wetness))
    return found


def _lab(seed: int, making: str, days: int, looks: int) -> tuple[MadeLab, _Asked]:
    """A lab of `simulate`, and how wet its slabs were at random moments."""
    life, asked = MadeDifferently(seed, MAKINGS[making], days=days, looks=looks), defaultdict(list)
    lab = life.live()
    for seen in life.seen:
        asked[seen.at].append((False, seen.slab, seen.wetness))
    return lab, asked


def _other_lab(seed: int, days: int, looks: int) -> tuple[MadeLab, _Asked]:
    """A lab of `other_lab`, the same of it."""
    lab, others, asked = make_other_lab(seed, days=days), random.Random(1000 + seed), defaultdict(list)
    assert lab.start is not None
    for _ in range(looks):
        at = lab.start + timedelta(days=others.uniform(days / 4, days))
        for slab in lab.slabs:
            if slab.cast_at is None or slab.cast_at < at.date():
                asked[at].append((False, slab.slab, lab.wetness_at(slab.slab, at)))
    return lab, asked


def table(found: Mapping[str, Sequence[Looked]]) -> Iterator[str]:
    """The figures as lines of a table."""
    yield "| making | at pours | between | width at pours | width between | bias at pours | bias between |"
    yield "|---|---|---|---|---|---|---|"
    for making, looks in found.items():
        parts = [[each for each in looks if each.at_pour == at_pour] for at_pour in (True, False)]
        held = [f"{100 * mean(each.holds for each in part):.1f} %" for part in parts]
        widths = [f"{median(each.width for each in part):.3f}" for part in parts]
        biases = [f"{mean(each.now - each.wetness for each in part):+.3f}" for part in parts]
        yield f"| {making} | " + " | ".join(held + widths + biases) + " |"


def measure(seeds: Sequence[int], makings: Sequence[str]) -> dict[str, list[Looked]]:
    """All labs, as many at a time as there are processors; how far it has come goes to the error stream."""
    found: dict[str, list[Looked]] = {making: [] for making in makings}
    with ProcessPoolExecutor() as workers:
        jobs = {workers.submit(look_at_lab, seed, making): making for making in makings for seed in seeds}
        for number, job in enumerate(as_completed(jobs), 1):
            found[jobs[job]] += job.result()
            sys.stderr.write(f"\r{number} of {len(jobs)} labs")
            sys.stderr.flush()
    sys.stderr.write("\n")
    return found


def main() -> None:
    """Read the options, look, print."""
    asked = argparse.ArgumentParser(prog="python -m tests.campaign.wetness_campaign", description=__doc__)
    asked.add_argument("--first", type=int, default=101, help="number of the first lab")
    asked.add_argument("--seeds", type=int, default=10, help="made-up labs of each making")
    asked.add_argument("--makings", nargs="*", default=[*MAKINGS, OTHER], choices=[*MAKINGS, OTHER], metavar="MAKING")
    given = asked.parse_args()
    for line in table(measure(range(given.first, given.first + given.seeds), given.makings)):
        sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main()
