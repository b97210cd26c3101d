"""One layer, from its pour until someone lifts it, and what is written down of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np

from claybench.terms import Batch, Check, Run, SlabEvent
from tests.campaign.other_air import DAY_MIN, Weather
from tests.campaign.other_people import Person, feel_error, feel_word, looks, on_scale, rounded
from tests.campaign.other_physics import Clay, Plaster, Soil, pour
from tests.campaign.other_recipes import MadeBody, solids_mm, water_over_solids
from tests.campaign.other_slabs import LabSlab
from tests.campaign.other_truth import OtherLab, OtherRun

LONGEST_MIN = 5 * DAY_MIN
"""After which a layer is thrown away, and its truth left open."""


@dataclass(slots=True)
class Bench:
    """Where people work and write."""

    lab: OtherLab
    start: datetime
    weather: Weather
    people: list[Person]
    closed: frozenset[int]
    scale_g: float
    """Step of the scale for slabs."""
    written: set[tuple[str, datetime, str]] = field(default_factory=set)

    def event(self, row: SlabEvent) -> None:
        """Write an event down, a minute later where that minute is taken."""
        while (row.slab, row.at, row.event) in self.written:
            row = replace(row, at=row.at + timedelta(minutes=1))
        self.written.add((row.slab, row.at, row.event))
        self.lab.events.append(row)


@dataclass(frozen=True, slots=True)
class Poured:
    """What is poured."""

    body: MadeBody
    batch: Batch
    slip_sg: float
    slowness: float
    layer_mm: float
    soda_g_m2: float
    """That goes into the slab with the water."""


@dataclass(slots=True)
class _Course:
    """How a layer dries: its mean water, minute by minute as far as it was followed."""

    soil: Soil
    slab: LabSlab
    weather: Weather
    clock: float
    """After the lab's start."""
    minutes: list[float] = field(default_factory=lambda: [0.0])
    voids: list[float] = field(default_factory=list)
    wetness: list[float] = field(default_factory=list)
    """Of the slab, alike."""
    noted: bool = False

    def follow(self, until: float) -> None:
        """As far as that minute after the pour."""
        assert self.soil.layer is not None
        self.voids = self.voids or [self.soil.layer.void_ratio]
        self.wetness = self.wetness or [self.soil.plaster.wetness]
        stands = self.slab.stands(self.soil.layer.face)
        while self.minutes[-1] < until - 1e-6:
            air = self.weather.at(self.clock, "shelf")
            length = self.soil.step(air, stands, min(20.0, until - self.minutes[-1]))
            self.clock += length
            self.minutes.append(self.minutes[-1] + length)
            self.voids.append(self.soil.layer.void_ratio)
            self.wetness.append(self.soil.plaster.wetness)
            if self.noted:
                self.slab.clock = self.clock
                self.slab.note_track()

    def first_below(self, void_ratio: float) -> float:
        """Minutes after the pour at which it came to that water; infinite where it has not."""
        for place in range(1, len(self.voids)):
            if self.voids[place] <= void_ratio:
                above, below = self.voids[place - 1], self.voids[place]
                part = (above - void_ratio) / max(above - below, 1e-12)
                return self.minutes[place - 1] + part * (self.minutes[place] - self.minutes[place - 1])
        return math.inf

    def until_below(self, void_ratio: float) -> float:
        """The same, followed on as far as it takes."""
        found = self.first_below(void_ratio)
        while math.isinf(found) and self.minutes[-1] < LONGEST_MIN:
            self.follow(min(self.minutes[-1] * 1.3 + 5, LONGEST_MIN))
            found = self.first_below(void_ratio)
        return found

    def apart(self) -> _Course:
        """One that goes on without the slab knowing."""
        return replace(
            self,
            soil=self.soil.copy(),
            minutes=list(self.minutes),
            voids=list(self.voids),
            wetness=list(self.wetness),
            noted=False,
        )


@dataclass(slots=True)
class _Notes:
    """What came of looking."""

    checks: list[tuple[float, str, str | None]]
    """Minutes after the pour, feel, action; those written down."""
    lifted: float
    outcome: str
    turned: bool


