"""One lab's water and time put together: its layers, its slabs, its runs and the forecasts for them.

Built from plain rows in one go, as of one moment; each part is worked out when it is first asked for.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from datetime import datetime, tzinfo
from functools import cached_property
from operator import attrgetter

from claybench.insight.drying.lab_forecasts import LabForecasts
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.drying.lab_slabs import LabSlabs
from claybench.insight.drying.poured_layers import PouredLayer, poured_layer
from claybench.insight.drying.slip_layers import SlipLayers
from claybench.insight.drying.soluble_salts import SolubleSalts
from claybench.insight.garbage_pause import pause_garbage_collection
from claybench.insight.settings import Settings
from claybench.insight.slab_water.wetness import Wetness
from claybench.terms import Check


class LabModel:
    """What one lab's record says about water and time."""

    @pause_garbage_collection()
    def __init__(self, rows: LabRows, *, at: datetime, zone: tzinfo, settings: Settings) -> None:
        self.rows = rows
        self.at = at
        self.zone = zone
        self.settings = settings
        self.runs = sorted(rows.runs, key=attrgetter("started_at", "run"))
        """In order of their pour."""
        self._checks: dict[str, list[Check]] = defaultdict(list)
        for check in sorted(rows.checks, key=attrgetter("at")):
            self._checks[check.run].append(check)
        self.layers = SlipLayers(settings, rows)
        self.slabs = LabSlabs(rows, self.layers, self.runs, self._checks, at=at, zone=zone, settings=settings)

    @cached_property
    def salts(self) -> SolubleSalts:
        """Deflocculant and flocculant in each batch."""
        return SolubleSalts(self.rows, self.layers)

    @cached_property
    def poured(self) -> dict[str, PouredLayer]:
        """Every run by its code, with the wetness it was begun at: of what its slab holds by the fit."""
        return {code: self._as_shown(each) for code, each in self.forecasts.poured.items()}

    @cached_property
    def wetnesses(self) -> dict[str, Wetness]:
        """Every slab's wetness now, of what it holds by the fit: whatever is shown or decided goes by this.

        The fit itself goes by what size and mix say a slab holds (`slabs.wetnesses`), and weighs what it really may.
        """
        return {
            code: wet.with_capacity(*self.forecasts.log_capacity(code, self.at))
            for code, wet in self.slabs.wetnesses.items()
        }

    def wetness_at(self, slab: str, moment: datetime) -> float | None:
        """How wet a slab was at an earlier moment, of what it holds by the fit."""
        wetness = self.slabs.wetness_at(slab, moment)
        return None if wetness is None else self._share_held(wetness, slab, moment)

    @cached_property
    @pause_garbage_collection()
    def forecasts(self) -> LabForecasts:
        """Forecasts by all finished runs."""
        poured = {run.run: poured_layer(run, self.layers, self.slabs, self._checks) for run in self.runs}
        return LabForecasts(self.layers, self.slabs, poured)

    def _as_shown(self, poured: PouredLayer) -> PouredLayer:
        run = poured.run
        return replace(poured, wetness=self._share_held(poured.wetness, run.slab, run.started_at))

    def _share_held(self, wetness: float, slab: str, moment: datetime) -> float:
        if slab not in self.slabs.balances:
            return wetness
        return min(wetness / math.exp(self.forecasts.log_capacity(slab, moment)[0]), 1.0)

    def open_layers(self, slab: str) -> list[PouredLayer]:
        """Layers that lie on a slab now."""
        return [self.poured[run.run] for run in self.slabs.open_runs(slab)]
