"""The first set of a plan: exactly so many new recipes, laid out as asked, or as the bounds and the count suggest.

The layouts themselves are in `first_sets` and `optimal_design`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import (
    INWARD,
    add_farthest,
    blend_line,
    blend_triangle,
    distinct_rows,
    extreme_vertices,
    lay_into_region,
    simplex_centroid,
    simplex_lattice,
    spread_subset,
)
from claybench.insight.plan.design.optimal import TERMS, Criterion, candidate_points, optimal_design, term_products
from claybench.insight.plan.design.plan_request import FirstSetRequest
from claybench.insight.plan.design.region import Region
from claybench.later import Floats, np

_APART = 0.05
"""Parts by which a recipe has to differ from one that is there already."""
_MOST_STEPS = 30
_SPREAD = 1500


@dataclass(frozen=True, slots=True)
class FirstSet:
    """Recipes of a first set."""

    rows: Floats
    """Parts of 100, one row a body, exactly as many as were asked for."""
    layout: str
    """One of `plan_asked.KINDS`."""
    why: str
    """One sentence, the same for every body."""
    notes: tuple[str, ...]
    """Where the layout had more or fewer recipes than were asked for."""


def lay_out_first_set(
    region: Region,
    count: int,
    request: FirstSetRequest | None = None,
    *,
    existing: Floats | None = None,
    recipes: Mapping[str, Sequence[float]] | None = None,
) -> FirstSet:
    """Lay out the first `count` bodies.

    Parameters
    ----------
    region
        Where recipes may lie.
    count
        How many to lay out.
    request
        The layout; where it names none, the one that `usual_layout` names.
    existing
        Recipes that are there already, in parts of 100: they are not laid out again.
    recipes
        Recipes of bodies that may be named as ends, in parts of 100.

    Raises
    ------
    BadInput
        Fewer than one body, ends that are unknown or outside the bounds, or a model the count cannot carry.
    """
    if count < 1:
        raise BadInput(f"A set of {count} bodies is none.", "Ask for one body or more.", field="count")
    request = request or FirstSetRequest()
    kind = request.kind or usual_layout(region, count)
    there = region.vertices()[:0] if existing is None else existing
    laid, name, aim = _LAYOUTS[kind](_Layout(region, count, request, recipes or {}, there))
    rows = _without_existing(laid, there)
    notes: list[str] = []
    if len(rows) > count:
        notes.append(f"The {name} has {len(rows)} new bodies; these are {count} of them, far from each other.")
        rows = spread_subset(rows, count)
    elif len(rows) < count:
        own = len(rows)
        rows = _fill_up(region, rows, count, there)
        notes.append(
            f"The {name} has {own} new {'body' if own == 1 else 'bodies'} within the bounds; "
            f"{count - own} more spread out."
        )
        if len(distinct_rows(rows)) < count:
            notes.append("The bounds leave room for hardly more than one recipe.")
    return FirstSet(rows, kind, f"First set: {name}{aim}.", tuple(notes))


def usual_layout(region: Region, count: int) -> str:
    """What a first set is laid out as where nobody says: two materials in even steps, more of them spread out.

    >>> usual_layout(Region.from_bounds({"clay": (40, 80), "sand": (20, 60)}), 4)
    'line'
    """
    return "line" if region.dimension == 1 and count > 1 else "spread"


def _without_existing(rows: Floats, existing: Floats) -> Floats:
    """The rows without repeats, and without those that are there already."""
    rows = distinct_rows(rows)
    keep = np.ones(len(rows), dtype=bool)
    for recipe in existing:
        keep &= np.abs(rows - recipe).max(axis=1) > _APART
    new: Floats = rows[keep]
    return new


def _fill_up(region: Region, rows: Floats, count: int, existing: Floats) -> Floats:
    """The rows and the farthest ones from them, drawn in from the border."""
    middle = region.centroid()
    outer = np.vstack([region.vertices(), region.sample(_SPREAD)])
    pool = np.vstack([middle[None, :], middle + INWARD * (outer - middle)])
    return np.vstack([rows, add_farthest(pool, np.vstack([rows, existing]), count - len(rows))])


# -- layouts: recipes, what they are called, and what they are for ------------------------------------


@dataclass(frozen=True, slots=True)
class _Layout:
    """What every layout is made from."""

    region: Region
    count: int
    request: FirstSetRequest
    recipes: Mapping[str, Sequence[float]]
    """Bodies that may be named as ends, parts of 100."""
    existing: Floats
    """Recipes that are there already, parts of 100."""

    def fewest_steps(self, make: Callable[[int], Floats]) -> tuple[Floats, int]:
        """The fewest steps, and at most `_MOST_STEPS`, that give enough new recipes."""
        rows, steps = make(1), 1
        while len(_without_existing(rows, self.existing)) < self.count and steps < _MOST_STEPS:
            rows, steps = make(steps + 1), steps + 1
        return rows, steps

    def between(self, otherwise: str) -> str:
        """The ends in words."""
        return f"between {' and '.join(self.request.between) or otherwise}"

    def ends(self, count: int) -> list[list[float]]:
        """The ends asked for, or else corners of the region far from each other."""
        if self.request.between:
            return [self._end(name) for name in self.request.between]
        ends = spread_subset(self.region.vertices(), count)
        if len(ends) < count:
            raise BadInput(
                f"The bounds leave too little for a {'line' if count == 2 else 'triangle'}.",
                "Loosen the bounds, or take fewer ends or another layout.",
                field="kind",
            )
        return [[float(part) for part in end] for end in ends]

    def _end(self, name: str) -> list[float]:
        """A body's recipe, or the mean of the corners with most of a material."""
        key, region = name.casefold(), self.region
        own = {code.casefold(): parts for code, parts in self.recipes.items()}
        if key in own:
            parts = [float(part) for part in own[key]]
            if broken := region.broken_bounds(parts, 1e-3):
                raise BadInput(
                    f"{name} lies outside the bounds: {', '.join(broken)}.",
                    "Loosen them, or name another end.",
                    field="between",
                )
            return parts
        places = {material.casefold(): place for place, material in enumerate(region.names)}
        if key not in places:
            raise BadInput(
                f"{name} is neither a material of the plan nor a body made of its materials.",
                f"Materials are {', '.join(region.names)}.",
                field="between",
            )
        corners = region.vertices()
        most = corners[:, places[key]]
        return [float(part) for part in corners[np.isclose(most, most.max())].mean(axis=0)]


