"""One lab's slabs, layers and runs put together: wetness of every slab, the fit, and any forecast.

Built from plain rows in one go; every question about water and time asks this object.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, tzinfo
from functools import cached_property
from operator import attrgetter

from claybench import clock
from claybench.insight.air import AirNow, AirRecord
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import Forecast, ForecastLayer, forecast
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.insight.drying.layer_water import Layer, Layers
from claybench.insight.drying.resistance_fit import ResistanceFit, fit_resistances
from claybench.insight.garbage_pause import uncollected
from claybench.insight.settings import Settings
from claybench.insight.slab_water.dry_out_estimate import SlabDryOut, slab_dry_out
from claybench.insight.slab_water.drying_rate import SlabDrying
from claybench.insight.slab_water.wetness import SlabWater, Taken, Wetness, share_sd
from claybench.insight.time_spans import accompanied
from claybench.insight.workable_interval import NOT_YET, WorkableTime, minutes, time_to_workable
from claybench.quantity.shown import percent, show
from claybench.terms import (
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    BodyLine,
    Check,
    Material,
    Run,
    Slab,
    SlabEvent,
)
from claybench.water.dryout import evaporation

_UNKNOWN_WETNESS = (0.3, 0.25)
"""Wetness and its spread where nothing was ever weighed; from memory."""
_SHARE_BY_OUTCOME = {"workable": (1.0, 0.15), "too_stiff": (1.1, 0.2), "lifted_early": (0.75, 0.2)}
_ABANDONED = (0.6, 0.35)


@dataclass(frozen=True, slots=True)
class Poured:
    """One run with what can be said of it."""

    run: Run
    body: Body | None
    layer: Layer
    checks: tuple[Check, ...]
    time: WorkableTime | None
    wetness: float
    wetness_sd: float
    water_sd: float
    """Of it, what the doubt about the slab's water leaves, that about its capacity apart."""
    conditions: LayerConditions

    @property
    def last_not_yet_min(self) -> float:
        """Minutes to the last touch at which it was not yet workable; 0 where there is none."""
        seen = [minutes(self.run.started_at, check.at) for check in self.checks if check.feel in NOT_YET]
        return max(seen, default=0.0)


