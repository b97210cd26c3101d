"""Every run of a lab as a poured layer: what lay there, how wet its slab was, and when it became workable."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from claybench.insight.drying.composition import NOTHING_KNOWN, Composition
from claybench.insight.drying.lab_slabs import UNKNOWN_WETNESS, LabSlabs
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.insight.drying.slip_layers import SlipLayer, SlipLayers
from claybench.insight.workable_interval import NOT_YET_WORKABLE, WorkableTime, minutes_between, observed_workable_time
from claybench.terms import Body, Check, Run

_WETTEST_START = 0.9
_NOMINAL_CAPACITY_MM = 20.0
"""Capacity of a slab that is not in the record: 45 mm thick, as most are; from memory."""


@dataclass(frozen=True, slots=True)
class PouredLayer:
    """One run with what can be said of it."""

    run: Run
    body: Body | None
    layer: SlipLayer
    checks: tuple[Check, ...]
    time: WorkableTime | None
    wetness: float
    water_sd: float
    """Spread of the wetness apart from the doubt about the slab's capacity."""
    conditions: LayerConditions
    composition: Composition = NOTHING_KNOWN

    @property
    def lies_there(self) -> bool:
        """Whether it was not lifted yet."""
        return self.run.outcome is None

    @property
    def last_not_yet_min(self) -> float:
        """Minutes to the last touch at which it was not yet workable; 0 where there is none."""
        early = [
            minutes_between(self.run.started_at, check.at) for check in self.checks if check.feel in NOT_YET_WORKABLE
        ]
        return max(early, default=0.0)


def poured_layer(run: Run, layers: SlipLayers, slabs: LabSlabs, checks: Mapping[str, list[Check]]) -> PouredLayer:
    """One run, with the wetness it was begun at."""
    layer, own_checks = layers.layer_of_run(run), tuple(checks.get(run.run, ()))
    wetness, sd = UNKNOWN_WETNESS
    water_sd, skin, skin_sd = sd, 0.0, 0.0
    capacity_mm = _NOMINAL_CAPACITY_MM
    temp_c, by_air = slabs.settings.number_of("room_temp_c"), 0.0
    if run.slab in slabs.balances:
        now, capacity_g = slabs.wetnesses[run.slab], slabs.balances[run.slab].capacity_g
        start = now.starts.get(run.run)
        if start is not None:
            wetness = min(max(start[0] / capacity_g, 0.0), 1.0)
            water_sd = start[1] / capacity_g
            skin, skin_sd = now.skins[run.run]
        capacity_mm = slabs.capacity_mm(run.slab)
        temp_c, by_air = slabs.surroundings(run)
    body = layers.body_of_run(run)
    return PouredLayer(
        run=run,
        body=body,
        layer=layer,
        checks=own_checks,
        time=observed_workable_time(run, own_checks),
        wetness=wetness,
        water_sd=math.hypot(water_sd, skin_sd),
        conditions=LayerConditions(layer.water_mm, min(wetness + skin, _WETTEST_START), capacity_mm, temp_c, by_air),
        composition=layers.composition(run.batch, body),
    )
