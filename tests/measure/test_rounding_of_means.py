"""Steps by the digits of a day, and what rounding leaves in a mean."""

from __future__ import annotations

import numpy as np
import pytest

from claybench.measure.daily_steps import digit_steps
from claybench.measure.shared_rounding import rounding_variance_each, shared_share


@pytest.mark.parametrize(
    ("readings", "step"),
    [
        ([94.0, 93.0, 95.0, 92.0], 1.0),
        ([94.0, 93.5, 95.0], 0.5),
        ([94.2, 93.9, 95.0, 93.7], 0.1),
        ([100.0, 90.0], 1.0),  # not 10 mm
        ([100.0, 90.0, 80.0, 110.0, 120.0, 70.0], 5.0),  # six of a kind say what no ruler has; 5 is the coarsest usual
        ([94.05, 93.15, 95.0, 93.7], 0.05),
        ([95.25, 96.8375, 101.6, 98.425], 25.4 / 16),  # 3 3/4, 3 13/16, 4, 3 7/8 in
        ([94.21347851, 93.01873245, 95.0], 0.0),  # no instrument shows this
    ],
)
def test_the_coarsest_step_that_a_day_s_readings_fit(readings: list[float], step: float) -> None:
    found = digit_steps(np.array(readings), np.zeros(len(readings), dtype=np.int64), "mm")
    assert found.tolist() == pytest.approx([step] * len(readings))


def test_a_day_of_few_readings_is_told_with_the_days_before_and_never_with_later_ones() -> None:
    values = np.array([94.0, np.nan, 94.2, 93.7, 95.1, 94.0])
    days = np.array([0, 0, 1, 1, 1, 2])
    assert digit_steps(values, days, "mm").tolist() == [1.0, 0.0, 0.1, 0.1, 0.1, 0.1]
    undated = digit_steps(values, np.where(days == 2, -1, days), "mm")
    assert undated.tolist() == [1.0, 0.0, 0.1, 0.1, 0.1, 1.0]
    assert digit_steps(np.array([]), np.array([], dtype=np.int64), "g").tolist() == []


def test_rounding_shared_and_not_adds_up_to_what_is_drawn() -> None:
    """Drawn at random: means of many readings miss the truth by the shared part, and the readings scatter by Sheppard's
    corrected variance (σ² + s²/12) less it. JCGM 100:2008, F.2.2.1, gives s²/12 for one reading."""
    dice = np.random.default_rng(5)
    for scatter in (0.0, 0.1, 0.2, 0.4):
        true = dice.uniform(0, 1, 4000)
        read = np.round(true[:, None] + dice.normal(0, scatter, (4000, 200)))
        seen, missed = read.var(axis=1, ddof=1).mean(), ((read.mean(axis=1) - true) ** 2).mean() - scatter**2 / 200
        left = float(rounding_variance_each(np.array([1.0]))[0])
        share = float(shared_share(np.array([seen / left]))[0])
        assert missed == pytest.approx(share * left + (1 - share) * left / 200, abs=0.003), scatter
        assert seen == pytest.approx(scatter**2 + left * (1 - share), abs=0.004), scatter
