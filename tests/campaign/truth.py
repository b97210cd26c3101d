"""The truth of a made-up lab, and the rows that were written of it.

How it comes about is for `simulate`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import datetime

from claybench.terms import Air, Batch, BatchLine, Body, BodyLine, Check, Family, Material, Run, Slab, SlabEvent
from tests.campaign.physics import START


@dataclass(slots=True)
class Lay:
    """One layer while it lies on its slab."""

    run: int
    """Place in the list of runs."""
    started: datetime
    ended: datetime
    takes_g: float
    """Water the slab gets from it in all."""
    share: float
    """Of the slab's face that it covers."""
    covered: float
    """The same, with its neighbour's."""
    taken_g: float = 0.0

    def due_g(self, when: datetime) -> float:
        """What the slab gets of it up to then, and has not got yet: by the square root of time."""
        part = (when - self.started) / (self.ended - self.started)
        return self.takes_g * math.sqrt(min(max(part, 0.0), 1.0)) - self.taken_g


@dataclass(frozen=True, slots=True)
class Spoiling:
    """How one slab of a lab goes wrong half-way."""

    factor: float = 4.0
    """Its sorptivity falls to this part of what it was."""
    over_days: float = 0.0
    """In so many days, evenly in ln; 0 all at once."""


SPOILINGS = {
    "quarter": Spoiling(),
    "half": Spoiling(2.0),
    "quarter, sliding": Spoiling(4.0, 25.0),
    "half, sliding": Spoiling(2.0, 25.0),
}


@dataclass(slots=True)
class TrueSlab:
    """What a slab really is."""

    row: Slab
    area_m2: float
    dry_g: float
    sorptivity: float
    capacity_g: float
    drying: float
    critical: float
    """Wetness at which drying slows."""
    water_g: float
    place: str = "shelf"
    lays: list[Lay] = field(default_factory=list)
    lifted: datetime = START
    skin: float = 0.0
    """By how much its face was wetter than its mean when the last layer was lifted."""
    spoiled_from: datetime | None = None
    """From then its sorptivity falls."""
    spoiling: Spoiling | None = None

    def sorptivity_at(self, when: datetime) -> float:
        """Its sorptivity dry, then."""
        if self.spoiled_from is None or self.spoiling is None or when < self.spoiled_from:
            return self.sorptivity
        days = (when - self.spoiled_from).total_seconds() / 86400
        done = 1.0 if not self.spoiling.over_days else min(days / self.spoiling.over_days, 1.0)
        return self.sorptivity / self.spoiling.factor**done

    @property
    def wetness(self) -> float:
        """Of the whole slab."""
        return self.water_g / self.capacity_g


@dataclass(slots=True)
class TrueRun:
    """What really happened to one layer."""

    run: str
    body: str
    slab: str
    started_at: datetime
    felt_min: float
    """Minutes at which it would first have felt workable."""
    oracle_min: float
    """The same without the feel and with what was written of the layer: all that could be known."""
    sound_min: float
    """The oracle's, had the slab not been spoiled."""
    wetness: float
    """Of the slab, at the pour."""
    nth: int
    """How many runs of this body there were before."""
    modelled: bool
    spoiled: bool
    wetness_after: float = 0.0
    """Of the slab, when the layer was lifted."""


@dataclass(slots=True)
class MadeLab:
    """The rows that were written, and the truth."""

    families: list[Family] = field(default_factory=list)
    materials: list[Material] = field(default_factory=list)
    bodies: list[Body] = field(default_factory=list)
    body_lines: list[BodyLine] = field(default_factory=list)
    slabs: list[Slab] = field(default_factory=list)
    events: list[SlabEvent] = field(default_factory=list)
    air: list[Air] = field(default_factory=list)
    batches: list[Batch] = field(default_factory=list)
    batch_lines: list[BatchLine] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    checks: list[Check] = field(default_factory=list)
    truth: list[TrueRun] = field(default_factory=list)
    resist: dict[str, float] = field(default_factory=dict)
    """True desorptivity of each body."""
    true_slabs: dict[str, TrueSlab] = field(default_factory=dict)
    """As they are at the end."""
    law_k: float = 0.0
    law_limit: float = 0.0
