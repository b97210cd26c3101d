"""A batch on its way into the bucket: what to weigh, what went in, the water that then belongs to it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from claybench.ask.sizing_start import SHELF_TABLES, resolve_recipe, shelf_from
from claybench.ask.snapshot import Snapshot, take_snapshot
from claybench.errors import BadInput
from claybench.insight.batch_notes import doses_in_log, sized_for_each
from claybench.insight.settings import Settings
from claybench.mix.batch_weights import (
    BucketLine,
    dry_body_mass,
    lot_water_mass,
    recorded_mass,
    recorded_masses,
    scale_up_factor,
    water_to_add,
    weigh_material,
)
from claybench.mix.material_cautions import MaterialCare
from claybench.mix.portions import bucket_load, largest_filling, rounded_to_scale, split_into_portions
from claybench.mix.sized_for import SizedFor
from claybench.quantity.shown import plain
from claybench.record.lab import Lab
from claybench.terms import Batch, BatchEvent, BatchLine, Body, BodyLine

WEIGHING_TABLES = (Batch, BatchLine, BatchEvent, Body, BodyLine, *SHELF_TABLES)
"""What a snapshot holds that a batch is weighed out from."""


@dataclass(frozen=True, slots=True)
class WeighingLine:
    """One material of a batch on its way into the bucket."""

    material: str
    lot: str | None
    moisture_pct: float
    share_pct: float
    """Share of the body's dry mass, dry; additions on top of 100; 0 where the recipe no longer names the material."""
    target_g: float | None
    """Moist, nothing rounded; None where the recipe no longer names it."""
    weigh_g: float | None
    """Its target as the scale should show it."""
    weighed_g: float | None
    addition: bool = False
    """On top of the body: its dry mass is not the batch's."""
    basis: str = ""
    """What the dose of an addition speaks of, in words."""

    @property
    def put_in(self) -> BucketLine:
        """What is in the bucket of it, or will be."""
        mass = self.weighed_g if self.weighed_g is not None else self.weigh_g or 0.0
        return BucketLine(mass, self.moisture_pct, self.addition)

    def missing_g(self, step_g: float) -> float:
        """What is missing to its target, of a material that was weighed: more than rounding leaves."""
        if self.weighed_g is None or self.weigh_g is None or self.weigh_g - self.weighed_g < 0.75 * step_g:
            return 0.0
        return rounded_to_scale(self.weigh_g - self.weighed_g, step_g)


@dataclass(frozen=True, slots=True)
class Overshoot:
    """What a batch becomes where too much of one material went in and everything else follows it."""

    material: str
    over_g: float
    times: float
    """How many times as large the batch becomes."""
    dry_g: float
    water_g: float | None
    """All water then; None where that was not sized."""
    lines: tuple[WeighingLine, ...]
    """Every material with its new target."""
    water_to_add_g: float | None
    pieces: int | None
    """Pieces it gives then; None where it was not sized from pieces."""
    step_g: float

    def next_line(self, at: int) -> int:
        """What to weigh after line `at`: first what was weighed before and wants more, then the next material."""
        return next((n for n, line in enumerate(self.lines) if line.missing_g(self.step_g)), at + 1)

    @property
    def words(self) -> str:
        """What of the others makes the recipe right again, and what the batch becomes."""
        parts = []
        for line in self.lines:
            if line.weigh_g is None or line.material == self.material:
                continue
            more = line.missing_g(self.step_g)
            if line.weighed_g is None:
                parts.append(f"{line.material} {plain(line.weigh_g)} g")
            elif more:
                parts.append(f"{plain(more)} g more {line.material}")
        if self.water_to_add_g is not None:
            parts.append(f"water {plain(self.water_to_add_g)} g")
        becomes = f"{plain(self.dry_g, 0)} g dry" + ("" if self.pieces is None else f", {self.pieces} pieces")
        return f"{', '.join(parts)}: the batch becomes {becomes}"


