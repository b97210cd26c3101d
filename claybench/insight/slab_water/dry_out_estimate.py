"""The dry-out of a slab of the record, and of one that is only sized: what the curve rests on, and its words.

The fit itself is in `dry_out`; the balance of water through a slab's life in `wetness`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property

from claybench import clock
from claybench.facts.reason import explain
from claybench.insight.air import AirConditions
from claybench.insight.date_words import weekday_and_date
from claybench.insight.settings import Settings
from claybench.insight.slab_water.constant_mass import (
    CoarseWeighings,
    FallingRate,
    Weighing,
    constant_mass,
    too_coarse,
)
from claybench.insight.slab_water.dry_out_curve import (
    AIR_LOG_SD,
    CRITICAL_LOG_SD,
    AirSpan,
    DryOutCurve,
    DryOutFit,
    DryOutPrior,
    fit_dry_out,
)
from claybench.insight.slab_water.drying_rate import RATE_LOG_SD, SlabDrying
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.insight.slab_water.slab_properties import DryReference
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.slab_water.wetness import Wetness
from claybench.insight.workable_interval import minutes_between
from claybench.measure.reading_steps import rounding_variance
from claybench.mix.bound_water import describe_lost_water
from claybench.quantity.shown import format_interval, percent, show
from claybench.water import slab_drying

_WETTINGS = frozenset({"wetted", "other_clay", "cleaned", "soaked"})
_AS_WET = 0.3
"""Spread of the water at the start where nobody weighed then, of the capacity; from memory."""


def ready_wetness(settings: Settings) -> float:
    """The wetness below which a slab is ready for a layer: whoever asks for it, asks here."""
    return settings.number_of("damp_from")


@dataclass(frozen=True)  # without slots: the curve is worked out where it is shown, and kept
class SlabDryOut:
    """How one slab dries since it last got wet."""

    since: datetime
    fit: DryOutFit
    learnt: SlabDrying
    """Its drying as all its earlier stretches say."""
    constant: tuple[Weighing, Weighing] | None
    """The two weighings that declare it dry."""
    reference: DryReference | None
    tolerance_pct: float
    coarse: CoarseWeighings | None = None
    """Its last weighings, where they agree and the scale is too coarse for that to say that it is dry."""

    @cached_property
    def curve(self) -> DryOutCurve:
        """The whole course with its ranges."""
        return self.fit.curve()

    @property
    def drying(self) -> SlabDrying:
        """The law it dries by from now on."""
        return replace(self.learnt, factor=self.fit.factor, own_critical_g=self.fit.critical_g)

    @property
    def dry_at(self) -> datetime | None:
        """When it stops losing weight, or did by the scale; None where this air does not dry it."""
        if self.constant is not None:
            return self.moment_at(self.constant[1].hours)
        return self.moment_at(self.fit.dry_at_h)

    def moment_at(self, hours: float | None) -> datetime | None:
        """A moment of the curve by the clock."""
        return None if hours is None else self.since + timedelta(hours=hours)

    @property
    def is_dry(self) -> bool:
        """Whether constant mass has been reached: by the scale, never by hope."""
        return self.constant is not None

    def sentences(self) -> list[str]:
        """Sentences on when it is dry and what that rests on, plainest first."""
        zone = self.since.tzinfo
        if self.constant is not None:
            before, last = self.constant
            first = (
                f"Dry by constant mass: {show(before.mass_g, 'g', digits=0)}, then {show(last.mass_g, 'g', digits=0)} "
                f"{show(last.hours - before.hours, 'h', digits=0)} later (within {show(self.tolerance_pct, '%')})."
            )
            return [first, *self._against(last.mass_g)]
        best, low, high = (
            self.moment_at(each) for each in (self.curve.dry_at_h, self.curve.dry_low_h, self.curve.dry_high_h)
        )
        if best is None or zone is None:
            return ["In this air it does not dry: set it before a fan, or in drier or warmer air (never above 49 °C)."]
        now = self.since + timedelta(hours=self.curve.now_h)
        scale = [] if self.coarse is None else [self.coarse.sentence()]
        if best <= now:
            again = scale or ["It should have stopped losing weight by now: weigh it today and again a day later."]
            return [*again, *self._rests_on()]
        early = weekday_and_date(max(low or now, now))
        late = "not within three months" if high is None else weekday_and_date(high)
        return [
            f"Dry about {weekday_and_date(best)} (90 %: {early} to {late}), when it stops losing weight.",
            *scale,
            *self._rests_on(),
        ]

    def _rests_on(self) -> list[str]:
        count = len(self.curve.weighings)
        said = {0: "no weighing yet: room air and the slab's size only", 1: "one weighing"}.get(
            count, f"{count} weighings"
        )
        curve = self.curve
        return [
            f"Rests on {said}; faces wet it loses {show(curve.rate_g_h, 'g/h', digits=0)}, "
            f"slower below {show(curve.critical_g, 'g', digits=0)} of water; "
            f"dry it should weigh {show(curve.dry_g, 'g', digits=0)} "
            f"({format_interval(curve.dry_low_g, curve.dry_high_g, digits=0)})."
        ]

    def _against(self, mass_g: float) -> list[str]:
        """What the mass says against the dry reference that held before."""
        if self.reference is None:
            return []
        reference = self.reference.lost_since or self.reference
        gap = mass_g - reference.mass_g
        assert self.constant is not None
        unsure = 2 * math.hypot(reference.sd_g, math.sqrt(rounding_variance(self.constant[1].step_g)))
        against = f"its dry reference, {show(reference.mass_g, 'g', digits=0)} ({reference.basis})"
        if abs(gap) <= unsure:
            return [f"That agrees with {against}."]
        if gap > 0:
            return [
                f"That is {show(gap, 'g', digits=0)} over {against}: salts "
                "or clay taken up, or the air too damp to dry it. "
                "Try drier air before you believe it."
            ]
        why = "plaster lost, or the reference was not dry"
        if reference.weighed:
            why = f"{describe_lost_water(reference.mass_g, -gap)}, unless {why}"
        return [f"That is {show(-gap, 'g', digits=0)} under {against}: {why}."]


def estimate_dry_out(
    water: SlabWaterBalance, wetness: Wetness, moment: datetime, tolerance_pct: float, open_run: bool
) -> SlabDryOut | None:
    """The dry-out of one slab; None while a layer lies on it, or where nothing is known of its water."""
    reference = water.references.reference_at(moment)
    start = _last_wetted(water, moment)
    if open_run or start is None or reference is None:
        return None
    weighings = _weighings(water, start, moment)
    held = _water_at(wetness, start)
    if held is None:
        if not weighings:
            return None
        held = (weighings[0].mass_g - reference.mass_g, _AS_WET * water.capacity_g)
    spans = tuple(
        AirSpan(
            minutes_between(start, until) / 60,
            water.drying.usual_rate_g_h(air),
        )
        for until, air in water.air_spans(start, moment)
    )
    drying = DryOutPrior(
        dry_g=reference.mass_g - reference.left_g,
        dry_sd_g=reference.sd_g,
        water_g=max(held[0], 0.0),
        water_sd_g=max(held[1], 0.05 * water.capacity_g),
        critical_g=slab_drying.CRITICAL_WETNESS.value * water.capacity_g,
        capacity_g=water.capacity_g,
        spans=spans,
        factor=water.drying.factor,
        factor_log_sd=water.drying.log_sd_in(water.air.air_at(moment)),
    )
    now_h = minutes_between(start, moment) / 60
    scale = weighings, tolerance_pct, _falling_rate(water, start)
    return SlabDryOut(
        since=clock.in_zone(start, water.zone),
        fit=DryOutFit(drying, weighings, now_h, tolerance_pct),
        learnt=water.drying,
        constant=constant_mass(*scale),
        reference=reference,
        tolerance_pct=tolerance_pct,
        coarse=too_coarse(*scale),
    )


def constant_mass_since_wet(
    water: SlabWaterBalance, moment: datetime, tolerance_pct: float
) -> tuple[Weighing, Weighing] | None:
    """The two weighings that say a slab is dry, since it last got wet; None where there are none."""
    start = _last_wetted(water, moment)
    if start is None:
        return None
    return constant_mass(_weighings(water, start, moment), tolerance_pct, _falling_rate(water, start))


def told_dry_from(water: SlabWaterBalance, moment: datetime, tolerance_pct: float) -> datetime | None:
    """From when on the same reading again says that a slab is dry, where its scale is too coarse to say so in a day;
    None elsewhere."""
    start = _last_wetted(water, moment)
    if start is None:
        return None
    coarse = too_coarse(_weighings(water, start, moment), tolerance_pct, _falling_rate(water, start))
    return None if coarse is None else start + timedelta(hours=coarse.enough_h)


def _weighings(water: SlabWaterBalance, start: datetime, moment: datetime) -> list[Weighing]:
    return [
        Weighing(minutes_between(start, at) / 60, mass, water.steps.step_of(at, mass))
        for at, mass in water.masses
        if start <= at <= moment
    ]


def _falling_rate(water: SlabWaterBalance, start: datetime) -> FallingRate:
    """How fast a slab's last water leaves, by hours after a moment."""
    return lambda begin, end: water.falling_per_h(start + timedelta(hours=begin), start + timedelta(hours=end))


