"""Makes a lab from a seed, by physics and habits of its own: what was written down, and what truly happened.

`make_other_lab(7, days=125, changes=["half", Change("slide_quarter", "S3", day=50)])`, from `other_truth` the kinds
and the truth. All data are invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np

from claybench.terms import Air, Batch, BatchLine, SlabEvent
from tests.campaign.other_air import DAY_MIN, Weather, make_weather
from tests.campaign.other_changes import Changing, plan_changes
from tests.campaign.other_people import closed_days, make_people, on_scale, rounded
from tests.campaign.other_recipes import (
    SODA,
    SOLIDS_SG,
    MadeBody,
    family_rows,
    make_body,
    material_rows,
    water_over_solids,
)
from tests.campaign.other_runs import Bench, Poured, lay_and_lift
from tests.campaign.other_slabs import LabSlab, cast_slab, make_slab
from tests.campaign.other_truth import Change, OtherLab

FIRST_MONDAY = datetime(2025, 1, 6, tzinfo=UTC)
"""Labs begin on one of the fifty-two Mondays from here."""


@dataclass(slots=True)
class _Mixed:
    """A batch of slip in its bucket."""

    row: Batch
    body: MadeBody
    slip_sg: float
    """True."""
    slowness: float
    """Times the conductance of its body."""
    left: int
    """Layers still in it."""
    soda_g_kg: float
    """Of dry clay."""


def make_other_lab(
    seed: int,
    *,
    days: int = 125,
    slabs: int = 9,
    runs_per_day: float = 3.5,
    changes: Sequence[Change | str] = (),
    families: int = 3,
    deflocculated: float = 0.12,
    new_slabs: int | None = None,
) -> OtherLab:
    """A lab of some days, with what changes on its slabs unseen.

    `deflocculated` is the share of such bodies among new ones; `new_slabs` are cast on the way (None: one in each
    hundred days), and dry before they are used.
    """
    cast = days // 100 if new_slabs is None else new_slabs
    return _Making(seed, days, slabs, runs_per_day, changes, families, deflocculated, cast).make()


@dataclass
class _Making:
    """A lab while it is made. Air, slabs, bodies, people and changes each draw from a stream of their own."""

    seed: int
    days: int
    slab_count: int
    runs_per_day: float
    asked: Sequence[Change | str]
    family_count: int
    deflocculated: float
    cast_count: int
    lab: OtherLab = field(init=False)
    weather: Weather = field(init=False)
    bench: Bench = field(init=False)
    slabs: list[LabSlab] = field(init=False)
    bodies: dict[str, list[MadeBody]] = field(init=False, default_factory=dict)
    buckets: list[_Mixed] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        streams = np.random.SeedSequence(self.seed).spawn(6)
        self.rng, weather, slabs, recipes, people, changes = (np.random.default_rng(each) for each in streams)
        self.recipes = recipes
        self.family_count = max(1, min(self.family_count, self.slab_count, 3))
        week = int(weather.integers(52))
        self.start = FIRST_MONDAY + timedelta(weeks=week)
        self.lab = OtherLab(families=family_rows(self.family_count), materials=material_rows(), start=self.start)
        self.weather = make_weather(weather, self.days, 6 + 7 * week)
        self.closed = closed_days(people, self.days)
        self.bench = Bench(
            self.lab, self.start, self.weather, make_people(people), self.closed, float(people.choice([1, 2, 5, 10]))
        )
        names = [row.family for row in self.lab.families]
        self.slabs = [
            make_slab(slabs, number + 1, names[number % len(names)], self.start) for number in range(self.slab_count)
        ]
        old = list(self.slabs)
        for place in range(self.cast_count):
            at = self.days * (place + slabs.uniform(0.2, 0.6)) / self.cast_count
            number = self.slab_count + place + 1
            self.slabs.append(cast_slab(slabs, number, str(slabs.choice(names)), self.start, int(at)))
        self.lab.slabs = [slab.row for slab in self.slabs]
        self.lab.tracks = {slab.row.slab: slab.track for slab in self.slabs}
        for name in names:
            self.bodies[name] = []
            for _ in range(int(self.recipes.integers(2, 4))):
                self._new_body(name, 0.0)
        self.changing = Changing(
            changes, self.lab, self.slabs, self.weather, plan_changes(changes, self.asked, old, self.days)
        )
        self.sensor = (float(people.normal(0, 0.5)), float(people.normal(0, 3)))
        self.new_every = float(people.uniform(6, 12))

    def make(self) -> OtherLab:
        """Live through the days."""
        self._first_weighings()
        for day in range(self.days):
            self.changing.morning(day)
            self._read_air(day)
            if day in self.closed:
                continue
            if self.recipes.random() < 1 / self.new_every:
                self._new_body(str(self.recipes.choice(list(self.bodies))), float(day))
            self._stray_weighings(day)
            self._move_slabs(day)
            for minute in self._sessions():
                self._session(day * DAY_MIN + minute)
        end = self.days * DAY_MIN
        for slab in self.slabs:
            slab.advance(end, self.weather)
        self.changing.finish()
        self._sort()
        return self.lab

    def _new_body(self, family: str, day: float) -> None:
        there = self.bodies[family]
        parent = there[int(self.recipes.integers(len(there)))] if there else None
        thin = bool(there) and self.recipes.random() < self.deflocculated
        body = make_body(self.recipes, family, len(there) + 1, parent, day, thin)
        there.append(body)
        self.lab.bodies.append(body.row)
        self.lab.body_lines.extend(body.lines)

    def _first_weighings(self) -> None:
        for slab in self.slabs:
            if slab.clock == 0 and self.rng.random() < 0.6:
                self._weigh(
                    slab, 500 + self.rng.uniform(0, 60), "weighed_dry" if slab.plaster.wetness < 0.06 else "weighed"
                )

    def _weigh(self, slab: LabSlab, at: float, event: str) -> None:
        at = max(at, slab.clock)
        slab.advance(at, self.weather)
        slab.busy_until = at
        mass = on_scale(self.rng, slab.mass_g, self.bench.scale_g)
        self.bench.event(SlabEvent(slab=slab.row.slab, at=rounded(self.start, at, 5), event=event, mass_g=mass))

    def _stray_weighings(self, day: int) -> None:
        """Now and then someone weighs a slab in the morning: what feels dry as its dry mass, a fresh one oftener."""
        for slab in self.slabs:
            at = day * DAY_MIN + 500 + self.rng.uniform(0, 120)
            fresh = slab.clock <= at < slab.busy_until and slab.lifted < 0
            if fresh and self.rng.random() < 0.35:
                in_service = slab.busy_until
                self._weigh(slab, at, "weighed")
                slab.busy_until = in_service
            elif slab.busy_until + 20 < at and self.rng.random() < 0.05:
                slab.advance(at, self.weather)
                dry = slab.plaster.wetness < 0.06 and self.rng.random() < 0.7
                self._weigh(slab, at + 1, "weighed_dry" if dry else "weighed")

    def _move_slabs(self, day: int) -> None:
        """What feels wet in the morning goes before the fan or to the drying room; now and then one dries right out."""
        for slab in self.slabs:
            at = day * DAY_MIN + 490 + self.rng.uniform(0, 30)
            if slab.busy_until + 20 >= at:
                continue
            if slab.due_dry:
                slab.due_dry = False
                self._weigh(slab, at, "weighed_dry")
                self._move(slab, at + 2, "shelf")
                continue
            if self.rng.random() < 0.01 and not self.changing.wanted(slab, at + 4 * DAY_MIN):
                self._move(slab, at, "drying_room")
                slab.due_dry, slab.busy_until = True, at + float(self.rng.integers(2, 5)) * DAY_MIN - 60
                continue
            slab.advance(at, self.weather)
            wet = slab.plaster.wetness
            if slab.place == "shelf" and wet > 0.35 and self.rng.random() < 0.6:
                self._move(slab, at, "fan" if self.rng.random() < 0.6 else "drying_room")
            elif slab.place != "shelf" and (wet < 0.15 or self.rng.random() < 0.15):
                self._move(slab, at, "shelf")

    def _move(self, slab: LabSlab, at: float, place: str) -> None:
        at = max(at, slab.clock)
        slab.advance(at, self.weather)
        slab.busy_until = at
        slab.place = place
        slab.on_edge = self.rng.random() < 0.7
        standing = ("edge" if slab.on_edge else "flat") if self.rng.random() < 0.5 else None
        if self.rng.random() < 0.85:
            self.bench.event(
                SlabEvent(
                    slab=slab.row.slab, at=rounded(self.start, at, 5), event="moved", place=place, standing=standing
                )
            )

    def _read_air(self, day: int) -> None:
        for minute, share in ((515, 0.75), (840, 0.5)):
            if day in self.closed or self.rng.random() > share:
                continue
            at = day * DAY_MIN + minute + float(self.rng.integers(-10, 30))
            air = self.weather.at(at)
            self.lab.air.append(
                Air(
                    at=rounded(self.start, at, 5), place="shelf",
                    air_temp_c=round(2 * (air.temp_c + self.sensor[0] + self.rng.normal(0, 0.2))) / 2,
                    air_rh_pct=float(round(100 * air.rh + self.sensor[1] + self.rng.normal(0, 1))),
                )
            )  # fmt: skip

    def _sessions(self) -> list[float]:
        """Minutes of the day at which someone begins to pour: more in the morning."""
        wanted = self.runs_per_day * self.days / max(self.days - sum(day < self.days for day in self.closed), 1)
        count = self.rng.poisson(wanted / 1.25)
        return sorted(
            float(self.rng.uniform(500, 700) if self.rng.random() < 0.65 else self.rng.uniform(785, 960))
            for _ in range(count)
        )

    def _session(self, at: float) -> None:
        """One person pours a batch on one to three slabs, one after the other."""
        person = self.bench.people[int(self.rng.integers(len(self.bench.people)))]
        count = int(self.rng.choice([1, 1, 2, 2, 3]))
        casting = [slab for slab in self.slabs if slab.casting and slab.busy_until + 20 < at]
        if casting and self.rng.random() < 0.3:
            self._one(at, person.name, casting[:1], self._thin_body(str(casting[0].row.family)))
            return
        family = str(self.rng.choice(list(self.bodies)))
        body = self._choose_body(family)
        layer = float(np.clip(self.rng.normal(9.5, 2), 5, 15)) * (0.8 if body.deflocculated else 1)
        for _ in range(count):
            free = [
                slab
                for slab in self.slabs
                if slab.row.family == family and slab.busy_until + 20 < at and not self.changing.wanted(slab, at)
            ]
            self._one(at, person.name, free, body, layer)
            at += float(self.rng.uniform(4, 14))

    def _one(self, at: float, person: str, free: list[LabSlab], body: MadeBody, layer: float | None = None) -> None:
        depth = (layer or 8.0) * float(np.exp(self.rng.normal(0, 0.07)))
        wet = water_over_solids(body.slip_sg)
        slab = self._choose_slab(free, at, depth * (wet - body.clay.workable_void) / (1 + wet))
        if slab is None:
            return
        bucket = self._bucket(body, at)
        bucket.left -= 1
        body.runs += 1
        soda = bucket.soda_g_kg * depth / (1 + water_over_solids(bucket.slip_sg)) * SOLIDS_SG
        poured = Poured(body, bucket.row, bucket.slip_sg, bucket.slowness, depth, 0.5 * soda)
        who = next(each for each in self.bench.people if each.name == person)
        lay_and_lift(self.rng, self.bench, slab, poured, who, at, self.changing.begun(slab))

    def _choose_slab(self, free: list[LabSlab], at: float, water_mm: float) -> LabSlab | None:
        """The one that has rested longest, or any; one that feels too wet for the layer mostly stays on the shelf."""
        tried = list(free)
        while tried:
            rested = self.rng.random() < 0.6
            slab = min(tried, key=lambda each: each.lifted) if rested else tried[int(self.rng.integers(len(tried)))]
            slab.advance(at, self.weather)
            filled = (slab.plaster.water_mm + water_mm) / slab.plaster.full_mm + self.rng.normal(0, 0.06)
            if filled < 0.86 or self.rng.random() < 0.04:
                return slab
            tried.remove(slab)
        return None

    def _choose_body(self, family: str) -> MadeBody:
        """A new one, one of the last few, or the control."""
        there = self.bodies[family]
        wanted = [body for body in there[1:] if body.runs < body.wanted]
        return wanted[int(self.rng.integers(len(wanted)))] if wanted and self.rng.random() < 0.75 else there[0]

    def _thin_body(self, family: str) -> MadeBody:
        """The deflocculated body of a family; made where it has none."""
        for body in reversed(self.bodies[family]):
            if body.deflocculated:
                return body
        body = make_body(self.recipes, family, len(self.bodies[family]) + 1, self.bodies[family][0], 0.0, True)
        self.bodies[family].append(body)
        self.lab.bodies.append(body.row)
        self.lab.body_lines.extend(body.lines)
        return body

    def _bucket(self, body: MadeBody, at: float) -> _Mixed:
        """Slip that is left of the body, or a new batch mixed the evening before or that morning."""
        for bucket in self.buckets:
            if bucket.body is body and bucket.left > 0:
                return bucket
        made = self.rng
        gravity = body.slip_sg + float(made.normal(0, 0.015))
        layers = int(made.integers(2, 6))
        dry = round(layers * 600 * float(made.uniform(1.0, 1.4)), -2)
        water = dry * water_over_solids(gravity) / SOLIDS_SG
        number = sum(row.body == body.row.body for row in self.lab.batches) + 1
        mixed = at - (float(made.uniform(45, 120)) if made.random() < 0.5 else float(made.uniform(900, 1100)))
        soda = float(made.uniform(2.5, 4.5)) if body.deflocculated else 0.0
        row = Batch(
            batch=f"{body.row.body}-{number}", body=body.row.body, made="slip", mixed_at=rounded(self.start, mixed, 15),
            dry_mass_g=dry, water_g=round(water, -1) if made.random() < 0.8 else None,
            slip_sg=round(gravity + float(made.normal(0, 0.008)), 2) if made.random() < 0.7 else None,
            deflocculant_g=round(soda * dry / 1000, 1) if soda and not body.names_soda else None,
        )  # fmt: skip
        self.lab.batches.append(row)
        if made.random() < 0.6:
            self._batch_lines(row, body, dry, soda)
        bucket = _Mixed(row, body, gravity, float(np.exp(made.normal(0, 0.04))), layers, soda)
        self.buckets = [*[each for each in self.buckets if each.left > 0][-12:], bucket]
        return bucket

    def _batch_lines(self, row: Batch, body: MadeBody, dry: float, soda: float) -> None:
        whole = sum(line.parts for line in body.lines if line.material != SODA)
        for line in body.lines:
            mass = soda * dry / 1000 if line.material == SODA else line.parts / whole * dry
            self.lab.batch_lines.append(
                BatchLine(batch=row.batch, position=line.position, material=line.material, mass_g=max(round(mass), 1))
            )

    def _sort(self) -> None:
        lab = self.lab
        lab.runs.sort(key=lambda row: (row.started_at, row.run))
        lab.truth.sort(key=lambda each: (each.started_at, each.run))
        lab.checks.sort(key=lambda row: (row.at, row.run))
        lab.events.sort(key=lambda row: (row.at, row.slab, row.event))
        seen: dict[str, int] = {}
        for each in lab.truth:
            each.nth = seen.get(each.body, 0)
            seen[each.body] = each.nth + 1
        kept = self.start + timedelta(days=self.days)
        lab.events = [row for row in lab.events if row.at <= kept]
