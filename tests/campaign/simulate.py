"""A lab lived through in small steps, with its truth kept: slabs, bodies, weather, runs and what somebody wrote down.

Own arithmetic throughout: nothing here comes from the water model or the fit. What they take for granted differs from lab
to lab: the constant and the limit of the wetness law, each slab's capacity and drying factor, the weather.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from claybench.terms import Air, Batch, BatchLine, Body, BodyLine, Check, Family, Material, Run, Slab, SlabEvent

START = datetime(2026, 2, 2, 8, 0, tzinfo=UTC)
FEEL = 0.08
"""Spread of ln time from one touch of a layer to another."""
_SCALE = (5, 0.8245), (10, 0.8847), (15, 0.9432), (20, 1.0), (25, 1.0552), (30, 1.1089), (35, 1.1611)
"""√(σ/η) over its value at 20 °C: derived from IAPWS releases."""
_STEP_MIN = 0.25
_LONGEST_MIN = 26 * 60.0


@dataclass(slots=True)
class TrueSlab:
    """What a slab really is."""

    row: Slab
    area_m2: float
    dry_g: float
    sorptivity: float
    capacity_g: float
    drying: float
    critical: float
    """Wetness at which drying slows."""
    water_g: float
    place: str = "shelf"
    busy_until: datetime = START
    spoiled_from: datetime | None = None
    """From then its sorptivity is a quarter of what it was."""

    def sorptivity_at(self, when: datetime) -> float:
        """Its sorptivity dry, then."""
        spoiled = self.spoiled_from is not None and when >= self.spoiled_from
        return self.sorptivity / (4 if spoiled else 1)


@dataclass(slots=True)
class TrueRun:
    """What really happened to one layer."""

    run: str
    body: str
    slab: str
    started_at: datetime
    felt_min: float
    """Minutes at which it would first have felt workable."""
    oracle_min: float
    """The same without the feel and with what was written of the layer: all that could be known."""
    wetness: float
    """Of the slab, at the pour."""
    nth: int
    """How many runs of this body there were before."""
    modelled: bool
    spoiled: bool


@dataclass(slots=True)
class MadeLab:
    """The rows that were written, and the truth."""

    families: list[Family] = field(default_factory=list)
    materials: list[Material] = field(default_factory=list)
    bodies: list[Body] = field(default_factory=list)
    body_lines: list[BodyLine] = field(default_factory=list)
    slabs: list[Slab] = field(default_factory=list)
    events: list[SlabEvent] = field(default_factory=list)
    air: list[Air] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)
    batch_lines: list[BatchLine] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    truth: list[TrueRun] = field(default_factory=list)


def temperature_scale(temp_c: float) -> float:
    """√(σ/η), between the rows of the table."""
    for (low, a), (high, b) in zip(_SCALE, _SCALE[1:], strict=False):
        if temp_c <= high:
            return a + (b - a) * (temp_c - low) / (high - low)
    return _SCALE[-1][1]


def saturation_kpa(temp_c: float) -> float:
    """Magnus' formula (World Meteorological Organization, Guide No. 8)."""
    return 0.6112 * math.exp(17.62 * temp_c / (243.12 + temp_c))


def evaporation_g_m2_h(temp_c: float, rh_pct: float, speed: float) -> float:
    """Open water's formula at the wet bulb, found by steps of a hundredth of a degree."""
    vapour = saturation_kpa(temp_c) * rh_pct / 100
    wet = temp_c
    while saturation_kpa(wet) - 0.000665 * 101.325 * (temp_c - wet) > vapour and wet > -10:
        wet -= 0.01
    humid = [0.622 * each / (101.325 - each) for each in (saturation_kpa(wet), vapour)]
    return (25 + 19 * speed) * (humid[0] - humid[1]) * 1000


