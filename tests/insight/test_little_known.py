"""A share of `python -m tests.campaign_chance`: chances and intervals where one to eight bodies are known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from claybench.insight.plan.surfaces.expected_spread import spread_by_target
from claybench.insight.plan.surfaces.fitted_targets import surface_quantile
from claybench.insight.plan.surfaces.gaussian_process import fit_gaussian_process
from claybench.insight.plan.surfaces.observations import Observation, average_by_batch
from tests.campaign_chance import Proposed, Share, ask, between, interval_share

pytestmark = pytest.mark.slow

LABS = range(300, 335)
"""Seeds that the model was not tuned on."""


@pytest.fixture(scope="module")
def known_little() -> list[Proposed]:
    """Labs in which one and three bodies are known."""
    return [one for seed in LABS for one in ask(seed, count=4, known=(1, 3))]


def test_intervals_hold_new_batches_though_little_is_known(known_little: list[Proposed]) -> None:
    """Of 90 % intervals from one body 80 % or more, which plugging a size in missed by far (two thirds held)."""
    for bodies in (1, 3):
        assert 0.8 <= interval_share(one for one in known_little if one.known == bodies) <= 0.98


def test_chances_come_true_though_little_is_known(known_little: list[Proposed]) -> None:
    """As many met as the chances add up to, and of those given a good one most."""
    whole = Share(known_little)
    assert whole.mean(lambda one: one.judged) == pytest.approx(whole.mean(lambda one: one.chance), abs=0.1)
    good = between(known_little, 0.8, 0.95)
    assert good.labs >= 10
    assert good.mean(lambda one: one.judged) >= 0.7
    assert between(known_little, 0.0, 0.1).mean(lambda one: one.judged) <= 0.1


def test_quantiles_are_those_of_the_mixture() -> None:
    """The weighted Student's t of all members and steps, at its own quantiles (scipy.stats)."""
    known = [Observation((0.5, 0.5), 10.0, "A"), Observation((0.2, 0.8), 12.0, "B")]
    data = average_by_batch(known)
    expected = spread_by_target(10.5, 11.5, data, targets=1, directions=1)
    surface = fit_gaussian_process(data, [0, 0], [1, 1], expected=expected)
    at = np.array([0.7, 0.3])
    each = surface.predict_each(at[None, :])
    assert sum(weight for weight, _ in each) == pytest.approx(1)
    assert len({float(one.batch_sd[0]) for _, one in each}) > len(surface.members)
    for share in (0.05, 0.5, 0.95):
        value = surface_quantile(surface, at, share)
        below = sum(w * stats.t.cdf((value - one.mean[0]) / one.batch_sd[0], one.df) for w, one in each)
        assert below == pytest.approx(share, abs=1e-6)


def test_a_wide_target_lets_more_be_expected_than_a_narrow_one() -> None:
    """And of several targets that go together each is the wider against what the property varies."""
    data = average_by_batch([Observation((0.5, 0.5), 10.0, "A")])
    narrow, wide = (spread_by_target(10, 10 + width, data, targets=1, directions=2) for width in (0.5, 2.0))
    assert wide.sd == pytest.approx(4 * narrow.sd)
    assert (narrow.value, wide.value) == (10.25, 11.0)
    assert spread_by_target(10, 12, data, targets=3, directions=4).sd < wide.sd / 3
    assert spread_by_target(10, 12, data, targets=3, directions=1).sd == wide.sd
    assert spread_by_target(-np.inf, 8, data, targets=1, directions=2).value == 8
    assert spread_by_target(-np.inf, np.inf, data, targets=1, directions=2).value is None
