"""A lab lived through in small steps, with its truth kept: slabs, bodies, runs and what somebody wrote down.

What the water model takes for granted differs from lab to lab: the constant and the limit of the wetness law, each
slab's capacity and drying, the weather, the fan. A quarter of the weighings is missing; whoever touches a layer does
not know the answer. What water truly does is in `physics`.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from claybench.terms import Air, Batch, Body, BodyLine, Check, Family, Material, Run, Slab, SlabEvent
from tests.campaign.physics import START, Soak, Weather, evaporation_g_m2_h
from tests.campaign.truth import Lay, MadeLab, Spoiling, TrueRun, TrueSlab

FEEL = 0.08
"""Spread of ln time from one touch of a layer to another."""
_SOLIDS = 2.6
_BODIES = 12
_DEPTH_SD, _AREA_SD, _GRAVITY_SD, _WATER_SD = 0.025, 0.02, 0.005, 0.008


class Simulation:
    """Lives through one lab, an act at a time."""

    def __init__(self, seed: int, *, days: int, spoil: Spoiling | None = None) -> None:
        self.draw = random.Random(seed)
        self.days = days
        self.lab = MadeLab(law_k=self.draw.uniform(1.0, 1.15), law_limit=self.draw.uniform(0.86, 0.97))
        self.fan = self.draw.uniform(1.3, 2.7)
        self.other_hand = self.draw.gauss(0, 0.08)
        self.skin_hours = self.draw.uniform(1.5, 4)
        self.weather = Weather(self.draw, days)
        self.workable: dict[str, float] = {}
        self.dried: dict[str, int] = {}
        self.slabs: list[TrueSlab] = []
        self.now = START
        self._make_bodies()
        self._make_slabs()
        if spoil is not None:
            spoiled = self.draw.choice(self.slabs)
            spoiled.spoiled_from = START + timedelta(days=self.draw.uniform(0.45, 0.55) * days)
            spoiled.spoiling = spoil

    # -- what there is -----------------------------------------------------------------------------

    def _make_bodies(self) -> None:
        draw = self.draw
        self.lab.materials.append(Material(material="clay", specific_gravity=_SOLIDS))
        for rank, family in enumerate(("white", "buff", "red")):
            self.lab.families.append(Family(family=family, stain_rank=rank))
            of_family = math.log(0.8) + draw.gauss(0, 0.3)
            for number in range(1, _BODIES + 1):
                code = f"{family[0].upper()}-{number:02d}"
                self.lab.resist[code] = math.exp(of_family + draw.gauss(0, 0.16))
                self.workable[code] = draw.uniform(0.21, 0.29)
                written = round(100 * self.workable[code] + draw.gauss(0, 100 * _WATER_SD), 1)
                self.lab.bodies.append(
                    Body(body=code, family=family, control=number == 1, workable_water_pct=written, slip_sg=1.45)
                )
                self.lab.body_lines.append(BodyLine(body=code, position=1, material="clay", parts=100.0))
                self.dried[code] = 0

    def _make_slabs(self) -> None:
        draw = self.draw
        for number in range(1, 9):
            family = ("white", "buff", "red")[number % 3]
            length, width, thick = draw.choice([(500, 400, 45), (450, 350, 40), (400, 300, 50)])
            volume = length * width * thick / 1000
            ratio = draw.choice([65.0, 70.0, 75.0])
            dry = 118.62 / (100 / 2.73 + ratio / 0.998) * volume * math.exp(draw.gauss(0, 0.02))
            porosity = 1 - dry / volume / 2.32
            row = Slab(
                slab=f"P{number}", family=family, length_mm=length, width_mm=width, thickness_mm=thick,
                mix_ratio=ratio if draw.random() < 0.8 else None,
            )  # fmt: skip
            made = TrueSlab(
                row=row,
                area_m2=length * width / 1e6,
                dry_g=dry,
                sorptivity=3.0 * math.exp(draw.gauss(0, 0.2)),
                capacity_g=0.77 * porosity * volume * 0.998 * math.exp(draw.gauss(0, 0.07)),
                drying=math.exp(draw.gauss(0, 0.25)),
                critical=draw.uniform(0.22, 0.4),
                water_g=0.0,
            )
            made.water_g = draw.uniform(0.02, 0.3) * made.capacity_g
            event = "weighed"
            if number != 8:  # one slab was never weighed dry
                event, made.water_g = "weighed_dry", 0.0
            self.slabs.append(made)
            self.lab.slabs.append(row)
            self.lab.true_slabs[row.slab] = made
            self.lab.events.append(SlabEvent(slab=row.slab, at=START, event=event, mass_g=self._scale(made)))

    def _scale(self, slab: TrueSlab) -> float:
        return round(slab.dry_g + slab.water_g + self.draw.gauss(0, 2.5))

    # -- time --------------------------------------------------------------------------------------

    def live(self) -> MadeLab:
        """Day after day."""
        for day in range(self.days):
            morning = START + timedelta(days=day)
            self._pass(morning)
            self._write_air(morning)
            self._move_slabs()
            if self.draw.random() < 0.4:
                self._weigh_some()
            pours = sorted(self.draw.uniform(0.3, 7.5) for _ in range(self.draw.choice([0, 2, 3, 4, 5, 6])))
            for hours in pours:
                self._pass(morning + timedelta(hours=hours))
                self._choose()
        self._pass(START + timedelta(days=self.days))
        return self.lab

    def _pass(self, until: datetime) -> None:
        """Slabs dry, and take up what their layers give, ten minutes at a time; layers are lifted when they end."""
        while self.now < until:
            ends = [lay.ended for slab in self.slabs for lay in slab.lays if lay.ended > self.now]
            stop = min(self.now + timedelta(minutes=10), until, *ends)
            hours = (stop - self.now).total_seconds() / 3600
            temp, humidity = self.weather.at(self.now)
            still, fanned = (evaporation_g_m2_h(temp, humidity, speed) for speed in (0.1, self.fan))
            for slab in self.slabs:
                faces = 2.0 - sum(lay.share for lay in slab.lays)
                rate = (fanned if slab.place == "fan" else still) * slab.area_m2 * faces * slab.drying
                slowed = min(1.0, slab.wetness / slab.critical)
                slab.water_g = max(slab.water_g - rate * slowed * hours, 0.0)
                for lay in list(slab.lays):
                    due = lay.due_g(stop)
                    slab.water_g, lay.taken_g = slab.water_g + due, lay.taken_g + due
                    if lay.ended <= stop:
                        self._lift(slab, lay)
            self.now = stop

    def _lift(self, slab: TrueSlab, lay: Lay) -> None:
        slab.lays.remove(lay)
        slab.lifted = lay.ended
        slab.skin = lay.takes_g / lay.share / slab.capacity_g * (1 - lay.covered)
        run = self.lab.runs[lay.run]
        self.lab.truth[lay.run].wetness_after = slab.wetness
        alone = not slab.lays and not any(
            other.slab == run.slab and other is not run and other.started_at < lay.ended
            and (other.ended_at or lay.ended) > lay.started
            for other in self.lab.runs[-4:]
        )  # fmt: skip
        if alone and self.draw.random() < 0.75:
            self.lab.runs[lay.run] = replace(run, slab_after_g=self._scale(slab))

    def _write_air(self, at: datetime) -> None:
        """Thermometer and hygrometer are read each morning, as they are in the sample lab."""
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
            wanted = slab.place
            if slab.wetness > 0.4 and self.draw.random() < 0.5:
                wanted = "fan"
            elif slab.wetness < 0.15 or self.draw.random() < 0.1:
                wanted = "shelf"
            if wanted != slab.place and not slab.lays:
                slab.place = wanted
                self.lab.events.append(SlabEvent(slab=slab.row.slab, at=self.now, event="moved", place=wanted))

    def _weigh_some(self) -> None:
        at = self.now + timedelta(seconds=1)
        for slab in self.slabs:
            if not slab.lays and self.draw.random() < 0.3:
                self.lab.events.append(
                    SlabEvent(slab=slab.row.slab, at=at, event="weighed", mass_g=self._scale(slab))
                )  # fmt: skip

    # -- a run -------------------------------------------------------------------------------------

    def _choose(self) -> None:
        """A free slab that is not too wet, now and then the one just lifted off; now and then two layers on it."""
        free = [slab for slab in self.slabs if not slab.lays and slab.wetness < 0.78]
        if not free:
            return
        slab = self.draw.choice(free)
        if self.draw.random() < 0.15:
            slab = max(free, key=lambda each: each.lifted)
        share = self.draw.uniform(0.7, 0.92)
        if self.draw.random() < 0.08:
            self._pour(slab, share / 2, share)
            self._pass(self.now + timedelta(minutes=self.draw.uniform(2, 6)))
            if sum(lay.share for lay in slab.lays) <= share:
                self._pour(slab, share / 2, share)
            return
        self._pour(slab, share, share)

    def _body(self, family: str | None) -> Body:
        """The control now and then, often one of the newest set, else any that is there already."""
        kin = [body for body in self.lab.bodies if body.family == family]
        there = 3 + int((_BODIES - 3) * (self.now - START).total_seconds() / 86400 / self.days)
        chance = self.draw.random()
        if chance < 0.2:
            return kin[0]
        return self.draw.choice(kin[max(there - 3, 0) : there] if chance < 0.6 else kin[:there])

    def _depth(self, slab: TrueSlab, gravity: float) -> float | None:
        """Thinner on a wet slab, by judgement; mostly none on one that cannot take the thinnest layer."""
        depth, by_mm = self.draw.uniform(8, 14), water_of(1.0, gravity, 0.25)
        room = (0.92 - slab.wetness) * slab.capacity_g / slab.area_m2 / 1000 * math.exp(self.draw.gauss(0, 0.1))
        fits = 0.72 * room / by_mm
        if fits < 7 and self.draw.random() < 0.9:
            return None
        return max(min(depth, fits), 8.0)

    def _pour(self, slab: TrueSlab, share: float, covered: float) -> None:
        draw, body, gravity = self.draw, self._body(slab.row.family), self.draw.uniform(1.40, 1.55)
        depth = self._depth(slab, gravity)
        if depth is None:
            return
        wrote = Written.of(draw, depth, gravity, slab.area_m2 * 1e4 * share)
        workable = self.workable[body.body]
        temp, humidity = self.weather.at(self.now)
        since = (self.now - slab.lifted).total_seconds() / 3600
        soak = Soak(
            need_mm=water_of(depth, gravity, workable),
            resist=self.lab.resist[body.body],
            sorptivity=slab.sorptivity_at(self.now),
            wetness=min(slab.wetness + slab.skin * math.exp(-since / self.skin_hours), 1.0),
            capacity_mm=slab.capacity_g / slab.area_m2 / 1000,
            temp_c=temp,
            by_air_mm_min=evaporation_g_m2_h(temp, humidity, self.fan if slab.place == "fan" else 0.1) / 60000,
            law_k=self.lab.law_k,
            law_limit=self.lab.law_limit,
        )
        turned, other = draw.random() < 0.03, draw.random() < 0.1
        felt = soak.until()[0] * math.exp(draw.gauss(0, FEEL) + (self.other_hand if other else 0.0))
        known = water_of(wrote.best_depth_mm, wrote.gravity, workable)
        self.lab.truth.append(
            TrueRun(
                run=f"R{len(self.lab.runs) + 1:03d}",
                body=body.body,
                slab=slab.row.slab,
                started_at=self.now,
                felt_min=felt * (0.8 if turned else 1.0),
                oracle_min=soak.until(need_mm=known)[0],
                sound_min=replace(soak, sorptivity=slab.sorptivity).until(need_mm=known)[0],
                wetness=slab.wetness,
                nth=self.dried[body.body],
                modelled=not turned,
                spoiled=slab.spoiled_from is not None and self.now >= slab.spoiled_from,
            )
        )
        self.dried[body.body] += 1
        self._write(
            self.lab.truth[-1], slab, wrote, soak, turned, "the other hand" if other else None, (share, covered)
        )

    def _write(
        self,
        truth: TrueRun,
        slab: TrueSlab,
        wrote: Written,
        soak: Soak,
        turned: bool,
        by: str | None,
        shares: tuple[float, float],
    ) -> None:
        """What somebody saw and wrote: touches six to eighteen minutes apart, and no later than the evening."""
        draw, started, share = self.draw, self.now, shares[0]
        ended, outcome = self._touch(truth, turned, by)
        lay = (ended - started).total_seconds() / 60
        lost, took = soak.until(longest_min=lay)
        took_g = took * slab.area_m2 * share * 1000
        air_g = soak.by_air_mm_min * min(lay, lost) * slab.area_m2 * share * 1000
        off_g = wrote.true_g * (1 - draw.uniform(0, 0.01)) - took_g - air_g  # some stays on tools and cloth
        batch = f"{truth.body}-{truth.nth + 1}"
        before = self._scale(slab) if not slab.lays else None
        kept = [draw.random() < 0.75 for _ in range(4)]
        self.lab.batches.append(
            Batch(
                batch=batch, body=truth.body, made="slip", mixed_at=started - timedelta(hours=2), slip_sg=wrote.gravity
            )
        )
        slab.lays.append(Lay(len(self.lab.runs), started, ended, took_g, *shares))
        self.lab.runs.append(
            Run(
                run=truth.run, batch=batch, slab=truth.slab, started_at=started,
                layer_mm=wrote.depth_mm,
                poured_g=wrote.poured_g,
                area_cm2=wrote.area_cm2,
                slip_sg=wrote.gravity if draw.random() < 0.85 else None,
                slab_before_g=before if kept[0] else None,
                air_temp_c=round(soak.temp_c, 1) if kept[1] else None,
                ended_at=ended, outcome=outcome,
                clay_off_g=round(off_g) if kept[2] else None,
            )
        )  # fmt: skip

    def _touch(self, truth: TrueRun, turned: bool, by: str | None) -> tuple[datetime, str]:
        draw, at = self.draw, 0.0
        closing = self.now.replace(hour=19, minute=0, second=0, microsecond=0)
        checks: list[Check] = []
        while (when := self.now + timedelta(minutes=(at := at + draw.uniform(6, 18)))) < closing:
            feel = "fluid" if at < 0.4 * truth.felt_min else "sticky" if at < truth.felt_min else "workable"
            if at > 1.3 * truth.felt_min:
                feel = "stiff"
            action = "turned_over" if turned and not checks else None
            checks.append(Check(run=truth.run, at=when, feel=feel, action=action, by=by))
            if feel in ("workable", "stiff"):
                self.lab.checks += checks
                return when + timedelta(minutes=draw.uniform(0.5, 6)), "workable"
        self.lab.checks += checks
        return closing, "lifted_early"


@dataclass(frozen=True, slots=True)
class Written:
    """What was measured of one layer as poured, and what was not written."""

    depth_mm: float | None
    poured_g: float | None
    area_cm2: float | None
    gravity: float
    best_depth_mm: float
    """By mass over area where both were written, else as read off."""
    true_g: float

    @classmethod
    def of(cls, draw: random.Random, depth: float, gravity: float, area_cm2: float) -> Written:
        """Measured with a ruler, a scale that shows 5 g, and a hydrometer."""
        read = round(depth * math.exp(draw.gauss(0, _DEPTH_SD)), 1)
        area = round(area_cm2 * math.exp(draw.gauss(0, _AREA_SD))) if draw.random() < 0.9 else None
        true_g = gravity * depth * area_cm2 / 10
        poured = float(5 * round(true_g / 5)) if draw.random() < 0.75 else None
        shown = round(gravity + draw.gauss(0, _GRAVITY_SD), 3)
        best = 10 * poured / shown / area if poured is not None and area is not None else read
        return cls(read, poured, area, shown, best, true_g)


def water_of(depth_mm: float, gravity: float, workable: float) -> float:
    """Water a layer has to lose, mm: Brongniart's dry matter, and the balance of the layer."""
    dry = (gravity - 1) * _SOLIDS / (_SOLIDS - 1)
    return depth_mm * (gravity - dry - dry * workable)


def make_lab(seed: int, *, days: int, spoil: Spoiling | None = None) -> MadeLab:
    """One lab's life."""
    return Simulation(seed, days=days, spoil=spoil).live()
