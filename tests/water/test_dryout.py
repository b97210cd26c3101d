"""Drying a wet slab: published exercises."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.water.humid_air import wet_bulb
from claybench.water.slab_drying import (
    convection,
    drying_time,
    evaporation,
    evaporation_rate,
    face_temperature,
    time_to_dry,
    water_after,
)


def test_vapour_and_heat_cross_the_same_air() -> None:
    """Lewis: h/(c·Le^⅔) = 7/(1020·0.9) = 7.6 g/(m² s); over 0.0116 − 0.0073 in an hour 0.118 kg."""
    assert evaporation_rate(1, 7, 0.0116, 0.0073) == pytest.approx(0.118, abs=5e-4)


def test_a_wet_face_lies_between_the_wet_bulb_and_the_air() -> None:
    """Walls warm it, and the more a fan blows the less that counts: psychrometry by ASHRAE's formulas."""
    cold, still, fanned = wet_bulb(20, 50), face_temperature(20, 50, 0), face_temperature(20, 50, 2)
    assert cold < fanned < still < 20
    assert still - cold == pytest.approx(2.3, abs=0.3)
    assert face_temperature(20, 50, 500) == pytest.approx(cold, abs=0.4)


@pytest.mark.parametrize(("temp", "humidity", "speed"), [(18, 60, 0.1), (12, 45, 0.5), (25, 70, 2.0)])
def test_heat_that_comes_is_heat_that_evaporates(temp: float, humidity: float, speed: float) -> None:
    """By the air and 5.1 W/(m² K) of radiation, over the latent heat of steam tables (2454 kJ/kg at 20 °C)."""
    face = face_temperature(temp, humidity, speed)
    heat_w = (convection(speed) + 5.1) * (temp - face)
    latent = 2454 + 2.36 * (20 - face)
    assert evaporation(10_000, temp, humidity, speed) == pytest.approx(heat_w * 3600 / latent, rel=0.002)


def test_draught_and_drier_air_dry_faster_and_saturated_air_not_at_all() -> None:
    assert evaporation(5000, 20, 50, 2) > 3 * evaporation(5000, 20, 50, 0)
    assert evaporation(5000, 20, 40, 0) > evaporation(5000, 20, 60, 0) > 0
    assert evaporation(5000, 20, 100, 2) == pytest.approx(0, abs=1e-6)
    assert evaporation(5000, -30, 50, 0) == evaporation(5000, -5, 50, 0)


def test_coulson_and_richardson() -> None:
    """Chemical Engineering vol. 2, Ex. 16.1: 25 to 10 % in 15 ks, wc 15, we 5; 30 to 8 % takes 23.96 ks."""
    rate = drying_time(25, 10, 15, 5, 1.0) / 15
    assert drying_time(30, 8, 15, 5, rate) == pytest.approx(23.96, abs=0.01)


def test_an_exercise_of_university_college_london() -> None:
    """wc 18, we 2: 20 to 5 % in 7300 s; 30 to 3 % takes 14,294 s."""
    rate = drying_time(20, 5, 18, 2, 1.0) / 7300
    assert drying_time(30, 3, 18, 2, rate) == pytest.approx(14_294, abs=1)


@given(
    st.floats(10, 5000),
    st.floats(0.01, 0.999),
    st.floats(1, 500),
    st.floats(1, 5000),
)
def test_time_and_water_undo_each_other(water: float, share: float, rate: float, critical: float) -> None:
    hours = time_to_dry(water, water * share, rate, critical)
    assert water_after(water, hours, rate, critical) == pytest.approx(water * share, rel=1e-9)


def test_a_slab_dries_slower_below_the_critical_content() -> None:
    """Where it slows down at 1500 g: by hand 1500·exp(−10·50/1500) after 20 h of 50 g/h from 2000 g."""
    assert water_after(2000, 0, 50, 1500) == 2000
    assert water_after(2000, 20, 50, 1500) == pytest.approx(1500 * math.exp(-1 / 3))
    assert water_after(2000, 20, 0, 1500) == 2000


def test_the_two_rates_meet_at_the_critical_content() -> None:
    before, after = (water_after(2000, hours, 50, 500) for hours in (29.999, 30.001))
    assert before - after == pytest.approx(0.1, rel=1e-3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: evaporation_rate(0, 0, 0.02, 0.01),
        lambda: evaporation(100, 20, 50, -1),
        lambda: evaporation(100, 20, 101, 0),
        lambda: drying_time(30, 5, 15, 5, 1),
        lambda: drying_time(30, 8, 15, 5, 0),
        lambda: drying_time(30, 8, 5, 5, 1),
        lambda: evaporation_rate(1, math.nan, 0.02, 0.01),
        lambda: time_to_dry(100, 0, 5, 50),
        lambda: water_after(math.nan, 1, 1, 1),
    ],
)
def test_what_cannot_dry_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field and refused.value.remedy
