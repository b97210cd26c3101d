"""A wet slab in room air reckoned by hand: heat and vapour, face by face, from handbooks of heat transfer.

Own arithmetic throughout: free convection over each face by how it looks, forced convection by the draught, radiation
by the fourth power, vapour by Magnus. Nothing here comes from the package. Correlations: McAdams' for horizontal
plates (0.54 and 0.27 Ra^¼, area over perimeter for the length) and vertical ones (0.59 Ra^¼), Pohlhausen's
0.664 Re^½ Pr^⅓ and the turbulent 0.037 Re^0.8 Pr^⅓, as courses on heat transfer quote them from Incropera & DeWitt.
`python -m tests.water.hand_balance` prints the table of docs/models.md.
"""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass

from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.water.slab_drying import evaporation

_VISCOSITY, _DIFFUSIVITY, _CONDUCTIVITY, _PRANDTL = 1.5e-5, 2.12e-5, 0.0257, 0.71
_LEWIS = (0.60 / 0.71) ** (2 / 3)
_HEAT, _LATENT = 1020.0, 2.46e6
LENGTH, WIDTH, THICK = 0.5, 0.4, 0.045


def humidity(temp_c: float, rh_pct: float = 100.0) -> float:
    """kg of vapour per kg of dry air; Magnus' formula (World Meteorological Organization, Guide No. 8)."""
    kpa = 0.6112 * math.exp(17.62 * temp_c / (243.12 + temp_c)) * rh_pct / 100
    return 0.622 * kpa / (101.325 - kpa)


@dataclass(frozen=True)
class Face:
    """One face: its length in the correlations, its constant there, and the area."""

    length: float
    constant: float
    area: float

    def loss_g_h(self, temp_c: float, rh_pct: float, speed: float) -> float:
        """Water that leaves it; its temperature and its convection are found together, by turns."""
        face, air = temp_c - 4.0, humidity(temp_c, rh_pct)
        for _ in range(40):
            lighter = 0.61 * (humidity(face) - air) * 293  # humid air is light, cold air is heavy
            buoyancy = max(abs(temp_c - face - lighter), 0.2) / 291
            rayleigh = 9.81 * buoyancy * self.length**3 / (_VISCOSITY * _DIFFUSIVITY)
            free = self.constant * rayleigh**0.25 * _CONDUCTIVITY / self.length
            by_air = (free**3 + _forced(speed) ** 3) ** (1 / 3)
            kelvin = (temp_c + face) / 2 + 273.15
            radiation = 0.9 * 4 * 5.67e-8 * kelvin**3
            face = _balance(temp_c, air, by_air, radiation)
        return by_air / (_HEAT * _LEWIS) * (humidity(face) - air) * self.area * 3.6e6


def _forced(speed: float) -> float:
    """Along a face of 0.4 m: laminar, or turbulent where the blunt edge has made it so and that gives more."""
    reynolds = speed * 0.4 / _VISCOSITY
    nusselt = max(0.664 * reynolds**0.5, 0.037 * reynolds**0.8) * _PRANDTL ** (1 / 3)
    return nusselt * _CONDUCTIVITY / 0.4


def _balance(temp_c: float, air: float, by_air: float, radiation: float) -> float:
    """Temperature at which what comes by air and walls is what evaporating takes; by halving."""
    low, high = -10.0, temp_c
    for _ in range(50):
        middle = (low + high) / 2
        taken = by_air / (_HEAT * _LEWIS) * _LATENT * (humidity(middle) - air)
        low, high = (middle, high) if taken < (by_air + radiation) * (temp_c - middle) else (low, middle)
    return low


def by_hand_g_h(standing: str, temp_c: float, rh_pct: float, speed: float) -> float:
    """A slab of 50 × 40 × 4.5 cm with all its free faces wet."""
    face, around = LENGTH * WIDTH, 2 * (LENGTH + WIDTH)
    short = face / around
    edges = Face(THICK, 0.59, around * THICK)
    faces = {
        "flat": [Face(short, 0.27, face), edges],
        "slats": [Face(short, 0.27, face), Face(short, 0.54, face), edges],
        "edge": [Face(WIDTH, 0.59, 2 * face), Face(THICK, 0.59, (around - LENGTH) * THICK)],
    }[standing]
    return sum(each.loss_g_h(temp_c, rh_pct, speed) for each in faces)


def by_formula_g_h(standing: str, temp_c: float, rh_pct: float, speed: float) -> float:
    """As the package has it."""
    faces = SlabFaces.from_sides(1000 * LENGTH, 1000 * WIDTH, 1000 * THICK)
    return evaporation(faces.free_cm2(standing), temp_c, rh_pct, speed)


def open_water_g_h(temp_c: float, rh_pct: float, speed: float) -> float:
    """Two faces, no edges, by (25 + 19 v)·(xs − x) at the wet bulb: the formula for open water used before."""
    low, high = -10.0, temp_c
    for _ in range(50):
        wet = (low + high) / 2
        colder = humidity(wet) - 1.006 / 2470 * (temp_c - wet) < humidity(temp_c, rh_pct)
        low, high = (wet, high) if colder else (low, wet)
    return (25 + 19 * speed) * (humidity(low) - humidity(temp_c, rh_pct)) * 2 * LENGTH * WIDTH * 1000


def main() -> None:
    """Print the table."""
    sys.stdout.write("| air | stands | by hand, g/h | open water, over it | now, over it |\n|---|---|---|---|---|\n")
    for temp, rh, speed in ((18, 60, 0.1), (18, 60, 0.0), (18, 60, 2.0), (10, 60, 0.1), (20, 80, 0.1), (25, 40, 0.1)):
        for standing in ("flat", "slats", "edge"):
            hand = by_hand_g_h(standing, temp, rh, speed)
            was = open_water_g_h(temp, rh, speed) / hand
            now = by_formula_g_h(standing, temp, rh, speed) / hand
            air = f"{temp} °C, {rh} %, {speed:g} m/s"
            sys.stdout.write(f"| {air} | {standing} | {hand:.1f} | {was:.2f} | {now:.2f} |\n")


if __name__ == "__main__":
    main()
