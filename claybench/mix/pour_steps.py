"""The pour of a slab, step by step, with the trade's times and others where they differ.

It holds no clock: who did which step when belongs to the record.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from claybench.facts.fact import Fact
from claybench.facts.plaster import (
    MIX_MIN,
    RULE_DEMOULD_MIN,
    RULE_MIX_MIN,
    RULE_POUR_MIN,
    RULE_SOAK_MIN,
    RULE_STILL_AIR_DAYS,
    RULE_TURN_H,
    SET_MIN,
    SOAK_MIN,
)
from claybench.quantity.shown import plain, unit_sign, with_sign
from claybench.terms import STEP_NAMES


@dataclass(frozen=True, slots=True)
class PourStep:
    """One step of the check-list."""

    name: str
    """Short key, the same from one version to the next."""
    text: str
    """What to do."""
    act: str
    """Which cautions belong to it, by their name in `cautions`."""
    weighs: Literal["water", "plaster"] | None = None
    """What is weighed for it."""
    event: str = "note"
    """What it is in a slab's log."""
    rule: Fact | None = None
    """The trade's time for it."""
    other: Fact | None = None
    """Another time that is given for it, where there is one."""
    other_word: str = "others"
    """Whose that is, or what it holds for, in a word or two."""

    def short_times(self) -> str:
        """Both times without their sources; empty where a step has none."""
        said = [
            f"{_span(fact)}, {word}" for fact, word in ((self.rule, "the trade"), (self.other, self.other_word)) if fact
        ]
        return "; ".join(said)

    def times(self) -> str:
        """Both times in words; empty where a step has none."""
        said = [_range(fact) for fact in (self.rule, self.other) if fact is not None]
        return "; ".join(said)


POUR_STEPS: tuple[PourStep, ...] = (
    PourStep("water", "Weigh cool water into the mixing bucket; note its temperature.", "weigh_plaster", "water"),
    PourStep(
        "sift", "Weigh the plaster, then sift it onto the water, evenly, without stirring.", "weigh_plaster", "plaster"
    ),
    PourStep("soak", "Let it soak undisturbed.", "pour_plaster", rule=RULE_SOAK_MIN, other=SOAK_MIN),
    PourStep(
        "mix",
        "Mix slowly, the blade kept under the surface.",
        "pour_plaster",
        event="mixed",
        rule=RULE_MIX_MIN,
        other=MIX_MIN,
    ),
    PourStep(
        "pour",
        "Pour into one corner and let it run; knock the form to free bubbles.",
        "pour_plaster",
        rule=RULE_POUR_MIN,
    ),
    PourStep("level", "Level it, then leave it alone.", "pour_plaster"),
    PourStep(
        "set",
        "Wait until it is hard; it becomes warm, then cool again.",
        "pour_plaster",
        event="set",
        other=SET_MIN,
        other_word="what ASTM C59 allows",
    ),
    PourStep(
        "demould",
        "Demould when hard and cool.",
        "demould",
        event="demoulded",
        rule=RULE_DEMOULD_MIN,
    ),
    PourStep("edges", "Round every edge, wet, so that none chips into clay.", "resurface_slab"),
    PourStep("weigh", "Weigh it: this is the mass as cast.", "lift", event="weighed"),
    PourStep(
        "dry", "Stand it on edge in still air before any fan.", "dry_slab", event="moved", rule=RULE_STILL_AIR_DAYS
    ),
    PourStep(
        "turn",
        "Turn it, until every side feels at room temperature and its mass stays.",
        "dry_slab",
        event="turned",
        rule=RULE_TURN_H,
    ),
)
"""In the order they are done."""


_UNITS = {"day": "days", "hour": "h"}
MARK = "pour: "
"""What the note of a step begins with in a slab's log."""


def step_of_note(note: str | None) -> str | None:
    """The step that a note of a slab's log speaks of, if any.

    >>> step_of_note("pour: soak"), step_of_note("pour: water, 14 °C"), step_of_note("chipped in the move")
    ('soak', 'water', None)
    """
    if note is None or not note.startswith(MARK):
        return None
    name = note.removeprefix(MARK).partition(",")[0].strip()
    return name if name in STEP_NAMES else None


def _range(fact: Fact) -> str:
    source = f": {fact.source}" if fact.source else ""
    return f"{fact.name}: {_span(fact)} ({fact.origin}{source})"


def _span(fact: Fact) -> str:
    low, high = fact.low, fact.high
    span = plain(fact.value) if low is None or high is None else f"{plain(low)} to {plain(high)}"
    return with_sign(span, _UNITS.get(fact.unit) or unit_sign(fact.unit))
