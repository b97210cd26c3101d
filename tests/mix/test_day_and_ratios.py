"""Sizing for a day's work, and what the mix ratio does: against the published tables of absolute volumes."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput
from claybench.mix.doses import named_number, plaster_in_hand, read_doses
from claybench.mix.slab_figures import slab_figures, slabs_by_ratio
from claybench.mix.slab_request import SlabRequest
from claybench.mix.slab_sizing import size_slab


@given(
    batches=st.floats(1, 6),
    dry=st.floats(500, 4000),
    water=st.floats(0.6, 1.5),
    count=st.integers(1, 4),
)
def test_slabs_sized_for_a_day_take_its_water(batches: float, dry: float, water: float, count: int) -> None:
    sized = size_slab(
        SlabRequest(depth_mm=50, batches_a_day=batches, batch_dry_g=dry, batch_water_per_dry=water, count=count)
    )
    load = batches * dry * (water - sized.request.workable_water_pct / 100)
    assert sized.day_load_g == pytest.approx(load)
    assert sized.capacity_g * count == pytest.approx(load)
    assert slab_figures(sized)["day_load_g"].value == pytest.approx(load)


def test_two_batches_a_day_dry_again_by_the_morning() -> None:
    """Two faces of 0.15 kg/(m² h) for 14 h: 2711.5 g want 0.6456 m² (arithmetic)."""
    sized = size_slab(
        SlabRequest(depth_mm=50, batches_a_day=2, batch_dry_g=1500, evaporation_g_m2_h=150, dry_again_h=14)
    )
    assert sized.area_cm2 == pytest.approx(1e4 * (sized.day_load_g or 0) / (2 * 150 * 14), rel=1e-6)
    assert sized.dried_again_g == pytest.approx(sized.day_load_g)


def test_a_form_too_small_to_dry_again_says_so() -> None:
    sized = size_slab(
        SlabRequest(
            length_mm=500, width_mm=400, batches_a_day=2, batch_dry_g=1500, evaporation_g_m2_h=150, dry_again_h=14
        )
    )
    assert any("use slabs in turn" in caution.text for caution in sized.cautions)


@pytest.mark.parametrize("given_", [{"batches_a_day": 2.0}, {"batch_dry_g": 1500.0}])
def test_a_day_needs_number_and_clay(given_: dict[str, float]) -> None:
    with pytest.raises(BadInput, match="their number and the dry clay"):
        size_slab(SlabRequest(depth_mm=50, **given_))


def test_a_day_and_plaster_cannot_both_be_kept() -> None:
    with pytest.raises(BadInput, match="plaster and batches a day"):
        size_slab(SlabRequest(depth_mm=50, batches_a_day=2, batch_dry_g=1500, plaster_g=5000))


@pytest.mark.parametrize(
    ("ratio", "per_litre", "water", "capacity"),
    [(60, 1034, 620, 38.4), (65, 983, 639, 42.6), (70, 937, 656, 46.8), (75, 895, 671, 51.0), (80, 856, 685, 55.2)],
)
def test_the_ratios_side_by_side_follow_the_absolute_volumes(
    ratio: float, per_litre: float, water: float, capacity: float
) -> None:
    """Plaster and water in a litre, and pore capacity of dry mass: derived from published densities."""
    (found,) = slabs_by_ratio(1000, (ratio,))
    assert (found.plaster_g, found.water_g) == (pytest.approx(per_litre, abs=0.6), pytest.approx(water, abs=0.6))
    assert found.pore_capacity_pct == pytest.approx(capacity, abs=0.05)


def test_more_water_makes_it_thirstier_and_strength_is_that_of_plasters_sold_for_a_ratio() -> None:
    """Mixing tables, from memory: 12.5 to 17 MPa at 65 to 74, about 34 at 45."""
    rows = slabs_by_ratio(10_000)
    assert [each.capacity_g for each in rows] == sorted(each.capacity_g for each in rows)
    strengths = {each.mix_ratio: each.strength_text for each in rows}
    assert strengths.pop(45) == "30–38 MPa" and strengths.pop(65) == strengths.pop(70) == "12.5–17 MPa"
    assert set(strengths.values()) == {"–"}


def test_bags_and_additions_as_people_write_them() -> None:
    assert plaster_in_hand("half a bag", 25_000) == 12_500
    assert plaster_in_hand("1,5 bags", 22_679.6) == pytest.approx(34_019.4)
    assert plaster_in_hand("12.5 kg", 25_000) == 12_500
    doses = read_doses("sodium silicate 0,3 %; bentonite 1 %")
    assert [(each.material, each.pct) for each in doses] == [("sodium silicate", 0.3), ("bentonite", 1.0)]
    with pytest.raises(BadInput, match="can be read as"):
        named_number("feldspar 4 1/2")
    with pytest.raises(BadInput, match="has no parts"):
        named_number("feldspar")
    with pytest.raises(BadInput, match="pint"):
        plaster_in_hand("2 pints", 25_000)
