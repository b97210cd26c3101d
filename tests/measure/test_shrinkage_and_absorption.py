"""Shrinkage, absorption and classes against published examples."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.measure.absorption import (
    absorption,
    bulk_density,
    closed_share,
    true_porosity,
)
from claybench.measure.shrinkage import wet_length_for
from claybench.measure.tile_groups import TILE_GROUPS, tile_group
from tests.measure.textbook import apparent_density, apparent_porosity, linear_shrinkage, volume_shrinkage

lengths = st.floats(10, 500)
percents = st.floats(-10, 40)


def test_a_bar_of_100_mm() -> None:
    """Definitions of ASTM C326 (clause text from memory): 100, 94, 86.48 give 6, 8 and 13.52 %."""
    assert linear_shrinkage(100, 94) == pytest.approx(6)
    assert linear_shrinkage(94, 86.48) == pytest.approx(8)
    assert linear_shrinkage(100, 86.48) == pytest.approx(13.52)


def test_volume_of_an_even_shrinkage() -> None:
    """ASTM C326: 13.52 % of length are 35.3234 % of volume."""
    assert volume_shrinkage(13.52) == pytest.approx(35.3234, abs=5e-5)


def test_six_inches_fired() -> None:
    """Fired 6 in at 11.5 % are 6.780 in wet (ASTM C326 turned round)."""
    assert wet_length_for(6, 11.5) == pytest.approx(6.780, abs=5e-4)


@given(lengths, percents, percents)
def test_the_parts_make_the_whole(plastic: float, drying: float, firing: float) -> None:
    dry = plastic * (1 - drying / 100)
    fired = dry * (1 - firing / 100)
    total = linear_shrinkage(plastic, fired)
    assert drying + firing * (1 - drying / 100) == pytest.approx(total, abs=1e-9)
    assert wet_length_for(fired, total) == pytest.approx(plastic)
    assert volume_shrinkage(total) == pytest.approx(100 * (1 - (fired / plastic) ** 3), abs=1e-9)


# Florida Geological Survey, 15th Annual Report: linear and volume drying shrinkage of two clays. They were
# measured apart and do not agree exactly (about 1.5 in 37); not forced.
@pytest.mark.parametrize(("linear", "volume"), [(14.8, 36.6), (11.1, 28.57)])
def test_real_clays_shrink_nearly_alike_in_all_directions(linear: float, volume: float) -> None:
    assert volume_shrinkage(linear) == pytest.approx(volume, rel=0.05)
    assert volume_shrinkage(linear) != pytest.approx(volume, rel=0.01)


def test_askeland() -> None:
    """Askeland, The Science and Engineering of Materials, Ex. 15.8: D 360, M 385, S 224, true density 3.2."""
    assert apparent_porosity(360, 385, 224) == pytest.approx(15.528, abs=5e-4)
    assert bulk_density(360, 385, 224) == pytest.approx(2.2360, abs=5e-5)
    assert absorption(360, 385) == pytest.approx(6.9444, abs=5e-5)
    assert apparent_density(360, 224) == pytest.approx(2.6471, abs=5e-5)
    true = true_porosity(bulk_density(360, 385, 224), 3.2)
    assert true == pytest.approx(30.124, abs=5e-4)
    assert closed_share(apparent_porosity(360, 385, 224), true) == pytest.approx(0.4845, abs=5e-5)


@given(st.floats(20, 400), st.floats(0, 0.4), st.floats(0.2, 0.65))
def test_porosity_is_absorption_times_density(dry: float, taken: float, hanging: float) -> None:
    """ASTM C373 / C20: P = A·B with densities in g/cm³; and open pores with their solid fill the volume."""
    soaked, suspended = dry * (1 + taken), dry * hanging
    pores, density = apparent_porosity(dry, soaked, suspended), bulk_density(dry, soaked, suspended)
    assert pores == pytest.approx(absorption(dry, soaked) * density, abs=1e-9)
    assert density == pytest.approx(apparent_density(dry, suspended) * (1 - pores / 100))


# Florida Geological Survey, 15th Annual Report, Springside clay: °C, absorption, porosity. P/A is the bulk
# density; the rows scatter by a fifth, so only that each is a fired clay's.
@pytest.mark.parametrize(
    ("absorbed", "pores"),
    [(12.60, 29.70), (13.70, 31.00), (12.31, 29.40), (11.45, 29.75), (10.44, 25.75), (8.69, 17.50)],
)
def test_real_bricks(absorbed: float, pores: float) -> None:
    density = pores / absorbed
    assert 1.9 < density < 2.7
    hanging = 100 * (1 + absorbed / 100 - 1 / density)
    assert apparent_porosity(100, 100 + absorbed, hanging) == pytest.approx(pores)
    assert bulk_density(100, 100 + absorbed, hanging) == pytest.approx(density)
    assert tile_group(absorbed) in ("BIIb", "BIII")


# ISO 13006, group B: each limit belongs to the group below it.
@pytest.mark.parametrize(
    ("absorbed", "group"),
    [
        (0, "BIa"),
        (0.5, "BIa"),
        (0.5001, "BIb"),
        (3, "BIb"),
        (3.0001, "BIIa"),
        (6, "BIIa"),
        (6.0001, "BIIb"),
        (10, "BIIb"),
        (10.0001, "BIII"),
        (25, "BIII"),
    ],
)
def test_tile_groups(absorbed: float, group: str) -> None:
    assert tile_group(absorbed) == group
    assert [limit.value for _, limit in TILE_GROUPS] == [0.5, 3, 6, 10]


@pytest.mark.parametrize(
    "call",
    [
        lambda: wet_length_for(6, 100),
        lambda: wet_length_for(0, 10),
        lambda: absorption(0, 385),
        lambda: bulk_density(360, 385, 385),
        lambda: true_porosity(3.3, 3.2),
        lambda: closed_share(31, 30),
        lambda: tile_group(-0.1),
        lambda: tile_group(math.nan),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field
    assert refused.value.remedy
