"""A share of `python -m tests.campaign_scatter`: a control steadier than the rest makes no false differences."""

from __future__ import annotations

import numpy as np
import pytest

from tests.campaign_scatter import differences, share_told, smallest_told

pytestmark = pytest.mark.slow

COUNTS = (12, *[2] * 6)


def test_a_steady_control_makes_no_false_differences() -> None:
    """At a third of the others' scatter: half of labs were told one, at most 7 of 100 may be (200 draws, seeded; two
    standard errors of 7 % are 3.6)."""
    told = share_told(COUNTS, [1 / 3, *[1.0] * 6], np.random.default_rng(11), 200)
    assert told.before > 0.35
    assert told.now <= 0.07 + 0.036


def test_where_all_scatter_alike_differences_are_still_told() -> None:
    """Two thirds of those that the pooled variance tells in four cases of five, and hardly a false one."""
    dice = np.random.default_rng(12)
    assert share_told(COUNTS, [1.0] * 7, dice, 200, apart=smallest_told(COUNTS)).now >= 0.6
    assert share_told(COUNTS, [1.0] * 7, dice, 200).now <= 0.05 + 0.031


def test_equal_numbers_of_batches_lose_nothing() -> None:
    """Five batches each: told as often as by the pooled variance, within two standard errors of the difference."""
    told = share_told((5,) * 6, [1.0] * 6, np.random.default_rng(13), 150, apart=smallest_told((5,) * 6))
    assert told.now >= told.before - 0.07


def test_it_says_what_it_rests_on() -> None:
    """Bodies made twice or more, and their batches."""
    dice = np.random.default_rng(3)
    found = differences([dice.normal(0, 1, count).tolist() for count in (10, 2, 2, 2, 1, 1, 1)])
    assert {one.scatter_words() for one in found} == {"16 batches of 4 bodies"}
    assert [one.basis for one in found] == ["batches"] * 3 + ["lab"] * 3
