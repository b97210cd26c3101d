"""A layer on plaster: the closed form against scipy's integration of the law itself, and its limits."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings, strategies as st
from scipy.integrate import solve_ivp

from claybench.errors import OutOfRange
from claybench.facts.water import WETNESS_LAW, WETNESS_LIMIT
from claybench.water.layer_uptake import resistance_parts, uptake_limit
from claybench.water.liquid_water import transport_scale
from claybench.water.sorptivity import transfer_sorptivity
from tests.water.closed_form import time_to_draw, time_to_workable


def integrated(
    water: float, slip: float, slab: float, wet: float, capacity: float, temp: float, air: float = 0.0
) -> float:
    """Minutes by scipy's solve_ivp: di/dt = A²(i)/(2i), 1/A² = 1/R² + 1/(S0²(1 − kΘ)), Θ = Θ0 + i/c.

    Integrated in y = i², which starts without a singularity; ends when i + e·t is what had to be lost.
    """
    scale = transport_scale(temp) ** 2

    def speed(_: float, state: Sequence[float]) -> list[float]:
        drawn = math.sqrt(max(state[0], 0.0))
        left = max(1 - WETNESS_LAW.value * (wet + drawn / capacity), 1e-12)
        return [scale / (1 / slip**2 + 1 / (slab**2 * left))]

    def done(minutes: float, state: Sequence[float]) -> float:
        return math.sqrt(max(state[0], 0.0)) + air * minutes - water

    done.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(speed, (0, 1e5), [0.0], events=done, rtol=1e-10, atol=1e-12, method="LSODA")
    return float(found.t_events[0][0])


CASES = [
    (2.727, 1.0, 3.0, 0.0, 25.0, 20.0),
    (5.0, 0.8, 3.0, 0.0, 20.0, 20.0),
    (5.0, 0.8, 3.0, 0.5, 20.0, 12.0),
    (8.0, 0.4, 2.2, 0.3, 18.0, 31.0),
    (3.0, 1.5, 2.0, 0.7, 20.0, 20.0),
    (0.5, 0.8, 3.0, 0.1, 400.0, 20.0),
]


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("air", [0.0, 0.001, 0.02, 0.5])
def test_the_closed_form_is_the_integral(case: tuple[float, ...], air: float) -> None:
    """scipy.integrate.solve_ivp."""
    assert time_to_workable(*case, air) == pytest.approx(integrated(*case, air), rel=1e-6)


@pytest.mark.parametrize("case", CASES)
def test_without_air_it_is_the_time_to_draw_the_water(case: tuple[float, ...]) -> None:
    assert time_to_workable(*case, 0.0) == time_to_draw(*case)


def test_on_plaster_without_end_it_is_the_published_law() -> None:
    """t = (i/A)², 1/A² = 1/R² + 1/S²: 2.727 mm with R 1, S 3 take 8.26 min by hand."""
    assert time_to_draw(2.727, 1, 3, 0, 1e9, 20) == pytest.approx(8.26, abs=0.005)
    assert time_to_draw(2.727, 1, 3, 0, 1e9, 20) == pytest.approx((2.727 / transfer_sorptivity(1, 3)) ** 2, rel=1e-8)


@given(st.floats(0.1, 10), st.floats(0, 0.9), st.floats(5, 1e8))
def test_series_and_closed_form_meet(water: float, wet: float, capacity: float) -> None:
    """Q by Gauss–Legendre with numpy over the same integrand, far from and near to a slab without end."""
    import numpy as np

    water = min(water, uptake_limit(wet, capacity))
    at, weight = np.polynomial.legendre.leggauss(60)
    at, weight = water * (at + 1) / 2, weight * water / 2
    area = float(np.sum(weight * 2 * at / (1 - WETNESS_LAW.value * (wet + at / capacity))))
    assert resistance_parts(water, wet, capacity, 20)[1] == pytest.approx(area, rel=1e-6)


def test_time_is_continuous_where_the_series_takes_over() -> None:
    edge = WETNESS_LAW.value * 5 / 1e-3
    assert time_to_draw(5, 50, 3, 0, edge * 1.0000001, 20) == pytest.approx(
        time_to_draw(5, 50, 3, 0, edge * 0.9999999, 20), rel=1e-8
    )


def test_warm_water_goes_faster_by_the_square_of_the_scale() -> None:
    cold, warm = (time_to_draw(5, 0.8, 3, 0.2, 20, temp) for temp in (5.0, 35.0))
    assert cold / warm == pytest.approx((transport_scale(35) / transport_scale(5)) ** 2)


def test_a_full_slab_leaves_it_to_the_air() -> None:
    full = (5.0, 0.8, 3.0, 0.92, 20.0, 20.0)
    assert uptake_limit(0.92, 20) == 0
    assert time_to_workable(*full, 0.0) == math.inf
    assert time_to_workable(*full, 0.01) == pytest.approx(500)
    part = (8.0, 0.8, 3.0, 0.6, 20.0, 20.0)
    assert uptake_limit(0.6, 20) == pytest.approx(6.4)
    assert time_to_workable(*part, 0.0) == math.inf
    assert time_to_workable(*part, 0.001) == pytest.approx((8 - 6.4) / 0.001)
    with pytest.raises(OutOfRange, match="takes 6.40 mm more"):
        time_to_draw(*part)


def test_the_limit_is_that_of_the_law() -> None:
    """Uptake ends at a wetness of 0.92, from memory; the law's own end, 1/1.08, lies just above."""
    assert uptake_limit(0, 20) == pytest.approx(20 * WETNESS_LIMIT.value)
    assert time_to_draw(uptake_limit(0.3, 20), 0.8, 3, 0.3, 20, 20) < math.inf


@settings(max_examples=60)
@given(
    st.floats(0.1, 20),
    st.floats(0.1, 3),
    st.floats(0.5, 6),
    st.floats(0, 1),
    st.floats(2, 60),
    st.floats(0, 59),
    st.floats(1e-9, 10),
)
def test_more_air_wetter_slabs_and_thicker_layers(
    water: float, slip: float, slab: float, wet: float, capacity: float, temp: float, air: float
) -> None:
    minutes = time_to_workable(water, slip, slab, wet, capacity, temp, air)
    assert 0 < minutes <= water / air * (1 + 1e-9)
    near = 1 - 1e-9
    assert minutes * near <= time_to_workable(water, slip, slab, wet, capacity, temp, 0.0)
    assert minutes * near <= time_to_workable(water * 1.1, slip, slab, wet, capacity, temp, air)
    assert minutes * near <= time_to_workable(water, slip, slab, min(wet + 0.1, 1), capacity, temp, air)
    assert minutes >= near * time_to_workable(water, slip, slab, wet, capacity, temp + 1, air)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({0: 0.0}, "water_mm"),
        ({0: math.nan}, "water_mm"),
        ({1: 1.1}, "wetness"),
        ({1: math.nan}, "wetness"),
        ({2: 0.0}, "capacity_mm"),
        ({3: 70.0}, "temp_c"),
    ],
)
def test_what_cannot_be_is_refused(change: dict[int, float], field: str) -> None:
    given_ = [5.0, 0.2, 20.0, 20.0]
    for place, value in change.items():
        given_[place] = value
    with pytest.raises(OutOfRange) as refused:
        resistance_parts(*given_)
    assert refused.value.field == field
