"""Schedules against brute force that shares nothing with the solver, and by an independent checker on large cases."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from claybench import clock
from claybench.errors import BadInput
from claybench.insight.plan.schedule.placement import place_layers
from claybench.insight.plan.schedule.schedule_request import (
    BenchHours,
    Schedule,
    ScheduledSlab,
    ScheduleRequest,
    ScheduleRules,
)
from claybench.water.slab_drying import water_after
from tests.insight.schedule_cases import HOURS, NOW, Brute, layer, slab, some
from tests.insight.schedule_rules import faults

pytestmark = pytest.mark.slow

RULES = (
    ScheduleRules(step_min=30, bench_days=5, pour_every_min=0),
    ScheduleRules(step_min=30, bench_days=5, pour_every_min=30, at_once=2),
)


@pytest.mark.parametrize("rules", RULES)
@pytest.mark.parametrize("seed", range(12))
def test_small_cases_are_as_good_as_brute_force(seed: int, rules: ScheduleRules) -> None:
    asked = some(seed, 3 + seed % 2, 2, rules)
    found = place_layers(asked)
    assert found.proven and faults(asked, found) == []
    left, days, wetness = Brute(asked).best()
    assert (len(found.unplaced), found.days) == (left, days)
    assert sum(each.wetness for each in found.placed) == pytest.approx(wetness, abs=1e-6)


@pytest.mark.parametrize("seed", [124, 237, 301, 310, 331, 461])
def test_where_moving_layers_about_is_not_enough_the_rest_is_ruled_out(seed: int) -> None:
    """Cases found by trying hundreds: moves alone end a day late, or on wetter slabs."""
    asked = some(seed, 4, 3, RULES[seed % 2])
    found = place_layers(asked)
    left, days, wetness = Brute(asked).best()
    assert found.proven and (len(found.unplaced), found.days) == (left, days)
    assert sum(each.wetness for each in found.placed) == pytest.approx(wetness, abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_waiting_would_gain_no_day(seed: int) -> None:
    """Pours at the first moment are this solver's choice: no plan with later ones is shorter."""
    asked = some(100 + seed, 3, 2, ScheduleRules(step_min=60, bench_days=6, pour_every_min=0))
    found = place_layers(asked)
    brute = Brute(asked)
    if found.unplaced:
        assert not brute.can_do_in(asked.rules.bench_days)
    else:
        assert brute.can_do_in(found.days) and not brute.can_do_in(found.days - 1)


@pytest.mark.parametrize("seed", range(25))
def test_large_cases_are_valid(seed: int) -> None:
    dice = random.Random(seed)
    rules = ScheduleRules(at_once=dice.choice((None, 2, 3)), pour_every_min=dice.choice((0, 15, 20)))
    asked = some(seed, dice.randrange(5, 16), dice.randrange(1, 9), rules, ("buff", "white", "red"))
    found = place_layers(asked, effort=300)
    assert faults(asked, found) == []


@pytest.mark.parametrize("seed", range(8))
def test_what_has_its_place_keeps_it_and_the_rest_comes_after(seed: int) -> None:
    """Placed in two stages: each is valid, and so is the whole, as if it had been asked at once."""
    rules = ScheduleRules(at_once=(None, 2, 3)[seed % 3], pour_every_min=20)
    whole = some(seed, 8, 1 + seed % 3, rules)
    first = place_layers(replace(whole, layers=whole.layers[:4]), effort=200)
    later = replace(whole, layers=whole.layers[4:], fixed=first.placed)
    second = place_layers(later, effort=200)
    assert faults(later, second) == []
    for placed in second.placed:
        assert all(each.start < placed.start for each in first.placed if each.slab == placed.slab)
    joined = Schedule(
        placed=(*first.placed, *second.placed),
        unplaced=(*first.unplaced, *second.unplaced),
        days=max(first.days, second.days),
        proven=False,
        order=(),
    )
    assert faults(whole, joined) == []
    if second.placed:
        early = replace(second, placed=(replace(second.placed[0], start=first.placed[0].start), *second.placed[1:]))
        assert faults(later, early)