@dataclass(frozen=True, slots=True)
class WeighingOut:
    """A batch being weighed out: what is in, what comes next, and the water that then belongs to it."""

    batch: Batch
    lines: tuple[WeighingLine, ...]
    settings: Settings
    care: dict[str, MaterialCare]
    """What the lab says of each material."""
    sized_for: SizedFor | None = None

    @property
    def step_g(self) -> float:
        """Step of the scale."""
        return self.settings.number_of("scale_step_g")

    @property
    def next(self) -> int | None:
        """The first line not yet weighed; None when all are."""
        return next((index for index, line in enumerate(self.lines) if line.weighed_g is None), None)

    @property
    def begun(self) -> bool:
        """Whether anything is in the bucket."""
        return any(line.weighed_g is not None for line in self.lines)

    @property
    def so_far_g(self) -> float:
        """All that is in the bucket."""
        return math.fsum(line.weighed_g or 0.0 for line in self.lines)

    @property
    def in_bucket(self) -> list[BucketLine]:
        """What was really put in."""
        return [line.put_in for line in self.lines if line.weighed_g is not None]

    @property
    def dry_g(self) -> float:
        """Dry mass of the body that was put in, additions not counted."""
        return dry_body_mass(self.in_bucket)

    @property
    def lot_water_g(self) -> float:
        """Water that moist lots and solutions brought."""
        return lot_water_mass(self.in_bucket)

    @property
    def water_to_add_g(self) -> float | None:
        """Water that makes the slip as sized, of what was really put in and, for the rest, of its targets; None
        where that was not sized."""
        return self._water(self.batch.dry_mass_g, self.batch.water_g, self.lines)

    def _water(self, dry_g: float | None, water_g: float | None, lines: tuple[WeighingLine, ...]) -> float | None:
        if not dry_g or water_g is None:
            return None
        return water_to_add([line.put_in for line in lines], water_g / dry_g, self.step_g)

    def target_of(self, at: int) -> float | None:
        """What is to be put in of line `at`, g; of the water after the last line."""
        return self.lines[at].weigh_g if at < len(self.lines) else self.water_to_add_g

    def before_g(self, at: int) -> float:
        """What is in the bucket of the lines before `at`."""
        return math.fsum(line.weighed_g or 0.0 for line in self.lines[:at])

    def put_in_g(self, at: int, read_g: float, *, on_top: bool = False, all_so_far: bool = False) -> float:
        """Mass of line `at` alone, g, from what the scale shows.

        `on_top`: what was read is added to what is in of it; `all_so_far`: the scale was tared once, before the first.

        Raises
        ------
        BadInput
            Nothing, or less than what is in the bucket already.
        """
        if at < len(self.lines):
            read_g += (self.lines[at].weighed_g or 0.0) if on_top else -self.before_g(at) if all_so_far else 0.0
        if read_g <= 0:
            less = "That is less than what is in the bucket already."
            raise BadInput(
                less if all_so_far else "A weight is more than nothing.",
                "Ctrl+t says whether the scale shows all so far or this material alone.",
            )
        return round(read_g, 6)

    def fillings(self, mass_g: float) -> list[float]:
        """Masses, g, in which so much goes into the weighing bucket, as far as bucket and scale take it.

        Raises
        ------
        OutOfRange
            A bucket or scale that takes no step of the scale, or too many fillings.
        """
        bucket = bucket_load(self.settings.number_of("weighing_bucket_ml"))
        most = largest_filling(self.step_g, bucket, self.settings.number_of("scale_largest_g"))
        return [part.mass_g for part in split_into_portions([("", mass_g)], self.step_g, most)]

    def masses_with(self, water_g: float) -> tuple[float, float]:
        """Dry mass and all water of the batch, as they are recorded once so much water was put to it."""
        return recorded_masses(self.in_bucket, water_g)

    def overshot(self, at: int, mass_g: float) -> Overshoot | None:
        """What becomes of the batch if so much of a line is in.

        None where it is no more than its target, rounded, and for the water, which comes after the last line.
        """
        if at >= len(self.lines):
            return None
        line, batch = self.lines[at], self.batch
        if line.target_g is None or line.weigh_g is None or not batch.dry_mass_g:
            return None
        if mass_g - line.weigh_g < 0.75 * self.step_g:
            return None
        times = scale_up_factor(mass_g, line.target_g)
        dry = recorded_mass(batch.dry_mass_g * times)
        water = None if batch.water_g is None else recorded_mass(batch.water_g * times)
        lines = tuple(_of_size(each, dry, self.step_g) for each in self.lines)
        lines = (*lines[:at], replace(lines[at], weighed_g=mass_g), *lines[at + 1 :])
        sized = self.sized_for
        return Overshoot(
            material=line.material,
            over_g=mass_g - line.weigh_g,
            times=times,
            dry_g=dry,
            water_g=water,
            lines=lines,
            water_to_add_g=self._water(dry, water, tuple(_topped_up(each, self.step_g) for each in lines)),
            pieces=None if sized is None else sized.pieces_of(dry),
            step_g=self.step_g,
        )


