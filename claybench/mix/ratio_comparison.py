"""What the mix ratio does to a slab: the same form filled at several ratios, side by side."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

from claybench.facts.reason import Worksheet
from claybench.mix import plaster_mix, slab_masses as masses
from claybench.mix.plaster_mix import dry_density, plaster_for_volume, pore_capacity_pct, water_for_plaster

RATIOS = (45.0, 50.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0)
"""From strong and dense to weak and thirsty."""


@dataclass(frozen=True, slots=True)
class SlabAtRatio:
    """One slab of a volume, poured at one mix ratio."""

    mix_ratio: float
    plaster_g: float
    water_g: float
    dry_density: float
    """g/mL."""
    pore_capacity_pct: float
    dry_g: float
    capacity_g: float
    dry_strength_mpa: float
    """Rough."""
    worked: Worksheet = field(repr=False, compare=False)

    def as_row(self) -> dict[str, Any]:
        """Its figures by name, and why they are what they are."""
        row = {each.name: getattr(self, each.name) for each in fields(self) if each.name != "worked"}
        return row | {"why": self.why()}

    def why(self) -> list[str]:
        """Where its figures come from, as text."""
        return self.worked.lines()


def slabs_by_ratio(volume_ml: float, ratios: tuple[float, ...] = RATIOS) -> tuple[SlabAtRatio, ...]:
    """A slab of one volume at each mix ratio, 45 to 90.

    >>> [round(each.capacity_g) for each in slabs_by_ratio(10_000, (50, 70, 90))]
    [3154, 4005, 4586]
    """
    return tuple(_slab_at(volume_ml, ratio) for ratio in ratios)


def _slab_at(volume_ml: float, ratio: float) -> SlabAtRatio:
    worked = Worksheet()
    plaster = worked.work("plaster_g", plaster_for_volume, volume_ml, ratio)
    dry = worked.work("dry_g", masses.dry_mass, plaster)
    return SlabAtRatio(
        mix_ratio=ratio,
        plaster_g=plaster,
        water_g=water_for_plaster(plaster, ratio),
        dry_density=dry_density(ratio),
        pore_capacity_pct=pore_capacity_pct(ratio),
        dry_g=dry,
        capacity_g=worked.work("capacity_g", masses.soaking_capacity, masses.pore_water(dry, ratio)),
        dry_strength_mpa=worked.work("dry_strength_mpa", plaster_mix.dry_strength, ratio),
        worked=worked,
    )