def lay_and_lift(
    rng: np.random.Generator, bench: Bench, slab: LabSlab, poured: Poured, person: Person, at: float, change: str
) -> None:
    """Pour a layer on a slab, look after it as people do, lift it, and write down what one would."""
    at = max(at, slab.clock)
    slab.advance(at, bench.weather)
    face = "form" if rng.random() < 0.93 else "open"
    air = bench.weather.at(at)
    temp = air.temp_c + float(rng.normal(-0.7, 1))
    clay = replace(poured.body.clay, conductance=poured.body.clay.conductance * poured.slowness)
    solids, voids = solids_mm(poured.slip_sg, poured.layer_mm), water_over_solids(poured.slip_sg)
    before_g, before_wet, clog = slab.mass_g, slab.plaster.wetness, slab.clogging[face]
    salts, uses = clog.salts_g_m2, clog.uses
    sound = _sound_course(slab, bench.weather, clay, solids, voids, temp, face, at)
    slab.soil.layer, slab.soil.step_min = pour(clay, solids, voids, temp, face), 0.02
    course = _Course(slab.soil, slab, bench.weather, at, noted=True)
    error = feel_error(rng, person)
    notes = _look_after(rng, bench, course, poured.body, person, at, error, voids)
    apart = course.apart()
    true_min = apart.until_below(clay.workable_void)
    felt_min = apart.until_below(clay.workable_void * math.exp(error))
    sound_min = sound.until_below(clay.workable_void) if sound else true_min
    layer = slab.soil.layer
    assert layer is not None
    clay_g = (solids * 2.6 + layer.water_mm) * slab.area_m2 * 1000
    slab.soil.layer, slab.soil.step_min = None, 0.02
    slab.carry(face, poured.soda_g_m2)
    slab.busy_until = slab.lifted = at + notes.lifted
    slab.place, slab.on_edge = "shelf", rng.random() < 0.7
    if rng.random() < 0.03:
        _sponge(rng, bench, slab, face)
    usual = true_min * (10 / poured.layer_mm) ** 2
    if math.isfinite(usual):
        poured.body.usual_min += 0.3 * (min(usual, 400) - poured.body.usual_min)
    run = _write(rng, bench, slab, poured, person, at, notes, face, temp, before_g, clay_g, voids)
    # The water to lose goes with the depth and the solids, and time as its square.
    said = (run.layer_mm or poured.layer_mm) / poured.layer_mm
    oracle = true_min * said**2
    bench.lab.truth.append(
        OtherRun(
            run=run.run, body=poured.body.row.body, slab=slab.row.slab, started_at=run.started_at, felt_min=felt_min,
            oracle_min=oracle, sound_min=sound_min * said**2, wetness=before_wet, nth=0,
            modelled=not notes.turned and math.isfinite(true_min) and math.isfinite(felt_min),
            spoiled=sound is not None and sound_min < 0.93 * true_min, wetness_after=slab.plaster.wetness,
            poured_at=bench.start + timedelta(minutes=at), true_min=true_min,
            lifted_at=bench.start + timedelta(minutes=at + notes.lifted),
            rate=sound_min / true_min if math.isfinite(true_min) else 1.0, change=change, face=face, face_uses=uses,
            filled=float(np.interp(true_min, apart.minutes, apart.wetness)),
            layer_mm=poured.layer_mm, deflocculated=poured.body.deflocculated, salts_g_m2=salts,
        )
    )  # fmt: skip


def _sponge(rng: np.random.Generator, bench: Bench, slab: LabSlab, face: str) -> None:
    """Someone wipes the face, and some of the water stays; half of them write it down."""
    slab.plaster.take(float(rng.uniform(0.15, 0.6)), face)
    slab.note_track(always=True)
    if rng.random() < 0.5:
        at = rounded(bench.start, slab.busy_until + 8, 1)
        bench.event(SlabEvent(slab=slab.row.slab, at=at, event="cleaned", face=face))


def _sound_course(
    slab: LabSlab, weather: Weather, clay: Clay, solids: float, voids: float, temp: float, face: str, at: float
) -> _Course | None:
    """The same layer on the slab as it would be had nothing happened to it; None where nothing has."""
    clog = slab.clogging[face]
    if slab.sound is None and clog.change == 1 and not slab.casting:
        return None
    plaster: Plaster = (slab.sound or slab.plaster).copy()
    water = slab.plaster.water_mm
    plaster.saturation = slab.plaster.saturation.copy()
    plaster.saturation *= water / max(plaster.water_mm, 1e-9)
    healthy = replace(clog, salts_g_m2=0.0) if slab.casting else clog
    plaster.faces[face] = slab.face_with(healthy, 1.0)
    return _Course(Soil(plaster, pour(clay, solids, voids, temp, face)), slab, weather, at)