_Laid = tuple[Floats, str, str]
"""Recipes, what they are called, and what they are for."""


def _line(layout: _Layout) -> _Laid:
    one, other = layout.ends(2)
    if layout.count == 1:
        return blend_line(one, other, 2)[1:2], "middle of a line", ""
    rows, steps = layout.fewest_steps(lambda steps: blend_line(one, other, steps))
    return rows, f"line of {_steps_text(steps)} {layout.between('two corners of the region')}", ""


def _triangle(layout: _Layout) -> _Laid:
    one, other, third = layout.ends(3)
    rows, steps = layout.fewest_steps(lambda steps: blend_triangle(one, other, third, steps))
    return rows, f"triangle of {_steps_text(steps)} {layout.between('three corners of the region')}", ""


def _steps_text(steps: int) -> str:
    return f"{steps} step{'s' if steps > 1 else ''}"


def _lattice(layout: _Layout) -> _Laid:
    materials = len(layout.region.names)

    def make(degree: int) -> Floats:
        return lay_into_region(layout.region, simplex_lattice(materials, degree))

    if layout.request.degree is not None:
        rows, degree = make(layout.request.degree), layout.request.degree
    else:
        rows, degree = make(1), 1
        while len(_without_existing(rows, layout.existing)) < layout.count and degree < _MOST_STEPS:
            try:
                rows, degree = make(degree + 1), degree + 1
            except BadInput:  # a lattice beyond what anyone makes
                break
    return rows, f"{{{materials}, {degree}}} lattice laid into the bounds", ""


def _centroid(layout: _Layout) -> _Laid:
    rows = lay_into_region(layout.region, simplex_centroid(len(layout.region.names)))
    return rows, "centroid design laid into the bounds", ""


def _corners(layout: _Layout) -> _Laid:
    corners = layout.region.vertices()
    if len(_without_existing(corners, layout.existing)) >= layout.count:
        return corners, "set of corners of the allowed region", ""
    middles = len(corners) + 1 < layout.count
    rows = extreme_vertices(layout.region, face=middles, overall=True)
    if len(_without_existing(rows, layout.existing)) < layout.count:
        rows = extreme_vertices(layout.region, edge=True, face=True, overall=True)
    return rows, f"set of corners of the allowed region with {'their middles' if middles else 'its middle'}", ""


def _optimal(layout: _Layout) -> _Laid:
    region, count, existing = layout.region, layout.count, layout.existing
    criterion: Criterion = "I" if layout.request.kind == "I-optimal" else "D"
    models = [layout.request.model] if layout.request.model else list(reversed(TERMS))
    refused: BadInput | None = None
    for model in models:
        if not layout.request.model and count + len(existing) < len(term_products(model, len(region.names))):
            continue
        try:
            points = _without_existing(candidate_points(region), existing)
            most = min(count, len(points))
            rows = optimal_design(region, model, most, criterion, existing=existing, points=points, allow_repeats=False)
        except BadInput as error:
            refused = error
            continue
        good = "estimates its terms best" if criterion == "D" else "predicts best on average over the region"
        return rows, f"{criterion}-optimal set for the {model.replace('_', ' ')} model", f"; it {good}"
    if refused is None:
        refused = BadInput(
            f"{count} bodies are too few for a set made for a mixture model of {len(region.names)} materials.",
            f"Ask for {len(region.names)} or more, or lay the set out spread.",
            field="count",
        )
    raise refused


def _spread(layout: _Layout) -> _Laid:
    rows = _fill_up(layout.region, layout.existing[:0], layout.count, layout.existing)
    return rows, "set spread over the allowed region", ", away from its edges"


_LAYOUTS: dict[str, Callable[[_Layout], _Laid]] = {
    "line": _line,
    "triangle": _triangle,
    "lattice": _lattice,
    "centroid": _centroid,
    "corners": _corners,
    "D-optimal": _optimal,
    "I-optimal": _optimal,
    "spread": _spread,
}
