"""Water and humid air against reference libraries and a textbook."""

from __future__ import annotations

import iapws
import psychrolib
import pytest
from iapws import IAPWS95

from claybench.errors import OutOfRange
from claybench.facts.water import AIR_PRESSURE
from claybench.water.humid_air import (
    air_humidity,
    humidity_ratio,
    saturation_pressure,
    wet_bulb,
)
from claybench.water.liquid_water import surface_tension, transport_scale, viscosity


@pytest.fixture(autouse=True)
def _si() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("temp", [0.5, 5, 10, 15, 20, 25, 30, 40, 60])
def test_water_is_that_of_iapws(temp: float) -> None:
    """The package iapws: IAPWS-95 with its viscosity and surface tension releases."""
    state = IAPWS95(T=temp + 273.15, P=0.101325)
    tension = iapws._iapws._Tension(temp + 273.15)
    assert surface_tension(temp) == pytest.approx(1000 * tension, rel=1e-6)
    assert viscosity(temp) == pytest.approx(1000 * state.mu, rel=2e-3)
    at_20 = IAPWS95(T=293.15, P=0.101325)
    scale = (tension / iapws._iapws._Tension(293.15) * at_20.mu / state.mu) ** 0.5
    assert transport_scale(temp) == pytest.approx(scale, rel=1e-3)


# √(σ/η) over its value at 20 °C, worked out from the IAPWS releases; tolerance ±0.5 %.
@pytest.mark.parametrize(
    ("temp", "scale"),
    [
        (5, 0.8245),
        (10, 0.8847),
        (15, 0.9432),
        (20, 1),
        (25, 1.0552),
        (30, 1.1089),
        (35, 1.1611),
        (40, 1.2117),
    ],
)
def test_suction_speeds_up_with_warmth(temp: float, scale: float) -> None:
    assert transport_scale(temp) == pytest.approx(scale, rel=0.005)


@pytest.mark.parametrize("temp", [-0.1, 60.1, float("nan")])
def test_water_that_is_ice_or_scalding_is_refused(temp: float) -> None:
    with pytest.raises(OutOfRange, match="0 to 60"):
        transport_scale(temp)


@pytest.mark.parametrize("temp", [1, 10, 20, 35, 49, 80])
def test_saturation_is_that_of_ashrae(temp: float) -> None:
    """The package psychrolib (ASHRAE Handbook, Fundamentals)."""
    assert saturation_pressure(temp) == pytest.approx(psychrolib.GetSatVapPres(temp) / 1000, rel=1e-8)


@pytest.mark.parametrize("temp", [8, 15, 20, 28.5, 43, 60, 80])
@pytest.mark.parametrize("rh", [12, 35, 50, 80, 100])
def test_humid_air_is_that_of_ashrae(temp: float, rh: float) -> None:
    """The package psychrolib; its wet bulb is searched to a thousandth of a degree."""
    pressure = 1000 * AIR_PRESSURE.value
    held = psychrolib.GetHumRatioFromRelHum(temp, rh / 100, pressure)
    assert air_humidity(temp, rh) == pytest.approx(held, rel=1e-6)
    theirs = psychrolib.GetTWetBulbFromRelHum(temp, rh / 100, pressure)
    # Below freezing psychrolib takes the face for ice, claybench for water not yet frozen.
    if theirs > 0.1:
        assert wet_bulb(temp, rh) == pytest.approx(theirs, abs=0.002)


def test_a_face_in_saturated_air_is_as_warm_as_the_air() -> None:
    assert wet_bulb(21.3, 100) == pytest.approx(21.3, abs=1e-6)


def test_geankoplis_humid_air() -> None:
    """Geankoplis, Transport Processes and Unit Operations, Ex. 9.3-1: pA 2.76, pAs 3.50, P 101.3 kPa."""
    assert humidity_ratio(2.76, 101.3) == pytest.approx(0.01742, abs=5e-6)
    # Printed with molar masses 18.02 and 28.97, of which the ratio is 0.62202.
    assert humidity_ratio(3.50, 101.3) == pytest.approx(0.02226, abs=5e-6)


@pytest.mark.parametrize("rh", [-1, 101, float("nan")])
def test_a_humidity_that_cannot_be_is_refused(rh: float) -> None:
    for asked in (wet_bulb, air_humidity):
        with pytest.raises(OutOfRange, match="0 to 100"):
            asked(20, rh)


def test_vapour_above_the_air_s_own_pressure_is_refused() -> None:
    with pytest.raises(OutOfRange, match="between 0 and that of the air"):
        humidity_ratio(102, 101.3)