def _look_after(
    rng: np.random.Generator, bench: Bench, course: _Course, body: MadeBody, person: Person, at: float, error: float,
    voids: float,
) -> _Notes:  # fmt: skip
    """Touch it now and then until it is lifted."""
    layer = course.soil.layer
    assert layer is not None
    workable = layer.clay.workable_void * math.exp(error)
    usual = body.usual_min * (float(layer.solids_mm.sum()) / solids_mm(1.45, 10)) ** 2
    checks: list[tuple[float, str, str | None]] = []
    turned, patience = False, float(rng.uniform(1.2, 3)) * DAY_MIN
    for when, last in looks(rng, person, at, usual, bench.closed):
        passed = when - at
        if passed > LONGEST_MIN:
            break
        course.follow(passed)
        water = layer.void_ratio / workable * math.exp(float(rng.laplace(0, 0.006)))
        feel = feel_word(rng, water) if water < 0.93 * voids / workable else "fluid"
        note = rng.random() < person.writes
        if feel in ("workable", "stiff") and not (feel == "workable" and rng.random() < 0.07 and not last):
            if note:
                checks.append((passed, feel, None))
            lifted = passed + float(rng.uniform(0.5, 6))
            course.follow(lifted)
            return _Notes(checks, lifted, "workable" if feel == "workable" else "too_stiff", turned)
        if last and feel == "sticky" and water < 1.3 and rng.random() < 0.45:
            checks.append((passed, feel, None))
            return _Notes(checks, passed, "lifted_early", turned)
        if (last and rng.random() < 0.04) or passed > patience:
            return _Notes(checks, passed, "abandoned", turned)
        action = None
        if feel == "sticky" and not turned and rng.random() < 0.012:
            layer.turn_over()
            turned, action, note = True, "turned_over", True
        if note:
            checks.append((passed, feel, action))
    return _Notes(checks, course.minutes[-1], "abandoned", turned)


def _write(
    rng: np.random.Generator, bench: Bench, slab: LabSlab, poured: Poured, person: Person, at: float,
    notes: _Notes, face: str, temp: float, before_g: float, clay_g: float, voids: float,
) -> Run:  # fmt: skip
    """What is written down, rounded; some of it in the evening from memory, by the quarter hour, touches forgotten."""
    late = rng.random() < 0.1
    step = 15 if late and notes.lifted > 40 else (5 if late else person.rounds_min)
    step = min(step, 5) if notes.lifted < 25 else step
    code = f"R{len(bench.lab.runs) + 1:04d}"
    started = rounded(bench.start, at, step)
    ended = max(rounded(bench.start, at + notes.lifted, step), started + timedelta(minutes=step))
    kept = notes.checks[-1:] if late else notes.checks
    latest = started
    for passed, feel, action in kept:
        when = min(rounded(bench.start, at + passed, step), ended)
        if when <= latest:
            continue
        latest = when
        bench.lab.checks.append(
            Check(run=code, at=when, feel=feel, action=action, by=person.name if rng.random() < 0.5 else None)
        )
    depth = round(2 * poured.layer_mm * math.exp(float(rng.normal(0, 0.03)))) / 2
    mass = 1000 * poured.layer_mm * poured.slip_sg * slab.area_m2
    has_depth = rng.random() < 0.85
    air = bench.weather.at(at)
    weighs = rng.random() < 0.35
    run = Run(
        run=code, batch=poured.batch.batch, slab=slab.row.slab,
        face=face if rng.random() < 0.8 or face == "open" else None,
        started_at=started, poured_g=round(mass, -1) if not has_depth or rng.random() < 0.75 else None,
        area_cm2=round(slab.area_cm2, -1), layer_mm=depth if has_depth else None,
        slip_sg=round(poured.slip_sg + float(rng.normal(0, 0.008)), 2) if rng.random() < 0.7 else None,
        slip_temp_c=round(2 * temp) / 2 if rng.random() < 0.4 else None,
        slab_before_g=on_scale(rng, before_g, bench.scale_g) if weighs or rng.random() < 0.15 else None,
        slab_after_g=on_scale(rng, slab.mass_g, bench.scale_g) if rng.random() < (0.82 if weighs else 0.1) else None,
        air_temp_c=float(round(air.temp_c + rng.normal(0, 0.5))) if rng.random() < 0.3 else None,
        air_rh_pct=float(round(100 * air.rh + rng.normal(0, 3))) if rng.random() < 0.3 else None,
        ended_at=ended, clay_off_g=round(clay_g * float(rng.uniform(0.96, 0.995))) if rng.random() < 0.3 else None,
        outcome=notes.outcome, by=person.name,
    )  # fmt: skip
    bench.lab.runs.append(run)
    return run
