"""Which slab should be dried tonight to gain a day: the plan made anew with each slab before the fan for one night."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from claybench.insight.plan.schedule.placement import EFFORT, place_layers
from claybench.insight.plan.schedule.schedule_request import Schedule, ScheduleRequest
from claybench.quantity.shown import join_words

_EFFORT = EFFORT // 3
"""For each slab: the plan without drying is begun from, so that less is to be found."""


@dataclass(frozen=True, slots=True)
class DryingGain:
    """What one night before the fan is worth."""

    slabs: tuple[str, ...]
    """The slabs to set before it: one, or all together where one alone gains nothing."""
    days: int
    """Bench days fewer than without."""
    more_layers: int
    """Layers that find a slab only then."""
    schedule: Schedule
    """The plan with them dried."""

    @property
    def text(self) -> str:
        """What to do and what it gains."""
        slabs = join_words(self.slabs)
        if self.more_layers:
            gained = f"{self.more_layers} more layer{'s find' if self.more_layers > 1 else ' finds'} a slab"
        else:
            gained = f"the set is done {self.days} day{'s' if self.days > 1 else ''} sooner"
        return f"Dry {slabs} before the fan tonight: {gained}."


def tonight_span(request: ScheduleRequest) -> tuple[datetime, datetime] | None:
    """From the close of the present or coming opening to the next one; from now on where the bench is closed."""
    ahead = request.hours.openings(request.now, 2)
    if not ahead:
        return None
    local = request.now.astimezone(request.hours.zone).date()
    if ahead[0][0].date() > local:  # today is over, or has no hours
        return request.now, ahead[0][0]
    return (ahead[0][1], ahead[1][0]) if len(ahead) == 2 else None


def find_drying_gains(request: ScheduleRequest, schedule: Schedule, *, effort: int = _EFFORT) -> tuple[DryingGain, ...]:
    """Slabs whose drying tonight gains a day, or a slab for a layer left open: the best first; empty where none does.

    Where no slab gains one alone, all are tried together, and those left out that the gain does not need.
    """
    night = tonight_span(request)
    worth = [slab.code for slab in request.slabs if slab.fan is not None and not slab.out_of_use and slab.water_g]
    wanted = {layer.family for layer in request.layers}
    worth = [code for code in worth if request.slab(code).family in wanted]
    if night is None or not worth or (schedule.days <= 1 and not schedule.unplaced):
        return ()
    each = [_drying_gain(request, schedule, (code,), night, effort) for code in worth]
    gains = [gain for gain in each if gain is not None]
    if not gains and len(worth) > 1:
        gains = _joint_gain(request, schedule, worth, night, effort)
    return tuple(sorted(gains, key=lambda gain: (-gain.more_layers, -gain.days, gain.schedule.wetness, gain.slabs)))


def _joint_gain(
    request: ScheduleRequest, schedule: Schedule, worth: list[str], night: tuple[datetime, datetime], effort: int
) -> list[DryingGain]:
    best = _drying_gain(request, schedule, tuple(worth), night, effort)
    for code in worth:
        if best is None:
            return []
        fewer = tuple(each for each in best.slabs if each != code)
        also = _drying_gain(request, best.schedule, fewer, night, effort, base=schedule) if fewer else None
        if also is not None and (also.more_layers, also.days) >= (best.more_layers, best.days):
            best = also
    return [] if best is None else [best]


def _drying_gain(
    request: ScheduleRequest,
    begin: Schedule,
    codes: tuple[str, ...],
    night: tuple[datetime, datetime],
    effort: int,
    *,
    base: Schedule | None = None,
) -> DryingGain | None:
    """What drying these slabs gains over `base`, looked for from the order of `begin`."""
    base = base or begin
    slabs = tuple(
        replace(slab, fanned=tuple(sorted((*slab.fanned, night)))) if slab.code in codes else slab
        for slab in request.slabs
    )
    dried = place_layers(replace(request, slabs=slabs), begin=begin.order, effort=effort)
    if not _better(dried, base):
        return None
    # Not every plan is proven: what the same order reaches undried is no gain of the fan's.
    undried = place_layers(request, begin=dried.order, effort=0)
    base = undried if _better(undried, base) else base
    if not _better(dried, base):
        return None
    more = len(base.unplaced) - len(dried.unplaced)
    return DryingGain(codes, base.days - dried.days, more, dried)


def _better(one: Schedule, other: Schedule) -> bool:
    return (len(one.unplaced), one.days) < (len(other.unplaced), other.days)
