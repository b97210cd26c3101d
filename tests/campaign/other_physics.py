"""Water in a layer of clay and in the plaster under it, on one line of cells from the layer's top to the slab's back.

The clay is a consolidating filter cake in coordinates of its solids: its void ratio follows the pressure of the
suction by a power law, and its permeability the void ratio. The plaster is unsaturated and rigid: Darcy's law with
power laws of retention and conductivity, and water held under tension below the entry pressure. Faces dry through a
boundary layer, cooled by what they lose, and through the plaster that has already dried. Nobody's habits are here.

Lengths are in mm, times in minutes, pressures in kPa, water in mm (kg/m2).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dgtsv

Cells = NDArray[np.float64]

LAYER_CELLS, SLAB_CELLS = 8, 13
TENSION_SHARE = 0.12
"""Of the capacity that fills while the suction falls from its entry pressure to none."""
PORE_INDEX = 1.0
"""Brooks and Corey's: suction goes as saturation to the power -1/index. Low: the pores of plaster differ much."""
POTENTIAL_POWER = 3 + 1 / PORE_INDEX
"""Conductivity goes as saturation to the power 3 + 2/index, and so its integral over suction to this one."""
_STEEP_POWER = int(POTENTIAL_POWER) - 1 if float(POTENTIAL_POWER).is_integer() else POTENTIAL_POWER - 1
RESIDUAL = 0.04
"""Saturation below which a cell counts as dry to the air."""
LATENT_J_KG, AIR_J_M3_K, VAPOUR_M2_S = 2.45e6, 1207.0, 2.5e-5


def viscosity_ratio(temp_c: float) -> float:
    """Viscosity of water over that at 20 °C (Vogel's form)."""
    return math.exp(578.9 / (temp_c + 273.15 - 137.5) - 578.9 / (293.15 - 137.5))


def tension_ratio(temp_c: float) -> float:
    """Surface tension of water over that at 20 °C: falls 0.15 mN/m for each degree."""
    return (75.7 - 0.151 * temp_c) / (75.7 - 0.151 * 20)


def vapour_g_m3(temp_c: float) -> float:
    """Vapour in saturated air [g/m3] (Tetens)."""
    return 610.8 * math.exp(17.27 * temp_c / (temp_c + 237.3)) * 2.167 / (temp_c + 273.15)


@dataclass(frozen=True, slots=True)
class AirNow:
    """Air around a slab."""

    temp_c: float
    rh: float
    """0 to 1."""
    speed_m_s: float
    deficit: float = field(init=False)
    """Of vapour [kg/m3]."""
    resistance: float = field(init=False)
    """Of the boundary layer, cooling counted in [s/m]: the face gives off as much heat as it is given."""

    def __post_init__(self) -> None:
        carried = 3.5 + 4.2 * self.speed_m_s
        slope = (vapour_g_m3(self.temp_c + 0.5) - vapour_g_m3(self.temp_c - 0.5)) / 1000
        object.__setattr__(self, "deficit", vapour_g_m3(self.temp_c) * (1 - self.rh) / 1000)
        object.__setattr__(self, "resistance", AIR_J_M3_K / carried + slope * LATENT_J_KG / (carried + 5))

    def evaporation(self, dry_mm: float) -> float:
        """Water lost [mm/min] from a face that is dry down to a depth [mm], at the temperature it cools to."""
        return 60 * self.deficit / (self.resistance + dry_mm / 1000 / (0.25 * VAPOUR_M2_S))


@dataclass(frozen=True, slots=True)
class Clay:
    """How the clay of one batch gives up its water."""

    conductance: float
    """At the workable void ratio and 20 °C, integrated over pressure [mm2/min]."""
    workable_void: float
    """Water over solids by volume when workable."""
    workable_kpa: float
    """Pressure that holds it there."""
    compression: float
    """Void ratio goes as pressure to minus this power."""
    permeability_power: float
    """Permeability goes as void ratio to this power."""

    @property
    def power(self) -> float:
        """The potential goes as void ratio to minus this power."""
        return 1 / self.compression - self.permeability_power


@dataclass(slots=True)
class Face:
    """One face of a slab."""

    skin: float = 0.0
    """Resistance of what clogs it [min kPa/mm at 20 °C]."""
    suction: float = 1.0
    """Of the plaster's own suction, what it still has."""


