"""Water and loss on ignition against a published survey and atomic weights."""

from __future__ import annotations

import math

import periodictable
import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.facts.clay import WORKABLE_WATER
from claybench.facts.origin import Fact
from claybench.facts.testing import CALCITE_LOSS, DOLOMITE_LOSS, GYPSUM_LOSS, KAOLINITE_LOSS, TALC_LOSS
from claybench.measure.water_content import dry_basis, loss_on_ignition, water_of_plasticity, wet_basis


def test_twenty_of_wet_is_twenty_five_of_dry() -> None:
    assert dry_basis(20) == 25
    assert wet_basis(25) == 20


@given(st.floats(0, 99))
def test_bases_turn_round(wet: float) -> None:
    assert wet_basis(dry_basis(wet)) == pytest.approx(wet)


@given(st.floats(10, 500), st.floats(0, 80))
def test_water_of_plasticity_is_of_dry_mass(dry: float, water: float) -> None:
    plastic = dry * (1 + water / 100)
    assert water_of_plasticity(plastic, dry) == pytest.approx(water, abs=1e-9)
    assert wet_basis(max(water_of_plasticity(plastic, dry), 0)) == pytest.approx(100 * (1 - dry / plastic), abs=1e-9)


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


# IUPAC atomic weights as the package periodictable carries them; what is left after firing.
@pytest.mark.parametrize(
    ("before", "after", "fact"),
    [
        ("Al2Si2O9H4", "Al2Si2O7", KAOLINITE_LOSS),
        ("CaCO3", "CaO", CALCITE_LOSS),
        ("CaMgC2O6", "CaMgO2", DOLOMITE_LOSS),
        ("Mg3Si4O12H2", "Mg3Si4O11", TALC_LOSS),
        ("CaSO4(H2O)2", "CaSO4", GYPSUM_LOSS),
    ],
)
def test_theoretical_losses(before: str, after: str, fact: Fact) -> None:
    masses = (periodictable.formula(each).mass for each in (before, after))
    assert loss_on_ignition(*masses) == pytest.approx(fact.value, abs=0.006)


def test_kaolinite_keeps_its_oxides() -> None:
    """Theoretical kaolinite: Al2O3 39.496, SiO2 46.548, the rest is lost (IUPAC atomic weights)."""
    assert loss_on_ignition(100, 39.496 + 46.548) == pytest.approx(KAOLINITE_LOSS.value, abs=0.002)


@pytest.mark.parametrize(
    "call",
    [
        lambda: dry_basis(100),
        lambda: dry_basis(-1),
        lambda: wet_basis(-1),
        lambda: wet_basis(math.nan),
        lambda: water_of_plasticity(125, 0),
        lambda: loss_on_ignition(math.nan, 92),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field
    assert refused.value.remedy
