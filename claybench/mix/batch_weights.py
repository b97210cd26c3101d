"""From a dose to the scale: the dry and the moist mass of one material, rounding, the water that then belongs to it,
and what a batch becomes when more of a material went in than was wanted.

Sizing, weighing out, bench sheets and the record all take their masses from here, so that they agree to the last digit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from claybench.facts.ranges import check_positive
from claybench.mix.portions import rounded_to_scale
from claybench.mix.slip_formulas import moist_mass

_DIGITS = 4
"""Finer than any scale here, and no digits that mean nothing in the record."""


def recorded_mass(mass_g: float) -> float:
    """A mass of a batch as it is recorded, and as its weights are worked out from.

    >>> recorded_mass(776.21345678)
    776.2135
    """
    return round(mass_g, _DIGITS)


@dataclass(frozen=True, slots=True)
class MaterialWeight:
    """One material of a batch: what it is to be, and what the scale is to show."""

    dry_g: float
    moist_g: float
    """Moisture of the lot included."""
    rounded_g: float
    """What to weigh, as the scale can show it."""


def weigh_material(batch_dry_g: float, share_pct: float, moisture_pct: float | None, step_g: float) -> MaterialWeight:
    """What to weigh of a material: its share in per cent of the batch's dry mass, from a lot of this moisture.

    >>> weigh_material(1000, 60, 10, 1)
    MaterialWeight(dry_g=600.0, moist_g=666.6666666666666, rounded_g=667.0)
    """
    dry = batch_dry_g * share_pct / 100
    moist = moist_mass(dry, moisture_pct or 0.0)
    return MaterialWeight(dry, moist, rounded_to_scale(moist, step_g))


@dataclass(frozen=True, slots=True)
class BucketLine:
    """One material in the bucket, or on its way there."""

    mass_g: float
    """As weighed."""
    moisture_pct: float
    addition: bool
    """On top of the body: its dry mass is not the batch's."""

    @property
    def dry_g(self) -> float:
        """Its dry mass."""
        return self.mass_g - self.water_g

    @property
    def water_g(self) -> float:
        """Water that it brings."""
        return self.mass_g * self.moisture_pct / 100


def dry_body_mass(lines: Iterable[BucketLine]) -> float:
    """Dry mass of the body in these, additions not counted."""
    return math.fsum(line.dry_g for line in lines if not line.addition)


def lot_water_mass(lines: Iterable[BucketLine]) -> float:
    """Water that moist lots and solutions bring."""
    return math.fsum(line.water_g for line in lines)


def water_to_add(lines: Sequence[BucketLine], water_per_dry: float, step_g: float) -> float:
    """Water that makes the slip of what is in the bucket, in steps of the scale; 0 where the lots bring enough.

    >>> water_to_add([BucketLine(667, 10, False), BucketLine(400, 0, False)], 0.9, 1)
    834.0
    """
    return rounded_to_scale(max(0.0, water_per_dry * dry_body_mass(lines) - lot_water_mass(lines)), step_g)


def recorded_masses(lines: Sequence[BucketLine], water_g: float) -> tuple[float, float]:
    """Dry mass and all water of a batch, as they are recorded of what was weighed and the water put to it."""
    return recorded_mass(dry_body_mass(lines)), recorded_mass(water_g + lot_water_mass(lines))


def scale_up_factor(weighed_g: float, target_g: float) -> float:
    """How many times as large a batch becomes when everything else follows a material of which too much went in.

    >>> scale_up_factor(70, 60)
    1.1666666666666667
    """
    return check_positive(weighed_g, "mass_g", "g") / check_positive(target_g, "mass_g", "g")
