"""What has to leave each layer before it is workable: depth, slip, water, and how well each is known.

Rows of the record in, plain numbers out; how fast it goes is for `fit` and `forecast`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from claybench.errors import ClaybenchError
from claybench.facts.clay import PLAIN_SLIP_SG
from claybench.insight.settings import Settings
from claybench.mix.doses import is_deflocculant
from claybench.mix.slip import HEAVIEST_SOLIDS, LIGHTEST_SOLIDS, can_be_slip, dry_per_litre, slip_specific_gravity
from claybench.quantity.shown import plain
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine, Material, Run

USUAL_DEPTH_MM = 10.0
"""Depth of slip taken where nobody wrote one; common practice, no source."""


def _is_soluble(material: str, kind: str | None) -> bool:
    """Whether a material stays in the slab's face as salts when the water has gone."""
    return kind == "flocculant" or is_deflocculant(material, kind)


@dataclass(frozen=True, slots=True)
class Layer:
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


class Layers:
    """Works out layers from what the record says of runs, batches and bodies."""

    def __init__(
        self,
        *,
        settings: Settings,
        bodies: Iterable[Body],
        body_lines: Iterable[BodyLine] = (),
        batches: Iterable[Batch] = (),
        batch_lines: Iterable[BatchLine] = (),
        batch_log: Iterable[BatchEvent] = (),
        materials: Iterable[Material] = (),
    ) -> None:
        self.settings = settings
        self.bodies = {body.body: body for body in bodies}
        self.batches = {batch.batch: batch for batch in batches}
        weighed = sorted(
            (row for row in self.batches.values() if row.slip_sg is not None), key=lambda row: row.mixed_at
        )
        self._newest_sg = {row.body: row.slip_sg for row in weighed}
        """What the newest batch of a body weighed, for one that has no usual weight of its own."""
        materials, batch_lines, batch_log = list(materials), list(batch_lines), list(batch_log)
        gravity = {row.material: row.specific_gravity for row in materials}
        parts: dict[str, list[tuple[float, float | None]]] = defaultdict(list)
        for line in body_lines:
            parts[line.body].append((line.parts, gravity.get(line.material)))
        self._solids = {code: self._solids_sg(found) for code, found in parts.items()}
        self._weighed: dict[str, float] = defaultdict(float)
        for weighing in batch_lines:
            self._weighed[weighing.batch] += weighing.mass_g
        self._soluble = self._solubles(batch_lines, batch_log, {row.material: row.kind for row in materials})
        self._found: dict[str, Layer] = {}
        self._log: dict[str, list[BatchEvent]] = defaultdict(list)
        for event in batch_log:
            self._log[event.batch].append(event)

    def log(self, batch: str, until: datetime) -> list[BatchEvent]:
        """What was done to a batch by a moment."""
        return [event for event in self._log.get(batch, []) if event.at <= until]

    def weighed(self, batch: str) -> float:
        """All that was weighed into a batch, g."""
        return self._weighed.get(batch, 0.0)

    def soluble_g(self, batch: str, layer: Layer, usual_cm2: float) -> float:
        """Deflocculant and salts that a layer of a batch carried, g: its share of the batch by dry mass."""
        held = self._soluble.get(batch, 0.0)
        row = self.batches.get(batch)
        dry = (row.dry_mass_g if row is not None else None) or self._weighed.get(batch)
        if not held or not dry:
            return 0.0
        return held * min(layer.dry_per_area * (layer.area_cm2 or usual_cm2) / 10 / dry, 1.0)

    def _solubles(
        self, lines: list[BatchLine], log: list[BatchEvent], kinds: dict[str, str | None]
    ) -> dict[str, float]:
        """Grams of deflocculant and flocculant in each batch, as weighed and as added later."""
        found: dict[str, float] = defaultdict(float)
        for line in lines:
            if _is_soluble(line.material, kinds.get(line.material)):
                found[line.batch] += line.mass_g
        for code, batch in self.batches.items():
            if batch.deflocculant_g and code not in found:
                found[code] = batch.deflocculant_g
        for event in log:
            if event.material and _is_soluble(event.material, kinds.get(event.material)):
                found[event.batch] += event.mass_g or 0.0
        return dict(found)

    def body_of(self, run: Run) -> Body | None:
        """The body that was poured."""
        batch = self.batches.get(run.batch)
        return self.bodies.get(batch.body) if batch is not None else None

    def solids_sg(self, body: str | None) -> float:
        """Specific gravity of a body's dry materials, by volume."""
        return self._solids.get(body or "", self.settings.number("solids_sg"))

    def of_run(self, run: Run) -> Layer:
        """The layer of a run."""
        if run.run not in self._found:
            self._found[run.run] = self._of_run(run)
        return self._found[run.run]

    def _of_run(self, run: Run) -> Layer:
        body = self.body_of(run)
        missing: list[str] = []
        gravity = self._slip_sg(run, body, missing)
        depth, spread = run.layer_mm, 0.03
        if run.poured_g is not None and run.area_cm2:
            depth, spread = 10 * run.poured_g / gravity / run.area_cm2, 0.03
        if depth is None:
            depth, spread = USUAL_DEPTH_MM, 0.35
            missing.append("depth of slip not written, 10 mm taken")
        return self._layer(body, depth, gravity, run.area_cm2, spread, tuple(missing))

    def wanted(self, body: Body | None, depth_mm: float, area_cm2: float | None, slip_sg: float | None = None) -> Layer:
        """A layer that is only thought of."""
        missing: list[str] = []
        solids = self.solids_sg(body.body if body else None)
        gravity = slip_sg if slip_sg is not None and can_be_slip(slip_sg, solids) else self._usual_sg(body, missing)
        return self._layer(body, depth_mm, gravity, area_cm2, 0.03, tuple(missing))

    def _layer(
        self,
        body: Body | None,
        depth: float,
        gravity: float,
        area: float | None,
        spread: float,
        missing: tuple[str, ...],
    ) -> Layer:
        solids = self.solids_sg(body.body if body else None)
        dry = dry_per_litre(gravity, solids) / 1000  # g/mL, so kg/m² for each mm
        workable = self._workable(body)
        water = max(gravity - dry * (1 + workable), 0.02 * depth / max(depth, 1e-9) * gravity)
        rough = 0.25 if missing else 0.015
        return Layer(depth, gravity, dry * depth, water * depth, area, (spread**2 + rough**2) ** 0.5, missing)

    def _workable(self, body: Body | None) -> float:
        if body is not None and body.workable_water_pct:
            return body.workable_water_pct / 100
        return self.settings.number("workable_water_pct") / 100

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
        dry = batch.dry_mass_g or self._weighed.get(batch.batch)
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
        found = [event for event in self._log.get(batch, []) if event.slip_sg is not None and event.at <= moment]
        return max(found, key=lambda event: event.at).slip_sg if found else None

    def _solids_sg(self, parts: list[tuple[float, float | None]]) -> float:
        usual = self.settings.number("solids_sg")
        volume = sum(share / (gravity or usual) for share, gravity in parts)
        found = sum(share for share, _ in parts) / volume if volume > 0 else usual
        return found if LIGHTEST_SOLIDS <= found <= HEAVIEST_SOLIDS else usual
