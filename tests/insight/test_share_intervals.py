"""Intervals of shares: within what is possible, told apart where they are; a share of `tests.campaign_shares`."""

from __future__ import annotations

import numpy as np
import pytest

from claybench.insight.bodies.comparison.body_means import body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.terms import Batch, Fired, Piece
from tests.campaign_shares import STEPS, difference_hits, hits, made_up_lab
from tests.insight.test_comparison import MIXED


@pytest.mark.slow
@pytest.mark.parametrize("step", STEPS)
def test_intervals_of_absorption_hold_the_truth(step: float) -> None:
    """Of 200 intervals of 95 %, 181 or more hold but for one chance in two hundred (binomial); so it is with
    differences, of which those in one lab go together."""
    dice = np.random.default_rng([1, round(1000 * step)])
    labs = [made_up_lab(dice, step) for _ in range(20)]
    held = [hit for lab in labs for *_, hit in hits(lab)]
    apart = [hit for lab in labs for _, hit in difference_hits(lab)]
    assert len(held) == 200
    assert sum(held) >= 181
    assert sum(apart) >= 0.9 * len(apart)


def test_two_bars_far_apart_leave_no_interval_outside_0_to_100() -> None:
    """Student's interval of 0.5 and 11.5 % is −64 to 76 %; that of their difference from another two is as wide."""
    batches = [Batch(batch=code, body=code, mixed_at=MIXED) for code in "AB"]
    pieces = [Piece(piece=f"{code}{n}", batch=code) for code in "AB" for n in range(2)]
    soaked = dict(zip([piece.piece for piece in pieces], [100.5, 111.5, 100.0, 100.0], strict=True))
    fired = [Fired(piece=code, firing="F", fired_g=100.0, soaked_g=mass) for code, mass in soaked.items()]
    held = pool_bodies(columns_of(pieces, fired, batches))
    [a, b] = [each for each in body_results("AB", held, {}) if each.firing]
    summary = a.properties["absorption_pct"]
    assert summary.low is not None and summary.high is not None
    assert summary.mean == pytest.approx(6)
    assert 0 <= summary.low < 0.5 and 95 < summary.high <= 100
    dense = b.properties["absorption_pct"]
    assert (dense.mean, dense.low) == (0, 0)
    [difference] = [each for each in differences_from("AB", held, "B").of_result(a) if each.name == "absorption_pct"]
    assert difference.low is not None and difference.high is not None
    assert -100 <= difference.low <= 0 and 70 < difference.high <= 100
    assert difference.direction is None