class Weather:
    """Room air hour by hour: days that follow one another, nights cooler, one damp week."""

    def __init__(self, draw: random.Random, days: int) -> None:
        damp = draw.randrange(days // 3, 2 * days // 3)
        self.hours: list[tuple[float, float]] = []
        temp = humidity = 0.0
        for day in range(days + 30):
            temp = 0.8 * temp + draw.gauss(0, 1.0)
            humidity = 0.7 * humidity + draw.gauss(0, 4.0)
            wet = 25.0 if damp <= day < damp + 7 else 0.0
            for hour in range(24):
                swing = 1.5 * math.sin((hour - 9) / 24 * 2 * math.pi)
                self.hours.append((18 + temp + swing, min(max(55 + humidity + wet - 2 * swing, 25), 96)))

    def at(self, when: datetime) -> tuple[float, float]:
        """Temperature and relative humidity."""
        return self.hours[int((when - START).total_seconds() // 3600)]


class Simulation:
    """Lives through one lab, an act at a time."""

    def __init__(self, seed: int, *, days: int = 56, spoil: bool = False) -> None:
        self.draw = random.Random(seed)
        self.days = days
        self.law_k = self.draw.uniform(1.0, 1.16)
        self.law_limit = self.draw.uniform(0.86, 0.97)
        self.weather = Weather(self.draw, days)
        self.lab = MadeLab()
        self.resist: dict[str, float] = {}
        self.workable: dict[str, float] = {}
        self.dried: dict[str, int] = {}
        self.slabs: list[TrueSlab] = []
        self.now = START
        self._make_bodies()
        self._make_slabs()
        if spoil:
            one = self.draw.choice(self.slabs)
            one.spoiled_from = START + timedelta(days=self.draw.uniform(0.45, 0.55) * days)

    # -- what there is -----------------------------------------------------------------------------

    def _make_bodies(self) -> None:
        for rank, family in enumerate(("white", "buff", "red")):
            self.lab.families.append(Family(family=family, stain_rank=rank))
            of_family = math.log(0.8) + self.draw.gauss(0, 0.3)
            for number in range(1, 9):
                code = f"{family[0].upper()}-{number:02d}"
                self.resist[code] = math.exp(of_family + self.draw.gauss(0, 0.16))
                self.workable[code] = self.draw.uniform(0.21, 0.29)
                written = round(100 * self.workable[code] + self.draw.gauss(0, 1.0), 1)
                sg = None if self.draw.random() < 0.3 else 1.42
                self.lab.bodies.append(
                    Body(body=code, family=family, control=number == 1, workable_water_pct=written, slip_sg=sg)
                )
                self.lab.body_lines.append(BodyLine(body=code, position=1, material="clay", parts=100.0))
                self.dried[code] = 0
        self.lab.materials.append(Material(material="clay", specific_gravity=2.6))

    def _make_slabs(self) -> None:
        for number in range(1, 7):
            family = ("white", "buff", "red")[number % 3]
            length, width, thick = self.draw.choice([(500, 400, 45), (450, 350, 40), (400, 300, 50)])
            volume = length * width * thick / 1000
            ratio = self.draw.choice([65.0, 70.0, 75.0])
            dry = 1186.2 / (100 / 2.73 + ratio / 0.998) / 10 * volume * math.exp(self.draw.gauss(0, 0.02))
            porosity = 1 - dry / volume / 2.32
            row = Slab(
                slab=f"P{number}", family=family, length_mm=length, width_mm=width, thickness_mm=thick,
                mix_ratio=ratio if self.draw.random() < 0.8 else None,
            )  # fmt: skip
            made = TrueSlab(
                row=row,
                area_m2=length * width / 1e6,
                dry_g=dry,
                sorptivity=3.0 * math.exp(self.draw.gauss(0, 0.2)),
                capacity_g=0.77 * porosity * volume * 0.998 * math.exp(self.draw.gauss(0, 0.07)),
                drying=math.exp(self.draw.gauss(0, 0.25)),
                critical=self.draw.uniform(0.22, 0.4),
                water_g=0.0,
            )
            made.water_g = self.draw.uniform(0.02, 0.3) * made.capacity_g
            self.slabs.append(made)
            self.lab.slabs.append(row)
            event, mass = "weighed", dry + made.water_g
            if number != 6:  # one slab was never weighed dry
                event, mass = "weighed_dry", dry
                made.water_g = 0.0
            self.lab.events.append(SlabEvent(slab=row.slab, at=START, event=event, mass_g=self._scale(mass)))

    def _scale(self, mass: float) -> float:
        return round(mass + self.draw.gauss(0, 2.5))

    # -- time --------------------------------------------------------------------------------------

    def live(self) -> MadeLab:
        """Day after day."""
        for day in range(self.days):
            morning = START + timedelta(days=day)
            self._pass(morning)
            self._write_air(morning)
            self._move_slabs()
            pours = sorted(self.draw.uniform(0.3, 7.0) for _ in range(self.draw.choice([0, 2, 3, 4, 6, 8])))
            for hours in pours:
                self._pass(max(self.now, morning + timedelta(hours=hours)))
                self._pour()
            if self.draw.random() < 0.4:
                self._weigh_some()
        self.lab.runs.sort(key=lambda run: run.started_at)
        self.lab.truth.sort(key=lambda true: true.started_at)
        return self.lab

    def _pass(self, until: datetime) -> None:
        """Bare slabs dry until then, ten minutes at a time."""
        while self.now < until:
            step = min(timedelta(minutes=10), until - self.now)
            temp, humidity = self.weather.at(self.now)
            still, fanned = (evaporation_g_m2_h(temp, humidity, speed) for speed in (0.1, 2.0))
            for slab in self.slabs:
                wet_faces = 2.0 if slab.busy_until <= self.now else 1.0
                rate = (fanned if slab.place == "fan" else still) * slab.area_m2 * wet_faces * slab.drying
                slowed = min(1.0, slab.water_g / (slab.critical * slab.capacity_g))
                slab.water_g = max(slab.water_g - rate * slowed * step.total_seconds() / 3600, 0.0)
            self.now += step

    def _write_air(self, at: datetime) -> None:
        if self.draw.random() < 0.6:
            temp, humidity = self.weather.at(at)
            self.lab.air.append(
                Air(
                    at=at,
                    place="shelf",
                    air_temp_c=round(temp + self.draw.gauss(0, 0.3), 1),
                    air_rh_pct=round(min(max(humidity + self.draw.gauss(0, 2), 5), 100)),
                )
            )

    def _move_slabs(self) -> None:
        for slab in self.slabs:
            wet = slab.water_g / slab.capacity_g
            wanted = "fan" if wet > 0.4 and self.draw.random() < 0.5 else "shelf" if wet < 0.15 else slab.place
            if wanted != slab.place and slab.busy_until <= self.now:
                slab.place = wanted
                self.lab.events.append(SlabEvent(slab=slab.row.slab, at=self.now, event="moved", place=wanted))

    def _weigh_some(self) -> None:
        for slab in self.slabs:
            if slab.busy_until <= self.now and self.draw.random() < 0.3:
                mass = self._scale(slab.dry_g + slab.water_g)
                self.lab.events.append(
                    SlabEvent(slab=slab.row.slab, at=self.now + timedelta(seconds=1), event="weighed", mass_g=mass)
                )

    # -- a run -------------------------------------------------------------------------------------

    def _pour(self) -> None:
        free = [slab for slab in self.slabs if slab.busy_until <= self.now and slab.water_g < 0.8 * slab.capacity_g]
        if not free:
            return
        slab = self.draw.choice(free)
        kin = [body for body in self.lab.bodies if body.family == slab.row.family]
        body = kin[0] if self.draw.random() < 0.2 else self.draw.choice(kin)
        number = len(self.lab.runs) + 1
        code, batch = f"R{number:03d}", f"{body.body}-{self.dried[body.body] + 1}"
        depth, gravity = self.draw.uniform(7, 13), self.draw.uniform(1.38, 1.50)
        dry = (gravity - 1) * 2.6 / 1.6  # g/mL, Brongniart
        water0 = (gravity - dry) / dry
        need = dry * depth * (water0 - self.workable[body.body])
        written_depth = round(depth * math.exp(self.draw.gauss(0, 0.025)), 1)
        written_gravity = round(gravity + self.draw.gauss(0, 0.006), 3)
        temp, humidity = self.weather.at(self.now)
        by_air = evaporation_g_m2_h(temp, humidity, 2.0 if slab.place == "fan" else 0.1) / 1000 / 60
        wet = slab.water_g / slab.capacity_g
        capacity_mm = slab.capacity_g / slab.area_m2 / 1000
        physics = (self.resist[body.body], slab.sorptivity_at(self.now), wet, capacity_mm, temp, by_air)
        course = self._soak(need, *physics)
        felt = course[0] * math.exp(self.draw.gauss(0, FEEL))
        known_dry = (written_gravity - 1) * 2.6 / 1.6
        known = (
            known_dry
            * written_depth
            * ((written_gravity - known_dry) / known_dry - (body.workable_water_pct or 25) / 100)
        )
        turned = self.draw.random() < 0.03
        truth = TrueRun(
            code, body.body, slab.row.slab, self.now, felt, self._soak(known, *physics)[0], wet, self.dried[body.body],
            not turned, slab.spoiled_from is not None and self.now >= slab.spoiled_from,
        )  # fmt: skip
        self.lab.truth.append(truth)
        self.dried[body.body] += 1
        self._write(code, batch, body, slab, written_depth, written_gravity, truth, course, turned, temp)

    def _soak(
        self, need: float, resist: float, sorptivity: float, wet: float, capacity_mm: float, temp: float, by_air: float
    ) -> tuple[float, float, float]:
        """Minutes until so much water has left, the slab's part in mm, and its rate of mm a minute at the end."""
        scale = temperature_scale(temp) ** 2
        most = max(capacity_mm * (self.law_limit - wet), 0.0)
        taken_sq = dried = minutes = rate = 0.0
        while math.sqrt(taken_sq) + dried < need and minutes < _LONGEST_MIN:
            taken = math.sqrt(taken_sq)
            under = min(wet + taken / capacity_mm, 1.0)
            slab_part = sorptivity**2 * max(1 - self.law_k * under, 1e-4)
            if taken < most:
                taken_sq += _STEP_MIN * scale / (1 / resist**2 + 1 / slab_part)
            dried += by_air * _STEP_MIN
            rate = (math.sqrt(taken_sq) - taken) / _STEP_MIN
            minutes += _STEP_MIN
        return minutes, math.sqrt(taken_sq), rate

    def _write(
        self, code: str, batch: str, body: Body, slab: TrueSlab, depth: float, gravity: float, truth: TrueRun,
        course: tuple[float, float, float], turned: bool, temp: float,
    ) -> None:  # fmt: skip
        """What somebody saw and wrote: touches six to eighteen minutes apart, and no later than the evening."""
        draw, started = self.draw, self.now
        closing = started.replace(hour=19, minute=0)
        checks, at = [], 0.0
        ended, outcome = closing, "lifted_early"
        while True:
            at += draw.uniform(6, 18)
            when = started + timedelta(minutes=at)
            if when >= closing:
                break
            feel = "fluid" if at < 0.4 * truth.felt_min else "sticky" if at < truth.felt_min else "workable"
            if at > 1.3 * truth.felt_min:
                feel = "stiff"
            action = "turned_over" if turned and not checks else None
            checks.append(Check(run=code, at=when, feel=feel, action=action))
            if feel in ("workable", "stiff"):
                ended, outcome = when + timedelta(minutes=draw.uniform(0.5, 6)), "workable"
                break
        lay = (ended - started).total_seconds() / 60
        share = draw.uniform(0.7, 0.92)
        took_mm = course[1] if lay >= course[0] else course[1] * math.sqrt(lay / course[0])
        took = took_mm * slab.area_m2 * share * 1000
        before = self._scale(slab.dry_g + slab.water_g)
        slab.busy_until = ended
        slab.water_g += took
        after = self._scale(slab.dry_g + slab.water_g)
        area = slab.area_m2 * 1e4 * share
        poured = gravity * depth * area / 10
        wrote = [draw.random() < 0.75 for _ in range(6)]
        self.lab.batches.append(
            Batch(batch=batch, body=body.body, made="slip", mixed_at=started - timedelta(hours=2), slip_sg=gravity)
        )
        self.lab.runs.append(
            Run(
                run=code, batch=batch, slab=slab.row.slab, started_at=started,
                layer_mm=depth if draw.random() < 0.95 else None,
                poured_g=round(poured) if wrote[0] else None,
                area_cm2=round(area) if draw.random() < 0.9 else None,
                slip_sg=gravity if draw.random() < 0.85 else None,
                slab_before_g=before if wrote[1] else None,
                slab_after_g=after if wrote[2] else None,
                air_temp_c=round(temp, 1) if wrote[4] else None,
                ended_at=ended, outcome=outcome,
            )
        )  # fmt: skip
        self.lab.checks += checks


def make_lab(seed: int, *, days: int = 56, spoil: bool = False) -> MadeLab:
    """One lab's life."""
    return Simulation(seed, days=days, spoil=spoil).live()