def dry_out_from_cast(
    faces: SlabFaces, dry_g: float, water_g: float, capacity_g: float, air: AirConditions, tolerance_pct: float
) -> DryOutCurve:
    """A slab just cast, standing free in one air: sized, not yet weighed."""
    rate = SlabDrying(faces, capacity_g).usual_rate_g_h(air)
    drying = DryOutPrior(
        dry_g=dry_g,
        dry_sd_g=0.02 * dry_g,
        water_g=water_g,
        water_sd_g=0.1 * water_g,
        critical_g=slab_drying.CRITICAL_WETNESS.value * capacity_g,
        capacity_g=capacity_g,
        spans=(AirSpan(0.0, rate),),
    )
    return fit_dry_out(drying, (), 0.0, tolerance_pct)


def hours_until_ready(
    faces: SlabFaces, capacity_g: float, takes_g: float, air: AirConditions, ready_share: float
) -> float | None:
    """Hours after which a sized slab is ready again for a layer, having taken so much water; None where it never is.

    By the law that slabs of the record dry by, before any weighing of its own. It takes the water ready, or as near to
    it as its capacity allows.

    >>> fan = AirConditions(18.0, 60.0, 2.0, "fan", False)
    >>> round(hours_until_ready(SlabFaces.from_sides(500, 400, 45), 3600, 1650, fan, 0.35), 1)
    31.3
    """
    law = SlabDrying(faces, capacity_g).law_in(air)
    ready = ready_share * capacity_g
    return law.hours_until(min(ready + takes_g, capacity_g), ready)


