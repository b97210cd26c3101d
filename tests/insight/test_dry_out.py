"""The dry-out of a slab: published exercises, slabs dried in small steps by other code, constant mass by the scale."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest

from claybench.insight.air import AirRecord
from claybench.insight.settings import Settings
from claybench.insight.slab_condition.dry_mass_change import DryMassChange, dry_mass_change
from claybench.insight.slab_water.constant_mass import Weighing, constant_mass, too_coarse, why_not_dry
from claybench.insight.slab_water.dry_out_curve import AirSpan, DryOutPrior, fit_dry_out
from claybench.insight.slab_water.dry_out_estimate import (
    SlabDryOut,
    dry_out_from_cast,
    estimate_dry_out,
    told_dry_from,
)
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.measure.reading_steps import difference_open
from claybench.terms import Instrument, Run, Slab, SlabEvent
from claybench.water.slab_drying import hours_to_tell

T0 = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
SLAB = Slab(slab="P1", length_mm=500, width_mm=400, thickness_mm=45, mix_ratio=70, plaster_g=8430, cast_at=T0)
DRY, FRESH, CAPACITY = 10_000.0, 4300.0, 3600.0


def prior(**changes: float) -> DryOutPrior:
    about = {"dry_g": DRY, "dry_sd_g": 200.0, "water_g": FRESH, "water_sd_g": 430.0}
    about |= {"critical_g": 0.3 * CAPACITY, "capacity_g": CAPACITY} | changes
    return DryOutPrior(**about, spans=(AirSpan(0.0, 40.0),))


class Dried:
    """One slab dried a minute at a time: the rate falls below its own critical content, and each day's air differs
    from the day before in a way that nobody writes down. Shares no code."""

    def __init__(self, seed: int, weather: float = 0.2) -> None:
        draw = random.Random(seed)
        self.dry = DRY * math.exp(draw.gauss(0, 0.02))
        self.water = FRESH * math.exp(draw.gauss(0, 0.08))
        self.rate = 40.0 * math.exp(draw.gauss(0, 0.3))
        self.critical = 0.3 * CAPACITY * math.exp(draw.gauss(0, 0.3))
        water, air, airs = self.water, draw.gauss(0, weather), []
        for _ in range(80):
            air = 0.7 * air + draw.gauss(0, weather * math.sqrt(1 - 0.7**2))
            airs.append(self.rate * math.exp(air) / 60)
        self.state = draw.getstate()
        self.masses = [self.dry + water]
        for day, rate in enumerate(airs):
            for _ in range(24 * 60):
                water -= rate * min(1.0, water / self.critical)
                self.masses.append(self.dry + water)
            if day > 20 and self.masses[-24 * 60] - self.masses[-1] < 5e-4 * self.dry:
                break  # dried out, and what is left of it is not asked about

    def weighed(self, hours: list[float]) -> list[Weighing]:
        draw = random.Random()
        draw.setstate(self.state)
        return [Weighing(at, round(self.masses[int(at * 60)] + draw.gauss(0, 3.0), 0)) for at in hours]

    def constant_from(self, pct: float) -> float:
        allowed = pct / 100 * self.dry
        day = 24 * 60
        return next(m for m in range(len(self.masses) - day) if self.masses[m] - self.masses[m + day] <= allowed) / 60


def test_the_published_exercise() -> None:
    """Coulson & Richardson, Example 16.1: wc 15, we 5, 25 → 10 in 15 ks; then 30 → 8 takes 23.96 ks."""
    # Free contents 20, 5 and 10 in hectograms; the rate that dries 25 to 10 in 15 ks = 4.1667 h.
    rate = ((20 - 10) / 10 + math.log(10 / 5)) * 10 / (15 / 3.6)
    found = fit_dry_out(
        DryOutPrior(10_000, 1e-3, 2500, 1e-3, 1000, 1e9, (AirSpan(0.0, rate * 100),), 1.0, 1e-6), (), 0.0, 3.0
    )
    reached = next(hours for hours, mass in finely(found.course) if mass <= 10_000 + 300)
    assert reached * 3.6 == pytest.approx(23.96, abs=0.05)


def finely(course: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """The course of a figure, a hundred points between each two."""
    found = []
    for (a, b), (c, d) in pairwise(course):
        found += [(a + (c - a) * n / 100, b + (d - b) * n / 100) for n in range(100)]
    return found


def test_the_day_it_is_dry_lies_within_its_range() -> None:
    """Sixty slabs weighed daily: the 90 % interval holds the day in 80 to 100 % of them, and narrows as days go by."""
    widest = {2: 500, 4: 320, 6: 240}
    inside = dict.fromkeys(widest, 0)
    widths: dict[int, list[float]] = {day: [] for day in widest}
    for seed in range(60):
        slab = Dried(seed)
        truly = slab.constant_from(0.1)
        for last_day in widest:
            weighings = slab.weighed([24.0 * day for day in range(last_day + 1)])
            found = fit_dry_out(prior(), weighings, 24.0 * last_day, 0.1)
            assert found.dry_low_h is not None
            high = math.inf if found.dry_high_h is None else found.dry_high_h
            inside[last_day] += found.dry_low_h <= truly <= high
            widths[last_day].append(high - found.dry_low_h)
    for last_day, most in widest.items():
        assert 48 <= inside[last_day] <= 60, last_day
        assert sorted(widths[last_day])[30] < most, last_day


def test_the_curve_finds_the_dry_mass_that_nobody_weighed() -> None:
    slab = Dried(11)
    found = fit_dry_out(prior(dry_sd_g=600.0), slab.weighed([12.0 * n for n in range(30)]), 348.0, 0.1)
    assert found.dry_g == pytest.approx(slab.dry, rel=0.004)
    assert found.dry_low_g < slab.dry < found.dry_high_g


def test_the_same_weighings_give_the_same_answer() -> None:
    weighings = Dried(3).weighed([0.0, 24.0, 48.0])
    assert fit_dry_out(prior(), weighings, 48.0, 0.1) == fit_dry_out(prior(), weighings, 48.0, 0.1)


def test_dry_is_constant_mass_and_nothing_else() -> None:
    day = [Weighing(0, 13_000), Weighing(24, 12_000), Weighing(48, 11_992)]
    assert constant_mass(day, 0.1) == (day[1], day[2])
    assert constant_mass(day, 0.05) is None
    assert constant_mass([*day, Weighing(50, 11_992)], 0.1) == (day[1], Weighing(50, 11_992))
    assert constant_mass(day[:1], 0.1) is None
    assert constant_mass([Weighing(0, 12_000), Weighing(6, 12_000)], 0.1) is None


def test_a_hopeful_dry_mass_is_doubted() -> None:
    assert why_not_dry(Weighing(0, 12_008), Weighing(24, 12_000), 0.1) == ""
    assert "not constant yet" in why_not_dry(Weighing(0, 12_300), Weighing(24, 12_000), 0.1)
    assert "asks for a day between" in why_not_dry(Weighing(0, 12_004), Weighing(3, 12_000), 0.1)


def of_slab(events: list[SlabEvent], hours: float, runs: tuple[Run, ...] = ()) -> SlabDryOut | None:
    water = SlabWaterBalance(SLAB, events, runs, AirRecord((), Settings()), UTC)
    moment = T0 + timedelta(hours=hours)
    return estimate_dry_out(water, water.wetness_at(moment), moment, 0.1, any(run.outcome is None for run in runs))


def weighed(hours: float, mass: float, event: str = "weighed") -> SlabEvent:
    return SlabEvent(slab="P1", at=T0 + timedelta(hours=hours), event=event, mass_g=mass)


def test_a_slab_of_the_record_says_when_and_on_what() -> None:
    found = of_slab([weighed(2, 14_250), weighed(26, 13_300), weighed(50, 12_400)], 50)
    assert found is not None and not found.is_dry
    said = " ".join(found.sentences())
    assert said.startswith("Dry about ") and "when it stops losing weight" in said and "Rests on 3 weighings" in said


def test_constant_mass_is_held_against_the_dry_reference() -> None:
    events = [
        weighed(0, 10_000, "weighed_dry"),
        SlabEvent(slab="P1", at=T0 + timedelta(hours=1), event="wetted", water_g=500),
    ]
    agrees = of_slab([*events, weighed(200, 10_003), weighed(225, 10_001)], 225)
    assert agrees is not None and agrees.is_dry and "agrees with its dry reference" in " ".join(agrees.sentences())
    heavy = of_slab([*events, weighed(200, 10_090), weighed(225, 10_088)], 225)
    assert heavy is not None and "88 g over its dry reference" in " ".join(heavy.sentences())
    light = of_slab([*events, weighed(200, 9_900), weighed(225, 9_898)], 225)
    assert light is not None and "102 g under its dry reference" in " ".join(light.sentences())


def test_a_slab_that_lost_bound_water_is_not_waited_for_at_its_old_mass() -> None:
    """10 kg before an oven of 60 °C; then soaked, it comes down to 9.8 kg: 200 g, an eighth of its plaster."""
    oven = [
        SlabEvent(slab="P1", at=T0 + timedelta(hours=1), event="moved", place="other", air_temp_c=60.0),
        SlabEvent(slab="P1", at=T0 + timedelta(hours=9), event="moved", place="shelf", air_temp_c=20.0),
    ]
    soaked = SlabEvent(slab="P1", at=T0 + timedelta(hours=10), event="wetted", water_g=1500)
    water, course = 1500.0, []
    for hour in range(10, 165):
        if hour % 24 == 20:
            course.append(weighed(hour, round(9_800 + water)))
        water -= 22 * min(water / 900, 1.0)  # as it comes: at a constant rate, then in proportion to what is left
    weighings = course[:7]
    for told in (oven, []):  # on record, or only to be seen from the scale
        found = of_slab([weighed(0, 10_000, "weighed_dry"), *told, soaked, *weighings], 165)
        assert found is not None and not found.is_dry
        assert found.curve.dry_low_g < 9_800 < found.curve.dry_high_g < 9_900
        assert found.reference is not None and not found.reference.weighed
        dry = of_slab(
            [weighed(0, 10_000, "weighed_dry"), *told, soaked, *weighings, weighed(240, 9_802), weighed(270, 9_800)],
            271,
        )
        assert dry is not None and dry.is_dry
        said = " ".join(dry.sentences())
        assert "200 g under its dry reference, 10 000 g (weighed dry 1 Mar)" in said
        assert "200 g of bound water lost: 12.7 % of its plaster (1 274 g)" in said
    new = [weighed(431, 9_800, "weighed_dry"), replace(soaked, at=T0 + timedelta(hours=432))]
    again = of_slab([weighed(0, 10_000, "weighed_dry"), *oven, soaked, *weighings, *new, weighed(700, 9_803)], 701)
    assert again is not None and again.reference is not None and again.reference.weighed
    assert again.reference.mass_g == 9_800 and again.curve.dry_g == pytest.approx(9_800, abs=8)


def test_after_heat_the_dry_mass_is_not_known_until_it_is_weighed() -> None:
    """Nothing was weighed below the old mass yet: it is the most that the slab weighs dry, and no longer sure."""
    oven = SlabEvent(slab="P1", at=T0 + timedelta(hours=10), event="overheated")
    dry = [weighed(-24, 10_000), weighed(0, 10_000, "weighed_dry")]
    before = of_slab([*dry, weighed(5, 10_400)], 6)
    after = of_slab([*dry, weighed(5, 10_400), oven, weighed(20, 10_300)], 21)
    assert before is not None and before.reference is not None and before.reference.weighed
    assert after is not None and after.reference is not None and not after.reference.weighed
    assert after.reference.mass_g == 10_000 and before.reference.sd_g < 50 < after.reference.sd_g
    assert after.reference.basis == "overheated since it was weighed dry: not more than 10 000 g"


def test_what_heat_took_is_no_water_that_was_left_in_a_dry_slab() -> None:
    oven = SlabEvent(slab="P1", at=T0 + timedelta(hours=10), event="overheated")
    weighings = [weighed(0, 10_000, "weighed_dry"), weighed(30, 9_900)]

    def left(*events: SlabEvent) -> list[float]:
        return SlabWaterBalance(
            SLAB, [*weighings, *events], (), AirRecord((), Settings()), UTC
        ).references.left_when_dry()

    assert left() == [100.0] and left(oven) == []


def test_after_heat_or_a_chip_no_slab_weighs_more_dry_than_before() -> None:
    """Called dry 2 % heavier than a constant mass before the chip, it was not: plaster comes off and never on."""
    constant = [weighed(0, 10_003, "weighed_dry"), weighed(30, 10_000, "weighed_dry")]
    for event in ("chipped", "overheated", "resurfaced"):
        lost = SlabEvent(slab="P1", at=T0 + timedelta(hours=40), event=event)
        too_early = of_slab([*constant, lost, weighed(60, 10_200, "weighed_dry")], 61)
        assert too_early is not None and too_early.reference is not None
        assert too_early.reference.mass_g == 10_000 and not too_early.reference.weighed, event
        dry = of_slab([*constant, lost, weighed(60, 9_950, "weighed_dry")], 61)
        assert dry is not None and dry.reference is not None and dry.reference.mass_g == 9_950, event


def test_a_slab_may_be_resurfaced_as_often_as_anybody_likes() -> None:
    events = []
    for number in range(600):
        events += [weighed(10 * number, 10_000 - number, "weighed_dry"),
                   SlabEvent(slab="P1", at=T0 + timedelta(hours=10 * number + 5), event="resurfaced")]  # fmt: skip
    water = SlabWaterBalance(SLAB, [*events, weighed(6001, 9_390, "weighed_dry")], (), AirRecord((), Settings()), UTC)
    reference = water.references.reference_at(T0 + timedelta(hours=6002))
    assert reference is not None and reference.mass_g == 9_390


def test_a_slip_of_the_scale_is_no_loss_of_bound_water() -> None:
    """Gypsum cannot lose more than 20.9 % of its mass: what is below that was mistyped."""
    events = [weighed(0, 10_000, "weighed_dry"), weighed(30, 7_000), weighed(60, 10_300)]
    found = of_slab(events, 61)
    assert found is not None and found.reference is not None and found.reference.mass_g == 10_000


def test_what_was_weighed_under_a_layer_is_not_the_bare_slab() -> None:
    run = Run(run="R1", batch="B", slab="P1", started_at=T0 + timedelta(hours=10), ended_at=T0 + timedelta(hours=12),
              outcome="workable")  # fmt: skip
    under = [weighed(0, 10_000, "weighed_dry"), weighed(11, 12_500, "weighed_dry"), weighed(40, 10_200)]
    found = of_slab(under, 41, (run,))
    assert found is not None and found.reference is not None and found.reference.mass_g == 10_000


def test_under_a_layer_nothing_is_said() -> None:
    run = Run(run="R1", batch="B", slab="P1", started_at=T0 + timedelta(hours=10))
    assert of_slab([weighed(2, 14_250)], 12, (run,)) is None


def test_air_that_takes_nothing_is_said() -> None:
    damp = AirRecord((), Settings({"room_rh_pct": "100"})).air_at_place("shelf", T0)
    found = dry_out_from_cast(SlabFaces(2000, 810, 225), DRY, FRESH, CAPACITY, damp, 0.1)
    assert found.dry_at_h is None


def leaving(hours: float, falling_per_h: float) -> float:
    """Most water that a slab can still hold while no more than what a step hides left in so many hours."""
    return difference_open(100, 100) / (1 - math.exp(-falling_per_h * hours))


@pytest.mark.parametrize("falling", [0.005, 0.02, 0.04, 0.1])
def test_equal_readings_say_dry_once_a_days_loss_must_be_under_the_tolerance(falling: float) -> None:
    """By exponential falling, worked apart: of the most water that may have gone unseen, the last day takes so much."""
    hours = hours_to_tell(difference_open(100, 100), 6.0, falling)
    water = leaving(hours, falling)
    last_day = water * (math.exp(-falling * (hours - 24)) - math.exp(-falling * hours))
    assert last_day == pytest.approx(6.0, rel=1e-6)
    assert 24 < hours < 24 * difference_open(100, 100) / 6


def test_a_coarse_scale_does_not_say_dry_in_a_day() -> None:
    """100 g on 6 kg: 0.1 % is 6 g, and two equal readings may hide 67 g in nine of ten cases."""
    day = [Weighing(0, 6000, 100), Weighing(24, 6000, 100)]
    assert constant_mass(day, 0.1) is None
    found = too_coarse(day, 0.1, lambda start, end: 0.04)
    assert found is not None and found.enough_h == pytest.approx(73.7, abs=0.1) and found.fine_step_g == 5
    assert "cannot tell 0.1 % in 24 h" in found.sentence() and "2.1 more days" in found.sentence()
    later = [*day, Weighing(48, 6000, 100), Weighing(74, 6000, 100)]
    assert constant_mass(later, 0.1, lambda start, end: 0.04) == (later[0], later[3])
    assert too_coarse(later, 0.1, lambda start, end: 0.04) is None
    assert constant_mass(later, 0.1) is None, "not known how fast it dries: as if it did not slow down"
    assert constant_mass([day[0], Weighing(30, 6100, 100), *later[2:]], 0.1, lambda start, end: 0.04) is None
    fine = [Weighing(0, 6000, 5), Weighing(24, 6000, 5)]
    assert constant_mass(fine, 0.1) == tuple(fine) and too_coarse(fine, 0.1) is None
    assert too_coarse([Weighing(0, 6100, 100), Weighing(24, 6000, 100)], 0.1) is None, "it still loses"
    assert too_coarse([], 0.1) is None and constant_mass([], 0.1) is None


def test_a_slab_on_a_coarse_scale_says_what_would_be_enough() -> None:
    """The digits of its weighings tell the step; a scale that was in use then, too, and the one of today does not."""
    events = [weighed(h, m) for h, m in ((2, 14_200), (200, 10_800), (400, 10_100), (424, 10_100))]
    masses = [(event.at, event.mass_g or 0.0) for event in events]
    new_scale = Instrument(instrument="new", kind="scale", step=1.0, unit="g", since=date(2026, 6, 1))
    old_scale = Instrument(instrument="old", kind="scale", step=0.1, unit="kg", until=date(2026, 5, 31))
    for scales in ([], [new_scale], [new_scale, old_scale]):
        steps = WeighingSteps(masses, scales, UTC)
        assert [steps.step_of(*each) for each in masses] == [100.0] * 4
        water = SlabWaterBalance(SLAB, events, (), AirRecord((), Settings()), UTC, steps)
        moment = T0 + timedelta(hours=425)
        found = estimate_dry_out(water, water.wetness_at(moment), moment, 0.1, False)
        assert found is not None and not found.is_dry
        assert "A step of 100 g on a slab of 10 100 g cannot tell 0.1 % in 24 h" in " ".join(found.sentences())
        told = told_dry_from(water, moment, 0.1)
        assert told is not None and moment < told < T0 + timedelta(days=25)
    fine = SlabWaterBalance(SLAB, events, (), AirRecord((), Settings()), UTC)
    assert fine.wetness_at(moment).sd_g < water.wetness_at(moment).sd_g
    by_fine = estimate_dry_out(fine, fine.wetness_at(moment), moment, 0.1, False)
    assert by_fine is not None and by_fine.is_dry and told_dry_from(fine, moment, 0.1) is None
    assert by_fine.curve.dry_high_g - by_fine.curve.dry_low_g < found.curve.dry_high_g - found.curve.dry_low_g


def test_a_step_more_or_less_is_no_change_of_dry_mass() -> None:
    def change(steps: WeighingSteps, lighter_g: float) -> DryMassChange:
        events = [weighed(0, 10_000, "weighed_dry"), weighed(500, 10_000 - lighter_g, "weighed_dry")]
        found = dry_mass_change(events, None, steps)
        assert found is not None
        return found

    coarse = WeighingSteps([(T0 + timedelta(hours=h), m) for h, m in ((0, 10_000.0), (9, 10_700.0), (500, 9_900.0))])
    assert not change(coarse, 100).is_moved and change(WeighingSteps(), 100).is_moved
    told = WeighingSteps([(T0 + timedelta(hours=h), m) for h, m in ((0, 10_000.0), (9, 10_700.0), (500, 9_700.0))])
    assert change(told, 300).is_moved and change(told, 300).bound_water_text.endswith("±67 g by the step of the scale")
    assert change(WeighingSteps(), 300).open_text == ""


def test_steps_of_scales_go_by_the_day_and_by_pounds() -> None:
    """NIST SP 811, appendix B.8: a pound is 453.59237 g."""
    pounds = [(T0 + timedelta(days=n), 453.59237 * lb) for n, lb in enumerate((28.7, 27.2, 26.9, 26.9))]
    assert {round(WeighingSteps(pounds, (), UTC).step_of(*each), 2) for each in pounds} == {45.36}
    bench = [(T0 + timedelta(days=n), float(m)) for n, m in enumerate((13_007, 12_951, 12_800, 12_611))]
    bars = Instrument(instrument="bars", kind="scale", step=0.01, unit="g")
    steps = WeighingSteps(bench, [bars], UTC)
    assert [steps.step_of(*each) for each in bench] == [1.0] * 4, "a finer scale stands there for bars"
    both = [Instrument(instrument="slabs", kind="scale", step=100.0, unit="g"), bars]
    assert WeighingSteps(bench, both, UTC).step_of(*bench[2]) == 100.0, "it may have been read on the coarser one"
    assert (
        WeighingSteps(bench, [Instrument(instrument="x", kind="scale", step=9.0, unit="N")], UTC).step_of(*bench[0])
        == 1.0
    )
    assert steps.with_weighing(T0 + timedelta(days=9), 12_500.0).step_of(T0 + timedelta(days=9), 12_500.0) == 1.0


@pytest.mark.parametrize("step", [1, 10, 100])
def test_what_is_called_dry_loses_less_than_the_tolerance(step: int) -> None:
    """Slabs of 5 to 14 kg in their last water, weighed once a day: when the scale first says dry, the loss of the last
    day was under the tolerance in nine of ten; two equal readings a day apart are right far less often on 100 g."""
    draw = random.Random(step)
    right, by_two, days = [], [], []
    for _ in range(400):
        dry, falling, water = draw.uniform(5000, 14_000), draw.uniform(0.01, 0.05), draw.uniform(150, 900)
        left = [water * math.exp(-falling * 24 * day) for day in range(80)]
        seen = [Weighing(24.0 * day, step * round((dry + each) / step), step) for day, each in enumerate(left)]
        loss = [before - after for before, after in pairwise(left)]
        by_rate = lambda *_, k=falling: k  # noqa: E731
        said = next(day for day in range(1, 80) if constant_mass(seen[: day + 1], 0.1, by_rate))
        two = next(day for day in range(1, 80) if abs(seen[day - 1].mass_g - seen[day].mass_g) <= 0.001 * dry)
        right.append(loss[said - 1] <= 0.0011 * dry)
        by_two.append(loss[two - 1] <= 0.0011 * dry)
        days.append(said - two)
    assert sum(right) >= 0.9 * len(right)
    assert step < 100 or sum(by_two) < 0.6 * len(by_two)
    assert sum(days) / len(days) < (6 if step == 100 else 1), "and it is not waited for longer than need be"
