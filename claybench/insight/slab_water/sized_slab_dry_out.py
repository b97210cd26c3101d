"""How a slab that is only sized will dry: the same estimate as for slabs of the record, nothing weighed yet."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.insight.air import AirConditions
from claybench.insight.settings import Settings
from claybench.insight.slab_water.dry_out_curve import DryOutCurve
from claybench.insight.slab_water.dry_out_estimate import (
    dry_out_from_cast,
    explain_dry_out_from_cast,
    hours_until_ready,
    ready_wetness,
)
from claybench.insight.slab_water.free_faces import SlabFaces
from claybench.mix.slab_sizing import SlabSizing


@dataclass(frozen=True, slots=True)
class SizedDryOut:
    """One sized slab in one air."""

    air: AirConditions
    dry: DryOutCurve
    """From its cast to constant mass."""
    takes_g: float
    """Water that it takes before it is to be ready again: a day's share, or all it holds."""
    ready_h: float | None
    """Hours until it is ready again then; None where this air dries nothing."""
    why: tuple[str, ...]


def estimate_sized_dry_out(sized: SlabSizing, air: AirConditions, settings: Settings) -> SizedDryOut:
    """Days to dry from the cast, and hours to be ready again, in one air."""
    takes = sized.request.capacity_g or sized.capacity_g
    faces = SlabFaces.from_sides(sized.length_mm, sized.width_mm, sized.depth_mm)
    tolerance = settings.number_of("constant_mass_pct")
    return SizedDryOut(
        air=air,
        dry=dry_out_from_cast(faces, sized.dry_g, sized.dry_off_g, sized.capacity_g, air, tolerance),
        takes_g=takes,
        ready_h=hours_until_ready(faces, sized.capacity_g, takes, air, ready_wetness(settings)),
        why=tuple(explain_dry_out_from_cast(faces, sized.dry_off_g, sized.capacity_g, air)),
    )
