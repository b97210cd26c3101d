"""Water and loss on ignition against a published survey and atomic weights."""

from __future__ import annotations

import math

import periodictable
import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.facts.clay import WORKABLE_WATER
from claybench.measure.water_content import loss_on_ignition, water_of_plasticity


@given(st.floats(10, 500), st.floats(0, 80))
def test_water_of_plasticity_is_of_dry_mass(dry: float, water: float) -> None:
    plastic = dry * (1 + water / 100)
    assert water_of_plasticity(plastic, dry) == pytest.approx(water, abs=1e-9)


# Florida Geological Survey, 15th Annual Report: water of plasticity of two clays, of mass dried at 110 °C.
@pytest.mark.parametrize("water", [32.25, 25.10])
def test_real_clays(water: float) -> None:
    assert water_of_plasticity(100 + water, 100) == pytest.approx(water)
    assert (WORKABLE_WATER.low or 0) < water < (WORKABLE_WATER.high or 0)


def test_pore_and_shrinkage_water_are_the_water_of_plasticity() -> None:
    """Doctors Inlet clay, same report: pore water 2.31, shrinkage water 29.94, water of plasticity 32.25 %."""
    dry = 100.0
    leather_hard = dry + 2.31
    plastic = leather_hard + 29.94
    assert water_of_plasticity(plastic, dry) == pytest.approx(32.25)
    assert water_of_plasticity(leather_hard, dry) == pytest.approx(2.31)


def test_kaolinite_keeps_its_oxides() -> None:
    """Theoretical kaolinite: Al2O3 39.496, SiO2 46.548, the rest is lost; periodictable's atomic weights agree."""
    before, after = (periodictable.formula(each).mass for each in ("Al2Si2O9H4", "Al2Si2O7"))
    assert loss_on_ignition(100, 39.496 + 46.548) == pytest.approx(loss_on_ignition(before, after), abs=0.006)


@pytest.mark.parametrize(
    "call",
    [
        lambda: water_of_plasticity(125, 0),
        lambda: loss_on_ignition(math.nan, 92),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field
    assert refused.value.remedy
