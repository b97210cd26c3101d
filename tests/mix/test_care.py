"""Cautions, the pour's check-list, portions and blends."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from claybench.errors import BadInput, OutOfRange
from claybench.facts.fact import Origin
from claybench.mix.blends import blend_shares, weigh_blend
from claybench.mix.cautions import ACTS, DEFER, cautions_for
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.portions import rounded_to_scale, split_into_portions
from claybench.mix.pour_steps import POUR_STEPS


@pytest.mark.parametrize("act", ACTS)
def test_every_act_is_cautioned_with_an_origin_and_defers(act: str) -> None:
    found = cautions_for(act, {"litharge": MaterialCare()})
    assert found[-1] == DEFER and "local codes and qualified people" in DEFER.text
    assert len({caution.key for caution in found}) == len(found) > 1
    for caution in found:
        assert caution.text.endswith(".")
        assert caution.source or caution.origin is Origin.COMMON_PRACTICE
        assert caution.text in caution.line() and caution.line().endswith(")")


# What has to be said where, and the figure it rests on. Sources: doi 10.1016/0305-4179(82)90135-8
# (70 °C), 29 CFR 1910.1053 (silica 50 µg/m³, wet cleaning), NIOSH Pocket Guide (plaster 15 and 10 mg/m³),
# NIOSH 94-110 (23 kg); from memory: NIOSH REL 35 ppm of carbon
# monoxide, ACGIH 25 µg/m³ of silica; the rest common practice, no source.
@pytest.mark.parametrize(
    ("act", "says"),
    [
        ("pour_plaster", "70 °C"),
        ("pour_plaster", "Never put a hand"),
        ("pour_plaster", "down a drain"),
        ("pour_plaster", "15 mg/m³"),
        ("weigh_dry", "50 µg/m³"),
        ("weigh_dry", "never dry-sweep"),
        ("weigh_dry", "P100 or FFP3"),
        ("dry_slab", "49 °C"),
        ("dry_slab", "never in an oven"),
        ("lift", "between two"),
        ("lift", "23 kg"),
        ("boil", "boil dry"),
        ("boil", "before they are fired again"),
        ("fire", "Vent"),
        ("fire", "carbon monoxide, which has no smell"),
        ("fire", "35 ppm"),
        ("fire", "Damp pieces burst"),
        ("fire", "Look into a hot kiln"),
        ("fire", "Hot ware"),
        ("fire", "Grind fired pieces wet"),
        ("fire", "for food before a laboratory has tested what leaches"),
        ("boil", "steam scald"),
        ("weigh_dry", "25 µg/m³"),
        ("weigh_plaster", "10 mg/m³"),
    ],
)
def test_what_has_to_be_said_is_said(act: str, says: str) -> None:
    assert any(says in caution.text for caution in cautions_for(act))


def test_materials_bring_their_own_caution() -> None:
    care = {
        "Soda-Ash": MaterialCare(),
        "grog": MaterialCare("filler", "sharp"),
        "barium carbonate": MaterialCare(caution=" "),
        "kaolin": MaterialCare(),
    }
    found = cautions_for("weigh_dry", care)
    texts = [caution.text for caution in found]
    assert any(text.startswith("Soda-Ash is caustic") for text in texts)
    assert "grog: sharp" in texts
    assert any("barium carbonate is poisonous" in text for text in texts)
    assert any("brings fine silica" in text for text in texts)
    assert found[-1] == DEFER


def test_an_unknown_act_names_the_known_ones() -> None:
    with pytest.raises(BadInput, match="pour_plaster"):
        cautions_for("juggle")


def test_the_check_list_gives_both_times_where_they_differ() -> None:
    names = [step.name for step in POUR_STEPS]
    assert len(set(names)) == len(names)
    soak = next(step for step in POUR_STEPS if step.name == "soak").times()
    assert "3 to 5 min (common practice, no source)" in soak and "1 to 4 min (common practice" in soak


# At most 6 x 8 kg in buckets of 100 g or more: below the 500 fillings from which weighing out is refused.
@given(st.lists(st.floats(0.5, 8000), min_size=1, max_size=6), st.sampled_from([0.1, 1, 5]), st.floats(100, 4000))
def test_portions_add_up_and_never_overfill(masses: list[float], step: float, most: float) -> None:
    lines = [(str(index), mass) for index, mass in enumerate(masses)]
    found = split_into_portions(lines, step, most)
    for what, mass in lines:
        own = [portion for portion in found if portion.what == what]
        assert sum(portion.mass_g for portion in own) == pytest.approx(rounded_to_scale(mass, step))
        assert not own or own[-1].so_far_g == pytest.approx(rounded_to_scale(mass, step))
    assert all(0 < portion.reading_g <= most + 1e-6 for portion in found)
    assert [portion.fill for portion in found] == sorted(portion.fill for portion in found)


def test_more_than_500_fillings_are_refused_with_the_bucket_that_would_do() -> None:
    assert len(split_into_portions([("sand", 50_000)], 1, 100)) == 500
    with pytest.raises(OutOfRange, match="at least 101 g"):
        split_into_portions([("sand", 50_100)], 1, 100)


# The number of mixtures in a line of n steps is n + 1, in a triangle (n + 1)(n + 2) / 2 (arithmetic).
@pytest.mark.parametrize(("steps", "count"), [(3, 10), (4, 15), (5, 21), (6, 28), (7, 36)])
def test_a_triangle_has_as_many_mixtures_as_it_should(steps: int, count: int) -> None:
    triangle = blend_shares(3, steps)
    assert len(triangle) == len(set(triangle)) == count
    assert all(sum(shares) == pytest.approx(1) for shares in triangle)
    assert len(blend_shares(2, steps)) == steps + 1


@given(st.floats(0, 1), st.floats(50, 5000), st.floats(300, 900), st.floats(300, 900))
def test_blending_by_volume_brings_the_same_dry_masses(share: float, dry: float, first: float, second: float) -> None:
    blend = weigh_blend((share, 1 - share), dry, (first, second))
    assert sum(blend.dry_g) == pytest.approx(dry)
    assert blend.slip_ml is not None
    assert blend.slip_ml[0] * first / 1000 == pytest.approx(blend.dry_g[0])
    assert blend.slip_ml[1] * second / 1000 == pytest.approx(blend.dry_g[1])


def test_blends_that_are_none_are_refused() -> None:
    with pytest.raises(BadInput, match="two or three"):
        blend_shares(4, 2)
    with pytest.raises(BadInput, match="not 1"):
        weigh_blend((0.5, 0.6), 100)
    with pytest.raises(BadInput, match="one for each"):
        weigh_blend((0.5, 0.5), 100, (600,))
