"""A made-up lab of any number of runs, as rows in memory: what the record would hand to the model."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from claybench.insight.drying.lab_rows import ROW_TYPES, LabRows
from claybench.insight.drying.layer_conditions import LayerConditions
from claybench.terms import (
    Air,
    Batch,
    BatchEvent,
    BatchLine,
    Body,
    BodyLine,
    Check,
    Family,
    Instrument,
    Material,
    Run,
    Slab,
    SlabEvent,
)

START = datetime(2020, 1, 6, 9, 0, tzinfo=UTC)
_MATERIALS = ("ball clay", "fire clay", "feldspar", "flint")
_FAMILIES = ("white", "buff", "red", "black")


@dataclass(slots=True)
class MadeLab:
    """Rows by table, under the names the model takes them by."""

    at: datetime = START
    families: list[Family] = field(default_factory=list)
    slabs: list[Slab] = field(default_factory=list)
    events: list[SlabEvent] = field(default_factory=list)
    air: list[Air] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    bodies: list[Body] = field(default_factory=list)
    body_lines: list[BodyLine] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)
    batch_lines: list[BatchLine] = field(default_factory=list)
    batch_log: list[BatchEvent] = field(default_factory=list)
    materials: list[Material] = field(default_factory=list)
    instruments: list[Instrument] = field(default_factory=list)

    def rows(self) -> LabRows:
        """What a `LabModel` is built from."""
        return LabRows(**{name: list(getattr(self, name)) for name in ROW_TYPES})


def make_lab(runs: int, *, slabs: int = 40, bodies: int = 3000, seed: int = 1) -> MadeLab:
    """A lab that dried so many layers, two a slab on each working day, three quarters of them with weighings.

    Every slab keeps to one family; each batch makes two layers; each layer is touched twice or thrice. The times
    are made from true parts of bodies and slabs, so that the fit has something to find.
    """
    draw = random.Random(seed)
    lab = MadeLab()
    lab.families = [Family(family=name, stain_rank=rank) for rank, name in enumerate(_FAMILIES)]
    lab.materials = [Material(material=name, specific_gravity=2.6) for name in _MATERIALS]
    of_family: dict[str, list[str]] = {name: [] for name in _FAMILIES}
    resist = _bodies(lab, draw, bodies, of_family)
    held = _slabs(lab, draw, slabs)
    day = 0
    while len(lab.runs) < runs:
        if day % 7 < 5:
            lab.air.append(Air(at=START + timedelta(days=day), place="shelf", air_temp_c=draw.uniform(15, 24),
                               air_rh_pct=draw.uniform(40, 70)))  # fmt: skip
            for slab in lab.slabs:
                for turn in range(2):
                    if len(lab.runs) < runs:
                        _layer(lab, draw, slab, day, turn, of_family[slab.family or ""], resist, held)
        day += 1
    lab.at = START + timedelta(days=day)
    return lab


def _bodies(lab: MadeLab, draw: random.Random, count: int, of_family: dict[str, list[str]]) -> dict[str, float]:
    resist = {}
    for number in range(count):
        family = _FAMILIES[number % len(_FAMILIES)]
        code = f"{family[0].upper()}-{number:04d}"
        resist[code] = math.exp(0.45 + draw.gauss(0, 0.3))
        of_family[family].append(code)
        lab.bodies.append(Body(body=code, family=family, control=number < len(_FAMILIES), workable_water_pct=25.0,
                               slip_sg=1.45))  # fmt: skip
        lab.body_lines += [BodyLine(body=code, position=at, material=name, parts=25.0)
                           for at, name in enumerate(_MATERIALS, 1)]  # fmt: skip
    return resist


def _slabs(lab: MadeLab, draw: random.Random, count: int) -> dict[str, float]:
    held = {}
    for number in range(count):
        code = f"P{number:02d}"
        lab.slabs.append(Slab(slab=code, family=_FAMILIES[number % len(_FAMILIES)], length_mm=500, width_mm=400,
                              thickness_mm=45, mix_ratio=70.0))  # fmt: skip
        lab.events.append(SlabEvent(slab=code, at=START - timedelta(hours=1), event="weighed_dry", mass_g=10_000.0))
        held[code] = math.exp(-2.2 + draw.gauss(0, 0.3))
    return held


def _layer(
    lab: MadeLab, draw: random.Random, slab: Slab, day: int, turn: int, bodies: list[str], resist: dict[str, float],
    held: dict[str, float],
) -> None:  # fmt: skip
    number = len(lab.runs)
    started = START + timedelta(days=day, hours=4 * turn, minutes=draw.uniform(0, 20))
    if number % 2 == 0 or not lab.batches:
        _batch(lab, draw, draw.choice(bodies), started - timedelta(hours=1))
    batch = lab.batches[-1]
    wet = draw.uniform(0.05, 0.4)
    depth = draw.uniform(7, 12)
    p, q = LayerConditions(0.52 * depth, wet, 20.0, 20.0).unit_times()
    minutes = (resist[batch.body] * p + held[slab.slab] * q) * math.exp(draw.gauss(0, 0.08))
    minutes = min(max(minutes, 10.0), 200.0)
    run = f"D{number:06d}"
    seen = minutes * draw.uniform(1.02, 1.15)
    for share, feel in ((0.5, "fluid"), (0.9, "sticky")):
        lab.checks.append(Check(run=run, at=started + timedelta(minutes=share * minutes), feel=feel))
    lab.checks.append(Check(run=run, at=started + timedelta(minutes=seen), feel="workable"))
    before = 10_000.0 + 2800 * wet if draw.random() < 0.75 else None
    lab.runs.append(
        Run(run=run, batch=batch.batch, slab=slab.slab, face="form", started_at=started, layer_mm=depth,
            area_cm2=1600.0, slab_before_g=before, slab_after_g=None if before is None else before + 83 * depth,
            ended_at=started + timedelta(minutes=seen + 2), outcome="workable")
    )  # fmt: skip


def _batch(lab: MadeLab, draw: random.Random, body: str, at: datetime) -> None:
    code = f"M{len(lab.batches):06d}"
    lab.batches.append(Batch(batch=code, body=body, made="slip", mixed_at=at, dry_mass_g=4000.0, water_g=4200.0))
    lab.batch_lines += [BatchLine(batch=code, position=at_, material=name, mass_g=1000.0)
                        for at_, name in enumerate(_MATERIALS, 1)]  # fmt: skip
    if draw.random() < 0.2:
        lab.batch_log.append(BatchEvent(batch=code, at=at + timedelta(minutes=20), event="screened", slip_sg=1.45))
