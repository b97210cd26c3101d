"""Suction by arithmetic worked by hand from the published forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.water.sorptivity import cake_time, transfer_sorptivity

sorptivities = st.floats(0.05, 20)


# 1/A² = 1/R² + 1/S² by hand; definitions of desorptivity published by Ince & Derogar.
@pytest.mark.parametrize(
    ("sorptivity", "desorptivity", "together"),
    [(3, 1, 0.9487), (2.2, 1.2, 1.0535), (3, 3, 2.1213), (6, 1, 0.9864)],
)
def test_transfer(sorptivity: float, desorptivity: float, together: float) -> None:
    assert transfer_sorptivity(desorptivity, sorptivity) == pytest.approx(together, abs=5e-5)


@given(sorptivities, sorptivities)
def test_transfer_is_slower_than_either_alone(first: float, second: float) -> None:
    assert transfer_sorptivity(first, second) < min(first, second)
    assert transfer_sorptivity(first, second) == pytest.approx(transfer_sorptivity(second, first))


def test_a_cake_builds_up() -> None:
    """A .4, φs .40, φc .55, 5 mm in 22.0 min: volume balance by hand."""
    assert cake_time(5, 0.4, 0.40, 0.55) == pytest.approx(22.0, abs=0.05)
    assert cake_time(10, 0.4, 0.40, 0.55) == pytest.approx(4 * cake_time(5, 0.4, 0.40, 0.55))


@pytest.mark.parametrize(
    "call",
    [
        lambda: transfer_sorptivity(0, 1),
        lambda: transfer_sorptivity(1, math.inf),
        lambda: cake_time(-1, 0.4, 0.40, 0.55),
        lambda: cake_time(5, math.nan, 0.40, 0.55),
        lambda: cake_time(5, 0.4, 0.55, 0.40),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field and refused.value.remedy
