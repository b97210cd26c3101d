"""What truly happened in a lab of `other_lab`: its runs, its slabs at any time, and what changed on them unseen."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from tests.campaign.truth import MadeLab, TrueRun

KINDS = (
    "half", "quarter", "slide_half", "slide_quarter", "salts", "chip", "overheated", "frozen", "resurfaced",
)  # fmt: skip
"""What can change on a slab: the form face takes two or four times as long, at once or over weeks; it gets the slips
with much deflocculant; a piece breaks off; it is dried above 49 °C; it freezes wet; its form face is scraped."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change that is asked for."""

    kind: str
    """One of `KINDS`."""
    slab: str | None = None
    """By its code, S1 and so on; any one that has none yet where it is None."""
    day: float | None = None
    """Days after the lab's start; in the middle third where it is None."""
    recorded: bool | None = None
    """Whether someone writes it down; None: only resurfacing always, chips, heat and frost now and then."""
    over_days: float = 28.0
    """Of a sliding one."""


@dataclass(frozen=True, slots=True)
class TrueChange:
    """A change that happened."""

    slab: str
    kind: str
    at: datetime
    until: datetime
    """When it was complete: later than `at` for what slides; for salts, the end of the record."""
    factor: float
    """Times as long as before for a common layer on the slab a quarter full, once complete."""
    recorded: bool


@dataclass(slots=True)
class OtherRun(TrueRun):
    """What really happened to one layer; minutes count from when it was truly poured."""

    poured_at: datetime | None = None
    """`started_at` is what was written."""
    true_min: float = math.inf
    """Minutes at which its mean water was that of a workable body; infinite where it had not come in five days."""
    lifted_at: datetime | None = None
    rate: float = 1.0
    """Of the slab's sound self, aged as it is: 0.5 where this layer took twice as long as it would have without
    what changed on the slab, from the same water in it."""
    change: str = ""
    """Kinds of the changes that had begun on this slab by then, joined by commas."""
    face: str = "form"
    face_uses: int = 0
    """Layers that this face had carried before, since it was made or scraped."""
    filled: float = 0.0
    """Wetness of the slab when the layer was truly workable: near 1, the air had to do the rest."""
    layer_mm: float = 0.0
    deflocculated: bool = False
    salts_g_m2: float = 0.0
    """Of this face, before the run."""


@dataclass(slots=True)
class SlabTrack:
    """The water in one slab over time, and what it weighed dry."""

    area_m2: float
    minutes: list[float] = field(default_factory=list)
    """After the lab's start."""
    water_g: list[float] = field(default_factory=list)
    capacity_g: list[float] = field(default_factory=list)
    dry_g: list[float] = field(default_factory=list)


@dataclass(slots=True)
class OtherLab(MadeLab):
    """The rows that were written, and the truth; `truth` holds `OtherRun`."""

    start: datetime | None = None
    changes: list[TrueChange] = field(default_factory=list)
    tracks: dict[str, SlabTrack] = field(default_factory=dict)

    def wetness_at(self, slab: str, when: datetime) -> float:
        """Mean water in the slab over what it holds when full."""
        track, minutes = self._place(slab, when)
        return float(np.interp(minutes, track.minutes, np.divide(track.water_g, track.capacity_g)))

    def water_g_at(self, slab: str, when: datetime) -> float:
        """Water in the slab [g]."""
        track, minutes = self._place(slab, when)
        return float(np.interp(minutes, track.minutes, track.water_g))

    def dry_g_at(self, slab: str, when: datetime) -> float:
        """What the slab would weigh without its water [g]."""
        track, minutes = self._place(slab, when)
        return track.dry_g[max(int(np.searchsorted(track.minutes, minutes, side="right")) - 1, 0)]

    def _place(self, slab: str, when: datetime) -> tuple[SlabTrack, float]:
        assert self.start is not None
        return self.tracks[slab], (when - self.start) / timedelta(minutes=1)
