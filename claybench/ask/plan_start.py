"""What the form of a plan begins with: names to choose from, recipes that would count as known, the bench's hours."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import time
from pathlib import Path

from claybench.ask.snapshot import take
from claybench.record.lab import Lab
from claybench.terms import Body, BodyLine, Family, Material


@dataclass(frozen=True, slots=True)
class PlanStart:
    """Names and recipes of the lab."""

    families: tuple[str, ...]
    bodies: tuple[str, ...]
    materials: dict[str, Material]
    """By name in small letters."""
    recipes: dict[str, frozenset[str]]
    """By body: its materials in small letters."""
    bench: tuple[time, time]
    lab: Path | None
    """The lab's file, where it is one."""

    def made_of(self, materials: Iterable[str], fixed: Iterable[str]) -> list[str]:
        """Bodies that hold these materials only, and at most the fixed ones."""
        varied = {name.casefold() for name in materials}
        allowed = varied | {name.casefold() for name in fixed}
        return [body for body, own in self.recipes.items() if own <= allowed and own & varied]

    def spelt(self, name: str) -> str:
        """A material as the lab writes it."""
        known = self.materials.get(name.casefold())
        return known.material if known is not None else name


def plan_start(lab: Lab) -> PlanStart:
    """The lab as a plan's form needs it."""
    snapshot = take(lab, Body, BodyLine, Family, Material)
    recipes: dict[str, set[str]] = defaultdict(set)
    for line in snapshot.rows(BodyLine):
        recipes[line.body].add(line.material.casefold())
    settings = snapshot.settings
    return PlanStart(
        families=tuple(row.family for row in snapshot.rows(Family)),
        bodies=tuple(row.body for row in snapshot.rows(Body)),
        materials={row.material.casefold(): row for row in snapshot.rows(Material)},
        recipes={body: frozenset(own) for body, own in recipes.items()},
        bench=(settings.clock("bench_from"), settings.clock("bench_until")),
        lab=lab.path,
    )