def test_the_checker_sees_what_is_wrong() -> None:
    asked = some(3, 6, 3, ScheduleRules(at_once=2))
    good = place_layers(asked, effort=300)
    assert faults(asked, good) == [] and len(good.placed) > 2
    first, second = good.placed[0], good.placed[1]

    def with_first(**change: object) -> list[str]:
        return faults(asked, replace(good, placed=(replace(first, **change), *good.placed[1:])))

    assert with_first(start=first.start - timedelta(days=1))
    assert with_first(start=first.start + timedelta(hours=14), low=first.low + timedelta(hours=14))
    assert with_first(high=first.high + timedelta(minutes=5)) and with_first(wetness=first.wetness + 0.01)
    assert with_first(slab="nowhere") and with_first(by_median=True)
    assert with_first(slab=second.slab, start=second.start)
    assert faults(asked, replace(good, placed=good.placed[1:])) and faults(asked, replace(good, days=good.days + 1))
    assert faults(replace(asked, rules=ScheduleRules(wettest=0.01)), good)


def test_the_same_question_has_the_same_answer() -> None:
    asked = some(7, 9, 4, ScheduleRules())
    assert place_layers(asked) == place_layers(asked)
    turned = replace(asked, slabs=asked.slabs[::-1], layers=asked.layers[::-1])
    assert place_layers(turned).days == place_layers(asked).days


def test_fewest_days_come_before_the_driest_slab() -> None:
    """Two long layers fit side by side on one day, or one after the other on the drier slab on two."""
    asked = ScheduleRequest(
        NOW,
        HOURS,
        (slab("dry", 0.0, rate=200), slab("damp", 0.3)),
        (layer("A", base_min=240), layer("B", base_min=240)),
    )
    found = place_layers(asked)
    assert found.days == 1 and {each.slab for each in found.placed} == {"dry", "damp"}
    alone = place_layers(replace(asked, layers=asked.layers[:1]))
    assert [each.slab for each in alone.placed] == ["dry"]


def test_more_work_than_one_day_waits_until_the_slab_is_dry_again() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("S", 0.3, rate=20),), (layer("A"), layer("B")))
    one, two = place_layers(asked).placed
    # By hand: 900 g, 120/(1-.3) min under a layer at half of 20 g/h, 500 g more; dry enough at 1050 g.
    after = 900 - 10 * (120 / 0.7) / 60 + 500
    assert one.start == NOW and one.wetness_after == pytest.approx(after / 3000)
    ready = one.median + timedelta(hours=(after - 1050) / 20)
    assert ready <= two.start < max(ready, datetime(2026, 3, 13, 8, 0, tzinfo=UTC)) + timedelta(minutes=15)


@pytest.mark.parametrize(
    "slabs",
    [
        (),
        (slab("white", family="white"),),
        (replace(slab("small"), usable_cm2=500.0),),
        (replace(slab("unknown"), water_g=None),),
        (replace(slab("broken"), out_of_use="broken"),),
        (slab("soaked", 0.9, rate=0.0),),
    ],
)
def test_a_layer_without_a_slab_is_left_open(slabs: tuple[ScheduledSlab, ...]) -> None:
    asked = ScheduleRequest(NOW, HOURS, slabs, (layer("A"),))
    found = place_layers(asked)
    assert (found.placed, found.unplaced, found.days, found.proven) == ((), ("A",), 0, True)
    assert faults(asked, found) == []


def test_nothing_wanted_is_nothing_planned() -> None:
    found = place_layers(ScheduleRequest(NOW, HOURS, (slab("S"),), ()))
    assert (found.placed, found.unplaced, found.days, found.wetness) == ((), (), 0, 0.0)


def test_a_closed_bench_plans_nothing() -> None:
    asked = ScheduleRequest(NOW, BenchHours((None,) * 7, UTC), (slab("S"),), (layer("A"),))
    assert place_layers(asked).unplaced == ("A",)


def test_nights_weekends_and_closed_days_are_kept_free() -> None:
    weekdays = ((time(9), time(13)),) * 5 + (None, None)
    hours = BenchHours(weekdays, UTC, frozenset({date(2026, 3, 13)}))
    now = datetime(2026, 3, 12, 11, 30, tzinfo=UTC)
    found = place_layers(ScheduleRequest(now, hours, (slab("S"),), (layer("A"),)))
    # 1.3 times 120 min is more than what is left on Thursday; Friday is closed: Monday at nine.
    assert found.placed[0].start == datetime(2026, 3, 16, 9, 0, tzinfo=UTC) and found.days == 2


