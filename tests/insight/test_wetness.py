"""Wetness of a slab: weighings, water taken and dried off between them."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given, strategies as st

from claybench.insight.air import AirRecord
from claybench.insight.settings import Settings
from claybench.insight.slab_water.drying_rate import DryingLaw
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.slab_water.wetness import CAPACITY_LOG_SD, WaterTaken
from claybench.terms import Air, Run, Slab, SlabEvent

T0 = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
SLAB = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, plaster_g=8430)


def water(
    events: list[SlabEvent], runs: tuple[Run, ...] = (), air: tuple[Air, ...] = (), slab: Slab = SLAB
) -> SlabWaterBalance:
    return SlabWaterBalance(slab, events, runs, AirRecord(air, Settings()), UTC)


def weighed(hours: float, mass: float, event: str = "weighed") -> SlabEvent:
    return SlabEvent(slab="P1", at=T0 + timedelta(hours=hours), event=event, mass_g=mass)


def test_capacity_is_what_soaking_reaches() -> None:
    """Published absorption of 36 % of dry mass at mix ratio 70 (a manufacturer's sheet)."""
    size = SlabSize.from_slab(SLAB)
    assert size.dry_g == pytest.approx(8430 * 1.1862, rel=1e-4)
    assert size.capacity_g / size.dry_g == pytest.approx(0.36, abs=0.003)


def test_a_weighing_against_the_dry_reference_settles_it() -> None:
    found = water([weighed(0, 10_000, "weighed_dry"), weighed(24, 11_800)]).wetness_at(T0 + timedelta(hours=24))
    assert found.now == pytest.approx(1800 / found.capacity_g, abs=0.01)
    assert found.low is not None and found.high is not None
    assert found.sd_g is not None and found.sd_g / found.capacity_g < 0.01
    # What is left open is what the slab can hold: its water is known to a few grams.
    assert found.high - found.low == pytest.approx(2 * 1.645 * CAPACITY_LOG_SD * found.now, rel=0.02)
    assert found.dry is not None and found.dry.basis == "weighed dry 1 Mar"


def test_it_dries_and_the_spread_grows_while_nobody_weighs() -> None:
    slab = water([weighed(0, 10_000, "weighed_dry"), weighed(1, 11_800)])
    widths, shares = [], []
    for hours in (1, 6, 24):
        found = slab.wetness_at(T0 + timedelta(hours=hours))
        assert found.now is not None and found.sd_g is not None
        shares.append(found.now)
        widths.append(found.sd_g)
    assert shares == sorted(shares, reverse=True)
    assert widths == sorted(widths)


def test_two_layers_side_by_side_add_up() -> None:
    runs = tuple(
        Run(
            run=name,
            batch="b",
            slab="P1",
            started_at=T0,
            area_cm2=900,
            ended_at=T0 + timedelta(hours=1),
            outcome="workable",
        )
        for name in ("a", "b")
    )
    slab = water([weighed(0, 10_000, "weighed_dry")], runs)
    one = slab.wetness_at(T0 + timedelta(hours=1), [(runs[0], WaterTaken(400, 20, ""))])
    two = slab.wetness_at(T0 + timedelta(hours=1), [(each, WaterTaken(400, 20, "")) for each in runs])
    assert one.water_g is not None and two.water_g is not None
    assert two.water_g - one.water_g == pytest.approx(400, rel=0.02)


def test_a_wetting_without_mass_widens_until_the_next_weighing() -> None:
    dry = weighed(0, 10_000, "weighed_dry")
    wetted = SlabEvent(slab="P1", at=T0 + timedelta(hours=2), event="wetted")
    after = water([dry, wetted]).wetness_at(T0 + timedelta(hours=3))
    again = water([dry, wetted, weighed(4, 10_500)]).wetness_at(T0 + timedelta(hours=4))
    assert after.sd_g is not None and again.sd_g is not None
    assert after.sd_g > 300
    assert again.sd_g < 10


def test_a_chip_ends_the_dry_reference() -> None:
    events = [
        weighed(0, 10_000, "weighed_dry"),
        SlabEvent(slab="P1", at=T0 + timedelta(hours=5), event="chipped"),
    ]
    before = water(events).wetness_at(T0 + timedelta(hours=4)).dry
    after = water(events).wetness_at(T0 + timedelta(hours=6)).dry
    assert before is not None and before.weighed
    assert after is not None and not after.weighed and after.sd_g > before.sd_g


def test_an_old_slab_without_mix_or_dry_mass() -> None:
    old = Slab(slab="P1", length_mm=450, thickness_mm=60, shape="round")
    assert water([], slab=old).wetness_at(T0).now is None
    first = water([weighed(0, 12_600)], slab=old).wetness_at(T0)
    later = water([weighed(0, 12_600), weighed(72, 10_100), weighed(96, 10_095)], slab=old).wetness_at(
        T0 + timedelta(hours=96)
    )
    assert first.now is not None and later.now is not None
    assert later.now < 0.1


def test_weighings_teach_the_slabs_own_drying() -> None:
    events = [weighed(0, 10_000, "weighed_dry")]
    events += [weighed(24 * n + 1, mass) for n, mass in enumerate((13_000, 12_900, 12_800, 12_700, 12_600), 1)]
    slow = water(events)
    assert slow.drying.intervals == 4
    assert slow.drying.factor < 0.5
    assert slow.drying.log_sd < 0.35


def test_full_is_shown_as_full() -> None:
    found = water([weighed(0, 10_000, "weighed_dry"), weighed(1, 15_000)]).wetness_at(T0 + timedelta(hours=1))
    assert found.now == 1.0


@given(st.floats(1, 4000), st.floats(0.1, 200), st.floats(1, 120))
def test_sensitivities_of_a_drying_slab_to_its_water_and_its_rate(held: float, hours: float, rate: float) -> None:
    """Closed forms against small steps either way, apart from the kink where the rate begins to fall."""
    law = DryingLaw(rate, 900.0)
    left, by_water, by_rate = law.water_and_sensitivities(held, hours)
    assert left == law.water_after(held, hours)
    step, factor = 1e-4 * held, math.exp(1e-4)
    assume(all(abs(mass - 900) > 1 for mass in (held, left)))
    after = law.water_after(held + step, hours) - law.water_after(held - step, hours)
    assert by_water == pytest.approx(after / (2 * step), rel=1e-3, abs=1e-9)
    faster, slower = DryingLaw(rate * factor, 900.0), DryingLaw(rate / factor, 900.0)
    assert by_rate == pytest.approx(
        (faster.water_after(held, hours) - slower.water_after(held, hours)) / 2e-4, rel=1e-3, abs=1e-4
    )


def test_a_dry_slab_is_sensitive_to_nothing_that_has_gone() -> None:
    """What it held is forgotten as fast as it would have dried."""
    assert DryingLaw(90.0, 900.0).water_and_sensitivities(0.0, 10.0) == (0.0, pytest.approx(math.exp(-1)), 0.0)
    assert DryingLaw(0.0, 900.0).water_and_sensitivities(0.0, 10.0) == (0.0, 1.0, 0.0)
