"""How often intervals hold where bars are read to whole steps of a ruler, on made-up labs.

`python -m tests.campaign_rulers` prints the tables of docs/models.md; with a number, those of other draws, and with a
second one of so many labs a cell. Bars have marks 100 mm apart when plastic; bodies, batches and bars are drawn, and
what is read is rounded to the ruler's step. Beside each figure stands what it would be if the step were not known.
Where no body has two batches, batches do not scatter. Nothing here is measured on clay.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from claybench.insight.bodies.comparison.body_means import BodyMeans, body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.terms import Batch, Piece

NAME = "drying_shrinkage_pct"
DESIGNS: dict[str, tuple[Sequence[int], int]] = {
    "six bodies of 2 batches, 3 bars": ((2,) * 6, 3),
    "six of 3 batches, 5 bars": ((3,) * 6, 5),
    "control of 6, five of 1 batch; 5 bars": ((6, *[1] * 5), 5),
    "one batch each, 10 bars": ((1,) * 6, 10),
}
"""Batches of each body; bars of a batch."""
STEPS = (1.0, 0.5)
SCATTERS = (0.05, 0.15, 0.3, 0.6)
"""Standard deviation of bars within a batch, mm; batches scatter by half of it."""
_MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Coverage:
    """How many intervals hold, and how many differences are told that are not there."""

    held: int
    intervals: int
    false: int
    differences: int
    width: float

    @property
    def text(self) -> str:
        """In per cent, with the width."""
        return f"{100 * self.held / max(self.intervals, 1):.0f}"

    @property
    def false_text(self) -> str:
        """Differences told that are not there, in per cent."""
        return f"{100 * self.false / max(self.differences, 1):.0f}"


def made_up(counts: Sequence[int], bars: int, true: Array, scatter: float, step: float, dice: np.random.Generator):
    """Batches and bars of one lab as they are read."""
    batches, pieces = [], []
    for body, count in enumerate(counts):
        for number in range(count):
            batch = Batch(batch=f"{body}-{number}", body=f"B{body}", mixed_at=_MIXED)
            batches.append(batch)
            middle = 100 - true[body] + dice.normal(0, scatter / 2 if max(counts) > 1 else 0)
            for length in dice.normal(middle, scatter, bars):
                read = round(length / step) * step
                piece = Piece(
                    piece=f"P{len(pieces)}", batch=batch.batch, plastic_mm=100.0, dry_mm=read, dry_how="oven",
                    formed_at=_MIXED.date(), dry_at=_MIXED.date(),
                )  # fmt: skip
                pieces.append(piece)
    return batches, pieces


def coverage(
    name: str,
    scatter: float,
    step: float,
    dice: np.random.Generator,
    labs: int,
    *,
    known: bool = True,
    alike: bool = False,
) -> Coverage:
    """Made-up labs, and how often their intervals hold; with `alike` all bodies truly shrink alike."""
    counts, bars = DESIGNS[name]
    held = intervals = false = differences = 0
    widths = []
    for _ in range(labs):
        true = np.full(len(counts), dice.uniform(4, 8)) if alike else dice.uniform(4, 8, len(counts))
        batches, pieces = made_up(counts, bars, true, scatter, step, dice)
        columns = columns_of(pieces, [], batches)
        means: BodyMeans = pool_bodies(columns if known else replace(columns, steps={}))
        results = body_results(means.bodies, means, {})
        for result in results:
            own = result.properties[NAME]
            if own.low is None or own.high is None:
                held += not known and own.sd is not None and abs(own.mean - true[int(result.body[1:])]) < 1e-9
                intervals += own.sd is not None
                continue
            intervals += 1
            held += own.low <= true[int(result.body[1:])] <= own.high
            widths.append(own.high - own.low)
        every = differences_from(means.bodies, means, "B0")
        found = [one for result in results[1:] for one in every.of_result(result) if one.name == NAME]
        differences += 1
        false += alike and any(one.direction is not None for one in found)
    return Coverage(held, intervals, false, differences, float(np.median(widths)) if widths else math.nan)


def main(first: int = 1, labs: int = 200) -> None:
    """Print the tables."""
    for step in STEPS:
        for name in DESIGNS:
            cells = []
            for scatter in SCATTERS:
                dice = np.random.default_rng([first, len(name), int(100 * scatter)])
                now, before = (coverage(name, scatter, step, dice, labs, known=known) for known in (True, False))
                none = coverage(name, scatter, step, dice, labs, alike=True)
                was = coverage(name, scatter, step, dice, labs, alike=True, known=False)
                cells.append(f"{before.text} → {now.text} ({now.width:.2f} %), {was.false_text} → {none.false_text}")
            sys.stdout.write(f"| {step:g} mm | {name} | {' | '.join(cells)} |\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
