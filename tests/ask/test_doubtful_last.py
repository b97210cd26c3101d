"""Wherever slabs are offered for a layer, doubtful ones come last, however dry they are."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from claybench.ask.lab_model import model_from
from claybench.ask.runs import pour_choice
from claybench.ask.slabs import SLAB_TABLES, slab_list, verdicts_from
from claybench.ask.snapshot import take_snapshot
from claybench.ask.where_to_pour import forecast_layers, where_to_pour
from claybench.insight.sizing.pour_weighings import slabs_for_sizing
from claybench.record.lab import Lab
from claybench.terms import Body, Family, Slab, SlabEvent

WATER_G = {"P1": 0.0, "P2": 400.0, "P3": 800.0}
"""Water in each slab: the driest is the one that gets chipped."""


@pytest.fixture
def three(lab: Lab) -> Lab:
    """P1 dry, P2 and P3 damper, all of one family."""
    now = lab.now()
    rows: list[object] = [Family(family="white"), Body(body="W", family="white", slip_sg=1.45)]
    for code, water in WATER_G.items():
        rows.append(
            Slab(slab=code, family="white", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70,
                 dry_mass_g=10_000, cast_at=date(2025, 1, 1), in_service_on=date(2025, 2, 1))
        )  # fmt: skip
        rows.append(SlabEvent(slab=code, at=now - timedelta(minutes=30), event="weighed", mass_g=10_000 + water))
    with lab.acting("three slabs") as act:
        for row in rows:
            act.add(row)
    return lab


def orders(lab: Lab) -> dict[str, list[str]]:
    """The order of slabs in each place that offers them."""
    snapshot = take_snapshot(lab, *SLAB_TABLES)
    return {
        "where to pour": [each.slab for each in where_to_pour(lab, "W").at_depth(10.0)],
        "forecast": [each.slab for each in forecast_layers(lab, ["W"], [], [10.0])],
        "form of a pour": [code for code, _ in pour_choice(lab).slabs],
        "sizing": [each.slab for each in slabs_for_sizing(verdicts_from(snapshot, model_from(snapshot)))],
    }


@pytest.mark.parametrize("event", ["chipped", "overheated"])
def test_a_doubtful_slab_is_offered_last_until_it_was_looked_after(three: Lab, event: str) -> None:
    assert all(order == ["P1", "P2", "P3"] for order in orders(three).values()), orders(three)
    with three.acting("a mishap") as act:
        act.add(SlabEvent(slab="P1", at=three.now() - timedelta(minutes=20), event=event))
    assert all(order == ["P2", "P3", "P1"] for order in orders(three).values()), orders(three)
    # The list of slabs itself stays by code, and says what each is.
    assert [(each.slab.slab, each.verdict) for each in slab_list(three)] == [
        ("P1", "suspect"), ("P2", "ready"), ("P3", "ready"),
    ]  # fmt: skip
    after = "looked_over" if event == "chipped" else "weighed_dry"
    with three.acting("looked after") as act:
        mass = 10_000.0 if after == "weighed_dry" else None
        act.add(SlabEvent(slab="P1", at=three.now() - timedelta(minutes=10), event=after, mass_g=mass))
    assert all(order == ["P1", "P2", "P3"] for order in orders(three).values()), orders(three)
