"""Weighings of the bare slab, wherever the record holds them: in the slab's log, and before and after a run."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from claybench.terms import Run, SlabEvent


def is_bare_weighing(event: str, mass_g: float | None) -> bool:
    """Whether a line of a slab's log weighs the bare slab; before it has set, it stands there with its form."""
    return mass_g is not None and event not in ("mixed", "set")


def is_covered(at: datetime, runs: Iterable[Run]) -> bool:
    """Whether a layer lay on a slab at a moment, by its own runs: what it weighed then was not the bare slab."""
    return any(
        run.started_at < at and (at < run.ended_at if run.ended_at is not None else run.outcome is None) for run in runs
    )


def without_covered_weighings(events: Iterable[SlabEvent], runs: Sequence[Run]) -> list[SlabEvent]:
    """A slab's log without the weighings under a layer: a run typed in later may show that there was one."""
    return [
        event for event in events if not (is_bare_weighing(event.event, event.mass_g) and is_covered(event.at, runs))
    ]


def bare_masses(events: Iterable[SlabEvent], runs: Sequence[Run]) -> list[tuple[datetime, float]]:
    """Every weighing of the bare slab, in order of time."""
    masses = [
        (event.at, event.mass_g)
        for event in without_covered_weighings(events, runs)
        if event.mass_g is not None and is_bare_weighing(event.event, event.mass_g)
    ]
    for run in runs:
        if run.slab_before_g is not None:
            masses.append((run.started_at, run.slab_before_g))
        if run.slab_after_g is not None and run.ended_at is not None:
            masses.append((run.ended_at, run.slab_after_g))
    return sorted(masses)
