"""What wet faces lose, held against heat and vapour reckoned by hand; how a slab stands."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest

from claybench.insight.air import AirRecord, SlabAir
from claybench.insight.settings import Settings
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.terms import SlabEvent
from tests.campaign.physics import START
from tests.water.hand_balance import by_formula_g_h, by_hand_g_h, open_water_g_h


@pytest.mark.parametrize("standing", ["flat", "slats", "edge"])
@pytest.mark.parametrize(("temp", "rh"), [(10, 60), (18, 60), (20, 50), (20, 80), (25, 40)])
@pytest.mark.parametrize("speed", [0.1, 0.3, 1.0, 2.0])
def test_formula_is_near_the_balance_by_hand(standing: str, temp: float, rh: float, speed: float) -> None:
    """Within the quarter by which correlations for quiet air miss data (HVAC&R Research 8(1), 2002)."""
    ratio = by_formula_g_h(standing, temp, rh, speed) / by_hand_g_h(standing, temp, rh, speed)
    assert 0.8 < ratio < 1.25


def test_open_water_dries_a_slab_on_a_table_twice_too_fast() -> None:
    """Why the formula for open water was left: it knows neither radiation nor what lies on a table."""
    assert open_water_g_h(18, 60, 0.1) / by_hand_g_h("flat", 18, 60, 0.1) > 1.9


def test_a_round_slab_and_one_on_edge() -> None:
    """By hand: π/4·30², π·30·4; and on its long edge 2·2000 + 810 − 50·4.5."""
    plate = SlabFaces.from_sides(300, None, 40)
    assert plate.free_cm2("flat") == pytest.approx(math.pi / 4 * 900 + math.pi * 30 * 4)
    assert SlabFaces.from_sides(400, 500, 45).free_cm2("edge") == pytest.approx(2 * 2000 + 810 - 225)


def test_how_it_stands_holds_from_when_it_was_written() -> None:
    """Laid flat on the second day: from then it loses what one face and the edges lose."""
    laid = SlabEvent(slab="P1", at=START + timedelta(days=1), event="moved", standing="flat")
    moved = SlabEvent(slab="P1", at=START + timedelta(days=2), event="moved", place="fan")
    air = SlabAir([laid, moved], AirRecord((), Settings()))
    drying = SlabDrying(SlabFaces.from_sides(500, 400, 45), 3600.0)
    before, after = (drying.law_in(air.air_at(START + timedelta(days=days))).rate_g_h for days in (0.5, 1.5))
    assert after / before == pytest.approx(2810 / 4810)
    assert air.air_at(START + timedelta(days=3)).standing == "flat"
    spans = air.spans(START, START + timedelta(days=1.5))
    assert [each.standing for _, _, each in spans] == [None, "flat"]
