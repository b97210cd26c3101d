"""Plaster slabs as they truly are: cast, aged, moved on through the days, and changed."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np

from claybench.terms import Slab
from tests.campaign.other_air import DAY_MIN, Weather
from tests.campaign.other_physics import (
    SLAB_CELLS,
    AirNow,
    Face,
    Plaster,
    Soil,
    Surroundings,
    minutes_until,
    pour,
)
from tests.campaign.other_recipes import common_clay, solids_mm, water_over_solids
from tests.campaign.other_truth import SlabTrack

PARE_G_CM3 = 1.1
"""Of dry plaster, about."""
COMMON_WETNESS = 0.25
"""Of a slab on which a common layer is timed."""
_SALTS_HALF_G_M2 = 220.0
"""Of soda in the pores of a face that make a common layer take twice as long."""
_SKINS = (0.0, 60.0, 200.0, 500.0, 1100.0, 2200.0, 4500.0, 9000.0)


@dataclass(slots=True)
class Clogging:
    """What slows one face, each as times as long for a common layer on the slab at a quarter full."""

    age: float = 1.0
    uses: int = 0
    salts_g_m2: float = 0.0
    change: float = 1.0
    """By what happened to it unseen."""
    suction_share: float = 0.0
    """Of that, on a logarithmic scale, how much is suction lost; the rest is skin."""

    @property
    def common(self) -> float:
        """Without what happened."""
        return self.age * (1 + self.salts_g_m2 / _SALTS_HALF_G_M2)


@dataclass(slots=True)
class LabSlab:
    """One slab of the lab."""

    row: Slab
    area_cm2: float
    dry_g: float
    soil: Soil
    clogging: dict[str, Clogging]
    edge_share: float
    """Edges over both faces."""
    age_per_use: float
    clock: float = 0.0
    """Minutes it has been moved on to."""
    place: str = "shelf"
    on_edge: bool = True
    busy_until: float = -1.0
    """A layer lies on it, or someone has it on the scale."""
    lifted: float = -1.0
    """The last layer."""
    due_dry: bool = False
    """It is in the drying room to be weighed dry."""
    bound_due_g: float = 0.0
    """Water it will bind again when next wetted."""
    sound: Plaster | None = None
    """Before its plaster itself changed."""
    casting: bool = False
    """Kept for deflocculated slips."""
    track: SlabTrack = field(default_factory=lambda: SlabTrack(0.0))
    skins: dict[float, tuple[list[float], list[float]]] = field(default_factory=dict)
    """By what suction is left: skins, and minutes of a common layer."""

    @property
    def plaster(self) -> Plaster:
        """Its plaster."""
        return self.soil.plaster

    @property
    def area_m2(self) -> float:
        """Of one face."""
        return self.area_cm2 / 1e4

    @property
    def water_g(self) -> float:
        """Water in it."""
        return 1000 * self.plaster.water_mm * self.area_m2

    @property
    def mass_g(self) -> float:
        """What it weighs."""
        return self.dry_g + self.water_g

    def stands(self, covered: str | None = None) -> Surroundings:
        """How free its faces are; a layer covers one, and the other then lies on the table."""
        edges = 1 + self.edge_share
        if covered:
            back = 0.3 + self.edge_share
            return Surroundings(back, back)
        return Surroundings(edges if self.on_edge else 0.3, edges)

    def note_track(self, always: bool = False) -> None:
        """Keep where it stands now; not more often than every two minutes, but for what came at once."""
        track = self.track
        if track.minutes and self.clock - track.minutes[-1] < 2 and not always:
            return
        track.minutes.append(self.clock)
        track.water_g.append(self.water_g)
        track.capacity_g.append(1000 * self.plaster.full_mm * self.area_m2)
        track.dry_g.append(self.dry_g)

    def advance(self, until: float, weather: Weather) -> None:
        """Move it on, nothing lying on it."""
        while self.clock < until - 1e-9:
            longest = min(180.0 if self.plaster.saturation.max() < 0.05 else 75.0, until - self.clock)
            air = weather.at(self.clock + min(self.soil.step_min, longest) / 2, self.place)
            self.clock += self.soil.step(air, self.stands(), longest)
            self.note_track()

    def dress_faces(self) -> None:
        """Give the faces the skins that their clogging comes to."""
        for name, clog in self.clogging.items():
            self.plaster.faces[name] = self.face_with(clog, clog.change)

    def face_with(self, clog: Clogging, change: float) -> Face:
        """A face that slows a common layer by what is common to it and by a change."""
        suction = round(change**-clog.suction_share * 20) / 20
        skin = self._skin_for(1.0, clog.common)
        if change != 1:
            skin += self._skin_for(suction, change)
        return Face(skin, suction)

    def _skin_for(self, suction: float, slower: float) -> float:
        """Skin with which a common layer takes that many times as long as on the bare, sound face."""
        bare = self._common_minutes(1.0)[1][0]
        skins, minutes = self._common_minutes(suction)
        return float(np.interp(slower * bare, minutes, skins))

    def _common_minutes(self, suction: float) -> tuple[list[float], list[float]]:
        if suction not in self.skins:
            minutes: list[float] = []
            for skin in _SKINS:
                plaster = self.plaster.copy()
                plaster.saturation[:] = COMMON_WETNESS
                plaster.faces["form"] = Face(skin, suction)
                minutes.append(common_layer_minutes(plaster))
                if minutes[-1] > 6 * minutes[0]:
                    break
            self.skins[suction] = (list(_SKINS[: len(minutes)]), minutes)
        return self.skins[suction]

    def carry(self, face: str, soda_g_m2: float) -> None:
        """One more layer has lain on a face, with so much soda in the water it gave."""
        clog = self.clogging[face]
        clog.uses += 1
        clog.age *= self.age_per_use
        clog.salts_g_m2 += 0.75 * soda_g_m2
        other = self.clogging["open" if face == "form" else "form"]
        other.salts_g_m2 += 0.25 * soda_g_m2
        bound = min(self.bound_due_g, 0.5 * self.water_g)
        if bound > 0:
            self.plaster.saturation *= 1 - bound / self.water_g
            self.dry_g += bound
            self.bound_due_g = 0.0
        self.dress_faces()

    def alter(self, capacity: float, conductivity: float, entry: float) -> None:
        """Its plaster is another one from now on."""
        self.sound = self.plaster.copy()
        self.plaster.change_pores(capacity, conductivity, entry)


def common_layer_minutes(plaster: Plaster) -> float:
    """Minutes that 10 mm of a common slip take to become workable on the form face, at 20 °C and 55 %."""
    soil = Soil(plaster, pour(common_clay(), solids_mm(1.45, 10), water_over_solids(1.45), 20.0, "form"))
    return minutes_until(
        soil, AirNow(20.0, 0.55, 0.15), Surroundings(0.3, 0.3), soil.layer.clay.workable_void, 3000
    ) if soil.layer else math.inf  # fmt: skip


def make_slab(rng: np.random.Generator, number: int, family: str, start: datetime) -> LabSlab:
    """A slab of its own size, mix and age; some were there before anyone wrote anything down."""
    thickness = float(rng.choice([25, 28, 30, 30, 32, 35, 40]))
    length, width = float(rng.integers(28, 40) * 10), float(rng.integers(22, 32) * 10)
    area = length * width / 100
    ratio = float(np.clip(rng.normal(72, 6), 60, 90)) if rng.random() < 0.8 else float(rng.uniform(60, 90))
    ratio = round(ratio)
    volume = area * thickness / 10
    # Of 100 plaster 118.6 gypsum is made, of 2.32 g/cm3; the rest of the water leaves pores behind.
    plaster_g = volume / (100 / 2.63 + ratio) * 100
    dry = 1.186 * plaster_g * math.exp(rng.normal(0, 0.006))
    reached = 0.85 - 0.0045 * (ratio - 60) + rng.normal(0, 0.02)
    capacity = reached * (ratio - 13.1) / (100 / 2.63 + ratio)
    coarse = (ratio - 70) / 20
    plaster = Plaster(
        thickness, float(capacity), 0.028 * math.exp(0.6 * coarse + rng.normal(0, 0.32)),
        52 * math.exp(-0.25 * coarse + rng.normal(0, 0.08)), np.full(SLAB_CELLS, float(rng.uniform(0.01, 0.12))),
    )  # fmt: skip
    years = float(rng.uniform(0.1, 3))
    uses = int(years * 60)
    per_use = 1 + float(rng.uniform(0.0003, 0.0012))
    clogging = {
        "form": Clogging(per_use**uses, uses, suction_share=float(rng.uniform(0, 0.4))),
        "open": Clogging(float(rng.uniform(1.0, 1.12)), 0, suction_share=float(rng.uniform(0, 0.4))),
    }
    known, has_dry = rng.random() < 0.8, rng.random() < 0.6
    row = Slab(
        slab=f"S{number}", family=family, shape="rectangle", length_mm=length, width_mm=width, thickness_mm=thickness,
        usable_area_cm2=round(area) if rng.random() < 0.5 else None, plaster="pottery plaster" if known else None,
        mix_ratio=ratio if known else None,
        plaster_g=round(plaster_g, -1) if known else None,
        water_g=round(plaster_g * ratio / 100, -1) if known else None,
        cast_at=(start - timedelta(days=365 * years + 14)).date() if known else None,
        in_service_on=(start - timedelta(days=365 * years)).date() if known else None,
        dry_mass_g=round(dry, -1) if has_dry else None, note="invented",
    )  # fmt: skip
    slab = LabSlab(row, area, dry, Soil(plaster), clogging, thickness / 10 * (length + width) / 10 / area, per_use)
    slab.track.area_m2 = slab.area_m2
    slab.dress_faces()
    slab.note_track()
    return slab


def cast_slab(rng: np.random.Generator, number: int, family: str, start: datetime, day: int) -> LabSlab:
    """A slab cast on some day, full of water, that dries before the fan for two weeks or so until it is used."""
    made = make_slab(rng, number, family, start)
    waits = int(rng.integers(9, 18))
    row = replace(
        made.row, cast_at=(start + timedelta(days=day)).date(),
        in_service_on=(start + timedelta(days=day + waits)).date(),
        dry_mass_g=None,
    )  # fmt: skip
    plaster = made.plaster
    plaster.saturation[:] = 1.0
    made.row, made.place = row, "fan"
    made.clogging["form"].age, made.clogging["form"].uses, made.clogging["open"].age = 1.0, 0, 1.0
    made.clock = day * DAY_MIN + 11 * 60
    made.busy_until = (day + waits) * DAY_MIN + 8 * 60
    made.track = SlabTrack(made.area_m2)
    made.dress_faces()
    made.note_track()
    return made


def overheat(rng: np.random.Generator, slab: LabSlab, weather: Weather) -> None:
    """A night at 55 °C: dry, some of its gypsum turned back to plaster, its pores wider and its face dusty."""
    hot = AirNow(55.0, 0.12, 0.8)
    until = slab.clock + 14 * 60
    while slab.clock < until - 1e-9:
        slab.clock += slab.soil.step(hot, slab.stands(), min(60.0, until - slab.clock))
        slab.note_track()
    lost = 0.157 * float(rng.uniform(0.06, 0.25)) * slab.dry_g
    slab.alter(1.02, float(rng.uniform(1.0, 1.4)), float(rng.uniform(0.55, 0.8)))
    slab.dry_g -= lost
    slab.bound_due_g = 0.4 * lost
    _roughen(slab, float(rng.uniform(1.0, 1.4)))


def freeze(rng: np.random.Generator, slab: LabSlab) -> None:
    """Wet through in a night of frost: cracks between its crystals, and crumbs off its faces."""
    room = 0.85 * slab.plaster.full_mm - slab.plaster.water_mm
    if room > 0:
        slab.plaster.take(room, "open")
    slab.note_track()
    slab.clock += DAY_MIN / 2
    pared = float(rng.uniform(0.2, 0.7))
    pare(slab, pared)
    slab.alter(1.03, float(rng.uniform(1.2, 1.6)), float(rng.uniform(0.5, 0.75)))
    _roughen(slab, float(rng.uniform(1.0, 1.4)))
    slab.note_track(always=True)


def pare(slab: LabSlab, depth_mm: float) -> None:
    """Some plaster comes off a face, with its water."""
    slab.dry_g -= depth_mm / 10 * slab.area_cm2 * PARE_G_CM3
    slab.plaster.pare(depth_mm)
    slab.skins.clear()
    slab.dress_faces()


def resurface(rng: np.random.Generator, slab: LabSlab) -> None:
    """The form face is scraped: what clogged it comes off."""
    clog = slab.clogging["form"]
    clog.age, clog.uses, clog.change = float(rng.uniform(0.97, 1.02)), 0, 1.0
    clog.salts_g_m2 *= 0.3
    pare(slab, float(rng.uniform(0.5, 1.3)))


def _roughen(slab: LabSlab, slower: float) -> None:
    # Skins are those found on the plaster as it was: what is on the faces stays, and dust comes on top.
    for clog in slab.clogging.values():
        if clog.change == 1:
            clog.suction_share = 0.0
        clog.change *= slower
    slab.dress_faces()
