"""When a slab is ready again for a layer, and when it is dry: one estimate for every place that says either.

Ready again is down to the wetness from which the lab calls a slab damp; dry is constant mass. Both follow the same law:
constant, then falling rate, with the slab's own factor, fitted to its weighings since it last got wet (`slab_dry_out`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from claybench import clock
from claybench.insight.date_words import weekday_and_date, weekday_and_hour
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_water.dry_out_estimate import ready_wetness


@dataclass(frozen=True, slots=True)
class ReadyAgain:
    """How one slab dries from a moment on."""

    at: datetime
    known: bool
    """Whether anything is known of its water; False under a layer, which gives it more."""
    first: bool
    """Whether it dries from its cast, and is awaited dry rather than ready again."""
    ready_at: datetime | None
    """When a layer may go on it again, `at` where it may now; None where this air does not dry it, where nobody knows,
    and until it is dry from its cast."""
    dry_at: datetime | None
    """When it stops losing weight, `at` where it has; None where this air does not dry it, or nobody knows."""

    @property
    def awaited_at(self) -> datetime | None:
        """When what is awaited of it comes."""
        return self.dry_at if self.first else self.ready_at

    @property
    def awaited(self) -> bool:
        """Whether it has not come yet."""
        return self.known and (self.awaited_at is None or self.awaited_at > self.at)

    @property
    def sentence(self) -> str:
        """Which of the two is awaited, and when; empty where nothing is known.

        >>> thursday = datetime(2026, 3, 12, 17, 0)
        >>> ReadyAgain(thursday, True, False, thursday + timedelta(hours=15.9), None).sentence
        'ready again about Fri 09:00'
        >>> ReadyAgain(thursday, True, True, None, thursday + timedelta(days=7)).sentence
        'dry about Thu 19 Mar'
        """
        if not self.known:
            return ""
        name, then = "dry" if self.first else "ready again", self.awaited_at
        if then is None:
            return f"not {name} in this air"
        if then <= self.at:
            return f"{name} by now"
        return f"{name} about {weekday_and_date(then) if self.first else weekday_and_hour(then, self.at)}"


def estimate_ready_again(model: LabModel, slab: str, *, first: bool) -> ReadyAgain:
    """One slab of the lab, at the model's moment; `first` where it is still drying from its cast."""
    at, wetness = clock.in_zone(model.at, model.zone), model.wetnesses[slab]
    if model.slabs.open_runs(slab) or wetness.water_g is None:
        return ReadyAgain(at, False, first, None, None)
    law = model.slabs.drying(slab).law_in(wetness.air)
    hours = law.hours_until(wetness.water_g, ready_wetness(model.settings) * wetness.capacity_g)
    dry_out = model.slabs.dry_out(slab)
    return ReadyAgain(
        at=at,
        known=True,
        first=first,
        ready_at=None if hours is None or first else at + timedelta(hours=hours),
        dry_at=None if dry_out is None or dry_out.dry_at is None else max(dry_out.dry_at, at),
    )
