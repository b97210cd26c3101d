"""How often intervals of absorption hold the truth, from dense bodies to porous ones, by few bars and coarse scales.

`python -m tests.campaign_shares` prints the table of docs/models.md; with a number, that of so many labs a scale, and
with a second one other draws. Bars scatter by 6 % of what they absorb and batches by as much, bars weigh 40 to 120 g,
and both weighings are rounded to the step of the scale. Nothing here is measured on clay.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from claybench.insight.bodies.comparison.body_means import BodyMeans, body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import differences_from
from claybench.insight.bodies.comparison.property_columns import from_lists
from claybench.insight.bodies.comparison.reading_steps import ReadingDays
from claybench.measure.properties.readings import FIRED_SIZES, PIECE_SIZES

NAME = "absorption_pct"
TRUE = (0.1, 0.5, 2.0, 8.0, 15.0)
"""Absorption of the bodies, %; two bodies of each in a lab."""
DESIGNS = ((2, 1), (2, 2), (3, 1), (3, 2), (3, 3), (5, 1), (5, 2), (5, 4), (10, 1), (10, 2), (10, 3), (10, 4))
"""Bars and batches of a body."""
STEPS = (0.01, 0.1)
"""Step of the scale, g."""
SCATTER = 0.06
_DECIMALS = 4


@dataclass(frozen=True)
class MadeUpLab:
    """Bodies of known absorption, measured."""

    held: BodyMeans
    true: tuple[float, ...]
    designs: tuple[tuple[int, int], ...]

    @property
    def names(self) -> list[str]:
        """Codes of its bodies."""
        return [f"B{n}" for n in range(len(self.true))]


def made_up_lab(dice: np.random.Generator, step: float, scatter: float = SCATTER) -> MadeUpLab:
    """Two bodies of each absorption, each of bars and batches as chance has it."""
    true = tuple(np.repeat(TRUE, 2).tolist())
    designs = tuple(DESIGNS[at] for at in dice.integers(len(DESIGNS), size=len(true)).tolist())
    batches: list[str] = []
    bodies: list[str] = []
    batch: list[int] = []
    fired: list[float | None] = []
    soaked: list[float | None] = []
    for body, (truth, (bars, count)) in enumerate(zip(true, designs, strict=True)):
        first = len(batches)
        batches += [f"B{body}-{n}" for n in range(count)]
        bodies += [f"B{body}"] * count
        of_batch = _factors(dice, count, scatter)
        for bar, factor in enumerate(_factors(dice, bars, scatter).tolist()):
            mass = float(dice.uniform(40, 120))
            batch.append(first + bar % count)
            fired.append(_weighed(mass, step))
            soaked.append(_weighed(mass * (1 + truth * factor * float(of_batch[bar % count]) / 100), step))
    bare = [None] * len(batch)
    columns = from_lists(
        batches=batches, bodies=bodies, firings=["F"], batch=batch, dried=bare, piece=dict.fromkeys(PIECE_SIZES, bare),
        of=list(range(len(batch))), firing=[0] * len(batch), soaked=[("boil", 5.0)] * len(batch),
        fired={**dict.fromkeys(FIRED_SIZES, bare), "fired_g": fired, "soaked_g": soaked},
        pieces=[f"P{n}" for n in range(len(batch))],
        days=ReadingDays(
            formed_at=bare, dry_at=bare, soaked_at=["2026-03-12"] * len(batch), fired_on=["2026-03-11"] * len(batch)
        ),
    )  # fmt: skip
    return MadeUpLab(pool_bodies(columns), true, designs)


def _factors(dice: np.random.Generator, count: int, scatter: float) -> np.ndarray:
    return np.exp(dice.normal(0, scatter, count) - scatter**2 / 2)


def _weighed(mass: float, step: float) -> float:
    return round(round(mass / step) * step, _DECIMALS)


def hits(lab: MadeUpLab) -> Iterator[tuple[str, float, tuple[int, int], bool]]:
    """What an interval rests on, the true absorption, bars and batches, and whether it holds the truth."""
    for result in body_results(lab.names, lab.held, {}):
        summary = result.properties.get(NAME)
        if result.firing is None or summary is None or summary.low is None or summary.high is None:
            continue
        assert 0 <= summary.low <= summary.mean <= summary.high <= 100
        at = int(result.body[1:])
        truth = lab.true[at]
        yield str(summary.basis), truth, lab.designs[at], summary.low - 1e-9 <= truth <= summary.high + 1e-9


def difference_hits(lab: MadeUpLab) -> Iterator[tuple[str, bool]]:
    """Each body against the next: what the interval of their difference rests on, and whether it holds the truth."""
    every = {result.body: result for result in body_results(lab.names, lab.held, {}) if result.firing is not None}
    for at, (name, against) in enumerate(zip(lab.names, lab.names[1:], strict=False)):
        truth = lab.true[at] - lab.true[at + 1]
        for one in differences_from([name, against], lab.held, against).of_result(every[name]):
            if one.name != NAME:
                continue
            if one.basis == "batches" and one.low is not None and one.high is not None:
                yield "batches", one.low - 1e-9 <= truth <= one.high + 1e-9
            if one.lab_low is not None and one.lab_high is not None:
                yield "lab", one.lab_low - 1e-9 <= truth <= one.lab_high + 1e-9


def main(labs: int = 400, first: int = 1) -> None:
    """Print the table."""

    def out(text: str) -> None:
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    every: Counter[tuple[object, ...]] = Counter()
    held: Counter[tuple[object, ...]] = Counter()
    for step in STEPS:
        dice = np.random.default_rng([first, round(1000 * step)])
        for _ in range(labs):
            lab = made_up_lab(dice, step)
            for basis, truth, (bars, count), hit in hits(lab):
                for key in ((step, truth), (step, "bars", bars), (step, "batches", count), (step, "by", basis)):
                    every[key] += 1
                    held[key] += hit
            for basis, hit in difference_hits(lab):
                every[step, "difference by", basis] += 1
                held[step, "difference by", basis] += hit
    out("| scale step, g | of | intervals | held the truth, % |\n|---|---|---|---|")
    for key in sorted(every, key=str):
        out(f"| {key[0]} | {' '.join(map(str, key[1:]))} | {every[key]} | {100 * held[key] / every[key]:.1f} |")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
