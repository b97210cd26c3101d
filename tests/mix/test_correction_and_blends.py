"""Correcting slip and blending bodies: what is added reaches the target, masses are conserved, counts as derived."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput
from claybench.mix.blends import BlendRequest, blend_figures, blended_recipe, size_blend
from claybench.mix.slip_correction import CORRECTION_FIGURES, CorrectionRequest, correction_figures, size_correction
from claybench.mix.slip_formulas import dry_per_litre, slip_specific_gravity
from claybench.mix.slip_request import BodyPart, SlipRequest
from claybench.mix.slip_sizing import size_slip

gravities = st.floats(1.05, 1.95)
solids = st.floats(2.2, 3.2)


@given(gravity=gravities, target=gravities, sg=solids, slip=st.floats(50, 50_000))
def test_what_is_added_reaches_the_target(gravity: float, target: float, sg: float, slip: float) -> None:
    found = size_correction(CorrectionRequest(slip_sg=gravity, target_sg=target, slip_g=slip, solids_sg=sg))
    assert found.dry_g + found.water_g == pytest.approx(slip)
    dry, water = found.dry_g + (found.add_dry_g or 0.0), found.water_g + (found.add_water_g or 0.0)
    assert slip_specific_gravity(dry, water, sg) == pytest.approx(target, rel=1e-9)
    assert (found.add_dry_g is None) != (found.add_water_g is None)
    if found.take_off_water_g is not None:
        thicker = slip_specific_gravity(found.dry_g, found.water_g - found.take_off_water_g, sg)
        assert thicker == pytest.approx(target, rel=1e-9)


def test_the_published_litre() -> None:
    """1750 g/L at G 2.5 holds 1250 g dry and 500 g water; 1500 holds 833.3 and 666.7 (Forming Techniques, GTZ 1991)."""
    found = size_correction(CorrectionRequest(slip_sg=1.75, target_sg=1.5, slip_g=1750, solids_sg=2.5))
    assert (found.dry_g, found.water_g) == (pytest.approx(1250), pytest.approx(500))
    assert found.add_water_g == pytest.approx(1250 * 666.667 / 833.333 - 500, abs=0.1)
    back = size_correction(CorrectionRequest(slip_sg=1.5, target_sg=1.75, slip_g=1500, solids_sg=2.5))
    assert back.add_dry_g == pytest.approx(666.667 * 1250 / 500 - 833.333, abs=0.1)


def test_a_weighed_volume_says_how_sure_it_is() -> None:
    fine = correction_figures(
        size_correction(CorrectionRequest(mass_g=720, volume_ml=500, target_sg=1.4, slip_ml=3000, scale_step_g=0.1))
    )
    rough = correction_figures(
        size_correction(CorrectionRequest(mass_g=720, volume_ml=500, target_sg=1.4, slip_ml=3000, scale_step_g=10))
    )
    assert set(fine) <= set(CORRECTION_FIGURES)
    for name in ("slip_sg", "dry_in_it_g", "add_water_g"):
        widths = [(one[name].high or 0) - (one[name].low or 0) for one in (fine, rough)]
        assert 0 < widths[0] < widths[1]
        assert (rough[name].low or 0) <= rough[name].value <= (rough[name].high or 0)
    assert fine["slip_sg"].value == 1.44 and "slip sg = mass / volume" in "\n".join(fine["slip_sg"].why.lines())


def test_slip_within_what_the_scale_can_tell_needs_nothing() -> None:
    found = size_correction(CorrectionRequest(mass_g=701, volume_ml=500, target_sg=1.4, slip_g=4000, scale_step_g=5))
    assert found.nothing_to_do
    assert not size_correction(CorrectionRequest(slip_sg=1.5, target_sg=1.4, slip_g=4000)).nothing_to_do


@given(
    dry=st.floats(50, 50_000), slip_sg=st.floats(1.15, 1.9), solids_sg=st.floats(2.3, 3), volume_ml=st.floats(50, 2000)
)
def test_slip_as_sized_and_weighed_in_a_vessel_needs_nothing(
    dry: float, slip_sg: float, solids_sg: float, volume_ml: float
) -> None:
    """One density in sizing, measuring and correcting, to the last digit that anyone weighs."""
    body = (BodyPart(material="clay", parts=100, specific_gravity=solids_sg),)
    sized = size_slip(SlipRequest(body=body, dry_g=dry, slip_sg=slip_sg, workable_water_pct=5, max_rounding_pct=50))
    vessel_g = sized.slip_g * volume_ml / sized.slip_ml
    found = size_correction(
        CorrectionRequest(
            mass_g=vessel_g, volume_ml=volume_ml, target_sg=slip_sg, slip_g=sized.slip_g, solids_sg=solids_sg
        )
    )
    assert found.nothing_to_do
    assert (found.add_water_g or 0.0) + (found.add_dry_g or 0.0) == pytest.approx(0, abs=1e-6 * sized.slip_g)
    assert found.dry_g == pytest.approx(sized.dry_g) and found.slip_after_ml == pytest.approx(sized.slip_ml)


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (CorrectionRequest(target_sg=1.4, slip_g=100), "not given"),
        (CorrectionRequest(target_sg=1.4, slip_sg=1.5, mass_g=700, volume_ml=500, slip_g=100), "given twice"),
        (CorrectionRequest(target_sg=1.4, mass_g=700, slip_g=100), "volume of the slip that was weighed is missing"),
        (CorrectionRequest(target_sg=1.4, slip_sg=1.5), "The amount of slip is not given"),
        (CorrectionRequest(target_sg=1.4, slip_sg=1.5, slip_g=1, slip_ml=1), "given twice"),
        (CorrectionRequest(target_sg=1.4, slip_sg=1500, slip_g=100), "Grams in a litre? Then it is 1.5"),
        (CorrectionRequest(target_sg=0.9, slip_sg=1.5, slip_g=100), "cannot be"),
    ],
)
def test_what_cannot_be_corrected_is_said(request_: CorrectionRequest, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        size_correction(request_)
    assert says in str(caught.value)


def blend(count: int, steps: int, by_slip: bool = True, dry: float = 1000.0) -> BlendRequest:
    names = ("W-01", "W-02", "W-03")[:count]
    return BlendRequest(
        bodies=names,
        steps=steps,
        dry_g=dry,
        solids_sg=(2.6, 2.55, 2.7)[:count],
        slip_sg=(1.4, 1.45, 1.38)[:count] if by_slip else (None,) * count,
    )


@pytest.mark.parametrize(("steps", "count"), [(3, 10), (4, 15), (5, 21), (6, 28), (7, 36)])
def test_a_triangle_has_as_many_mixtures_as_derived(steps: int, count: int) -> None:
    """(m + 1)(m + 2) / 2; a line of n steps has n + 1."""
    assert len(size_blend(blend(3, steps)).blends) == count
    assert len(size_blend(blend(2, steps)).blends) == steps + 1


@given(count=st.sampled_from([2, 3]), steps=st.integers(1, 8), dry=st.floats(10, 20_000))
def test_every_mixture_holds_its_dry_clay(count: int, steps: int, dry: float) -> None:
    found = size_blend(blend(count, steps, dry=dry))
    for each in found.blends:
        assert sum(each.dry_g) == pytest.approx(dry)
        assert each.slip_ml is not None
        held = [
            millilitres / 1000 * dry_per_litre(sg, solid)
            for millilitres, sg, solid in zip(each.slip_ml, (1.4, 1.45, 1.38), (2.6, 2.55, 2.7), strict=False)
        ]
        assert held == pytest.approx(list(each.dry_g))
    assert sum(found.total_dry_g) == pytest.approx(dry * len(found.blends))


def test_a_blend_by_dry_mass_needs_no_slip() -> None:
    found = size_blend(blend(2, 2, by_slip=False))
    assert found.total_slip_ml is None
    assert found.total_dry_g == (pytest.approx(1500), pytest.approx(1500))
    assert "W-01.total_dry_g" in blend_figures(found)


def test_a_blend_names_the_slip_that_was_not_weighed() -> None:
    with pytest.raises(BadInput, match="slip of W-02 has no weight"):
        size_blend(BlendRequest(bodies=("W-01", "W-02"), steps=2, dry_g=1, solids_sg=(2.6, 2.6), slip_sg=(1.4, None)))
    with pytest.raises(BadInput, match="blended with itself"):
        size_blend(BlendRequest(bodies=("W-01", "w-01"), steps=2, dry_g=1, solids_sg=(2.6, 2.6), slip_sg=(None, None)))


parts = st.lists(
    st.tuples(st.sampled_from("abcde"), st.floats(1, 80)), min_size=1, max_size=5, unique_by=lambda p: p[0]
)


@given(first=parts, second=parts, share=st.floats(0, 1))
def test_the_recipe_of_a_mixture_sums_to_100(
    first: list[tuple[str, float]], second: list[tuple[str, float]], share: float
) -> None:
    found = dict(blended_recipe([first, second], (share, 1 - share)))
    assert sum(found.values()) == pytest.approx(100, abs=1e-4)
    total = sum(part for _, part in first)
    for name, part in first:
        if name not in dict(second) and share > 1e-6:
            assert found[name] == pytest.approx(100 * share * part / total, abs=1e-5)
