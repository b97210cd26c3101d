"""Scatter of bodies that need not scatter alike: against its parts, drawn at random, and brute force."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from claybench.measure.unequal_scatter import UnequalScatter, VarianceTerms, weigh_scatter

ALIKE = UnequalScatter(np.ones(1), np.ones((3, 1)), np.zeros((3, 1)))


def terms(one: float, two: float, df: float, rows: tuple[int, int] = (0, 1)) -> VarianceTerms:
    """One difference."""
    return VarianceTerms(
        np.array([one]), np.array([rows[0]]), np.array([two]), np.array([rows[1]]), np.array([df]), np.zeros(1)
    )


def test_bodies_that_scatter_alike_are_student_s_by_the_pooled_variance() -> None:
    """scipy.stats.t, with the degrees of freedom of the pooled scatter."""
    found = ALIKE.tail_points(0.025, terms(0.3, 0.1, 7.5))
    assert found[0] == pytest.approx(stats.t.ppf(0.975, 7.5) * np.sqrt(0.4), rel=1e-9)


def test_bodies_of_their_own_scatter_are_welch_s() -> None:
    """Satterthwaite's degrees of freedom, by hand: variances 2 · 0.3 and 5 · 0.1 with 3 and 6."""
    apart = UnequalScatter(np.ones(1), np.array([[2.0], [5.0], [1.0]]), np.array([[3.0], [6.0], [4.0]]))
    df = 1.1**2 / (0.6**2 / 3 + 0.5**2 / 6)
    found = apart.tail_points(0.025, terms(0.3, 0.1, 99.0))
    assert found[0] == pytest.approx(stats.t.ppf(0.975, df) * np.sqrt(1.1), rel=1e-9)


def test_tail_points_of_a_mixture_leave_the_tail() -> None:
    """The weighted tails of Student's t (scipy.stats) beyond the point come to what was asked for."""
    chance = np.random.default_rng(3)
    weights = chance.dirichlet(np.ones(40))
    factors, df = np.exp(chance.normal(0, 1.5, (3, 40))), chance.uniform(1, 30, (3, 40))
    mixed = UnequalScatter(weights, factors, df)
    for tail in (0.2, 0.025, 0.001):
        point = mixed.tail_points(tail, terms(0.3, 0.2, 9.0))[0]
        one, two = 0.3 * factors[0], 0.2 * factors[1]
        own = (one + two) ** 2 / (one**2 / df[0] + two**2 / df[1])
        assert weights @ stats.t.sf(point / np.sqrt(one + two), own) == pytest.approx(tail, rel=1e-6)


def test_many_bodies_that_scatter_alike_come_to_the_pooled_variance() -> None:
    """The more so the more there are; a body never repeated shares in it."""
    chance, halves = np.random.default_rng(5), []
    for bodies in (3, 12, 60):
        ratios = chance.chisquare(4, bodies) / 4
        scatter = weigh_scatter(ratios / ratios.mean(), np.full(bodies, 4.0))
        halves.append(scatter.tail_points(0.025, terms(0.5, 0.5, 4.0 * bodies, (0, -1)))[0])
    assert halves[-1] == pytest.approx(stats.t.ppf(0.975, 240), rel=0.05)
    assert halves[0] > halves[1] > 1.02 * halves[-1]


def test_one_steady_body_made_often_does_not_speak_for_the_rest() -> None:
    """Twelve batches at a third of the standard deviation of eight bodies of three: a new body is taken to scatter as
    those do, the pooled variance being half of theirs."""
    ratios, df = np.array([1 / 9, *[1.0] * 8]), np.array([11.0, *[2.0] * 8])
    ratios /= (ratios * df).sum() / df.sum()
    scatter = weigh_scatter(ratios, df)
    alone = scatter.tail_points(0.025, terms(1.0, 0.0, 27.0, (-1, -1)))[0]
    theirs = ratios[1] ** 0.5 * stats.t.ppf(0.975, 16)
    assert alone == pytest.approx(theirs, rel=0.12)
    steady = scatter.tail_points(0.025, terms(1.0, 0.0, 27.0, (0, -1)))[0]
    assert steady < alone / 2


@pytest.mark.parametrize("ratios", [np.zeros(2), np.array([0.0, 2.0]), np.array([1e-300, 1.0]), np.array([1.0])])
def test_scatter_without_any_scatter_breaks_nothing(ratios: np.ndarray) -> None:
    scatter = weigh_scatter(ratios, np.full(len(ratios), 3.0))
    assert scatter.probabilities.sum() == pytest.approx(1)
    point = scatter.tail_points(0.025, terms(0.2, 0.1, 6.0, (0, -1)))
    assert np.isfinite(point).all() and (point >= 0).all()
