"""Makings of made-up labs: the same life with another scale, other slabs, other habits, and looks at random moments.

What happens in a lab is for `simulate`; here only what such labs differ in.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from claybench.terms import SlabEvent
from tests.campaign.physics import START
from tests.campaign.simulate import Simulation
from tests.campaign.truth import MadeLab, TrueSlab


@dataclass(frozen=True, slots=True)
class Making:
    """What one kind of lab does otherwise; the defaults are the labs of `simulate`."""

    scale_g: float = 1.0
    """Step of the scale that slabs stand on."""
    weighed: float = 1.0
    """Share of the usual weighings that is made; above 1, so many more."""
    thick_mm: tuple[int, ...] = (45, 40, 50)
    ratio_known: bool | None = None
    """Whether the mix ratio is on the slabs' cards; None: on four in five."""
    weighed_dry: bool = True
    """Whether slabs were weighed dry when they came; one of eight never was in any lab."""
    fans: float = 1.0
    """Share of the usual moves before the fan."""
    capacity_sd: float = 0.07
    """Spread of ln capacity about what size and mix say."""
    drying_sd: float = 0.25
    """Spread of ln of a slab's drying about the formula."""


MAKINGS: dict[str, Making] = {
    "as ever": Making(),
    "scale of 5 g": Making(scale_g=5),
    "scale of 10 g": Making(scale_g=10),
    "scale of 100 g": Making(scale_g=100),
    "hardly weighed": Making(weighed=0.15),
    "often weighed": Making(weighed=3),
    "thin slabs": Making(thick_mm=(20, 25, 28)),
    "deep slabs": Making(thick_mm=(65, 75, 85)),
    "mix ratio known": Making(ratio_known=True),
    "mix ratio not known": Making(ratio_known=False),
    "never weighed dry": Making(weighed_dry=False),
    "no fan": Making(fans=0),
    "capacities by the book": Making(capacity_sd=0.01),
    "odd capacities": Making(capacity_sd=0.11),
    "odd drying": Making(drying_sd=0.45),
}


@dataclass(frozen=True, slots=True)
class TrueWetness:
    """How wet a slab really was at a moment."""

    at: datetime
    slab: str
    wetness: float
    water_g: float
    lies: bool
    """Whether a layer lay on it."""


class MadeDifferently(Simulation):
    """Lives through one lab of a making, and keeps how wet all slabs were at random moments."""

    def __init__(self, seed: int, making: Making, *, days: int, looks: int) -> None:
        self.making = making
        self.seen: list[TrueWetness] = []
        others = random.Random(1000 + seed)
        span = [days / 4, days]
        self.moments = sorted(START + timedelta(days=others.uniform(*span)) for _ in range(looks))
        super().__init__(seed, days=days)

    def _make_slabs(self) -> None:
        super()._make_slabs()
        self.lab.events.clear()
        for number, slab in enumerate(self.slabs, 1):
            self._remake(slab)
            dry = number != len(self.slabs) and self.making.weighed_dry
            slab.water_g = 0.0 if dry else self.draw.uniform(0.02, 0.3) * slab.capacity_g
            event = "weighed_dry" if dry else "weighed"
            self.lab.events.append(SlabEvent(slab=slab.row.slab, at=START, event=event, mass_g=self._scale(slab)))

    def _remake(self, slab: TrueSlab) -> None:
        making, draw, row = self.making, self.draw, slab.row
        thick = draw.choice(making.thick_mm)
        slab.dry_g *= thick / row.thickness_mm
        volume = slab.area_m2 * 1000 * thick
        slab.capacity_g = 0.77 * (1 - slab.dry_g / volume / 2.32) * volume * 0.998
        slab.capacity_g *= math.exp(draw.gauss(0, making.capacity_sd))
        slab.drying = math.exp(draw.gauss(0, making.drying_sd))
        ratio = row.mix_ratio
        if making.ratio_known is not None:
            ratio = self._ratio_of(slab, volume) if making.ratio_known else None
        slab.row = replace(row, thickness_mm=thick, mix_ratio=ratio)
        self.lab.slabs[self.lab.slabs.index(row)] = slab.row

    @staticmethod
    def _ratio_of(slab: TrueSlab, volume: float) -> float:
        """The ratio that its dry density comes nearest to."""
        return min(
            (65.0, 70.0, 75.0),
            key=lambda each: abs(118.62 / (100 / 2.73 + each / 0.998) - slab.dry_g / volume),
        )

    def _scale(self, slab: TrueSlab) -> float:
        step = self.making.scale_g
        return step * round((slab.dry_g + slab.water_g + self.draw.gauss(0, 2.5)) / step)

    def _weigh_some(self) -> None:
        for _ in range(max(round(self.making.weighed), 1)):
            if self.draw.random() < self.making.weighed:
                super()._weigh_some()

    def _move_slabs(self) -> None:
        if self.draw.random() < self.making.fans:
            super()._move_slabs()

    def _pass(self, until: datetime) -> None:
        while self.moments and self.moments[0] < until:
            at = self.moments.pop(0)
            if at < self.now:
                continue
            super()._pass(at)
            self.seen += [
                TrueWetness(at, slab.row.slab, slab.wetness, slab.water_g, bool(slab.lays)) for slab in self.slabs
            ]
        super()._pass(until)

    def live(self) -> MadeLab:
        """Day after day; where weighings are rare, most of what was weighed with layers was not written either."""
        lab = super().live()
        rare = min(self.making.weighed, 1.0)
        if rare < 1:
            lab.runs = [
                replace(
                    run,
                    slab_before_g=run.slab_before_g if self.draw.random() < rare else None,
                    slab_after_g=run.slab_after_g if self.draw.random() < rare else None,
                    clay_off_g=run.clay_off_g if self.draw.random() < 0.5 else None,
                )
                for run in lab.runs
            ]
        return lab
