"""What a family's bodies usually come to, from the lab's own record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from claybench.insight.bodies.comparison.body_means import BodyMeans, BodyResult
from claybench.insight.bodies.comparison.firing_heat import Heat
from claybench.insight.bodies.comparison.value_cells import Cells
from claybench.later import Ints, np
from claybench.measure.properties.declaration import Property
from claybench.terms import Body


@dataclass(frozen=True, slots=True)
class UsualRange:
    """One property over the bodies of a family, fired alike."""

    family: str
    level: str | None
    """The cone or temperature; None before any firing."""
    declared: Property
    kind: str | None
    low: float
    """Lowest of the bodies' means."""
    middle: float
    high: float
    bodies: int

    @property
    def name(self) -> str:
        """Name of the property."""
        return self.declared.name


@dataclass(frozen=True, slots=True, eq=False)
class FamilyRanges:
    """The families' ranges."""

    every: dict[tuple[str, str | None, str, str | None], UsualRange]
    family_of: dict[str, str]
    heats: Mapping[str, Heat]

    def of_result(self, result: BodyResult) -> dict[str, UsualRange]:
        """What is usual beside one body in one firing, by property."""
        family = self.family_of.get(result.body)
        level = None if result.firing is None else self.heats[result.firing].level
        ranges = {}
        for name, each in result.measured.items():
            at = None if each.declared.before_firing else level
            usual = self.every.get((family or "", at, name, each.kind))
            if usual is not None:
                ranges[name] = usual
        return ranges


def usual_ranges(held: BodyMeans, bodies: Iterable[Body], heats: Mapping[str, Heat]) -> FamilyRanges:
    """Ranges of every family: each body counts once, with the mean of all its batches fired to the same heat."""
    family_of = {body.body: body.family or "" for body in bodies}
    families = list(dict.fromkeys(family_of.values()))
    place = {family: at for at, family in enumerate(families)}
    of_body = np.array([place.get(family_of.get(body, ""), -1) for body in held.bodies], dtype=np.int64)
    levels = list(dict.fromkeys(heats[firing].level for firing in held.columns.firings))
    at_level = {level: at for at, level in enumerate(levels)}
    of_firing = np.array([at_level[heats[firing].level] for firing in held.columns.firings] or [0], dtype=np.int64)
    ranges = {}
    for cells in held.cells.values():
        for usual in _of_property(cells, of_body, of_firing, families, levels):
            ranges[usual.family, usual.level, usual.name, usual.kind] = usual
    return FamilyRanges(ranges, family_of, heats)


def _of_property(
    cells: Cells, of_body: Ints, of_firing: Ints, families: list[str], levels: list[str]
) -> list[UsualRange]:
    if not len(cells.body):
        return []
    level = np.where(cells.firing < 0, -1, of_firing[cells.firing])
    keep = (level < 0) if cells.declared.before_firing else np.ones(len(level), dtype=bool)
    keys = np.stack([of_body[cells.body], level, cells.kind, cells.body])[:, keep]
    alike, back = np.unique(keys, axis=1, return_inverse=True)
    weight = np.bincount(back, weights=cells.k[keep])
    means = np.bincount(back, weights=(cells.mean * cells.k)[keep]) / weight
    groups, group = np.unique(alike[:3], axis=1, return_inverse=True)
    ranges = []
    for at, (family, heat, kind) in enumerate(groups.T.tolist()):
        own = means[group == at]
        if family < 0:
            continue
        level_name = levels[heat] if heat >= 0 else None
        low, middle, high = float(own.min()), float(np.median(own)), float(own.max())
        word = cells.declared.way_word(kind)
        ranges.append(UsualRange(families[family], level_name, cells.declared, word, low, middle, high, len(own)))
    return ranges