class LabModel:
    """What one lab's record says about water and time, as of one moment."""

    @uncollected()
    def __init__(
        self,
        *,
        at: datetime,
        zone: tzinfo,
        settings: Settings,
        slabs: Iterable[Slab],
        events: Iterable[SlabEvent],
        air: Iterable[Air],
        runs: Iterable[Run],
        checks: Iterable[Check],
        bodies: Iterable[Body],
        body_lines: Iterable[BodyLine],
        batches: Iterable[Batch],
        batch_lines: Iterable[BatchLine],
        batch_log: Iterable[BatchEvent],
        materials: Iterable[Material],
    ) -> None:
        self.at = at
        self.zone = zone
        self.settings = settings
        self.air = AirRecord(air, settings)
        self.layers = Layers(
            settings=settings,
            bodies=bodies,
            body_lines=body_lines,
            batches=batches,
            batch_lines=batch_lines,
            batch_log=batch_log,
            materials=materials,
        )
        self.runs = sorted(runs, key=attrgetter("started_at", "run"))
        self.checks: dict[str, list[Check]] = defaultdict(list)
        for check in sorted(checks, key=attrgetter("at")):
            self.checks[check.run].append(check)
        by_slab: dict[str, list[SlabEvent]] = defaultdict(list)
        for event in events:
            by_slab[event.slab].append(event)
        lying: dict[str, list[Run]] = defaultdict(list)
        for run in self.runs:
            lying[run.slab].append(run)
        self.waters = {
            slab.slab: SlabWater(slab, by_slab[slab.slab], lying[slab.slab], self.air, zone) for slab in slabs
        }
        self.lying = lying
        self._renewed = {
            slab: sorted(event.at for event in own if event.event == "resurfaced") for slab, own in by_slab.items()
        }
        self._dry_outs: dict[str, SlabDryOut | None] = {}
        self._found_around: dict[str, tuple[float, float]] = {}
        self._accompanied = {slab: accompanied(own) for slab, own in lying.items()}

    # -- the slabs -----------------------------------------------------------------------------

    @cached_property
    @uncollected()
    def wetnesses(self) -> dict[str, Wetness]:
        """Every slab's wetness now."""
        return {code: self._wetness(code) for code in self.waters}

    def surface(self, slab: str, moment: datetime) -> str:
        """A slab under the name the fit knows it by: resurfaced, it is a new one."""
        renewed = bisect_right(self._renewed.get(slab, []), moment)
        return f"{slab}, resurfaced {renewed}" if renewed else slab

    def on_slab(self, slab: str) -> list[Poured]:
        """Layers that lie on a slab now."""
        return [self.poured[run.run] for run in self.lying.get(slab, []) if run.outcome is None]

    def dry_out(self, slab: str) -> SlabDryOut | None:
        """How a bare slab dries since it last got wet; None under a layer, or where nothing is known of its water."""
        if slab not in self._dry_outs:
            covered = any(run.outcome is None for run in self.lying.get(slab, []))
            tolerance = self.settings.number("constant_mass_pct")
            found = slab_dry_out(self.waters[slab], self.wetnesses[slab], self.at, tolerance, covered)
            self._dry_outs[slab] = found
        return self._dry_outs[slab]

    def drying(self, slab: str) -> SlabDrying:
        """The law a slab dries by from now on: fitted to its weighings since it last got wet, else as learnt before."""
        found = self.dry_out(slab)
        return self.wetnesses[slab].drying if found is None else found.drying

    def still_to_give(self, run: Run) -> float:
        """Water in g that an open layer will give its slab beyond what it has given by now."""
        water = self.waters[run.slab]
        layer = self.layers.of_run(run)
        area = layer.area_cm2 or 0.8 * water.body.usable_cm2
        return max(layer.water_mm * area / 10 - self._taken(water, run).water_g, 0.0)

    def wetness_at(self, slab: str, moment: datetime) -> float | None:
        """How wet a slab was by the balance at an earlier moment, its drying until then counted."""
        water = self.waters[slab]
        taken = [(run, self._taken(water, run)) for run in self.lying.get(slab, []) if run.started_at <= moment]
        return water.at(moment, taken, every_point=False).now

    def _wetness(self, slab: str) -> Wetness:
        water = self.waters[slab]
        taken = [(run, self._taken(water, run)) for run in self.lying.get(slab, [])]
        return water.at(self.at, taken)

    def _taken(self, water: SlabWater, run: Run) -> Taken:
        """Water that a run has given its slab by now, or by its end."""
        layer = self.layers.of_run(run)
        area = layer.area_cm2 or 0.8 * water.body.usable_cm2
        need = layer.water_mm * area / 10
        end = run.ended_at or self.at
        by_air = self._around(water, run)[1] * minutes(run.started_at, end) * area / 10
        if (
            run.slab_before_g is not None
            and run.slab_after_g is not None
            and run.run not in self._accompanied[run.slab]
        ):
            return Taken(max(run.slab_after_g - run.slab_before_g, 0.0), 5.0, "slab weighed before and after")
        if run.poured_g is not None and run.clay_off_g is not None:
            lost = run.poured_g - run.clay_off_g - by_air
            if 0.3 * need < lost < 1.7 * need:
                return Taken(lost, max(0.04 * run.poured_g, 0.3 * by_air), "slip poured and clay lifted off")
        if run.outcome is None:
            share, spread = self._share_so_far(water, run, layer), 0.2
        else:
            share, spread = _SHARE_BY_OUTCOME.get(run.outcome, _ABANDONED)
        unsure = 0.3 if layer.area_cm2 is None else 0.0
        sd = need * share * math.sqrt(spread**2 + layer.log_sd**2 + unsure**2)
        return Taken(max(need * share - by_air, 0.0), sd, "depth of slip and its water")

    def _share_so_far(self, water: SlabWater, run: Run, layer: Layer) -> float:
        """Share of its water that an open layer has lost: uptake goes with the square root of time."""
        felt = time_to_workable(run, self.checks.get(run.run, []))
        elapsed = max(minutes(run.started_at, self.at), 0.0)
        if felt is not None and felt.high_min is not None:
            expected = felt.best_min or felt.high_min
        else:
            temp_c = self._around(water, run)[0]
            usual = LayerConditions(layer.water_mm, _UNKNOWN_WETNESS[0], self._capacity_mm(water), temp_c)
            resistances = ResistanceFit().resistances(None, None, None)
            expected = math.exp(resistances.log_minutes(*usual.unit_times())[0])
        return min(math.sqrt(elapsed / max(expected, 1.0)), 1.2)

    # -- the runs ------------------------------------------------------------------------------

    @cached_property
    @uncollected()
    def poured(self) -> dict[str, Poured]:
        """Every run, with the wetness it was begun at."""
        return {run.run: self._poured(run) for run in self.runs}

    def _poured(self, run: Run) -> Poured:
        layer = self.layers.of_run(run)
        water = self.waters.get(run.slab)
        checks = tuple(self.checks.get(run.run, ()))
        wet, sd = _UNKNOWN_WETNESS
        own, skin, skin_sd = sd, 0.0, 0.0
        capacity_mm = 20.0
        temp, by_air = self.settings.number("room_temp_c"), 0.0
        if water is not None:
            started = self.wetnesses[run.slab].starts.get(run.run)
            if started is not None:
                wet = min(max(started[0] / water.capacity_g, 0.0), 1.0)
                own = started[1] / water.capacity_g
                sd = share_sd(wet, own)
                skin, skin_sd = self.wetnesses[run.slab].skins[run.run]
            capacity_mm = self._capacity_mm(water)
            temp, by_air = self._around(water, run)
        return Poured(
            run=run,
            body=self.layers.body_of(run),
            layer=layer,
            checks=checks,
            time=time_to_workable(run, checks),
            wetness=wet,
            wetness_sd=math.hypot(sd, skin_sd),
            water_sd=math.hypot(own, skin_sd),
            conditions=LayerConditions(layer.water_mm, min(wet + skin, 0.9), capacity_mm, temp, by_air),
        )

    def _capacity_mm(self, water: SlabWater) -> float:
        return 10 * water.capacity_g / water.body.face_cm2

    def _around(self, water: SlabWater, run: Run) -> tuple[float, float]:
        """Temperature of a layer, and the water the air takes from its surface in mm/min."""
        if run.run not in self._found_around:
            air = self._air(water, run)
            # The slip's temperature is a start only: a thin layer soon has that of the slab and the air.
            temp = air.temp_c if run.slip_temp_c is None else (run.slip_temp_c + 2 * air.temp_c) / 3
            self._found_around[run.run] = min(max(temp, 1.0), 45.0), _evaporation_mm_min(air)
        return self._found_around[run.run]

    @staticmethod
    def _air(water: SlabWater, run: Run) -> AirNow:
        found = water.air.at(run.started_at)
        return AirNow(
            temp_c=found.temp_c if run.air_temp_c is None else run.air_temp_c,
            rh_pct=found.rh_pct if run.air_rh_pct is None else run.air_rh_pct,
            speed_m_s=found.speed_m_s if run.air_speed_m_s is None else run.air_speed_m_s,
            place=found.place,
            measured=found.measured or run.air_temp_c is not None,
        )

    # -- time ----------------------------------------------------------------------------------

    def finished_on(self, slab: str) -> list[FinishedRun]:
        """A slab's finished runs that say something of time, in order."""
        found = []
        for run in self.lying.get(slab, []):
            poured = self.poured.get(run.run)
            if poured is None or poured.run.outcome is None:
                continue
            seen = poured.time
            if seen is None or not seen.modelled:
                continue
            if seen.low_min <= 0 and seen.high_min is None:
                continue
            found.append(
                FinishedRun(
                    run=run.run,
                    body=poured.body.body if poured.body else "",
                    family=(poured.body.family or "") if poured.body else "",
                    slab=self.surface(slab, run.started_at),
                    conditions=poured.conditions,
                    layer_log_sd=poured.layer.log_sd,
                    wetness_sd=poured.water_sd,
                    low_min=seen.low_min,
                    high_min=seen.high_min,
                )
            )
        return found

    @cached_property
    def fit(self) -> ResistanceFit:
        """Parts of bodies and slabs by all finished runs."""
        return fit_resistances([run for slab in self.lying for run in self.finished_on(slab)])

    def forecast_run(self, code: str) -> Forecast:
        """A run from its start; an open one conditioned on its checks."""
        poured = self.poured[code]
        body = poured.body
        slab, surface = poured.run.slab, self.surface(poured.run.slab, poured.run.started_at)
        because = self._because(poured.wetness, slab, surface, body, poured.layer)
        floor = poured.last_not_yet_min if poured.run.outcome is None else 0.0
        if floor:
            because = (*because, f"not yet workable at {show(floor, 'min', digits=0)}")
        layer = ForecastLayer(
            body=body.body if body else None,
            family=body.family if body else None,
            slab=surface,
            conditions=poured.conditions,
            layer_log_sd=poured.layer.log_sd,
            wetness_sd=poured.water_sd,
        )
        return forecast(self.fit, layer, not_before_min=floor, because=because, slab=slab, run=code)

    def forecast_layer(
        self,
        body: Body | None,
        slab: str,
        depth_mm: float,
        *,
        slip_sg: float | None = None,
        wetness: float | None = None,
    ) -> Forecast:
        """A layer that is only thought of, poured now; or when the slab will be so wet, known as well as now."""
        water, wet = self.waters[slab], self.wetnesses[slab]
        layer = self.layers.wanted(body, depth_mm, None, slip_sg)
        share, sd = _UNKNOWN_WETNESS
        skin = 0.0
        if wet.now is not None and wet.sd_g is not None:
            share = wet.now if wetness is None else wetness
            skin, skin_sd = wet.skin if wetness is None else (0.0, 0.0)
            sd = math.hypot(wet.sd_g / wet.capacity_g, skin_sd)
        elif wetness is not None:
            share = wetness
        conditions = LayerConditions(
            layer.water_mm,
            min(share + skin, 0.9),
            self._capacity_mm(water),
            min(max(wet.air.temp_c, 1.0), 45.0),
            _evaporation_mm_min(wet.air),
        )
        surface = self.surface(slab, self.at)
        wanted = ForecastLayer(
            body=body.body if body else None,
            family=body.family if body else None,
            slab=surface,
            conditions=conditions,
            layer_log_sd=layer.log_sd,
            wetness_sd=sd,
        )
        return forecast(self.fit, wanted, because=self._because(share, slab, surface, body, layer), slab=slab)

    def relative_time(self, body: str, against: str, family: str) -> tuple[float, float]:
        """ln of a body's time over another's for 10 mm at 20 °C on a dry slab, and its variance."""
        layer = self.layers.wanted(self.layers.bodies.get(body), 10.0, None)
        unit_times = LayerConditions(layer.water_mm, 0.0, 20.0, 20.0).unit_times()
        return self.fit.log_time_ratio(body, against, family, unit_times)

    def _because(self, wet: float, slab: str, surface: str, body: Body | None, layer: Layer) -> tuple[str, ...]:
        found = self.wetnesses.get(slab)
        known = self.fit.groups.runs_of_body.get(body.body, 0) if body is not None else 0
        own = self.fit.groups.runs_of_slab.get(surface, 0)
        because = [
            f"{show(layer.depth_mm, 'mm', figures=3)} of slip, "
            f"{show(layer.water_mm, 'mm', figures=2)} of water to lose",
            f"slab {slab} {percent(wet)} wet"
            if found is not None and found.now is not None
            else f"how wet slab {slab} is, nobody knows",
            f"{body.body} dried {_times(known)} before" if body is not None else "the body is not known",
            f"{_times(own)} on this slab{'' if surface == slab else ' since it was resurfaced'}",
        ]
        return (*because, *layer.missing)


def _evaporation_mm_min(air: AirNow) -> float:
    return max(evaporation(1e4, air.temp_c, air.rh_pct, air.speed_m_s) / 1000 / 60, 0.0)


def _times(count: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")


def day_text(moment: datetime, zone: tzinfo) -> str:
    """A day as sentences name it."""
    local = clock.in_zone(moment, zone)
    return f"{local.day} {local:%b}"