def test_a_layer_longer_than_the_day_goes_by_its_median_or_not_at_all() -> None:
    long = layer("A", base_min=530)
    found = place_layers(ScheduleRequest(NOW, HOURS, (slab("S", 0.0),), (long,)))
    assert found.placed[0].by_median and found.placed[0].high.hour > 18
    assert faults(ScheduleRequest(NOW, HOURS, (slab("S", 0.0),), (long,)), found) == []
    assert place_layers(ScheduleRequest(NOW, HOURS, (slab("S", 0.0),), (layer("A", base_min=700),))).unplaced == ("A",)


def test_minutes_are_minutes_across_a_change_of_the_clocks() -> None:
    """Summer time began in Lisbon on 29 March 2026 at 01:00: that night is an hour shorter to dry in."""
    zone = clock.parse_zone("Europe/Lisbon")
    now = clock.in_zone(datetime(2026, 3, 28, 19, 0, tzinfo=UTC), zone)
    asked = ScheduleRequest(now, BenchHours.daily(time(8), time(18), zone), (slab("S", 0.6, rate=100),), (layer("A"),))
    found = place_layers(asked)
    assert found.placed[0].start.isoformat() == "2026-03-29T08:00:00+01:00"
    assert found.placed[0].wetness == pytest.approx((1800 - 100 * 12) / 3000)
    assert faults(asked, found) == []


def test_planning_anew_takes_what_has_happened() -> None:
    asked = ScheduleRequest(NOW, HOURS, (slab("P"), slab("Q")), (layer("A"), layer("B"), layer("C")))
    first = place_layers(asked)
    noon = NOW + timedelta(hours=4)
    lying = replace(asked.slab("P"), busy_until=noon + timedelta(hours=2), arriving_g=400.0, lying="A")
    again = replace(asked, now=noon, slabs=(lying, asked.slab("Q")), layers=asked.layers[1:])
    found = place_layers(again, begin=first.order)
    assert faults(again, found) == [] and not found.unplaced
    assert all(each.start >= noon for each in found.placed)
    assert all(each.start >= noon + timedelta(hours=2) for each in found.placed if each.slab == "P")


def test_the_law_of_drying_runs_on_from_any_moment() -> None:
    for water, one, two in ((1900.0, 5.0, 12.0), (1000.0, 20.0, 3.0), (400.0, 0.0, 50.0)):
        left = water_after(water_after(water, one, 40.0, 900.0), two, 40.0, 900.0)
        assert left == pytest.approx(water_after(water, one + two, 40.0, 900.0), abs=1e-6)
    assert water_after(900.0, 22.5, 40.0, 900.0) == pytest.approx(900 * math.exp(-1))


def test_bad_input_is_named() -> None:
    with pytest.raises(BadInput, match="open at 18:00"):
        BenchHours.daily(time(18), time(8), UTC)
    with pytest.raises(BadInput, match="seven days"):
        BenchHours((None,), UTC)
    with pytest.raises(BadInput, match="slab S is named twice"):
        ScheduleRequest(NOW, HOURS, (slab("S"), slab("S")), ())
    with pytest.raises(BadInput, match="no offset"):
        ScheduleRequest(NOW.replace(tzinfo=None), HOURS, (), ())
    with pytest.raises(BadInput, match="no size"):
        ScheduleRequest(NOW, HOURS, (replace(slab("S"), capacity_g=0.0),), ())
    with pytest.raises(BadInput, match="no size"):
        ScheduleRequest(NOW, HOURS, (), (replace(layer("A"), area_cm2=0.0),))
    with pytest.raises(BadInput, match="kept"):
        ScheduleRules(wettest=0.0)


def test_twelve_layers_share_eight_slabs_as_tightly_as_can_be() -> None:
    """Made so that the fewest days are known: a slab takes one long layer a day, or two short ones, so that four long
    and four pairs of short ones fill one day with nothing to spare."""
    slabs = tuple(slab(f"S{index}", 0.0, rate=500) for index in range(8))
    short = [layer(f"short {index}", base_min=200, water_mm=3.0) for index in range(8)]
    long = [layer(f"long {index}", base_min=410, water_mm=3.0) for index in range(4)]
    asked = ScheduleRequest(NOW, HOURS, slabs, (*short, *long), ScheduleRules(pour_every_min=0))
    found = place_layers(asked)
    assert found.days == 1 and faults(asked, found) == []
    assert place_layers(replace(asked, layers=(*asked.layers, layer("more", base_min=410)))).days == 2