def _topped_up(line: WeighingLine, step_g: float) -> WeighingLine:
    """A line with what is missing of it put in."""
    return replace(line, weighed_g=line.weigh_g) if line.missing_g(step_g) else line


def _of_size(line: WeighingLine, batch_dry_g: float, step_g: float) -> WeighingLine:
    """A line with its target in a batch of this dry mass."""
    if not line.share_pct:
        return line
    weight = weigh_material(batch_dry_g, line.share_pct, line.moisture_pct, step_g)
    return replace(line, target_g=weight.moist_g, weigh_g=weight.rounded_g)


def weighing_out(lab: Lab, code: str) -> WeighingOut:
    """A batch to weigh out, with the additions that it was sized with."""
    snapshot = take_snapshot(lab, *WEIGHING_TABLES)
    batch = snapshot.find_row(Batch, code)
    if batch is None:
        with lab.reading() as record:
            batch = record.one(Batch, code)
    if not batch.dry_mass_g:
        raise BadInput(
            f"Batch {batch.batch} has no dry mass to weigh out.",
            "Enter it, or size the batch first.",
            field="dry_mass_g",
        )
    return weighing_from(snapshot, batch)


def weighing_targets(lab: Lab, code: str) -> dict[str, float]:
    """What is to be weighed into a batch, g, by material in small letters; empty where its dry mass is not known."""
    snapshot = take_snapshot(lab, *WEIGHING_TABLES)
    batch = snapshot.find_row(Batch, code)
    if batch is None or not batch.dry_mass_g:
        return {}
    lines = weighing_from(snapshot, batch).lines
    return {line.material.casefold(): line.weigh_g for line in lines if line.weigh_g is not None}


def weighing_from(snapshot: Snapshot, batch: Batch) -> WeighingOut:
    """A batch to weigh out, from a snapshot with `WEIGHING_TABLES`; without a dry mass it has no targets."""
    log = [row for row in snapshot.rows(BatchEvent) if row.batch == batch.batch]
    parts, additions = resolve_recipe(snapshot, batch.body, doses_in_log(log))
    known = shelf_from(snapshot)
    own = sorted((row for row in snapshot.rows(BatchLine) if row.batch == batch.batch), key=lambda row: row.position)
    weighed = {row.material.casefold(): row for row in own}
    total = math.fsum(part.parts for part in parts)
    wanted = [(part.material, 100 * part.parts / total, False, "") for part in parts if part.parts > 0]
    wanted += [(each.material, each.pct_of_dry, True, each.basis) for each in additions if each.pct_of_dry > 0]
    named = {name.casefold() for name, *_ in wanted}
    wanted += [(row.material, 0.0, True, "") for row in own if row.material.casefold() not in named]
    step = snapshot.settings.number_of("scale_step_g")
    lines = []
    for name, share, addition, basis in wanted:
        row = weighed.get(name.casefold())
        lot = known.lot(name, row.lot if row is not None else None)
        line = WeighingLine(
            material=name,
            lot=lot.lot if lot is not None else None,
            moisture_pct=(lot.moisture_pct if lot is not None else None) or 0.0,
            share_pct=share,
            target_g=None,
            weigh_g=None,
            weighed_g=row.mass_g if row is not None else None,
            addition=addition,
            basis=basis,
        )
        lines.append(_of_size(line, batch.dry_mass_g, step) if batch.dry_mass_g else line)
    care = known.care(line.material for line in lines)
    return WeighingOut(batch, tuple(lines), snapshot.settings, care, sized_for_each(log).get(batch.batch))
