"""Suction by arithmetic worked by hand from the published forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from claybench.errors import OutOfRange
from claybench.facts.water import (
    HALVES_UPTAKE,
    SLAB_SORPTIVITY,
    UPTAKE_HIGHEST,
    UPTAKE_LOWEST,
    UPTAKE_TYPICAL,
    WETNESS_LAW,
    WETNESS_LIMIT,
)
from claybench.water.uptake import (
    cake_time,
    rate_of_sorptivity,
    sorptivity_of_rate,
    sorptivity_si,
    sorptivity_when_wet,
    time_for,
    transfer,
    water_taken,
)

sorptivities = st.floats(0.05, 20)


# 1/A² = 1/R² + 1/S² by hand; definitions of desorptivity published by Ince & Derogar.
@pytest.mark.parametrize(
    ("sorptivity", "desorptivity", "together"),
    [(3, 1, 0.9487), (2.2, 1.2, 1.0535), (3, 3, 2.1213), (6, 1, 0.9864)],
)
def test_transfer(sorptivity: float, desorptivity: float, together: float) -> None:
    assert transfer(desorptivity, sorptivity) == pytest.approx(together, abs=5e-5)


@given(sorptivities, sorptivities)
def test_transfer_is_slower_than_either_alone(first: float, second: float) -> None:
    assert transfer(first, second) < min(first, second)
    assert transfer(first, second) == pytest.approx(transfer(second, first))


@given(sorptivities, st.floats(0.1, 500))
def test_time_undoes_uptake(sorptivity: float, minutes: float) -> None:
    assert time_for(water_taken(sorptivity, minutes), sorptivity) == pytest.approx(minutes)


def test_uptake_runs_with_the_root_of_time() -> None:
    """ASTM C1585 and EN ISO 15148: four times the time, twice the water."""
    assert water_taken(2.5, 40) == pytest.approx(2 * water_taken(2.5, 10))
    assert time_for(2.727, transfer(1, 3)) == pytest.approx(8.26, abs=0.01)


def test_one_millimetre_per_root_minute_in_si() -> None:
    """0.1288 kg/(m² s^½): a millimetre of water at 0.998 over √60 s."""
    assert sorptivity_si(1) == pytest.approx(0.1288, abs=5e-5)


def test_the_prior_rests_on_published_rates_of_moulds() -> None:
    """A gypsum manufacturer's bulletin on moulds, 0.20 to 0.38 g/(cm² min), taken as the first minute's."""
    assert sorptivity_of_rate(UPTAKE_TYPICAL.value, 1) == pytest.approx(SLAB_SORPTIVITY.low)
    assert sorptivity_of_rate(UPTAKE_HIGHEST.value, 1) == pytest.approx(SLAB_SORPTIVITY.high, rel=0.06)
    assert sorptivity_of_rate(UPTAKE_LOWEST.value, 1) == pytest.approx(0.8)


@given(sorptivities, st.floats(0.1, 100))
def test_rates_turn_round(sorptivity: float, minutes: float) -> None:
    rate = rate_of_sorptivity(sorptivity, minutes)
    assert sorptivity_of_rate(rate, minutes) == pytest.approx(sorptivity)
    # Units by hand: grams on one square centimetre after these minutes, 0.1 g for each millimetre.
    assert rate * minutes == pytest.approx(0.1 * water_taken(sorptivity, minutes))


def test_wetness_takes_suction_down_to_nothing() -> None:
    """S² falls by 1.08 times the wetness: Hall, Hoff & Skeldon 1983, from memory."""
    assert sorptivity_when_wet(3, 0) == 3
    for share in (0.1, 0.4, 0.8):
        assert sorptivity_when_wet(3, share) ** 2 / 9 == pytest.approx(1 - 1.08 * share)
    assert sorptivity_when_wet(3, 0.919) > 0.2
    assert sorptivity_when_wet(3, 0.92) == sorptivity_when_wet(3, 1) == 0
    assert WETNESS_LAW.value * WETNESS_LIMIT.value < 1


def test_the_bulletin_and_the_law_disagree_about_halving() -> None:
    """A manufacturer's bulletin halves the rate at 5 % of free water; the law halves S at 1 − 1.08 Θ = 1/4.

    With 36 % of dry mass held when full, published for mix ratio 70, that is 25 %: the prior has to stay wide.
    """
    halved = 0.75 / WETNESS_LAW.value
    assert sorptivity_when_wet(1, halved) == pytest.approx(0.5)
    assert 36 * halved > 4 * HALVES_UPTAKE.value


def test_a_cake_builds_up() -> None:
    """A .4, φs .40, φc .55, 5 mm in 22.0 min: volume balance by hand."""
    assert cake_time(5, 0.4, 0.40, 0.55) == pytest.approx(22.0, abs=0.05)
    assert cake_time(10, 0.4, 0.40, 0.55) == pytest.approx(4 * cake_time(5, 0.4, 0.40, 0.55))


@pytest.mark.parametrize(
    "call",
    [
        lambda: water_taken(-1, 1),
        lambda: water_taken(1, math.nan),
        lambda: transfer(0, 1),
        lambda: transfer(1, math.inf),
        lambda: time_for(1, 0),
        lambda: sorptivity_of_rate(0.2, 0),
        lambda: sorptivity_when_wet(3, 1.2),
        lambda: cake_time(5, 0.4, 0.55, 0.40),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.field and refused.value.remedy
