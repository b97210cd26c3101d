"""How often labs whose bodies do not scatter alike are told a false difference, and what it costs where they do.

`python -m tests.campaign_scatter` prints the tables of docs/models.md; with a number, those of other draws, and with a
second one of so many labs a cell. A control is made often, others a few times, and all truly have the same mean. Beside
each figure stands what it would be if all bodies were taken to scatter alike and either interval told them apart.
Nothing here is measured on clay.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import LEVEL, POWER, BodyDifference, differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.measure.pooled_scatter import sidak
from claybench.terms import Batch, Piece

NAME = "drying_shrinkage_pct"
DESIGNS: dict[str, tuple[int, ...]] = {
    "12; six of 2": (12, *[2] * 6),
    "20; five of 3": (20, *[3] * 5),
    "8; eight of 3": (8, *[3] * 8),
    "12; eight of 2, four of 1": (12, *[2] * 8, *[1] * 4),
    "10; three of 2, three of 1": (10, *[2] * 3, *[1] * 3),
    "5; five of 5": (5, *[5] * 5),
    "10; five of 1": (10, *[1] * 5),
}
"""Batches of the control; of the others."""
CONTROLS = (1 / 3, 1 / 2, 1.0, 2.0)
"""Standard deviation of the control's batches over the others'."""
_MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Told:
    """Share of labs in which some body was told apart."""

    now: float
    before: float

    @property
    def text(self) -> str:
        """Before and now, in per cent."""
        return f"{100 * self.before:.0f} → {100 * self.now:.0f}"


def differences(values: Sequence[Sequence[float]]) -> list[BodyDifference]:
    """Every body's difference from the first, each with its batches of one bar."""
    batches = [
        Batch(batch=f"{body}-{n}", body=f"B{body}", mixed_at=_MIXED)
        for body, own in enumerate(values)
        for n in range(len(own))
    ]
    shrunk = [value for own in values for value in own]
    pieces = [
        Piece(piece=f"P{n}", batch=batch.batch, plastic_mm=100.0, dry_mm=95.0 - value, dry_how="oven")
        for n, (batch, value) in enumerate(zip(batches, shrunk, strict=True))
    ]
    held = pool_bodies(columns_of(pieces, [], batches))
    every = differences_from(held.bodies, held, "B0")
    results = body_results(held.bodies[1:], held, {})
    return [one for result in results for one in every.of_result(result) if one.name == NAME]


def told_if_alike(values: Sequence[Sequence[float]]) -> list[bool]:
    """Whether each body would be told apart from the first by the pooled variance, or by Welch's interval."""
    df = sum(len(own) - 1 for own in values)
    pooled = math.fsum(float(np.var(own)) * len(own) for own in values) / df
    tail = (1 + sidak(LEVEL, len(values) - 1)) / 2
    found = []
    for own in values[1:]:
        away = abs(float(np.mean(own) - np.mean(values[0])))
        half = stats.t.ppf(tail, df) * math.sqrt(pooled * (1 / len(own) + 1 / len(values[0])))
        told = away > half
        if len(own) > 1:
            one, two = (float(np.var(each, ddof=1)) / len(each) for each in (own, values[0]))
            welch = (one + two) ** 2 / (one**2 / (len(own) - 1) + two**2 / (len(values[0]) - 1))
            told = told or away > stats.t.ppf(tail, welch) * math.sqrt(one + two)
        found.append(bool(told))
    return found


def smallest_told(counts: Sequence[int]) -> float:
    """The true difference of the second body that the pooled variance tells four times in five, scatter 1."""
    df, tail = sum(counts) - len(counts), (1 + sidak(LEVEL, len(counts) - 1)) / 2
    return float(stats.t.ppf(tail, df) + stats.t.ppf(POWER, df)) * math.sqrt(1 / counts[1] + 1 / counts[0])


def share_told(
    counts: Sequence[int], sds: Sequence[float], dice: np.random.Generator, labs: int, *, apart: float = 0.0
) -> Told:
    """Labs in which any body is told apart; with `apart`, in which the second is, which lies so far off."""
    now = before = 0
    for _ in range(labs):
        values = [dice.normal(0, sd, count).tolist() for count, sd in zip(counts, sds, strict=True)]
        values[1] = [value + apart for value in values[1]]
        own, alike = [one.direction is not None for one in differences(values)], told_if_alike(values)
        now += own[0] if apart else any(own)
        before += alike[0] if apart else any(alike)
    return Told(now / labs, before / labs)


def main(first: int = 1, labs: int = 300) -> None:
    """Print the tables."""

    def out(text: str) -> None:
        sys.stdout.write(f"{text}\n")
        sys.stdout.flush()

    out(f"{labs} labs a cell, draws {first}; labs with a false difference, and differences that are there told, %")
    out("| batches of control; of others | control a third | half | alike | twice | others differ | told, alike |")
    out("|---|---|---|---|---|---|---|")
    for name, counts in DESIGNS.items():
        sys.stderr.write(f"{name}\n")
        dice, others = np.random.default_rng([first, len(name)]), len(counts) - 1
        cells = [share_told(counts, [control, *[1.0] * others], dice, labs).text for control in CONTROLS]
        cells.append(share_told(counts, np.exp(np.linspace(-0.6, 0.6, others + 1)).tolist(), dice, labs).text)
        cells.append(share_told(counts, [1.0] * (others + 1), dice, labs, apart=smallest_told(counts)).text)
        out(f"| {name} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
