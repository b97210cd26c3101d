"""How a slab that is only sized will dry: the same estimate as for slabs of the record, nothing weighed yet."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.insight.air import AirNow
from claybench.insight.settings import Settings
from claybench.insight.slab_water.dry_out_curve import DryOut
from claybench.insight.slab_water.dry_out_estimate import fresh_dry_out, fresh_ready_h, ready_share, why_fresh
from claybench.mix.slab import SlabSizing


@dataclass(frozen=True, slots=True)
class SizedDrying:
    """One sized slab in one air."""

    air: AirNow
    dry: DryOut
    """From its cast to constant mass."""
    takes_g: float
    """Water that it takes before it is to be ready again: a day's share, or all it holds."""
    ready_h: float | None
    """Hours until it is ready again then; None where this air dries nothing."""
    why: tuple[str, ...]


def sized_drying(sized: SlabSizing, air: AirNow, settings: Settings) -> SizedDrying:
    """Days to dry from the cast, and hours to be ready again, in one air."""
    takes = sized.request.capacity_g or sized.capacity_g
    tolerance = settings.number("constant_mass_pct")
    return SizedDrying(
        air=air,
        dry=fresh_dry_out(sized.area_cm2, sized.dry_g, sized.dry_off_g, sized.capacity_g, air, tolerance),
        takes_g=takes,
        ready_h=fresh_ready_h(sized.area_cm2, sized.capacity_g, takes, air, ready_share(settings)),
        why=tuple(why_fresh(sized.area_cm2, sized.dry_off_g, sized.capacity_g, air)),
    )
