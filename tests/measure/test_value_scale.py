"""The scale of shares: inverse of itself, held against scipy's logit, and differences against a constrained fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, strategies as st
from scipy import optimize, special

from claybench.measure.properties.value_scale import ValueScale, scale_between

SHARE = scale_between(0.0, 100.0, 1)
SCALES = [
    SHARE,
    scale_between(0.0, None, 2),
    scale_between(None, 5.0, 1),
    scale_between(1.0, 5.0, 1),
    ValueScale(None, None, 1.0),
]


@given(st.sampled_from(SCALES), st.floats(0.0, 1.0), st.floats(0.0, 50.0))
def test_no_interval_leaves_what_is_possible_and_each_holds_its_mean(
    scale: ValueScale, share: float, half: float
) -> None:
    low, high = scale.low if scale.low is not None else -20.0, scale.high if scale.high is not None else 20.0
    mean = np.array([low + share * (high - low)])
    ends = scale.mean_ends(mean, np.array([half]))
    assert ends[0] <= mean + 1e-9 and ends[1] >= mean - 1e-9
    assert scale.low is None or ends[0] >= scale.low
    assert scale.high is None or ends[1] <= scale.high
    assert scale.back(scale.forward(mean)) == pytest.approx(mean, abs=1e-9)


def test_it_is_the_logarithm_of_the_odds_with_the_ends_moved_out() -> None:
    """scipy's logit of a share moved in by the offset."""
    values = np.array([0.0, 0.1, 2.0, 50.0, 99.9, 100.0])
    assert SHARE.forward(values) == pytest.approx(special.logit((values + 0.2) / 100.4), rel=1e-12)
    assert scale_between(0.0, None, 1).forward(values) == pytest.approx(np.log(values + 0.2), rel=1e-12)


@pytest.mark.parametrize(
    ("one", "two", "half", "first"),
    [(8.0, 2.0, 0.5, 0.5), (8.0, 0.1, 0.8, 0.95), (0.2, 12.0, 1.5, 0.2), (6.0, 5.0, 2.0, 0.7), (0.0, 0.0, 0.3, 0.5)],
)
def test_a_difference_reaches_as_far_as_the_likeliest_pairs_of_means_that_come_to_it(
    one: float, two: float, half: float, first: float
) -> None:
    """Ends by scipy's constrained minimiser: least and greatest difference of all pairs within the ellipse."""
    at = SHARE.forward(np.array([one, two]))
    spread = half * np.sqrt(np.array([first, 1 - first]))

    def gap(steps: np.ndarray) -> float:
        means = SHARE.back(at + steps * spread)
        return float(means[0] - means[1])

    inside = {"type": "ineq", "fun": lambda steps: 1 - float(steps @ steps)}
    turns = np.linspace(0, 2 * np.pi, 9)
    ends = [
        min(
            optimize.minimize(
                lambda x, s=sign: s * gap(x), 0.9 * np.array([np.cos(a), np.sin(a)]), constraints=inside
            ).fun
            for a in turns
        )
        for sign in (1, -1)
    ]
    low, high = (float(each[0]) for each in SHARE.difference_ends(*np.array([[one], [two], [half], [first]])))
    assert (low, high) == pytest.approx((ends[0], -ends[1]), rel=2e-3, abs=2e-3)
    assert -100 <= low <= one - two <= high <= 100


@given(st.floats(0.0, 30.0), st.floats(0.0, 30.0), st.floats(0.01, 5.0), st.floats(0.0, 1.0))
def test_a_difference_is_told_exactly_where_it_is_on_the_scale(
    one: float, two: float, half: float, first: float
) -> None:
    at = SHARE.forward(np.array([one, two]))
    apart = abs(float(at[0] - at[1])) - half
    low, high = (float(each[0]) for each in SHARE.difference_ends(*np.array([[one], [two], [half], [first]])))
    if abs(apart) > 1e-6:
        assert (low > 0 or high < 0) == (apart > 0)


def test_without_ends_it_is_the_value_itself() -> None:
    straight = scale_between(None, None, 1)
    ends = straight.difference_ends(*np.array([[5.0], [3.0], [1.0], [0.5]]))
    assert [float(each[0]) for each in ends] == [1.0, 3.0]
    assert straight.mean_ends(np.array([5.0]), np.array([9.0]))[0] == -4.0
