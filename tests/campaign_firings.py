"""How often the interval of what a new firing gives holds, on made-up labs whose firings scatter.

`python -m tests.campaign_firings` prints the table of docs/models.md; with a number, that of other draws. Each lab
fires its bodies to one cone, two bars a batch; then a new batch of each is fired once more. Scatter of bars is 1, of
batches 1 as well. A kiln that runs hot moves all bodies alike, or each body in its own way. Nothing here is measured
on clay.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from claybench.insight.bodies.comparison.body_means import pool_bodies
from claybench.insight.bodies.comparison.firing_heat import heats
from claybench.insight.bodies.comparison.new_firing import new_firings
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.terms import Batch, Fired, Firing, Piece

_MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
_BARS = 2
_LEVEL = 50.0


@dataclass(frozen=True)
class Held:
    """Share of new batches within their interval, and how wide it was."""

    share: float
    without: float
    """Share within the interval that one firing's batches alone give, the scatter of batches held."""
    width: float
    """Half width in standard deviations of a new batch's mean, in the median."""


def hold(bodies: int, firings: int, sd: float, *, labs: int, seed: int, alike: bool = True, same: bool = False) -> Held:
    """Made-up labs of so many bodies and firings of this scatter.

    Parameters
    ----------
    alike : whether a firing moves all bodies alike
    same : whether one batch of each body goes through all firings; else each firing has two new ones
    """
    dice = np.random.default_rng(seed)
    held, before, widths = [], [], []
    for _ in range(labs):
        count = firings + 1  # the last is the new one
        moved = dice.normal(0, sd, (1 if alike else bodies, count)) * np.ones((bodies, count))
        batches, pieces, fired = [], [], []
        new = np.zeros(bodies)
        for body in range(bodies):
            own = [dice.normal() for _ in range(2)]
            for firing in range(count):
                for number in range(2):
                    shift = own[number] if same and firing < firings else dice.normal()
                    values = _LEVEL + moved[body, firing] + shift + dice.normal(0, 1, _BARS)
                    if firing == firings:
                        new[body] = values.mean()
                        continue
                    batch = f"{body}-{number}" if same else f"{body}-{firing}-{number}"
                    if not any(row.batch == batch for row in batches[-4:]):
                        batches.append(Batch(batch=batch, body=f"B{body}", mixed_at=_MIXED))
                    for value in values.tolist():
                        piece = f"P{len(pieces)}"
                        pieces.append(Piece(piece=piece, batch=batch))
                        fired.append(Fired(piece=piece, firing=f"F{firing}", fired_g=100.0, soaked_g=100.0 + value))
        pooled = pool_bodies(columns_of(pieces, fired, {row.batch: row for row in batches}.values()))
        rows = [Firing(firing=code, cone="6") for code in pooled.columns.firings]
        for one in new_firings(pooled, heats(rows)).every.items():
            (body_code, _, name, _), found = one
            if name == "absorption_pct":
                came = new[int(body_code[1:])]
                held.append(found.low <= came <= found.high)
                widths.append((found.high - found.low) / 2)
                before.append(abs(came - found.mean) <= 1.96 * np.sqrt(1.5 * (1 + 1 / (2 * firings))))
    truth = np.sqrt(sd**2 + 1 + 1 / _BARS)
    return Held(float(np.mean(held)), float(np.mean(before)), float(np.median(widths) / truth))


def main() -> None:
    """Print the table."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    sys.stdout.write("| bodies | firings | firings' scatter | moves | batches | holds | without it | half width |\n")
    sys.stdout.write("|---|---|---|---|---|---|---|---|\n")
    for bodies, firings, sd, alike, same in (
        (6, 2, 1.0, True, False), (6, 3, 1.0, True, False), (6, 6, 1.0, True, False), (6, 6, 2.0, True, False),
        (6, 6, 0.0, True, False), (6, 3, 0.0, True, False), (6, 6, 1.0, False, False), (1, 4, 1.0, True, False),
        (6, 4, 1.0, True, True),
    ):  # fmt: skip
        one = hold(bodies, firings, sd, labs=300, seed=seed, alike=alike, same=same)
        shown = f"{100 * one.share:.0f} % | {100 * one.without:.0f} % | {one.width:.1f}"
        moves, made = "all alike" if alike else "each its own way", "one in all" if same else "new in each"
        sys.stdout.write(f"| {bodies} | {firings} | {sd:g} | {moves} | {made} | {shown} |\n")


if __name__ == "__main__":
    main()
