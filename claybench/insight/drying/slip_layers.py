"""What has to leave each layer before it is workable: depth, slip, water, and how well each is known.

Rows of the record in, plain numbers out; how fast the water goes is for `resistance_fit` and `forecast`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from claybench.errors import ClaybenchError
from claybench.facts.clay import PLAIN_SLIP_SG
from claybench.insight.drying.composition import Composition, centred_shares
from claybench.insight.drying.lab_rows import LabRows
from claybench.insight.settings import Settings
from claybench.mix.doses import is_deflocculant
from claybench.mix.slip_formulas import (
    HEAVIEST_SOLIDS,
    LIGHTEST_SOLIDS,
    can_be_slip,
    dry_per_litre,
    slip_specific_gravity,
)
from claybench.quantity.shown import plain
from claybench.terms import BatchEvent, Body, Run

USUAL_DEPTH_MM = 10.0
"""Depth of slip taken where nobody wrote one; common practice, no source."""
_DEPTH_LOG_SD = 0.03
"""Spread of ln depth as read or as poured mass gives it; from memory."""
_USUAL_DEPTH_LOG_SD = 0.35
"""Spread of ln depth where nobody wrote one; from memory."""


@dataclass(frozen=True, slots=True)
class SlipLayer:
    """One layer of slip as poured, by area."""

    depth_mm: float
    slip_sg: float
    dry_per_area: float
    """Dry clay, kg/m²."""
    water_mm: float
    """Water it has to lose until workable, mm (kg/m²)."""
    area_cm2: float | None
    log_sd: float
    """Spread of ln(water_mm) that missing or rough entries leave."""
    missing: tuple[str, ...] = ()
    """What nobody wrote, in words."""

    @property
    def water_g(self) -> float | None:
        """Water the whole layer has to lose; None without its area."""
        return None if self.area_cm2 is None else self.water_mm * self.area_cm2 / 10


class SlipLayers:
    """Works out layers from what the record says of runs, batches and bodies."""

    def __init__(self, settings: Settings, rows: LabRows) -> None:
        self.settings = settings
        self.bodies = {body.body: body for body in rows.bodies}
        self.batches = {batch.batch: batch for batch in rows.batches}
        by_age = sorted((row for row in rows.batches if row.slip_sg is not None), key=lambda row: row.mixed_at)
        self._newest_sg = {row.body: row.slip_sg for row in by_age}
        """What the newest batch of a body weighed, for one that has no usual weight of its own."""
        gravity = {row.material: row.specific_gravity for row in rows.materials}
        parts: dict[str, list[tuple[float, float | None]]] = defaultdict(list)
        for line in rows.body_lines:
            parts[line.body].append((line.parts, gravity.get(line.material)))
        self._solids_sg = {code: self._mean_solids_sg(recipe) for code, recipe in parts.items()}
        self._weighed_g: dict[str, float] = defaultdict(float)
        for weighing in rows.batch_lines:
            self._weighed_g[weighing.batch] += weighing.mass_g
        self._batch_log: dict[str, list[BatchEvent]] = defaultdict(list)
        for event in rows.batch_log:
            self._batch_log[event.batch].append(event)
        self._layers: dict[str, SlipLayer] = {}
        kinds = {row.material: row.kind for row in rows.materials}
        weighed = [(line.batch, line.material) for line in rows.batch_lines]
        added = [(event.batch, event.material or "") for event in rows.batch_log]
        self._deflocculated_batches = {
            batch for batch, what in weighed + added if is_deflocculant(what, kinds.get(what))
        }
        self._deflocculated_batches |= {row.batch for row in rows.batches if row.deflocculant_g}
        recipes: dict[str, dict[str, float]] = defaultdict(dict)
        self._deflocculated_recipes = set()
        for line in rows.body_lines:
            if is_deflocculant(line.material, kinds.get(line.material)):
                self._deflocculated_recipes.add(line.body)
            else:
                recipes[line.body][line.material] = line.parts
        self._shares = centred_shares(recipes, {body.body: body.family for body in rows.bodies})

    def batch_log(self, batch: str, until: datetime) -> list[BatchEvent]:
        """What was done to a batch by a moment."""
        return [event for event in self._batch_log.get(batch, []) if event.at <= until]

    def composition(self, batch: str | None, body: Body | None) -> Composition:
        """What a slip is made of: deflocculated by what went into its batch or by its recipe, shares by its recipe."""
        code = body.body if body else ""
        deflocculated = batch in self._deflocculated_batches or code in self._deflocculated_recipes
        return Composition(deflocculated, self._shares.get(code, {}))

    def name_in_fit(self, body: str, deflocculated: bool) -> str:
        """The name that the fit knows a body by: deflocculated against its recipe, it dries as another one."""
        against = deflocculated and body not in self._deflocculated_recipes
        return f"{body}, deflocculated" if against else body

    def weighed_g(self, batch: str) -> float:
        """All that was weighed into a batch, g."""
        return self._weighed_g.get(batch, 0.0)

    def body_of_run(self, run: Run) -> Body | None:
        """The body that was poured."""
        batch = self.batches.get(run.batch)
        return self.bodies.get(batch.body) if batch is not None else None

    def solids_sg(self, body: str | None) -> float:
        """Specific gravity of a body's dry materials, by volume."""
        return self._solids_sg.get(body or "", self.settings.number_of("solids_sg"))

    def layer_of_run(self, run: Run) -> SlipLayer:
        """The layer of a run."""
        if run.run not in self._layers:
            self._layers[run.run] = self._recorded_layer(run)
        return self._layers[run.run]

    def proposed_layer(
        self, body: Body | None, depth_mm: float, area_cm2: float | None, slip_sg: float | None = None
    ) -> SlipLayer:
        """A layer that is only thought of."""
        missing: list[str] = []
        solids = self.solids_sg(body.body if body else None)
        gravity = slip_sg if slip_sg is not None and can_be_slip(slip_sg, solids) else self._usual_sg(body, missing)
        return self._layer(body, depth_mm, gravity, area_cm2, _DEPTH_LOG_SD, missing)

    def _recorded_layer(self, run: Run) -> SlipLayer:
        body = self.body_of_run(run)
        missing: list[str] = []
        gravity = self._slip_sg(run, body, missing)
        depth, log_sd = run.layer_mm, _DEPTH_LOG_SD
        if run.poured_g is not None and run.area_cm2:
            depth = 10 * run.poured_g / gravity / run.area_cm2
        if depth is None:
            depth, log_sd = USUAL_DEPTH_MM, _USUAL_DEPTH_LOG_SD
            missing.append("depth of slip not written, 10 mm taken")
        return self._layer(body, depth, gravity, run.area_cm2, log_sd, missing)

    def _layer(
        self,
        body: Body | None,
        depth_mm: float,
        slip_sg: float,
        area_cm2: float | None,
        depth_log_sd: float,
        missing: list[str],
    ) -> SlipLayer:
        dry = dry_per_litre(slip_sg, self.solids_sg(body.body if body else None)) / 1000  # g/mL, so kg/m² a mm
        water = max(slip_sg - dry * (1 + self._workable_water(body)), 0.02 * depth_mm / max(depth_mm, 1e-9) * slip_sg)
        slip_log_sd = 0.25 if missing else 0.015
        return SlipLayer(
            depth_mm=depth_mm,
            slip_sg=slip_sg,
            dry_per_area=dry * depth_mm,
            water_mm=water * depth_mm,
            area_cm2=area_cm2,
            log_sd=(depth_log_sd**2 + slip_log_sd**2) ** 0.5,
            missing=tuple(missing),
        )

    def _workable_water(self, body: Body | None) -> float:
        """Water when workable over dry clay."""
        if body is not None and body.workable_water_pct:
            return body.workable_water_pct / 100
        return self.settings.number_of("workable_water_pct") / 100

    def _slip_sg(self, run: Run, body: Body | None, missing: list[str]) -> float:
        solids = self.solids_sg(body.body if body else None)
        for gravity in self._written_sgs(run):
            if can_be_slip(gravity, solids):
                return gravity
            missing.append(f"slip of {plain(gravity)} cannot be of this body, not believed")
        return self._usual_sg(body, missing)

    def _written_sgs(self, run: Run) -> Iterator[float]:
        """What the record says of the slip's specific gravity, the nearest to the pour first."""
        if run.slip_sg is not None:
            yield run.slip_sg
        batch = self.batches.get(run.batch)
        if batch is None:
            return
        logged = self._logged_sg(batch.batch, run.started_at)
        if logged is not None:
            yield logged
        if batch.slip_sg is not None:
            yield batch.slip_sg
        dry = batch.dry_mass_g or self._weighed_g.get(batch.batch)
        if dry and batch.water_g:
            with suppress(ClaybenchError):
                yield slip_specific_gravity(dry, batch.water_g, self.solids_sg(batch.body))

    def _usual_sg(self, body: Body | None, missing: list[str]) -> float:
        solids = self.solids_sg(body.body if body else None)
        if body is not None and body.slip_sg is not None and can_be_slip(body.slip_sg, solids):
            return body.slip_sg
        newest = self._newest_sg.get(body.body) if body is not None else None
        if newest is not None and can_be_slip(newest, solids):
            return newest
        usual = min(PLAIN_SLIP_SG.value, (1 + solids) / 2)
        missing.append(f"weight of the slip not written, {plain(usual)} taken")
        return usual

    def _logged_sg(self, batch: str, moment: datetime) -> float | None:
        weighed = [event for event in self.batch_log(batch, moment) if event.slip_sg is not None]
        return max(weighed, key=lambda event: event.at).slip_sg if weighed else None

    def _mean_solids_sg(self, parts: list[tuple[float, float | None]]) -> float:
        """Specific gravity of materials by their parts; where it cannot be, the lab's usual one."""
        usual = self.settings.number_of("solids_sg")
        volume = sum(share / (gravity or usual) for share, gravity in parts)
        mean = sum(share for share, _ in parts) / volume if volume > 0 else usual
        return mean if LIGHTEST_SOLIDS <= mean <= HEAVIEST_SOLIDS else usual
