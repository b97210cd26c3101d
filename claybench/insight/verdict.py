"""What state a slab is in and what its wetness means for the next layer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from claybench.insight.settings import Settings
from claybench.insight.wetness import Wetness
from claybench.terms import Slab, SlabEvent


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing that speaks for a verdict."""

    kind: str
    """wetness, slow, dry_mass, ring_test, wrong_clay, salts, faults or chips."""
    face: str | None
    since: date | None
    strength: float
    """0 to 1."""
    text: str


@dataclass(frozen=True, slots=True)
class SlabVerdict:
    """A slab at a moment, in the words of the slabs list."""

    slab: Slab
    state: str
    """drying (not yet in service), in_use (something lies on it) or idle."""
    verdict: str | None
    """ready, damp, saturated or suspect; None where nothing is known."""
    wetness: Wetness
    evidence: tuple[Evidence, ...]
    advice: str


def state_of(slab: Slab, in_use: bool, has_run: bool, at: datetime) -> str:
    """Whether a slab is still drying after casting, has something on it, or lies idle."""
    if in_use:
        return "in_use"
    in_service = slab.in_service_on is not None and slab.in_service_on <= at.date()
    if not in_service and slab.cast_at is not None and not has_run:
        return "drying"
    return "idle"


def by_wetness(wetness: Wetness, settings: Settings) -> str | None:
    """ready, damp or saturated by wetness alone."""
    if wetness.now is None:
        return None
    if wetness.now >= settings.number("saturated_from"):
        return "saturated"
    return "damp" if wetness.now >= settings.number("damp_from") else "ready"


def wetness_evidence(wetness: Wetness) -> Evidence | None:
    """What is known of the slab's water, as evidence."""
    if wetness.now is None or wetness.low is None or wetness.high is None:
        return None
    text = (
        f"{100 * wetness.now:.0f} % wet ({100 * wetness.low:.0f}–{100 * wetness.high:.0f} %), "
        f"dry mass {'unknown' if wetness.dry is None else wetness.dry.basis}"
    )
    since = wetness.last_weighed.date() if wetness.last_weighed else None
    return Evidence("wetness", None, since, wetness.now, text)


SPOILING = frozenset({"slow", "ring_test", "faults", "wrong_clay"})
"""Evidence that makes a slab suspect whatever its wetness."""
WETTEST_FOR_RING = 0.5
"""Above this wetness a ring test says more of the water than of the slab."""


def advise(
    verdict: str | None,
    wetness: Wetness,
    settings: Settings,
    evidence: Sequence[Evidence],
    in_use: bool,
    events: Sequence[SlabEvent] = (),
) -> str:
    """One sentence of advice."""
    if any(each.kind == "chips" and each.strength >= 1 for each in evidence):
        return "Retire it: it is broken."
    if verdict == "suspect":
        return _of_suspect(wetness, settings, evidence, events)
    if verdict is None:
        return "Weigh it now, and again when it stops losing weight."
    if in_use:
        return "A layer lies on it."
    hours = wetness.hours_to(0.8 * settings.number("damp_from"))
    if verdict == "ready" or not hours:
        return "Ready for a layer."
    return f"Dry it about {_long(hours)} {_where(wetness)}."


def _of_suspect(wetness: Wetness, settings: Settings, evidence: Sequence[Evidence], events: Sequence[SlabEvent]) -> str:
    kinds = {each.kind for each in evidence}
    worst = max((each for each in evidence if each.kind in SPOILING), key=lambda each: each.strength)
    again = any(event.event == "resurfaced" for event in events)
    if {"slow", "ring_test"} <= kinds or worst.kind == "ring_test":
        if again:
            return "Retire it: it has gone slow again since it was resurfaced."
        return f"Resurface {_face(worst)}, and do the ring test again."
    if worst.kind == "slow":
        hours = wetness.hours_to(0.8 * settings.number("damp_from"))
        if wetness.now is not None and wetness.now > WETTEST_FOR_RING and hours:
            return f"Dry it about {_long(hours)} {_where(wetness)}, then do a ring test (o on its page)."
        return "Do a ring test (o on its page): if that is slow, too, resurface it."
    if again and worst.kind == "faults":
        return "Retire it: faults have come back since it was resurfaced."
    return _SUSPECT[worst.kind]


_SUSPECT = {
    "wrong_clay": "Keep it for the darker family from now on, or resurface it.",
    "faults": "Look over its surface, resurface it, and look at the next pieces.",
}


def _face(evidence: Evidence) -> str:
    return "it" if evidence.face is None else f"its {evidence.face} face"


def _where(wetness: Wetness) -> str:
    return {"fan": "before the fan", "sun": "in the sun"}.get(wetness.air.place, "where it stands")


def _long(hours: float) -> str:
    return f"{hours:.0f} h" if hours < 72 else f"{hours / 24:.0f} days"
