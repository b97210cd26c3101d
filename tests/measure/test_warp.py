"""Warp by its definition."""

from __future__ import annotations

import pytest

from claybench.errors import OutOfRange
from claybench.measure.warp import warp


def test_warp_is_of_the_edge() -> None:
    """ASTM C485: deviation at mid-length, % of the edge. 3 mm on an edge of 200 mm are 1.5 %, by hand."""
    assert warp(3, 200) == pytest.approx(1.5)
    assert warp(-0.4, 130) == pytest.approx(-0.3077, abs=5e-5)
    for gap, edge in ((3, 0), (200, 200), (3, float("inf"))):
        with pytest.raises(OutOfRange):
            warp(gap, edge)
