"""Wetness of a slab: weighings, water taken and dried off between them."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given, strategies as st

from claybench.insight.air import AirConditions, AirRecord
from claybench.insight.contradictions import WeighingHistory
from claybench.insight.settings import Settings
from claybench.insight.slab_water.drying_rate import DryingInterval, DryingLaw, SlabDrying, fit_lab_drying
from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.slab_water.weighing_steps import WeighingSteps
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


DRY_TWICE = [weighed(-24, 10_000), weighed(0, 10_000, "weighed_dry")]
"""Weighed a day apart alike: dry."""


def test_a_slab_weighed_soaked_full_holds_what_it_held_then() -> None:
    """10 kg dry and 12.9 kg under water until it gained no more: 2 900 g, by no heavier weighing and no table."""
    soaked = weighed(24, 12_900, "soaked")
    held = water([*DRY_TWICE, soaked]).wetness_at(T0 + timedelta(hours=24))
    assert held.capacity_g == pytest.approx(2900, abs=2) and held.now == pytest.approx(1, abs=0.01)
    assert held.capacity_doubt.startswith("by weighing it soaked full, ") and "from memory" not in held.capacity_doubt
    assert math.log(held.capacity_range[1] / held.capacity_g) < 0.05
    hardly = water([*DRY_TWICE, weighed(24, 11_000, "soaked")]).wetness_at(T0 + timedelta(hours=24))
    assert hardly.capacity_doubt.startswith("by size and mix, ")


def test_a_mass_that_no_soaked_slab_of_its_size_has_is_asked_about() -> None:
    slab = water([]).slab
    history = WeighingHistory.from_rows(slab, DRY_TWICE, [], 0.1, WeighingSteps())
    at = T0 + timedelta(hours=30)
    assert not history.questions(12_900, at, soaked=True)
    (asked,) = history.questions(10_900, at, soaked=True)
    assert "would hold 900 g of water" in asked.text


def test_capacity_is_what_soaking_reaches() -> None:
    """From memory: an absorption of 36 % of dry mass at mix ratio 70."""
    size = SlabSize.from_slab(SLAB)
    assert size.dry_g == pytest.approx(8430 * 1.1862, rel=1e-4)
    assert size.capacity_g / size.dry_g == pytest.approx(0.36, abs=0.003)


def test_what_a_slab_holds_says_on_what_it_rests_and_how_far_it_may_be_out() -> None:
    """Nine of ten lie within 8 % · 1.645 until the slab says otherwise: a weighing above that, or its layers."""
    by_size = water([*DRY_TWICE, weighed(24, 11_800)]).wetness_at(T0 + timedelta(hours=24))
    low, high = by_size.capacity_range
    assert (math.log(low / by_size.capacity_g), math.log(high / by_size.capacity_g)) == pytest.approx(
        (-0.1316, 0.1316), abs=1e-4
    )
    assert by_size.capacity_doubt.startswith("by size and mix, ") and "from memory" in by_size.capacity_doubt
    by_scale = water([*DRY_TWICE, weighed(24, 13_900)]).wetness_at(T0 + timedelta(hours=24))
    assert by_scale.capacity_g == pytest.approx(3900, abs=1) and by_size.capacity_g == pytest.approx(3604, abs=6)
    assert by_scale.capacity_doubt.startswith("by its heaviest weighing, ")
    assert "from memory" not in by_scale.capacity_doubt
    assert by_size.with_capacity(0.0, CAPACITY_LOG_SD).capacity_basis == "by size and mix"
    by_layers = by_size.with_capacity(-0.1, 0.05)
    assert by_layers.capacity_basis == "by the times of its layers" and by_layers.capacity_log_sd == 0.05
    assert by_layers.capacity_g == pytest.approx(by_size.capacity_g * math.exp(-0.1))


def test_a_weighing_against_the_dry_reference_settles_it() -> None:
    found = water([*DRY_TWICE, weighed(24, 11_800)]).wetness_at(T0 + timedelta(hours=24))
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
    wetted = SlabEvent(slab="P1", at=T0 + timedelta(hours=2), event="wetted")
    after = water([*DRY_TWICE, wetted]).wetness_at(T0 + timedelta(hours=3))
    again = water([*DRY_TWICE, wetted, weighed(4, 10_500)]).wetness_at(T0 + timedelta(hours=4))
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
def test_share_of_a_little_more_water_that_is_left(held: float, hours: float, rate: float) -> None:
    """The closed form against small steps either way, apart from the kink where the rate begins to fall."""
    law = DryingLaw(rate, 900.0)
    left = law.water_after(held, hours)
    step = 1e-4 * held
    assume(all(abs(mass - 900) > 1 for mass in (held, left)))
    after = law.water_after(held + step, hours) - law.water_after(held - step, hours)
    assert law.share_kept(held, left, hours) == pytest.approx(after / (2 * step), rel=1e-3, abs=1e-9)


def test_a_dry_slab_forgets_what_it_held() -> None:
    """As fast as it would have dried."""
    assert DryingLaw(90.0, 900.0).share_kept(0.0, 0.0, 10.0) == pytest.approx(math.exp(-1))
    assert DryingLaw(0.0, 900.0).share_kept(0.0, 0.0, 10.0) == 1.0


def test_weighed_dry_once_it_may_have_been_damp() -> None:
    """One weighing says at most what it weighs dry: what was left in it can only be more than nothing."""
    once, twice = (
        water([*dry, weighed(24, 11_000)]).wetness_at(T0 + timedelta(hours=24)) for dry in (DRY_TWICE[1:], DRY_TWICE)
    )
    assert once.dry is not None and twice.dry is not None and once.water_g is not None and twice.water_g is not None
    assert once.dry.mass_g == twice.dry.mass_g == 10_000
    assert once.dry.sd_g > 5 * twice.dry.sd_g
    assert 20 < once.water_g - twice.water_g < 100
    assert twice.water_g == pytest.approx(1000, abs=5)


def test_a_lighter_weighing_before_stays_the_dry_mass() -> None:
    """Weighed dry at 300 g more than as dry a week before: nothing that a slab takes up weighs so much."""
    events = [weighed(0, 10_000, "weighed_dry"), weighed(168, 10_300, "weighed_dry")]
    dry = water(events).wetness_at(T0 + timedelta(hours=170)).dry
    assert dry is not None and dry.mass_g == 10_000
    salts = water([*events[:1], weighed(168, 10_050, "weighed_dry")]).wetness_at(T0 + timedelta(hours=170)).dry
    assert salts is not None and salts.mass_g == 10_050


def test_a_slow_rate_weighs_more_than_a_fast_one() -> None:
    """Days after a weighing it may well be dry, or still hold a third of it: the interval is lopsided."""
    slab = water([*DRY_TWICE, weighed(1, 11_800)])
    found = slab.wetness_at(T0 + timedelta(days=6))
    assert found.now is not None and found.low is not None and found.high is not None
    assert found.high - found.now > 1.5 * (found.now - found.low) > 0


def test_a_place_is_learnt_from_all_slabs() -> None:
    """Two slabs dry twice as fast before the fan as its draught says: so is a third expected to, weighed nowhere."""
    fanned = SlabDrying(SlabSize.from_slab(SLAB).faces, 3600.0)
    seen = [DryingInterval(2500 - 200 * step, 2300 - 200 * step, 5.0, 20.0, {"fan": 1.0}) for step in range(5)]
    home = [DryingInterval(2500 - 200 * step, 2300 - 200 * step, 10.0, 20.0, {"shelf": 1.0}) for step in range(5)]
    learnt = fit_lab_drying({"a": fanned, "b": fanned, "c": fanned}, {"a": seen + home, "b": seen + home})
    fan, shelf = (AirConditions(18.0, 60.0, 0.1, place, False) for place in ("fan", "shelf"))
    unseen = learnt["c"].law_in(fan).rate_g_h / learnt["c"].law_in(shelf).rate_g_h
    assert unseen == pytest.approx(2, rel=0.15)
    assert learnt["a"].law_in(shelf).rate_g_h == pytest.approx(fanned.law_in(shelf).rate_g_h, rel=0.1)
    assert learnt["c"].log_sd_in(fan) < fanned.log_sd_in(fan)
