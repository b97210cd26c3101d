"""Likelihood of interval-censored times, held against scipy's truncated normal and its normal distribution."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm, truncnorm

from claybench.insight.drying import interval_likelihood
from claybench.insight.drying.interval_likelihood import (
    OUTLIER_SD,
    OUTLIER_SHARE,
    interval_statistics,
    log_likelihood,
)

LOW = np.array([3.0, -math.inf, 4.0, 3.9, 5.5])
HIGH = np.array([3.4, 3.6, math.inf, 3.95, 6.0])
MEAN, SD = np.array([3.3, 3.9, 3.8, 3.92, 3.9]), np.array([0.15, 0.1, 0.2, 0.12, 0.1])


def chance(sd: np.ndarray) -> np.ndarray:
    """Of each interval, from whichever tail keeps the digits."""
    a, b = (LOW - MEAN) / sd, (HIGH - MEAN) / sd
    return np.where(a > 0, norm.sf(a) - norm.sf(b), norm.cdf(b) - norm.cdf(a))


def test_the_chance_of_an_interval_is_the_normals() -> None:
    """Reference library: scipy.stats.norm; outliers are a second, wider normal."""
    wanted = np.log((1 - OUTLIER_SHARE) * chance(SD) + OUTLIER_SHARE * chance(np.hypot(SD, OUTLIER_SD)))
    assert log_likelihood(LOW, HIGH, MEAN, SD) == pytest.approx(wanted, rel=1e-9)


def test_mean_and_variance_are_the_truncated_normals(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reference library: scipy.stats.truncnorm, with no outliers allowed for."""
    monkeypatch.setattr(interval_likelihood, "OUTLIER_SHARE", 0.0)
    a, b = (LOW - MEAN) / SD, (HIGH - MEAN) / SD
    statistics = interval_statistics(LOW, HIGH, MEAN, SD)
    known = truncnorm(a[:4], b[:4])
    assert statistics.score[:4] * SD[:4] == pytest.approx(known.mean(), rel=1e-6)
    assert 1 - statistics.information_fraction[:4] == pytest.approx(known.var(), rel=1e-5)
    assert statistics.mean_square[:4] / SD[:4] ** 2 == pytest.approx(known.var() + known.mean() ** 2, rel=1e-5)


def test_score_and_information_are_the_log_likelihoods() -> None:
    """The score is the derivative itself, by small differences; far out the information lets outliers go."""
    step = 1e-5
    by_steps = (log_likelihood(LOW, HIGH, MEAN + step, SD) - log_likelihood(LOW, HIGH, MEAN - step, SD)) / (2 * step)
    statistics = interval_statistics(LOW, HIGH, MEAN, SD)
    assert statistics.score == pytest.approx(by_steps, rel=1e-5)
    assert statistics.inlier_probability[4] < 0.01
    assert statistics.inlier_probability[0] > 0.9
    assert statistics.information[4] < 5 < statistics.information[3]
