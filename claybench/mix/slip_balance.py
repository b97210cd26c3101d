"""Masses of a batch of slip, from what is wanted back to dry clay and water: for one density of its clay, and one
water when workable, so that a range of them needs no other way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.facts.clay import PLAIN_SLIP_SG, SOLIDS_SG
from claybench.facts.reason import Worksheet
from claybench.mix import clay_masses
from claybench.mix.slip_formulas import (
    slip_specific_gravity,
    slip_volume,
    solids_specific_gravity,
    water_for_share,
    water_for_specific_gravity,
)
from claybench.mix.slip_request import BodyPart, SlipRequest


@dataclass(frozen=True, slots=True)
class SlipBalance:
    """Dry clay and water of a batch, and what they make together."""

    solids_sg: float
    workable_pct: float
    """Water when workable, of dry mass."""
    plastic_density: float
    """g/mL."""
    pieces_g: float | None
    """Plastic mass of the pieces alone; None where they are not counted."""
    plastic_g: float
    """Plastic mass the batch makes, loss included."""
    dry_g: float
    """Dry mass of the body, additions not counted."""
    water_g: float
    """All water in the slip."""
    slip_ml: float
    slip_sg: float

    @property
    def slip_g(self) -> float:
        """Mass of the slip."""
        return self.dry_g + self.water_g

    @property
    def left_over_g(self) -> float:
        """Water beyond what workable clay holds; 0 for slip as stiff as that."""
        return max(0.0, self.water_g - self.dry_g * self.workable_pct / 100)


def balance_slip(request: SlipRequest, solids_sg: float, workable_pct: float, worked: Worksheet) -> SlipBalance:
    """Dry clay and water that the request asks for, formulas noted by the names of `SLIP_FIGURES`."""
    density = request.plastic_density
    if density is None:
        density = worked.work("plastic_density", clay_masses.plastic_density, workable_pct, solids_sg)
    pieces = None
    if request.dry_g is not None:
        plastic, dry = request.dry_g * (1 + workable_pct / 100), request.dry_g
    else:
        if request.plastic_g is None:
            pieces = request.firings * math.fsum(
                (piece.count + piece.spares)
                * (piece.plastic_g or clay_masses.piece_mass(piece.volume_ml or 0.0, density))
                for piece in request.pieces
            )
        wanted = pieces if pieces is not None else request.plastic_g or 0.0
        plastic = worked.work("plastic_g", clay_masses.mass_with_loss, wanted, request.loss_pct)
        dry = worked.work("dry_g", clay_masses.dry_mass_of_plastic, plastic, workable_pct)
    if request.water_per_dry is not None:
        water = worked.work("water_g", water_for_share, dry, request.water_per_dry)
    else:
        target = request.target_sg or PLAIN_SLIP_SG.value
        water = worked.work("water_g", water_for_specific_gravity, dry, target, solids_sg)
    return SlipBalance(
        solids_sg=solids_sg,
        workable_pct=workable_pct,
        plastic_density=density,
        pieces_g=pieces,
        plastic_g=plastic,
        dry_g=dry,
        water_g=water,
        slip_ml=worked.work("slip_ml", slip_volume, dry, water, solids_sg),
        slip_sg=worked.work("slip_sg", slip_specific_gravity, dry, water, solids_sg),
    )


def body_solids_sg(parts: Sequence[BodyPart], unknown: float = SOLIDS_SG.value) -> float:
    """Specific gravity of a recipe's dry materials together; `unknown` stands for materials that have none."""
    total = math.fsum(part.parts for part in parts)
    return solids_specific_gravity(total, math.fsum(part.parts / (part.specific_gravity or unknown) for part in parts))
