"""The slabs of one lab with all that was poured on them: how wet each is, and how it dries.

The balance of a single slab is in `slab_water.wetness`; here each layer's share in it is worked out.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo
from functools import cached_property

from claybench.insight.air import AirConditions, AirRecord
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.drying.layer_conditions import LayerConditions, evaporation_mm_min, water_temp_c
from claybench.insight.drying.resistance_fit import ResistanceFit
from claybench.insight.drying.slip_layers import SlipLayer, SlipLayers
from claybench.insight.garbage_pause import pause_garbage_collection
from claybench.insight.settings import Settings
from claybench.insight.slab_water.dry_out_estimate import SlabDryOut, estimate_dry_out
from claybench.insight.slab_water.drying_rate import SlabDrying, fit_lab_drying
from claybench.insight.slab_water.slab_properties import left_in_dry_slabs
from claybench.insight.slab_water.water_balance import SlabWaterBalance
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.insight.slab_water.wetness import WaterTaken, Wetness
from claybench.insight.time_spans import runs_beside_others
from claybench.insight.workable_interval import minutes_between, observed_workable_time
from claybench.measure.reading_steps import rounding_variance
from claybench.terms import Check, Run, SlabEvent

UNKNOWN_WETNESS = (0.3, 0.25)
"""Wetness and its spread where nothing was ever weighed; from memory."""
_GIVEN_BY_OUTCOME = {"workable": (1.03, 0.1), "too_stiff": (1.1, 0.15), "lifted_early": (0.75, 0.2)}
"""Share of its water that a layer has given by its lift, and the spread of that; from memory."""
_GIVEN_ABANDONED = (0.6, 0.35)
_GAIN_SD_G = 5.0
"""Spread of what a slab gains between weighings before and after a layer, the steps of the scale apart; from memory."""
_COVERED_SHARE = 0.8
"""Share of the usable face that a layer covers where nobody wrote its area; common practice, no source."""


class LabSlabs:
    """Water and wetness of every slab as of one moment."""

    def __init__(
        self, rows: LabRows, layers: SlipLayers, runs: Sequence[Run], checks: Mapping[str, list[Check]], *,
        at: datetime, zone: tzinfo, settings: Settings,
    ) -> None:  # fmt: skip
        self.at = at
        self.settings = settings
        self.air = AirRecord(rows.air, settings)
        self._layers = layers
        self._checks = checks
        events: dict[str, list[SlabEvent]] = defaultdict(list)
        for event in rows.events:
            events[event.slab].append(event)
        self.runs_on: dict[str, list[Run]] = defaultdict(list)
        """All runs of each slab, in order of their pour."""
        for run in runs:
            self.runs_on[run.slab].append(run)
        steps = WeighingSteps.from_rows(events, self.runs_on, rows.instruments, zone)
        self.balances = {
            slab.slab: SlabWaterBalance(slab, events[slab.slab], self.runs_on[slab.slab], self.air, zone, steps)
            for slab in rows.slabs
        }
        learnt = fit_lab_drying(
            {code: balance.unlearnt_drying for code, balance in self.balances.items()},
            {code: balance.drying_intervals for code, balance in self.balances.items()},
        )
        for code, drying in learnt.items():
            self.balances[code].learn_drying(drying)
        left = [
            grams / balance.capacity_g
            for balance in self.balances.values()
            for grams in balance.references.left_when_dry()
        ]
        for balance in self.balances.values():
            balance.references.learn_left(left_in_dry_slabs(left))
        self._resurfaced = {
            slab: sorted(event.at for event in own if event.event == "resurfaced") for slab, own in events.items()
        }
        self._accompanied = {slab: runs_beside_others(own) for slab, own in self.runs_on.items()}
        self._dry_outs: dict[str, SlabDryOut | None] = {}
        self._surroundings: dict[str, tuple[float, float]] = {}

    @cached_property
    @pause_garbage_collection()
    def wetnesses(self) -> dict[str, Wetness]:
        """Every slab's wetness now."""
        return {code: self._wetness(code, self.at) for code in self.balances}

    def wetness_at(self, slab: str, moment: datetime) -> float | None:
        """How wet a slab was by the balance at an earlier moment, its drying until then counted."""
        return self._wetness(slab, moment, every_point=False).now

    def open_runs(self, slab: str) -> list[Run]:
        """Layers that lie on a slab now."""
        return [run for run in self.runs_on.get(slab, []) if run.outcome is None]

    def surface_name(self, slab: str, moment: datetime) -> str:
        """A slab under the name the fit knows it by at a moment: resurfaced, it is a new one."""
        times = bisect_right(self._resurfaced.get(slab, []), moment)
        return f"{slab}, resurfaced {times}" if times else slab

    def dry_out(self, slab: str) -> SlabDryOut | None:
        """How a bare slab dries since it last got wet; None under a layer, or where nothing is known of its water."""
        if slab not in self._dry_outs:
            tolerance = self.settings.number_of("constant_mass_pct")
            covered = bool(self.open_runs(slab))
            self._dry_outs[slab] = estimate_dry_out(
                self.balances[slab], self.wetnesses[slab], self.at, tolerance, covered
            )
        return self._dry_outs[slab]

    def drying(self, slab: str) -> SlabDrying:
        """The law a slab dries by from now on: fitted to its weighings since it last got wet, else as learnt before."""
        dry_out = self.dry_out(slab)
        return self.wetnesses[slab].drying if dry_out is None else dry_out.drying

    def water_to_come_g(self, run: Run) -> float:
        """Water that an open layer will give its slab beyond what it has given by now."""
        layer = self._layers.layer_of_run(run)
        need = layer.water_mm * self._area_cm2(run, layer) / 10
        return max(need - self._water_taken(run).water_g, 0.0)

    def capacity_mm(self, slab: str) -> float:
        """Capacity of a slab under a layer, kg/m²."""
        balance = self.balances[slab]
        return 10 * balance.capacity_g / balance.size.face_cm2

    def surroundings(self, run: Run) -> tuple[float, float]:
        """Temperature of a layer in °C, and the water that the air takes from its surface in mm/min."""
        if run.run not in self._surroundings:
            air = self._air_at_pour(run)
            # The slip's temperature is a start only: a thin layer soon has that of the slab and the air.
            temp = air.temp_c if run.slip_temp_c is None else (run.slip_temp_c + 2 * air.temp_c) / 3
            self._surroundings[run.run] = water_temp_c(temp), evaporation_mm_min(air)
        return self._surroundings[run.run]

    def _air_at_pour(self, run: Run) -> AirConditions:
        """The air around the slab, by what was read with the run where it was."""
        air = self.balances[run.slab].air.air_at(run.started_at)
        return AirConditions(
            temp_c=air.temp_c if run.air_temp_c is None else run.air_temp_c,
            rh_pct=air.rh_pct if run.air_rh_pct is None else run.air_rh_pct,
            speed_m_s=air.speed_m_s if run.air_speed_m_s is None else run.air_speed_m_s,
            place=air.place,
            measured=air.measured or run.air_temp_c is not None,
        )

    def _wetness(self, slab: str, moment: datetime, *, every_point: bool = True) -> Wetness:
        runs = [run for run in self.runs_on.get(slab, []) if run.started_at <= moment]
        taken = [(run, self._water_taken(run)) for run in runs]
        return self.balances[slab].wetness_at(moment, taken, every_point=every_point)

    def _area_cm2(self, run: Run, layer: SlipLayer) -> float:
        return layer.area_cm2 or _COVERED_SHARE * self.balances[run.slab].size.usable_cm2

    def _water_taken(self, run: Run) -> WaterTaken:
        """Water that a run has given its slab by now, or by its end."""
        layer = self._layers.layer_of_run(run)
        area = self._area_cm2(run, layer)
        need = layer.water_mm * area / 10
        by_air = self.surroundings(run)[1] * minutes_between(run.started_at, run.ended_at or self.at) * area / 10
        alone = run.run not in self._accompanied[run.slab]
        if run.slab_before_g is not None and run.slab_after_g is not None and alone and run.ended_at is not None:
            return WaterTaken(
                max(run.slab_after_g - run.slab_before_g, 0.0),
                self._gain_sd_g(run.slab, (run.started_at, run.slab_before_g), (run.ended_at, run.slab_after_g)),
                "slab weighed before and after",
            )
        if run.poured_g is not None and run.clay_off_g is not None:
            lost = run.poured_g - run.clay_off_g - by_air
            if 0.3 * need < lost < 1.7 * need:
                return WaterTaken(lost, max(0.025 * run.poured_g, 0.3 * by_air), "slip poured and clay lifted off")
        if run.outcome is None:
            share, spread = self._share_so_far(run, layer), 0.2
        else:
            share, spread = _GIVEN_BY_OUTCOME.get(run.outcome, _GIVEN_ABANDONED)
        area_sd = 0.3 if layer.area_cm2 is None else 0.0
        sd = need * share * math.sqrt(spread**2 + layer.log_sd**2 + area_sd**2)
        return WaterTaken(max(need * share - by_air, 0.0), sd, "depth of slip and its water")

    def _gain_sd_g(self, slab: str, before: tuple[datetime, float], after: tuple[datetime, float]) -> float:
        """Spread of what a slab gained between two weighings, by drying meanwhile and by the steps of the scale."""
        steps = self.balances[slab].steps
        return math.sqrt(_GAIN_SD_G**2 + sum(rounding_variance(steps.step_of(*each)) for each in (before, after)))

    def _share_so_far(self, run: Run, layer: SlipLayer) -> float:
        """Share of its water that an open layer has lost: uptake goes with the square root of time."""
        felt = observed_workable_time(run, self._checks.get(run.run, []))
        elapsed = max(minutes_between(run.started_at, self.at), 0.0)
        if felt is not None and felt.high_min is not None:
            expected = felt.best_min or felt.high_min
        else:
            temp_c = self.surroundings(run)[0]
            usual = LayerConditions(layer.water_mm, UNKNOWN_WETNESS[0], self.capacity_mm(run.slab), temp_c)
            resistances = ResistanceFit().resistances(None, None, None)
            expected = math.exp(resistances.log_minutes(*usual.unit_times())[0])
        return min(math.sqrt(elapsed / max(expected, 1.0)), 1.2)
