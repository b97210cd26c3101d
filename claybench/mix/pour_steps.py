"""The pour of a slab, step by step, with the trade's times and the published ones where they differ.

It holds no clock: who did which step when belongs to the record.
"""

from __future__ import annotations

from dataclasses import dataclass

from claybench.facts.origin import Fact
from claybench.facts.plaster import (
    FINAL_SET_MIN,
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


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the check-list."""

    name: str
    """Short key, the same from one version to the next."""
    text: str
    """What to do."""
    rule: Fact | None = None
    """The trade's time for it."""
    published: Fact | None = None
    """The published time, where there is one."""

    def times(self) -> str:
        """Both times in words; empty where a step has none."""
        said = [_range(fact) for fact in (self.rule, self.published) if fact is not None]
        return "; ".join(said)


POUR_STEPS: tuple[Step, ...] = (
    Step("water", "Weigh cool water into the mixing bucket; note its temperature."),
    Step("sift", "Sift the plaster onto the water, evenly, without stirring."),
    Step("soak", "Let it soak undisturbed.", RULE_SOAK_MIN, SOAK_MIN),
    Step("mix", "Mix slowly, the blade kept under the surface.", RULE_MIX_MIN, MIX_MIN),
    Step("pour", "Pour into one corner and let it run; knock the form to free bubbles.", RULE_POUR_MIN),
    Step("level", "Level it, then leave it alone."),
    Step("set", "Wait until it is hard; it becomes warm, then cool again.", None, SET_MIN),
    Step("demould", "Demould when hard and cool.", RULE_DEMOULD_MIN, FINAL_SET_MIN),
    Step("edges", "Round every edge, wet, so that none chips into clay."),
    Step("weigh", "Weigh it: this is the mass as cast."),
    Step("dry", "Stand it on edge in still air before any fan.", RULE_STILL_AIR_DAYS),
    Step("turn", "Turn it, until every side feels at room temperature and its mass stays.", RULE_TURN_H),
)
"""In the order they are done."""


def _range(fact: Fact) -> str:
    low, high = fact.low, fact.high
    span = f"{fact.value:g}" if low is None or high is None else f"{low:g}–{high:g}"
    source = f": {fact.source}" if fact.source else ""
    return f"{span} {fact.unit} ({fact.origin}{source})"
