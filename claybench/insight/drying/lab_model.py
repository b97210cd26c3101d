"""One lab's water and time put together: its layers, its slabs, its runs and the forecasts for them.

Built from plain rows in one go, as of one moment; each part is worked out when it is first asked for.
"""

from __future__ import annotations

from collections import defaultdict
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
    @pause_garbage_collection()
    def poured(self) -> dict[str, PouredLayer]:
        """Every run by its code, with the wetness it was begun at."""
        return {run.run: poured_layer(run, self.layers, self.slabs, self._checks) for run in self.runs}

    @cached_property
    def forecasts(self) -> LabForecasts:
        """Forecasts by all finished runs."""
        return LabForecasts(self.layers, self.slabs, self.poured)

    def open_layers(self, slab: str) -> list[PouredLayer]:
        """Layers that lie on a slab now."""
        return [self.poured[run.run] for run in self.slabs.open_runs(slab)]
