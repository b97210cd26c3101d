"""Slip, moisture and lifting against published figures, and each formula against its inverse."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput, OutOfRange
from claybench.mix.clay_masses import dry_mass_of_plastic, layer_depth, plastic_density, water_to_give_up
from claybench.mix.lifting import coupling_of, hands_distance, recommended_weight
from claybench.mix.slip_correction import (
    dry_in_slip,
    dry_to_thicken,
    measured_specific_gravity,
    water_to_thin,
)
from claybench.mix.slip_formulas import (
    dry_per_litre,
    moist_mass,
    slip_specific_gravity,
    slip_volume,
    water_for_share,
    water_for_specific_gravity,
)

slips = st.floats(1.05, 2.0)
solids = st.floats(2.3, 3.0)
masses = st.floats(10, 1e5)


def test_brongniart_worked_example() -> None:
    """Forming Techniques, GTZ 1991: a litre of 1700 g, G 2.5, holds 1,166 g (cut off, not rounded)."""
    assert dry_per_litre(1.7, 2.5) == pytest.approx(1166, abs=1)


# A potters' handbook's table for G 2.6, printed to the gram: tolerance 1 g.
@pytest.mark.parametrize(
    ("slip", "dry"),
    [(1.1, 162), (1.2, 325), (1.3, 487), (1.4, 650), (1.5, 812), (1.6, 975), (1.7, 1137)],
)
def test_table_of_dry_matter(slip: float, dry: float) -> None:
    assert dry_per_litre(slip, 2.6) == pytest.approx(dry, abs=1)


# Worked by hand from masses and volumes at G 2.5.
@pytest.mark.parametrize(("slip", "dry", "water"), [(1.5, 833.3, 666.7), (1.75, 1250, 500)])
def test_a_litre_is_dry_matter_and_water(slip: float, dry: float, water: float) -> None:
    assert dry_per_litre(slip, 2.5) == pytest.approx(dry, abs=0.05)
    assert water_for_specific_gravity(dry, slip, 2.5) == pytest.approx(water, abs=0.1)
    assert slip_volume(dry, water, 2.5) == pytest.approx(1000, abs=0.1)


def test_20_per_cent_of_wet_is_25_of_dry() -> None:
    """Arithmetic; Water of plasticity is per cent of mass dried at 110 °C."""
    assert moist_mass(1000, 20) == pytest.approx(1250)
    assert dry_mass_of_plastic(1250, 25) == pytest.approx(moist_mass(1000, 0))
    with pytest.raises(OutOfRange, match=r"120 % of dry mass is 54\.55 % of moist mass"):
        moist_mass(1000, 120)


@given(masses, slips, solids)
def test_water_and_specific_gravity_undo_each_other(dry: float, slip: float, gravity: float) -> None:
    water = water_for_specific_gravity(dry, slip, gravity)
    assert slip_specific_gravity(dry, water, gravity) == pytest.approx(slip)
    assert dry_in_slip(dry + water, slip, gravity) == pytest.approx(dry)
    assert dry_per_litre(slip, gravity) == pytest.approx(1000 * dry / slip_volume(dry, water, gravity))
    assert water_for_share(dry, water / dry) == pytest.approx(water)


@given(masses, slips, slips, solids)
def test_a_corrected_slip_is_the_slip_wanted(mass: float, first: float, second: float, gravity: float) -> None:
    thin, thick = sorted((first, second))
    dry = dry_in_slip(mass, thick, gravity)
    water = water_to_thin(mass, thick, thin, gravity)
    assert slip_specific_gravity(dry, mass - dry + water, gravity) == pytest.approx(thin)
    dry = dry_in_slip(mass, thin, gravity)
    clay = dry_to_thicken(mass, thin, thick, gravity)
    assert slip_specific_gravity(dry + clay, mass - dry, gravity) == pytest.approx(thick)


def test_corrections_the_wrong_way_round_say_which_way() -> None:
    with pytest.raises(OutOfRange, match="Add dry clay"):
        water_to_thin(1000, 1.3, 1.5, 2.6)
    with pytest.raises(OutOfRange, match="Add water"):
        dry_to_thicken(1000, 1.5, 1.3, 2.6)


@pytest.mark.parametrize("slip", [1.0, 0.9, 2.6, 3.5])
def test_slip_lighter_than_water_or_heavier_than_clay_is_refused(slip: float) -> None:
    with pytest.raises(OutOfRange, match=r"water has 1, the dry clay 2\.6"):
        dry_per_litre(slip, 2.6)


def test_grams_in_a_litre_are_recognised() -> None:
    with pytest.raises(OutOfRange, match=r"Then it is 1\.7\."):
        dry_per_litre(1700, 2.5)


def test_a_vessel_weighed_with_the_slip_is_noticed() -> None:
    assert measured_specific_gravity(700, 500) == 1.4
    with pytest.raises(OutOfRange, match="vessel"):
        measured_specific_gravity(1900, 500)


def test_a_litre_on_a_tenth_of_a_square_metre_is_ten_millimetres() -> None:
    assert layer_depth(1000, 1000) == 10


@given(masses, st.floats(10, 60), solids, st.floats(0.7, 2))
def test_what_is_given_up_and_what_stays_is_all_the_water(
    dry: float, workable: float, gravity: float, share: float
) -> None:
    water = dry * share
    left = water - water_to_give_up(dry, water, workable)
    plastic = dry + left
    assert dry_mass_of_plastic(plastic, workable) == pytest.approx(dry)
    assert plastic / slip_volume(dry, left, gravity) == pytest.approx(plastic_density(workable, gravity))


def test_slip_stiffer_than_workable_clay_is_refused() -> None:
    with pytest.raises(BadInput, match="stiffer than workable clay"):
        water_to_give_up(1000, 200, 25)


def test_lifting_equation_by_its_own_manual() -> None:
    """NIOSH 94-110, Example 4: the multipliers 51 × 1.0 × .94 × .87 × 1.0 × .88 × .95 print 34.9 lb.

    V 55 cm and D 95 cm give .94 and .87; the manual multiplies rounded factors, so 1 %.
    """
    found = recommended_weight(25, 55, 95, 0, 0.88, coupling_of("fair", 55))
    assert found == pytest.approx(15.68, abs=0.01)
    assert found / 0.45359237 == pytest.approx(34.9, rel=0.01)


def test_a_slab_40_cm_deep_is_held_40_cm_out() -> None:
    """20 cm plus half the slab (the manual's p. 8), so 23 · 25 / 40 = 14.4 kg before other factors."""
    assert hands_distance(40) == 40
    assert recommended_weight(hands_distance(40)) == pytest.approx(14.4, abs=0.05)
    assert hands_distance(5) == 25


def test_out_of_reach_is_for_two() -> None:
    with pytest.raises(OutOfRange, match="between two"):
        recommended_weight(70)