def explain_dry_out_from_cast(faces: SlabFaces, water_g: float, capacity_g: float, air: AirConditions) -> list[str]:
    """Where the days of a slab just cast come from: the air's share, the law, and what is left open."""
    rate = explain(slab_drying.evaporation, faces.free_cm2(air.standing), air.temp_c, air.rh_pct, air.speed_m_s)
    lines = rate.lines()
    if rate.result > 0:
        critical = slab_drying.CRITICAL_WETNESS.value * capacity_g
        lines += explain(slab_drying.time_to_dry, water_g, 0.02 * capacity_g, rate.result, critical).lines()
    return [
        *lines,
        f"dry is a day's loss below the setting; range by 100 draws: rate ±{percent(RATE_LOG_SD)},",
        f"the wetness at which it slows ±{percent(CRITICAL_LOG_SD)}, "
        f"the coming days' air ±{percent(AIR_LOG_SD)} (all from memory)",
    ]


def _last_wetted(water: SlabWaterBalance, moment: datetime) -> datetime | None:
    """When it last got wet; its first weighing where nothing else is on record."""
    times = [event.at for event in water.events if event.event in _WETTINGS and event.at <= moment]
    times += [run.ended_at for run in water.runs if run.ended_at is not None and run.ended_at <= moment]
    if water.slab.cast_at is not None:
        cast = clock.as_moment(water.slab.cast_at, water.zone)
        if cast <= moment:
            times.append(cast)
    if not times:
        times = [at for at, _ in water.masses[:1] if at <= moment]
    return max(times, default=None)


def _water_at(wetness: Wetness, start: datetime) -> tuple[float, float] | None:
    """Water and its spread at a moment, by the balance."""
    held = [point for point in wetness.points if point.at == start]
    return (held[-1].water_g, held[-1].sd_g) if held else None
