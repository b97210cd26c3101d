"""Steps of readings: what JCGM 100 says they leave open, and what digits tell of them."""

from __future__ import annotations

import math
import random

import pytest

from claybench.measure.reading_steps import (
    CHANCE_ALLOWED,
    chance_of_fit,
    difference_open,
    fits_step,
    largest_step,
    rounding_variance,
    steps_along,
)


def test_a_step_leaves_what_the_guide_says() -> None:
    """JCGM 100:2008, F.2.2.1: a step δ leaves a standard uncertainty of 0.29 δ."""
    assert math.sqrt(rounding_variance(1)) == pytest.approx(0.29, abs=0.002)
    draw = random.Random(3)
    true = [draw.uniform(12_000, 14_000) for _ in range(20_000)]
    misses = [100 * round(each / 100) - each for each in true]
    assert sum(each**2 for each in misses) / len(misses) == pytest.approx(rounding_variance(100), rel=0.03)


def test_nine_of_ten_differences_lie_within_what_is_said() -> None:
    draw = random.Random(4)
    misses = [
        abs((100 * round(first / 100) - first) - (10 * round(then / 10) - then))
        for first, then in ((draw.uniform(0, 9999), draw.uniform(0, 9999)) for _ in range(20_000))
    ]
    held = sum(each <= difference_open(100, 10) for each in misses) / len(misses)
    assert held == pytest.approx(0.9, abs=0.06)


@pytest.mark.parametrize(
    ("values", "step"),
    [
        ([86.5, 87.0, 90.5], 0.5),
        ([99.95, 100.0, 98.15], 0.05),
        ([0.1 + 0.2, 0.7], 0.1),
        ([12_345], 5.0),
        ([6000.0, 0.0], 2000.0),
        ([0.12345], None),
        ([0.0], None),
        ([], None),
    ],
)
def test_the_largest_step_that_values_fit(values: list[float], step: float | None) -> None:
    assert largest_step(values) == step
    assert step is None or all(fits_step(each, step) for each in values)


def test_round_readings_are_called_coarse_only_where_chance_does_not_explain_them() -> None:
    fine = [13_007.0, 12_913.0, 13_000.0, 12_751.0]
    assert steps_along(fine, [1.0] * 4) == [1.0] * 4
    assert chance_of_fit(1, 1, 100) > CHANCE_ALLOWED >= chance_of_fit(2, 1, 100)
    # the same reading again is no second witness: a dry slab weighs what it weighed
    assert steps_along([13_007.0, 13_000.0, 13_000.0, 12_751.0], [1.0] * 4) == [1.0] * 4
    coarse = [13_100.0, 12_900.0, 12_900.0]
    assert steps_along([*fine, *coarse, *fine], [1.0] * 11) == [1.0] * 4 + [100.0] * 3 + [1.0] * 4
    assert steps_along(coarse, [500.0] * 3) == [500.0] * 3, "never finer than it can have been"
    assert steps_along([], []) == []


def test_readings_of_a_fine_scale_are_hardly_ever_called_coarse() -> None:
    draw = random.Random(5)
    readings = [float(draw.randrange(5000, 20_000)) for _ in range(4000)]
    assert sum(step > 1 for step in steps_along(readings, [1.0] * len(readings))) < 40
