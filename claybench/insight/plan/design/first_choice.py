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
from claybench.insight.plan.design.model_terms import TERMS, term_products
from claybench.insight.plan.design.optimal import Criterion, candidate_points, optimal_design
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
    kind: str
    """One of `plan_asked.KINDS`."""
    why: str
    """One sentence, the same for every body."""
    notes: tuple[str, ...]
    """Where the layout had more or fewer recipes than were asked for."""


def lay_out_first_set(
    region: Region,
    count: int,
    asked: FirstSetRequest | None = None,
    *,
    made: Floats | None = None,
    recipes: Mapping[str, Sequence[float]] | None = None,
) -> FirstSet:
    """Lay out the first `count` bodies.

    Parameters
    ----------
    region
        Where recipes may lie.
    count
        How many to lay out.
    asked
        The layout; where it names none, the one that `usual_layout` names.
    made
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
    asked = asked or FirstSetRequest()
    kind = asked.kind or usual_layout(region, count)
    laid, said, aim = _LAYOUTS[kind](region, count, asked, recipes or {}, _no_rows(region) if made is None else made)
    rows = _without_existing(laid, made)
    notes: list[str] = []
    if len(rows) > count:
        notes.append(f"The {said} has {len(rows)} new bodies; these are {count} of them, far from each other.")
        rows = spread_subset(rows, count)
    elif len(rows) < count:
        own = len(rows)
        rows = _fill_up(region, rows, count, made)
        notes.append(
            f"The {said} has {own} new {'body' if own == 1 else 'bodies'} within the bounds; "
            f"{count - own} more spread out."
        )
        if len(_without_existing(rows, None)) < count:
            notes.append("The bounds leave room for hardly more than one recipe.")
    return FirstSet(rows, kind, f"First set: {said}{aim}.", tuple(notes))


def usual_layout(region: Region, count: int) -> str:
    """What a first set is laid out as where nobody says: two materials in even steps, more of them spread out.

    >>> usual_layout(Region.of({"clay": (40, 80), "sand": (20, 60)}), 4)
    'line'
    """
    return "line" if region.dimension == 1 and count > 1 else "spread"


def _no_rows(region: Region) -> Floats:
    return region.vertices()[:0]


def _without_existing(rows: Floats, made: Floats | None) -> Floats:
    """The rows without repeats, and without those that are there already."""
    rows = distinct_rows(rows)
    keep = np.ones(len(rows), dtype=bool)
    for recipe in made if made is not None else ():
        keep &= np.abs(rows - recipe).max(axis=1) > _APART
    found: Floats = rows[keep]
    return found


def _fill_up(region: Region, rows: Floats, count: int, made: Floats | None) -> Floats:
    """The rows and the farthest ones from them, drawn in from the border."""
    middle = region.centroid()
    outer = np.vstack([region.vertices(), region.sample(_SPREAD)])
    pool = np.vstack([middle[None, :], middle + INWARD * (outer - middle)])
    there = rows if made is None else np.vstack([rows, made])
    found: Floats = np.vstack([rows, add_farthest(pool, there, count - len(rows))])
    return found


# -- layouts: recipes, and what they are called -----------------------------------------------------

_Layout = Callable[[Region, int, FirstSetRequest, Mapping[str, Sequence[float]], "Floats"], tuple["Floats", str, str]]


def _fewest_steps(make: Callable[[int], Floats], count: int, made: Floats, least: int = 1) -> tuple[Floats, int]:
    """The fewest steps that give enough new recipes."""
    for steps in range(least, _MOST_STEPS + 1):
        rows = make(steps)
        if len(_without_existing(rows, made)) >= count:
            return rows, steps
    return rows, steps


def _line(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    one, other = _ends(region, asked, recipes, 2)
    if count == 1:
        return blend_line(one, other, 2)[1:2], "middle of a line", ""
    rows, steps = _fewest_steps(lambda steps: blend_line(one, other, steps), count, made)
    return rows, f"line of {steps} step{'s' if steps > 1 else ''} {_between(asked, 'two corners of the region')}", ""


def _triangle(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    one, other, third = _ends(region, asked, recipes, 3)
    rows, steps = _fewest_steps(lambda steps: blend_triangle(one, other, third, steps), count, made)
    return (
        rows,
        f"triangle of {steps} step{'s' if steps > 1 else ''} {_between(asked, 'three corners of the region')}",
        "",
    )


def _between(asked: FirstSetRequest, otherwise: str) -> str:
    return f"between {' and '.join(asked.between)}" if asked.between else f"between {otherwise}"


def _ends(
    region: Region, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], count: int
) -> list[list[float]]:
    if not asked.between:
        ends = spread_subset(region.vertices(), count)
        if len(ends) < count:
            raise BadInput(
                f"The bounds leave too little for a {'line' if count == 2 else 'triangle'}.",
                "Loosen the bounds, or take fewer ends or another layout.",
                field="kind",
            )
        return [[float(part) for part in end] for end in ends]
    found: list[list[float]] = []
    own = {code.casefold(): parts for code, parts in recipes.items()}
    places = {name.casefold(): place for place, name in enumerate(region.names)}
    for name in asked.between:
        key = name.casefold()
        if key in own:
            parts = [float(part) for part in own[key]]
            broken = region.broken_bounds(parts, 1e-3)
            if broken:
                raise BadInput(
                    f"{name} lies outside the bounds: {', '.join(broken)}.",
                    "Loosen them, or name another end.",
                    field="between",
                )
        elif key in places:
            corners = region.vertices()
            most = corners[:, places[key]]
            parts = [float(part) for part in corners[np.isclose(most, most.max())].mean(axis=0)]
        else:
            raise BadInput(
                f"{name} is neither a material of the plan nor a body made of its materials.",
                f"Materials are {', '.join(region.names)}.",
                field="between",
            )
        found.append(parts)
    return found


def _lattice(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    materials = len(region.names)

    def make(degree: int) -> Floats:
        return lay_into_region(region, simplex_lattice(materials, degree))

    if asked.degree is not None:
        rows, degree = make(asked.degree), asked.degree
    else:
        rows, degree = make(1), 1
        while len(_without_existing(rows, made)) < count and degree < _MOST_STEPS:
            try:
                rows, degree = make(degree + 1), degree + 1
            except BadInput:  # a lattice beyond what anyone makes
                break
    return rows, f"{{{materials}, {degree}}} lattice laid into the bounds", ""


def _centroid(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    return lay_into_region(region, simplex_centroid(len(region.names))), "centroid design laid into the bounds", ""


def _corners(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    corners = region.vertices()
    if len(_without_existing(corners, made)) >= count:
        return corners, "set of corners of the allowed region", ""
    middles = len(corners) + 1 < count
    rows = extreme_vertices(region, face=middles, overall=True)
    if len(_without_existing(rows, made)) < count:
        rows = extreme_vertices(region, edge=True, face=True, overall=True)
    return rows, f"set of corners of the allowed region with {'their middles' if middles else 'its middle'}", ""


def _optimal(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    criterion: Criterion = "I" if asked.kind == "I-optimal" else "D"
    names = [asked.model] if asked.model else list(reversed(TERMS))
    refused: BadInput | None = None
    for model in names:
        if not asked.model and count + len(made) < len(term_products(model, len(region.names))):
            continue
        try:
            points = _without_existing(candidate_points(region), made)
            rows = optimal_design(
                region, model, min(count, len(points)), criterion, made=made, points=points, twice=False
            )
        except BadInput as error:
            refused = error
            continue
        good = "tells its terms best" if criterion == "D" else "foretells best on average over the region"
        return rows, f"{criterion}-optimal set for the {model.replace('_', ' ')} model", f"; it {good}"
    if refused is None:
        refused = BadInput(
            f"{count} bodies are too few for a set made for a mixture model of {len(region.names)} materials.",
            f"Ask for {len(region.names)} or more, or lay the set out spread.",
            field="count",
        )
    raise refused


def _spread(
    region: Region, count: int, asked: FirstSetRequest, recipes: Mapping[str, Sequence[float]], made: Floats
) -> tuple[Floats, str, str]:
    return (
        _fill_up(region, _no_rows(region), count, made),
        "set spread over the allowed region",
        ", away from its edges",
    )


_LAYOUTS: dict[str, _Layout] = {
    "line": _line,
    "triangle": _triangle,
    "lattice": _lattice,
    "centroid": _centroid,
    "corners": _corners,
    "D-optimal": _optimal,
    "I-optimal": _optimal,
    "spread": _spread,
}
