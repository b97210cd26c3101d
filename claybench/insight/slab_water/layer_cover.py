"""What lies on a slab's face: how much of it layers cover, and how much wetter than the slab they leave it.

The slab's water as a whole is for `water_balance`.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from claybench.insight.slab_water.slab_properties import SlabSize
from claybench.insight.time_spans import TimeSpans
from claybench.insight.workable_interval import minutes_between
from claybench.terms import Run

_USUAL_SHARE = 0.8
"""Share of a face that a layer covers where nobody wrote its area; common practice, no source."""
_SIDE_BY_SIDE = 6
"""Layers that may lie on one slab at a time."""
SKIN_HOURS = 2.5
"""Hours in which what a layer left near the face falls to 1/e while it spreads through the slab; from memory."""
_SKIN_HOURS_LOG_SD = 0.35


@dataclass(frozen=True, slots=True)
class SkinWetness:
    """By how much the face under a layer was wetter than the slab when the layer was lifted."""

    lifted: datetime
    wetness: float

    def left_at(self, moment: datetime) -> tuple[float, float]:
        """Extra wetness of the face at a moment, and its spread."""
        time_constants = max(minutes_between(self.lifted, moment), 0.0) / 60 / SKIN_HOURS
        left = self.wetness * math.exp(-time_constants)
        return left, left * math.hypot(0.15, _SKIN_HOURS_LOG_SD * min(time_constants, 2.0))


class LayerCover:
    """The layers of one slab in order of time."""

    def __init__(self, runs: Sequence[Run], size: SlabSize) -> None:
        self._runs = runs
        self._starts = [run.started_at for run in runs]
        self._face_cm2 = size.face_cm2
        self.spans = TimeSpans((run.started_at, run.ended_at) for run in runs)
        """When any layer lay there."""

    def covered_share(self, moment: datetime) -> float:
        """Share of the face that is covered at a moment."""
        if not self.spans.covers(moment):
            return 0.0
        return min(sum(self._share_of_face(run) for run in self.layers_at(moment)), 1.0)

    def layers_at(self, moment: datetime, except_for: Run | None = None) -> Iterator[Run]:
        """Layers that lie there at a moment; one not yet lifted lies there still."""
        if not self.spans.covers(moment):
            return
        last = bisect_right(self._starts, moment)
        for run in self._runs[max(last - _SIDE_BY_SIDE, 0) : last]:
            if run is not except_for and (run.ended_at is None or run.ended_at > moment):
                yield run

    def skin_after_lift(self, run: Run, water_g: float, capacity_g: float) -> SkinWetness:
        """What a layer leaves in the face: where it lay the slab is as wet as its water makes so much of it."""
        assert run.ended_at is not None
        share = self._share_of_face(run)
        place = bisect_right(self._starts, run.ended_at)
        beside = sum(
            self._share_of_face(other)
            for other in self._runs[max(place - _SIDE_BY_SIDE, 0) : place]
            if other is not run and (other.ended_at is None or other.ended_at > run.started_at)
        )
        return SkinWetness(run.ended_at, water_g / share / capacity_g * max(1 - share - beside, 0.0))

    def _share_of_face(self, run: Run) -> float:
        return min(run.area_cm2 / self._face_cm2, 1.0) if run.area_cm2 else _USUAL_SHARE


def share_given(run: Run, moment: datetime, until: datetime) -> float:
    """Share that a layer has given by a moment of what it gives by its end, or by now: by the square root of time."""
    end = run.ended_at if run.ended_at is not None and run.ended_at < until else until
    if end <= moment:
        return 0.0  # counted in full by then
    return math.sqrt(max(minutes_between(run.started_at, moment), 0.0) / minutes_between(run.started_at, end))
