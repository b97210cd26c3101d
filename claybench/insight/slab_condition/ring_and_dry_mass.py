"""What tests on a bare slab say against it: ring tests slower than they were, a dry mass that has moved.

Slowness of its layers, and what somebody saw, are in `slowness` and `observed_evidence`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from claybench import clock
from claybench.errors import Question
from claybench.facts.water import SLAB_SORPTIVITY, WETNESS_LAW
from claybench.insight.date_words import day_and_month
from claybench.insight.drying.lab_model import LabModel
from claybench.insight.slab_condition.damage_follow_up import RENEWS, was_looked_after
from claybench.insight.slab_condition.dry_mass_change import (
    DryMassChange,
    dry_mass_change,
    lighter_than_dry,
    strength_of_change,
)
from claybench.insight.slab_condition.verdict import WETTEST_FOR_RING, Evidence
from claybench.insight.slab_water.weighing_steps import WeighingSteps
from claybench.quantity.shown import percent, plain, short_number, show
from claybench.terms import SlabEvent
from claybench.water.sorptivity import sorptivity_of_ring

_SLOW_RING = 0.6
"""Share of its earlier sorptivity, or of the lowest usual one, below which a ring test speaks against a slab: a ring
read twice differs by a fifth; from memory."""

_UNCONFIRMED_STRENGTH = 0.3
"""The most that a change says of which nobody saw the heavier mass to be constant: a choice."""


def ring_sorptivity(event: SlabEvent, wetness: float | None) -> float | None:
    """Sorptivity of the dry slab by one ring test, its wetness allowed for; None where it cannot tell."""
    if not event.ring_area_cm2 or not event.ring_water_ml or not event.ring_seconds:
        return None
    if wetness is not None and wetness > WETTEST_FOR_RING:
        return None
    seen = sorptivity_of_ring(event.ring_water_ml, event.ring_area_cm2, event.ring_seconds)
    return seen / math.sqrt(max(1 - WETNESS_LAW.value * max(wetness or 0.0, 0.0), 0.1))


def ring_questions(wetness: float | None) -> list[Question]:
    """What a ring test on a slab of this wetness is asked about: on a wet one it tells nothing."""
    if wetness is None or wetness <= WETTEST_FOR_RING:
        return []
    wet, wettest = percent(wetness), percent(WETTEST_FOR_RING)
    text = f"The slab is {wet} wet: the test tells something once it is dried below {wettest}."
    return [Question("too_wet", text, "ring_seconds")]


def ring_tests(events: Sequence[SlabEvent], model: LabModel, slab: str) -> list[tuple[SlabEvent, float]]:
    """Ring tests that can tell something, in order of time, each with the sorptivity of the dry slab."""
    tests = []
    for event in sorted(events, key=lambda each: each.at):
        if event.event != "ring_test":
            continue
        sorptivity = ring_sorptivity(event, model.wetness_at(slab, event.at))
        if sorptivity is not None:
            tests.append((event, sorptivity))
    return tests


def describe_sorptivity(value: float, first: float | None) -> str:
    """What a sorptivity says of a face, against its first test or, without one, against usual slabs.

    >>> describe_sorptivity(1.6, 3.3)
    'sorptivity 1.6 mm/√min, 0.48 of its first (3.3): it has gone slow'
    >>> describe_sorptivity(2.5, None)
    'sorptivity 2.5 mm/√min; a usual dry slab has 2 to 4'
    """
    said = f"sorptivity {show(value, 'mm/√min', digits=1)}"
    low, high = SLAB_SORPTIVITY.low or SLAB_SORPTIVITY.value, SLAB_SORPTIVITY.high or SLAB_SORPTIVITY.value
    if first is None:
        slow = ": it is slow" if value < _SLOW_RING * low else ""
        return f"{said}; a usual dry slab has {plain(low)} to {plain(high)}{slow}"
    verdict = "it has gone slow" if value < _SLOW_RING * first else "as good as it was"
    return f"{said}, {short_number(value / first, 2)} of its first ({plain(first, 1)}): {verdict}"


def ring_evidence(events: Sequence[SlabEvent], model: LabModel, slab: str) -> list[Evidence]:
    """The newest ring test on each face, where it is much slower than the first since that face was resurfaced, or than
    any usual slab."""
    by_face: dict[str | None, list[tuple[SlabEvent, float]]] = {}
    for event, sorptivity in ring_tests(events, model, slab):
        if not was_looked_after(event.face, event.at, events, *RENEWS):
            by_face.setdefault(event.face, []).append((event, sorptivity))
    found = [_slow_ring(tests, model) for tests in by_face.values()]
    return [each for each in found if each is not None]


def _slow_ring(tests: Sequence[tuple[SlabEvent, float]], model: LabModel) -> Evidence | None:
    """What the tests on one face say against it."""
    last, value = tests[-1]
    usual = tests[0][1] if len(tests) > 1 else SLAB_SORPTIVITY.low or SLAB_SORPTIVITY.value
    if value >= _SLOW_RING * usual:
        return None
    against = "its first" if len(tests) > 1 else "the lowest usual"
    text = (
        f"ring test {day_and_month(last.at, model.zone)}: {show(last.ring_seconds, 's', digits=0)}, "
        f"sorptivity {show(value, 'mm/√min', digits=1)}, "
        f"{short_number(value / usual, 2)} of {against} ({plain(usual, 1)})"
    )
    strength = min(max(1 - value / (_SLOW_RING * usual), 0.2), 1.0)
    return Evidence("ring_test", last.face, clock.in_zone(last.at, model.zone).date(), strength, text)


def dry_mass_evidence(
    events: Sequence[SlabEvent],
    zone: tzinfo,
    *,
    card_g: float | None = None,
    masses: Sequence[tuple[datetime, float]] = (),
    heated: bool = False,
    confirmed: Callable[[datetime, float], bool] | None = None,
    steps: WeighingSteps | None = None,
) -> Evidence | None:
    """A dry mass that has moved since the first one by more than the chips between explain, or a slab that weighs less
    than it did dry.

    `card_g` is the dry mass of the slab's card, `masses` are all its bare masses; `heated` says that it stood in too
    hot air; `confirmed` whether a weighing as dry was constant (all were, where it is None). Where the heavier of the
    two was not, it was likelier read before the slab was dry, unless heat explains it: that is faint evidence, and a
    bare mass below it none. `steps` are those of the lab's weighings; a fine scale without them.
    """
    told = steps if steps is not None else WeighingSteps()

    def is_constant(at: datetime | None, mass_g: float) -> bool:
        return at is None or confirmed is None or confirmed(at, mass_g)

    def is_sure(change: DryMassChange) -> bool:
        """Whether the heavier of the two masses was dry."""
        if change.gap_g > 0:
            return is_constant(change.after_at, change.after_g)
        return heated or is_constant(change.before_at, change.before_g)

    lighter = lighter_than_dry(events, card_g, masses, told)
    if lighter is not None and lighter.is_moved and is_sure(lighter):
        said, least, change = f"it weighs {_less(lighter, zone, 'dry ')}", "at least ", lighter
    else:
        moved = dry_mass_change(events, card_g, told)
        if moved is None or not moved.is_moved:
            return None
        said, least, change = f"dry it weighs {_less(moved, zone)}", "", moved
    if change.gap_g > 0:
        why, doubt = f"clay or salts taken up{change.open_text}", "not dry"
    else:
        why, doubt = f"{least}{change.bound_water_text}", "" if heated else "it was not dry before"
    # The likelier of the two is said first.
    why = ", or ".join(filter(None, (why, doubt) if is_sure(change) else (doubt, why)))
    strength = min(strength_of_change(change), 1.0 if is_sure(change) else _UNCONFIRMED_STRENGTH)
    return Evidence("dry_mass", None, clock.in_zone(change.after_at, zone).date(), strength, f"{said}: {why}")


def _less(change: DryMassChange, zone: tzinfo, when: str = "") -> str:
    """By how much, and since when, in words; `when` stands before the day."""
    since = "its card says" if change.before_at is None else f"{when}{day_and_month(change.before_at, zone)}"
    return f"{show(abs(change.gap_g), 'g', digits=0)} {'more' if change.gap_g > 0 else 'less'} than {since}"


@dataclass(frozen=True, slots=True)
class RingStart:
    """What a ring test on one slab begins with."""

    wetness: float | None
    first: dict[str | None, float]
    """Sorptivity of the dry slab by the first test on each face since that was last resurfaced, mm/√min."""
    area_cm2: float | None
    """Area of the ring used last."""
    water_ml: float | None


def ring_test_start(model: LabModel, slab: str) -> RingStart:
    """Earlier ring tests of a slab, and how wet it is."""
    events = model.slabs.balances[slab].events
    first: dict[str | None, float] = {}
    for event, sorptivity in ring_tests(events, model, slab):
        if not was_looked_after(event.face, event.at, events, *RENEWS):
            first.setdefault(event.face, sorptivity)
    rings = [event for event in events if event.event == "ring_test" and event.ring_area_cm2]
    last = rings[-1] if rings else None
    return RingStart(
        wetness=model.wetnesses[slab].now,
        first=first,
        area_cm2=last.ring_area_cm2 if last else None,
        water_ml=last.ring_water_ml if last else None,
    )
