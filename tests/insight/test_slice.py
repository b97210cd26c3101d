"""Three materials of a region with the others held: the outline by hand, and what is allowed."""

from __future__ import annotations

import pytest

from claybench.errors import BadInput
from claybench.insight.plan.design.region import Group, Region
from claybench.insight.plan.design.region_slice import slice_region

FLARE = {"x1": (40.0, 60.0), "x2": (10.0, 50.0), "x3": (10.0, 50.0), "x4": (3.0, 8.0)}
"""Bounds of McLean & Anderson's flare experiment (from memory, as in the design tests)."""


def test_a_cut_of_the_flare_region_has_the_corners_that_follow_by_hand() -> None:
    # x4 held at 5 leaves 95: where x1 is 40, x2 + x3 = 55 with both at least 10; where it is 60, x2 + x3 = 35.
    cut = slice_region(Region.from_bounds(FLARE), ("x1", "x2", "x3"), (50.0, 25.0, 20.0, 5.0))
    found = {tuple(round(part, 6) for part in corner) for corner in cut.outline}
    assert found == {(40, 10, 45), (40, 45, 10), (60, 10, 25), (60, 25, 10)}
    assert cut.total == 95 and cut.fixed_parts == (0, 0, 0, 5.0) and cut.whole_recipe((50, 25, 20)) == [50, 25, 20, 5]
    assert cut.is_allowed((50, 25, 20)) and cut.is_allowed((60, 25, 10)) and not cut.is_allowed((39, 28, 28))
    # Its corners of the four-material region, halved between x4 = .03 and .08, lie on the outline's sides.
    assert not cut.is_allowed((61, 17, 17)) and not cut.is_allowed((50, 40, 5))


def test_a_corner_on_two_bounds_at_once_stays() -> None:
    # a at most 60 meets b at least 10 and c at most 30 in one point: (60, 10, 30).
    region = Region.from_bounds({"a": (0.0, 60.0), "b": (10.0, 100.0), "c": (0.0, 30.0)})
    cut = slice_region(region, ("a", "b", "c"), (50.0, 30.0, 20.0))
    assert {tuple(round(part, 6) for part in corner) for corner in cut.outline} == {
        (60, 10, 30), (0, 70, 30), (0, 100, 0), (60, 40, 0),
    }  # fmt: skip


def test_a_group_bounds_the_cut_with_what_is_held_taken_off() -> None:
    region = Region.from_bounds(dict.fromkeys("abcd", (0.0, 100.0)), [Group(("a", "d"), 30.0, 50.0)])
    cut = slice_region(region, ("a", "b", "c"), (25.0, 30.0, 25.0, 20.0))
    assert {round(corner[0], 6) for corner in cut.outline} == {10.0, 30.0}


def test_shares_and_parts_are_each_others_way_back() -> None:
    cut = slice_region(Region.from_bounds(FLARE), ("x3", "x1", "x2"), (50.0, 25.0, 20.0, 5.0))
    assert cut.names == ("x3", "x1", "x2")
    assert cut.parts(cut.shares((20.0, 50.0, 25.0))) == pytest.approx((20.0, 50.0, 25.0))
    for place in range(3):
        corner = cut.corner(place)
        assert sum(corner) == pytest.approx(95) and cut.shares(corner)[place] == pytest.approx(1)
    for corner in cut.outline:
        assert min(cut.shares(corner)) >= 0


def test_parts_held_outside_the_bounds_leave_nothing_and_a_triangle_takes_three() -> None:
    region = Region.from_bounds(FLARE)
    assert slice_region(region, ("x1", "x2", "x3"), (10.0, 5.0, 5.0, 80.0)).outline == ()
    with pytest.raises(BadInput, match="takes three materials"):
        slice_region(region, ("x1", "x2", "grog"), (50.0, 25.0, 20.0, 5.0))
