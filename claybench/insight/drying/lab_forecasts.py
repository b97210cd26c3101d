"""Forecasts for the layers of one lab, by a fit to its finished runs; what each forecast rests on, in words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime
from functools import cached_property

from claybench.insight.drying.composition import Composition
from claybench.insight.drying.face_history import FaceHistory
from claybench.insight.drying.finished_runs import FinishedRun
from claybench.insight.drying.forecast import Forecast, ForecastLayer, forecast
from claybench.insight.drying.lab_fit import LabFit, fit_lab
from claybench.insight.drying.lab_slabs import UNKNOWN_WETNESS, LabSlabs
from claybench.insight.drying.layer_conditions import LayerConditions, evaporation_mm_min, water_temp_c
from claybench.insight.drying.poured_layers import PouredLayer
from claybench.insight.drying.resistance_fit import ResistanceFit
from claybench.insight.drying.slip_layers import SlipLayer, SlipLayers
from claybench.insight.slab_water.wetness import BY_SOAKING, CAPACITY_LOG_SD
from claybench.quantity.shown import percent, show
from claybench.terms import Body

_PLASTER_LOG_SD = 0.03
"""Spread of what a lab's plaster makes all its slabs hold, however that is parted; from memory."""


class LabForecasts:
    """Forecasts by some of a lab's runs: all of them, or those that were known at an earlier moment."""

    def __init__(
        self,
        layers: SlipLayers,
        slabs: LabSlabs,
        poured: Mapping[str, PouredLayer],
        fitted: LabFit | None = None,
    ) -> None:
        self._layers = layers
        self._slabs = slabs
        self.poured = poured
        """The runs, by code."""
        self._given_fit = fitted

    @cached_property
    def fitted(self) -> LabFit:
        """Resistances and the history of each face: what was given, else by the finished runs."""
        if self._given_fit is not None:
            return self._given_fit
        return fit_lab([run for slab in self._slabs.runs_on for run in self.finished_runs(slab)])

    @property
    def fit(self) -> ResistanceFit:
        """Resistances of bodies and slabs."""
        return self.fitted.fit

    def histories(self, slab: str) -> dict[str | None, FaceHistory]:
        """What each face of a slab has become since it was cast or resurfaced, by the finished runs on it."""
        surface = self._slabs.surface_name(slab, self._slabs.at)
        return {face: each for (name, face), each in self.fitted.histories.items() if name == surface}

    def log_capacity(self, slab: str, moment: datetime) -> tuple[float, float]:
        """ln of what a slab holds over what its size and mix say, by the times of its layers; and its spread.

        A slab that was weighed soaked full goes by that, and its layers say little more. What all slabs of the lab have
        in common is left out: it is the law's constant more than their plaster, by which the spread is wider.
        """
        mean, sd = self.fit.grid_of(self._slabs.surface_name(slab, moment)).own
        balance = self._slabs.balances.get(slab)
        if balance is None or balance.capacity_basis != BY_SOAKING:
            return mean, math.hypot(sd, _PLASTER_LOG_SD)
        # the layers alone say what the fit says less its prior; the soaking takes the place of that
        layers = max(1 / sd**2 - 1 / CAPACITY_LOG_SD**2, 0.0)
        precision = layers + 1 / balance.capacity_log_sd**2
        return (mean / sd**2 / precision if layers else 0.0), precision**-0.5

    def with_runs(self, poured: Mapping[str, PouredLayer], fitted: LabFit | None = None) -> LabForecasts:
        """Forecasts as if these were all runs; their fit made anew where none is given."""
        return LabForecasts(self._layers, self._slabs, poured, fitted)

    def finished_runs(self, slab: str) -> list[FinishedRun]:
        """A slab's finished runs that say something of time, in order."""
        layers = (self.poured.get(run.run) for run in self._slabs.runs_on.get(slab, []))
        return [run for layer in layers if layer is not None and (run := self._finished_run(layer)) is not None]

    def _finished_run(self, poured: PouredLayer) -> FinishedRun | None:
        time, body = poured.time, poured.body
        if poured.lies_there or time is None or not time.modelled or (time.low_min <= 0 and time.high_min is None):
            return None
        return FinishedRun(
            run=poured.run.run,
            body=self._name_in_fit(body, poured.composition) or "",
            family=(body.family or "") if body else "",
            slab=self._slabs.surface_name(poured.run.slab, poured.run.started_at),
            conditions=poured.conditions,
            layer_log_sd=poured.layer.log_sd,
            wetness_sd=poured.water_sd,
            low_min=time.low_min,
            high_min=time.high_min,
            face=poured.run.face,
            composition=poured.composition,
        )

    def forecast_run(self, code: str) -> Forecast:
        """A run from its start; an open one conditioned on its checks."""
        poured = self.poured[code]
        slab, body = poured.run.slab, poured.body
        surface = self._slabs.surface_name(slab, poured.run.started_at)
        layer = ForecastLayer(
            body=body.body if body else None,
            family=body.family if body else None,
            slab=surface,
            conditions=poured.conditions,
            layer_log_sd=poured.layer.log_sd,
            wetness_sd=poured.water_sd,
            face=self.fitted.face_now(surface, poured.run.face),
            body_in_fit=self._name_in_fit(body, poured.composition),
            composition=poured.composition,
        )
        known = slab in self._slabs.balances
        ratio = math.exp(self.log_capacity(slab, poured.run.started_at)[0]) if known else 1.0
        because = self._because(layer, slab, min(poured.wetness / ratio, 1.0), poured.layer)
        floor = poured.last_not_yet_min if poured.lies_there else 0.0
        if floor:
            because = (*because, f"not yet workable at {show(floor, 'min', digits=0)}")
        return forecast(self.fit, layer, not_before_min=floor, because=because, slab=slab, run=code)

    def forecast_layer(
        self,
        body: Body | None,
        slab: str,
        depth_mm: float,
        *,
        slip_sg: float | None = None,
        wetness: float | None = None,
        batch: str | None = None,
    ) -> Forecast:
        """A layer that is only thought of, poured now; or when the slab will be so wet, known as well as now.

        `wetness` is a share of what the slab holds by the fit, as everything shown is.

        `batch` is the slip's, where it is mixed already.
        """
        composition = self._layers.composition(batch, body)
        now = self._slabs.wetnesses[slab]
        slip = self._layers.proposed_layer(body, depth_mm, None, slip_sg)
        share, sd, skin = *UNKNOWN_WETNESS, 0.0
        if now.now is not None and now.sd_g is not None:
            share = now.now if wetness is None else wetness
            skin, skin_sd = now.skin if wetness is None else (0.0, 0.0)
            sd = math.hypot(now.sd_g / now.capacity_g, skin_sd)
        elif wetness is not None:
            share = wetness
        surface = self._slabs.surface_name(slab, self._slabs.at)
        shown = share
        if wetness is not None:
            share *= math.exp(self.log_capacity(slab, self._slabs.at)[0])
        else:
            shown /= math.exp(self.log_capacity(slab, self._slabs.at)[0])
        layer = ForecastLayer(
            body=body.body if body else None,
            family=body.family if body else None,
            slab=surface,
            conditions=LayerConditions(
                slip.water_mm,
                min(share + skin, 0.9),
                self._slabs.capacity_mm(slab),
                water_temp_c(now.air.temp_c),
                evaporation_mm_min(now.air),
            ),
            layer_log_sd=slip.log_sd,
            wetness_sd=sd,
            face=self.fitted.face_now(surface, None),
            body_in_fit=self._name_in_fit(body, composition),
            composition=composition,
        )
        return forecast(self.fit, layer, because=self._because(layer, slab, shown, slip), slab=slab)

    def log_relative_time(self, body: str, reference: str, family: str) -> tuple[float, float]:
        """ln of a body's time over another's for 10 mm at 20 °C on a dry slab, and its variance."""
        layer = self._layers.proposed_layer(self._layers.bodies.get(body), 10.0, None)
        unit_times = LayerConditions(layer.water_mm, 0.0, 20.0, 20.0).unit_times()
        return self.fit.log_time_ratio(body, reference, family, unit_times)

    def _because(self, layer: ForecastLayer, slab: str, wetness: float, slip: SlipLayer) -> tuple[str, ...]:
        """What a forecast rests on."""
        now, groups = self._slabs.wetnesses.get(slab), self.fit.groups
        of_body = groups.runs_of_body.get(layer.body_in_fit or "", 0)
        of_slab = groups.runs_of_slab.get(layer.slab, 0)
        known = now is not None and now.now is not None
        return (
            f"{show(slip.depth_mm, 'mm', figures=3)} of slip, {show(slip.water_mm, 'mm', figures=2)} of water to lose",
            f"slab {slab} {percent(wetness)} wet" if known else f"how wet slab {slab} is, nobody knows",
            f"{layer.body_in_fit} dried {_times(of_body)} before"
            if layer.body is not None
            else "the body is not known",
            f"{_times(of_slab)} on this slab{'' if layer.slab == slab else ' since it was resurfaced'}",
            *self._because_of_change(layer),
            *slip.missing,
        )

    def _because_of_change(self, layer: ForecastLayer) -> tuple[str, ...]:
        """What has become of the face, and what the slip is thinned with."""
        parts = []
        if not layer.face.by_fit:
            parts.append(f"its face draws {percent(math.exp(-layer.face.shift / 2))} as fast as at first")
        of_lab = self.fit.groups.compositions.values()
        if layer.composition.deflocculated and not any(each.deflocculated for each in of_lab):
            parts.append("deflocculated slip gives up its water more slowly, by how much this lab has not seen yet")
        return tuple(parts)

    def _name_in_fit(self, body: Body | None, composition: Composition) -> str | None:
        return None if body is None else self._layers.name_in_fit(body.body, composition.deflocculated)


def _times(count: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")
