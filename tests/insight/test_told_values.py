"""Readings told as a range or a bound: what they count for among readings of their own names, and of records."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from claybench.insight.bodies.comparison.reading_groups import group_readings, group_steps
from claybench.insight.reading_sets import reading_sets
from claybench.insight.record_values import record_values
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Input, Property
from claybench.measure.properties.property_set import PropertySet
from claybench.terms import Measurement
from claybench.tui.display_text import reading_value_text

AT = datetime(2026, 3, 10, 9, tzinfo=UTC)
HARDNESS = Property(name="mohs", title="hardness", of="slab", low=0, high=10, digits=1, own=True)
CRUSH = Property(
    name="crush_mpa", title="crushing", unit="MPa", of="slab", own=True, formula="crush_n ÷ (20 × 20)",
    inputs=(Input(name="crush_n", unit="N", low=0),),
)  # fmt: skip


def told(value: float, what: str = "mohs", **more: object) -> Measurement:
    """A reading of one slab."""
    about: dict[str, object] = {"slab": "P1", "at": AT, **more}
    return Measurement(what=what, value=value, **about)  # type: ignore[arg-type]


def test_the_middle_of_a_range_counts_and_a_bound_counts_in_no_mean() -> None:
    """A value anywhere between two ends has their middle for its mean and the width for its step: a rectangular
    distribution, JCGM 100:2008, 4.3.7 (from memory)."""
    rows = [told(5.0, value_high=6.0), told(7.0, sign="<"), told(6.0), told(6.5, sign="~")]
    [means] = group_readings(rows, {"mohs"}).values()
    [steps] = group_steps(rows, {"mohs"}, []).values()
    assert means == {"mohs": pytest.approx((5.5 + 6.0 + 6.5) / 3)}
    assert steps == {"mohs": 1.0}
    assert group_readings([told(7.0, sign=">")], {"mohs"}) == {}


def test_a_record_s_own_value_takes_no_bound_either() -> None:
    properties = PropertySet([*BUILT_IN.values(), HARDNESS, CRUSH])
    rows = [
        told(value, what, at=AT + timedelta(hours=hour), together=str(hour), **about)
        for hour, (value, what, about) in enumerate(
            [
                (5.0, "mohs", {"value_high": 6.0}),
                (7.0, "mohs", {"sign": "<"}),
                (4000.0, "crush_n", {}),
                (9000.0, "crush_n", {"sign": ">"}),
            ]
        )
    ]
    hard, crushed = record_values(rows, properties, "slab")["P1"]
    assert (hard.numbers, crushed.numbers) == ((5.5,), (10.0,))
    assert [each.value for each in reading_sets(HARDNESS, rows, properties)] == [5.5, None]
    assert [each.name for each in reading_sets(CRUSH, rows, properties)[1].missing] == ["crush_n"]


def test_a_reading_is_shown_as_it_was_told() -> None:
    rows = [told(5.0, value_high=6.0), told(7.0, sign="<"), told(8.0, sign="~"), told(6.5)]
    assert [reading_value_text(row, "mm") for row in rows] == ["5 to 6 mm", "less than 7 mm", "about 8 mm", "6.5 mm"]