@dataclass(slots=True)
class Plaster:
    """A slab's plaster and the water in it."""

    thickness_mm: float
    capacity: float
    """Water it holds when full, by volume."""
    conductivity: float
    """Full, at 20 °C [mm2/min/kPa]."""
    entry_kpa: float
    saturation: Cells
    """From the form face to the open one."""
    faces: dict[str, Face] = field(default_factory=lambda: {"form": Face(), "open": Face()})

    @property
    def widths(self) -> Cells:
        """Of its cells [mm], finer near both faces."""
        return _widths(self.thickness_mm)[0]

    @property
    def full_mm(self) -> float:
        """Water it holds when full [mm]."""
        return self.capacity * self.thickness_mm

    @property
    def water_mm(self) -> float:
        """Water in it [mm]."""
        return self.capacity * float(self.widths @ self.saturation)

    @property
    def wetness(self) -> float:
        """Mean water over capacity."""
        return self.water_mm / self.full_mm

    def copy(self) -> Plaster:
        """One that goes its own way."""
        return replace(
            self, saturation=self.saturation.copy(), faces={name: replace(face) for name, face in self.faces.items()}
        )

    def take(self, water_mm: float, face: str) -> None:
        """Take up water [mm] from one face inward, as far as there is room."""
        order = range(SLAB_CELLS) if face == "form" else reversed(range(SLAB_CELLS))
        for cell in order:
            room = self.capacity * self.widths[cell] * max(1 - self.saturation[cell], 0)
            taken = min(room, water_mm)
            self.saturation[cell] += taken / (self.capacity * self.widths[cell])
            water_mm -= taken

    def change_pores(self, capacity: float, conductivity: float, entry: float) -> None:
        """Multiply what it holds, lets through and draws with; the water in it stays."""
        water = self.water_mm
        self.capacity *= capacity
        self.conductivity *= conductivity
        self.entry_kpa *= entry
        self.saturation *= water / max(self.water_mm, 1e-12)

    def pare(self, depth_mm: float) -> None:
        """Scrape both the depth and its share of the water off."""
        self.thickness_mm -= depth_mm


_SHARES = np.array([1.3 ** min(cell, SLAB_CELLS - 1 - cell) for cell in range(SLAB_CELLS)])
_SHARES /= _SHARES.sum()
_LAYER_SHARES = np.array([1.3**-cell for cell in range(LAYER_CELLS)])
_LAYER_SHARES /= _LAYER_SHARES.sum()


@lru_cache(maxsize=256)
def _widths(thickness_mm: float) -> tuple[Cells, Cells]:
    """Widths of a slab's cells, and how far their middles are apart [mm]."""
    widths = _SHARES * thickness_mm
    return widths, 0.5 * (widths[1:] + widths[:-1])


@dataclass(slots=True)
class Layer:
    """A layer of clay while it lies on a slab."""

    clay: Clay
    solids_mm: Cells
    """Volume of the solids of each cell over its area, from the top down."""
    voids: Cells
    """Water over solids of each cell."""
    slip_temp_c: float
    face: str
    age_min: float = 0.0

    @property
    def void_ratio(self) -> float:
        """Mean water over solids."""
        return float(self.solids_mm @ self.voids / self.solids_mm.sum())

    @property
    def water_mm(self) -> float:
        """Water in it [mm]."""
        return float(self.solids_mm @ self.voids)

    def copy(self) -> Layer:
        """One that goes its own way."""
        return replace(self, voids=self.voids.copy())

    def turn_over(self) -> None:
        """What lay on the plaster now lies on top."""
        self.solids_mm, self.voids = self.solids_mm[::-1].copy(), self.voids[::-1].copy()


def pour(clay: Clay, solids_mm: float, void_ratio: float, slip_temp_c: float, face: str) -> Layer:
    """A fresh layer, its slip even throughout."""
    return Layer(clay, _LAYER_SHARES * solids_mm, np.full(LAYER_CELLS, void_ratio), slip_temp_c, face)


@dataclass(slots=True)
class Surroundings:
    """How a slab stands: how freely each face gives to the air, edges counted in; 0 covered, 1 free."""

    form: float = 1.0
    open: float = 1.0


