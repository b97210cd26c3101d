"""The sample's own physics, written apart from the package's, comes to the same figures."""

from __future__ import annotations

import importlib.util
import sys
from types import ModuleType

import pytest

from claybench.water.humid_air import air_humidity, humidity_ratio, saturation_pressure, wet_bulb
from claybench.water.liquid_water import transport_scale
from tests.sample_lab.reading import FOLDER
from tests.water.closed_form import time_to_draw


@pytest.fixture(scope="module")
def physics() -> ModuleType:
    spec = importlib.util.spec_from_file_location("sample_lab_physics", FOLDER / "physics.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize(
    ("water", "slip", "slab", "wet", "temp"),
    [(5.5, 0.8, 3.0, 0.0, 20), (5.5, 0.8, 3.0, 0.4, 15), (3.0, 0.42, 2.7, 0.2, 23), (6.0, 0.9, 0.9, 0.1, 20)],
)
def test_a_layer_stepped_through_takes_the_time_of_the_closed_form(
    physics: ModuleType, water: float, slip: float, slab: float, wet: float, temp: float
) -> None:
    layer = physics.Layer(water, slip, slab, wet, 18.0, temp, 0.0)
    assert layer.minutes() == pytest.approx(time_to_draw(water, slip, slab, wet, 18.0, temp), rel=0.02, abs=0.5)


def test_a_full_slab_leaves_the_rest_to_the_air(physics: ModuleType) -> None:
    full = physics.Layer(6.0, 0.9, 3.0, 0.8, 18.0, 20.0, 0.05)
    drawn, aired = full.lost(400)
    assert drawn == pytest.approx((0.92 - 0.8) * 18, rel=0.05)
    assert aired == pytest.approx(0.05 * 400 / 60)
    assert full.minutes() > 1000


@pytest.mark.parametrize(("temp", "humidity", "speed"), [(20, 50, 0), (16, 60, 0.1), (31, 33, 0.6), (22, 93, 2.2)])
def test_water_leaves_a_slab_as_the_published_formula_says(
    physics: ModuleType, temp: float, humidity: float, speed: float
) -> None:
    """g = (25 + 19 v)·A·(xs − x) at the wet bulb, a rule for open water, its error not stated,
    on the package's humid air."""
    wet = wet_bulb(temp, humidity)
    full = humidity_ratio(saturation_pressure(wet), 101.325)
    expected = (25 + 19 * speed) * 400 * (full - air_humidity(temp, humidity))
    assert wet < temp
    assert physics.evaporation(4000, temp, humidity, speed) == pytest.approx(expected, rel=0.04)


def test_warmth_is_that_of_liquid_water(physics: ModuleType) -> None:
    """√(σ/η) against that at 20 °C, from IAPWS formulations by way of the package."""
    for temp in (8, 14, 20, 26, 31):
        assert physics.warmth(temp) == pytest.approx(transport_scale(temp), rel=0.005)
