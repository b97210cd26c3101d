"""A region cut along three of its materials, the others held: the triangle of their parts and what of it is allowed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.insight.plan.design.region import WITHIN, Region

Parts = tuple[float, float, float]
ROOM = 0.12
"""Share of the allowed part's size that is shown around it."""


@dataclass(frozen=True, slots=True)
class RegionSlice:
    """Recipes of three materials, while the others keep their parts."""

    names: tuple[str, str, str]
    indices: tuple[int, int, int]
    """Where they stand among the materials of the region."""
    total: float
    """Parts that the three share."""
    fixed_parts: tuple[float, ...]
    """Parts of all materials of the region; those of the three count for nothing."""
    outline: tuple[Parts, ...]
    """Corners of what is allowed, one after another around it; empty where the parts held leave nothing."""
    origin: Parts
    """Least parts of each that are shown: the triangle begins there."""

    @property
    def size(self) -> float:
        """Parts from a side of the triangle to the corner across."""
        return self.total - sum(self.origin)

    def corner(self, at: int) -> Parts:
        """The recipe at the corner of one of the three: the others at their least.

        >>> RegionSlice(("a", "b", "c"), (0, 1, 2), 100.0, (0.0, 0.0, 0.0), (), (10.0, 20.0, 30.0)).corner(0)
        (50.0, 20.0, 30.0)
        """
        first, second, third = (own + (self.size if place == at else 0.0) for place, own in enumerate(self.origin))
        return first, second, third

    def shares(self, parts: Sequence[float]) -> Parts:
        """Where a recipe of the three lies in the triangle: shares that sum to 1, below 0 outside it."""
        first, second, third = ((part - own) / self.size for part, own in zip(parts, self.origin, strict=True))
        return first, second, third

    def parts(self, shares: Sequence[float]) -> Parts:
        """The recipe at a place of the triangle."""
        first, second, third = (own + self.size * share for share, own in zip(shares, self.origin, strict=True))
        return first, second, third

    def whole_recipe(self, parts: Sequence[float]) -> list[float]:
        """All materials of the region with these parts of the three."""
        recipe = list(self.fixed_parts)
        for place, part in zip(self.indices, parts, strict=True):
            recipe[place] = part
        return recipe

    def is_allowed(self, parts: Sequence[float], within: float = 1e-9) -> bool:
        """Whether a recipe of the three lies within the outline."""
        points = [self.shares(corner) for corner in self.outline]
        at = self.shares(parts)
        turns = [_orientation(a, b, at) for a, b in zip(points, [*points[1:], *points[:1]], strict=True)]
        return len(points) > 2 and (all(turn >= -within for turn in turns) or all(turn <= within for turn in turns))


def slice_region(region: Region, three: Sequence[str], recipe: Sequence[float]) -> RegionSlice:
    """The cut of a region along three materials through one recipe.

    Raises
    ------
    BadInput
        Not three materials, or one that the region does not have.
    """
    own = {name.casefold(): place for place, name in enumerate(region.names)}
    places = [own[name.casefold()] for name in three if name.casefold() in own]
    if len(set(places)) != 3 or len(three) != 3:
        raise BadInput(
            f"A triangle takes three materials that vary; asked were {', '.join(three) or 'none'}.",
            f"Choose three of {', '.join(region.names)}.",
            field="materials",
        )
    first, second, third = places
    total = sum(recipe[place] for place in places)
    corners = [_pure_recipe(total, place) for place in range(3)]
    outline = [corner for corner in corners if total > WITHIN]
    for sides, most in _half_planes(region, (first, second, third), recipe):
        outline = _clip(outline, sides, most)
    return RegionSlice(
        names=(region.names[first], region.names[second], region.names[third]),
        indices=(first, second, third),
        total=total,
        fixed_parts=tuple(0.0 if place in places else part for place, part in enumerate(recipe)),
        outline=tuple(outline),
        origin=_display_origin(outline, total),
    )


def _pure_recipe(total: float, place: int) -> Parts:
    first, second, third = (total if own == place else 0.0 for own in range(3))
    return first, second, third


def _half_planes(
    region: Region, places: Parts | tuple[int, int, int], recipe: Sequence[float]
) -> list[tuple[Parts, float]]:
    """Each bound of the region as sides · parts ≤ most, with what is held taken off."""
    planes = []
    for limit in region.constraints:
        sign = 1.0 if limit.upper else -1.0
        first, second, third = (sign * float(place in limit.materials) for place in places)
        rest = sum(recipe[place] for place in limit.materials if place not in places)
        if any((first, second, third)):
            planes.append(((first, second, third), sign * (float(limit.parts) - rest)))
    return planes


def _clip(points: Sequence[Parts], sides: Parts, most: float) -> list[Parts]:
    """A convex outline cut off along one line (Sutherland and Hodgman); no library at hand clips outlines."""
    kept: list[Parts] = []
    for here, there in zip(points, [*points[1:], *points[:1]], strict=True):
        near, far = most - _dot(sides, here), most - _dot(sides, there)
        if near >= -WITHIN:
            kept.append(here)
        if (near > WITHIN and far < -WITHIN) or (near < -WITHIN and far > WITHIN):
            part = near / (near - far)
            first, second, third = (a + part * (b - a) for a, b in zip(here, there, strict=True))
            kept.append((first, second, third))
    return kept


def _dot(sides: Parts, parts: Parts) -> float:
    return sum(side * part for side, part in zip(sides, parts, strict=True))


def _display_origin(outline: Sequence[Parts], total: float) -> Parts:
    """Where the triangle begins, so that what is allowed fills it with a little room around."""
    if not outline:
        return 0.0, 0.0, 0.0
    lows = [min(parts[place] for parts in outline) for place in range(3)]
    room = ROOM * max(total - sum(lows), 0.05 * total)
    # Whole parts, so that the corners and the scale have round numbers.
    first, second, third = (max(float(math.floor(low - room)), 0.0) for low in lows)
    return first, second, third


def _orientation(a: Parts, b: Parts, at: Parts) -> float:
    """Above 0 where `at` lies to one side of the line from a to b, below 0 on the other."""
    return (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])