@dataclass(slots=True)
class Soil:
    """A slab, and the layer on it where there is one, moved on in time."""

    plaster: Plaster
    layer: Layer | None = None
    evaporated_mm: float = 0.0
    """Gone to the air since it was made."""
    step_min: float = 0.02
    face_kpa: float = 10.0
    """Suction where clay and plaster meet, as last found."""

    def copy(self) -> Soil:
        """One that goes its own way."""
        return replace(self, plaster=self.plaster.copy(), layer=self.layer.copy() if self.layer else None)

    def step(self, air: AirNow, stands: Surroundings, longest_min: float) -> float:
        """Move on by one step of at most that many minutes, and give its length."""
        while True:
            length = min(self.step_min, longest_min)
            changes, lost = self._changes(air, stands, length)
            size = self._size(changes)
            if size <= 2.5 or length < 1e-3:
                break
            self.step_min = length / 3
        split = LAYER_CELLS if self.layer else 0
        if self.layer:
            self.layer.voids += changes[:split]
            self.layer.age_min += length
        inward = changes[split:]
        self.plaster.saturation += inward if self._face() == "form" else inward[::-1]
        self.evaporated_mm += lost
        if length >= self.step_min or size > 1:
            self.step_min = length * min(max(1 / max(size, 1e-9), 0.4), 1.5)
        return length

    def _face(self) -> str:
        return self.layer.face if self.layer else "form"

    def _size(self, changes: Cells) -> float:
        """How large the step is: 1 is as large as wanted."""
        if not self.layer:
            return float(np.abs(changes).max()) / 0.05
        drawn = np.abs(changes[:LAYER_CELLS] / self.layer.voids).max() / 0.09
        return max(float(drawn), float(np.abs(changes[LAYER_CELLS:]).max()) / 0.09)

    def _changes(self, air: AirNow, stands: Surroundings, length: float) -> tuple[Cells, float]:
        """What each cell gains over a step, linear in the changes themselves; and the water gone to the air."""
        plaster, layer = self.plaster, self.layer
        forward = self._face() == "form"
        saturation = plaster.saturation if forward else plaster.saturation[::-1]
        temp = air.temp_c
        if layer:
            temp += (layer.slip_temp_c - air.temp_c) * math.exp(-layer.age_min / 25)
        thin, pull = 1 / viscosity_ratio(temp), tension_ratio(temp)
        skin = plaster.faces[self._face()]
        conductivity = plaster.conductivity * thin
        entry = plaster.entry_kpa * pull * skin.suction
        widths, apart = _widths(plaster.thickness_mm)
        potential, gain = _plaster_potential(saturation, conductivity, entry)
        store = plaster.capacity * widths
        sinks = np.zeros(SLAB_CELLS)
        free = (stands.form, stands.open) if forward else (stands.open, stands.form)
        if not layer:
            cell, lost = _drying(saturation, widths, store, air, free[0], length)
            sinks[cell] = lost
        cell, lost = _drying(saturation[::-1], widths, store, air, free[1], length)
        sinks[-1 - cell] += lost
        if not layer:
            flux = (potential[:-1] - potential[1:]) / apart
            before, after = gain[:-1] / apart, -gain[1:] / apart
        else:
            clay = layer.clay
            scale = clay.conductance * thin
            drawn = -scale * (clay.workable_void / layer.voids) ** clay.power
            drawn_gain = -clay.power * drawn / layer.voids
            solids = layer.solids_mm
            solids_apart = 0.5 * (solids[1:] + solids[:-1])
            meet = self._meet(
                scale, float(drawn[-1]), float(drawn_gain[-1]), float(solids[-1]) / 2, conductivity, entry,
                float(potential[0]), float(gain[0]), float(widths[0]) / 2, skin.skin / thin,
            )  # fmt: skip
            flux = np.concatenate(
                ((drawn[:-1] - drawn[1:]) / solids_apart, (meet[0],), (potential[:-1] - potential[1:]) / apart)
            )
            before = np.concatenate((drawn_gain[:-1] / solids_apart, (meet[1],), gain[:-1] / apart))
            after = np.concatenate((-drawn_gain[1:] / solids_apart, (meet[2],), -gain[1:] / apart))
            store = np.concatenate((solids, store))
            open_top = min(max(float(layer.voids[0]) / clay.workable_void - 0.3, 0.0) / 0.3, 1.0)
            sinks = np.concatenate((np.zeros(LAYER_CELLS), sinks))
            sinks[0] = air.evaporation(0.0) * open_top
        right = -sinks
        right[:-1] -= flux
        right[1:] += flux
        middle = store / length
        middle[:-1] += before
        middle[1:] -= after
        changes = dgtsv(-before, middle, after, right)[3]
        return changes, float(sinks.sum()) * length

    def _meet(
        self, scale: float, drawn: float, drawn_gain: float, clay_half: float,
        conductivity: float, entry: float, potential: float, gain: float, plaster_half: float, skin: float,
    ) -> tuple[float, float, float]:  # fmt: skip
        """Flow from the clay into the plaster [mm/min], and its derivatives by what the last and first cells hold.

        Suction is one on both sides of the face but for what the skin takes; found by Newton's way within bounds.
        """
        assert self.layer is not None
        clay = self.layer.clay
        power = 1 - clay.compression * clay.permeability_power
        low, high, suction = 0.0, 60 * entry, self.face_kpa
        first = conductivity * entry / PORE_INDEX / POTENTIAL_POWER
        fall = PORE_INDEX * POTENTIAL_POWER
        for _ in range(60):
            if suction <= entry:
                at_face, slope = first + conductivity * (entry - suction), -conductivity
            else:
                at_face = first * (entry / suction) ** fall
                slope = -fall * at_face / suction
            flow = (at_face - potential) / plaster_half
            slope /= plaster_half
            pressure = suction - skin * flow
            if pressure < 1e-4:
                low, suction = suction, min(suction + (skin * flow - suction) / (1 - skin * slope) + 1e-3, high)
                continue
            clay_face = scale * (pressure / clay.workable_kpa) ** power
            steep = power * clay_face / pressure / clay_half
            wrong = flow - (clay_face + drawn) / clay_half
            if wrong > 0:
                low = suction
            else:
                high = suction
            step = wrong / (slope - steep * (1 - skin * slope))
            if abs(step) < 1e-5 * entry:
                break
            suction -= step
            if not low < suction < high:
                suction = 0.5 * (low + high)
        self.face_kpa = suction
        whole = steep - slope * (1 + steep * skin)
        return (
            flow,
            -slope * (drawn_gain / clay_half) / whole,
            -gain / plaster_half * steep / whole,
        )


def _plaster_potential(saturation: Cells, conductivity: float, entry: float) -> tuple[Cells, Cells]:
    """Conductivity integrated over suction up to each cell's own [mm2/min], and its derivative by saturation."""
    entered = 1 - TENSION_SHARE
    first = conductivity * entry / PORE_INDEX / POTENTIAL_POWER
    part = np.minimum(np.maximum(saturation / entered, 1e-6), 1.0)
    steep = first * part**_STEEP_POWER
    potential, gain = steep * part, POTENTIAL_POWER / entered * steep
    if saturation.max() > entered:
        rise = conductivity * entry / TENSION_SHARE
        potential += np.maximum(saturation - entered, 0) * rise
        gain[saturation > entered] = rise
    return potential, gain


def _drying(
    saturation: Cells, widths: Cells, store: Cells, air: AirNow, free: float, length: float
) -> tuple[int, float]:
    """Which cell loses water to the air beyond the first one, its face dry down to there, and how much [mm/min].

    Widths and what the cells store are the same from both faces.
    """
    dry, depth = 1.0, 0.0
    for cell in range(SLAB_CELLS):
        wet = float(saturation[cell])
        if wet > RESIDUAL / 2:
            return cell, min(free * air.evaporation(depth), 0.5 * wet * float(store[cell]) / length)
        dry *= max(1 - wet / (2 * RESIDUAL), 0.0)
        depth += float(widths[cell]) * max(dry, 0.3)
    return 0, 0.0


def minutes_until(soil: Soil, air: AirNow, stands: Surroundings, void_ratio: float, longest_min: float) -> float:
    """Minutes until the layer is as dry as that on the mean; infinite where it is not within the time given."""
    layer = soil.layer
    assert layer is not None
    passed, wet = 0.0, layer.void_ratio
    while passed < longest_min:
        length = soil.step(air, stands, longest_min - passed)
        now = layer.void_ratio
        passed += length
        if now <= void_ratio:
            return passed - length * (void_ratio - now) / max(wet - now, 1e-12)
        wet = now
    return math.inf
