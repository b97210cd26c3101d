"""Blends of two or three bodies: which mixtures a line or a triangle asks for, and how to weigh them.

They are weighed as slips by volume, or as dry masses; designs with bounds belong to `insight`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import BadInput, Question
from claybench.facts.ranges import check_positive
from claybench.facts.reason import Figure, entered_figure, formula_figure
from claybench.mix.input_checks import check_all_possible, check_whole, unusual_inputs
from claybench.mix.slip_formulas import dry_per_litre
from claybench.quantity.shown import plain
from claybench.terms.sizing import BLEND


@dataclass(frozen=True, slots=True)
class Blend:
    """One mixture: the share of dry mass from each body, and what to take of it."""

    shares: tuple[float, ...]
    dry_g: tuple[float, ...]
    slip_ml: tuple[float, ...] | None
    """Volumes of the slips, where their dry matter per litre is known."""


def blend_shares(bodies: int, steps: int) -> tuple[tuple[float, ...], ...]:
    """The mixtures of a line (two bodies) or a triangle (three), in even steps.

    A line of n steps has n + 1 mixtures, a triangle of n steps (n + 1)(n + 2) / 2.

    >>> blend_shares(2, 2)
    ((1.0, 0.0), (0.5, 0.5), (0.0, 1.0))
    """
    check_whole(steps, 1, 50, "steps")
    if bodies == 2:
        return tuple(((steps - i) / steps, i / steps) for i in range(steps + 1))
    if bodies == 3:
        return tuple(
            ((steps - i - j) / steps, i / steps, j / steps) for i in range(steps + 1) for j in range(steps + 1 - i)
        )
    raise BadInput(
        f"A blend of {bodies} bodies is neither a line nor a triangle.", "Take two or three.", field="bodies"
    )


def weigh_blend(shares: Sequence[float], dry_g: float, dry_per_litre_g: Sequence[float] | None = None) -> Blend:
    """What to take of each body for one mixture of this dry mass; shares are of dry mass."""
    check_positive(dry_g, "dry_g", "g")
    if any(share < 0 for share in shares) or abs(sum(shares) - 1) > 1e-6:
        raise BadInput(
            f"The shares add up to {plain(sum(shares))}, not 1.",
            "Give each body's share of the dry mass; together they are 1.",
            field="shares",
        )
    masses = tuple(share * dry_g for share in shares)
    if dry_per_litre_g is None:
        return Blend(tuple(shares), masses, None)
    if len(dry_per_litre_g) != len(shares):
        raise BadInput(
            "Each body of a blend needs its slip's dry matter per litre.",
            "Give one for each, or blend by dry mass.",
            field="dry_per_litre_g",
        )
    litres = [check_positive(each, "dry_per_litre_g", "g/L") for each in dry_per_litre_g]
    return Blend(tuple(shares), masses, tuple(1000 * mass / per for mass, per in zip(masses, litres, strict=True)))


@dataclass(frozen=True, slots=True, kw_only=True)
class BlendRequest:
    """A line or a triangle between bodies; their slips' weights where they are blended as slips."""

    bodies: tuple[str, ...]
    """Two or three names."""
    steps: int
    dry_g: float
    """Dry clay in each mixture."""
    solids_sg: tuple[float, ...]
    """Specific gravity of each dry body."""
    slip_sg: tuple[float | None, ...]
    """Specific gravity of each slip; blended by volume only where all are known."""
    scale_step_g: float = 1.0


@dataclass(frozen=True, slots=True)
class BlendSizing:
    """All mixtures of a line or a triangle, and what they need of each body in all."""

    request: BlendRequest
    blends: tuple[Blend, ...]
    dry_per_litre_g: tuple[float, ...] | None
    total_dry_g: tuple[float, ...]
    total_slip_ml: tuple[float, ...] | None

    @property
    def questions(self) -> tuple[Question, ...]:
        """What of it is possible and not usual."""
        return tuple(unusual_inputs(BLEND.values(), self.request))


def blend_figures(sized: BlendSizing) -> dict[str, Figure]:
    """Every number of the mixtures with its reason."""
    request = sized.request
    figures: dict[str, Figure] = {
        "mixtures": entered_figure(float(len(sized.blends)), "1", "Even steps from corner to corner")
    }
    for index, body in enumerate(request.bodies):
        gravity = request.slip_sg[index]
        if sized.dry_per_litre_g is not None and gravity is not None:
            per_litre = sized.dry_per_litre_g[index]
            figures[f"{body}.dry_per_litre"] = formula_figure(
                dry_per_litre, gravity, request.solids_sg[index], result=per_litre
            )
        dry = entered_figure(sized.total_dry_g[index], "g", "Over all mixtures: share times dry mass")
        figures[f"{body}.total_dry_g"] = dry
        if sized.total_slip_ml is not None:
            figures[f"{body}.total_slip_ml"] = entered_figure(
                sized.total_slip_ml[index], "mL", "Dry mass over the slip's dry matter per litre"
            )
    return figures


def size_blend(request: BlendRequest) -> BlendSizing:
    """Each mixture by dry masses, and by volumes of slip where every slip's weight is known."""
    if len({name.casefold() for name in request.bodies}) != len(request.bodies):
        raise BadInput("A body is blended with itself.", "Name different bodies.", field="bodies")
    check_all_possible(BLEND.values(), request)
    per_litre = None
    given_sg = [each for each in request.slip_sg if each is not None]
    if given_sg and len(given_sg) < len(request.bodies):
        missing = next(name for name, each in zip(request.bodies, request.slip_sg, strict=True) if each is None)
        raise BadInput(
            f"The slip of {missing} has no weight.",
            "Weigh a known volume of every slip to blend by volume, or give none to blend by dry mass.",
            field="slip_sg",
        )
    if given_sg:
        per_litre = tuple(
            dry_per_litre(gravity, solids) for gravity, solids in zip(given_sg, request.solids_sg, strict=True)
        )
    blends = tuple(
        weigh_blend(shares, request.dry_g, per_litre) for shares in blend_shares(len(request.bodies), request.steps)
    )
    count = range(len(request.bodies))
    return BlendSizing(
        request=request,
        blends=blends,
        dry_per_litre_g=per_litre,
        total_dry_g=tuple(sum(blend.dry_g[n] for blend in blends) for n in count),
        total_slip_ml=None
        if per_litre is None
        else tuple(sum(blend.slip_ml[n] for blend in blends if blend.slip_ml) for n in count),
    )


def blended_recipe(recipes: Sequence[Sequence[tuple[str, float]]], shares: Sequence[float]) -> list[tuple[str, float]]:
    """The recipe of a mixture, parts of 100: each body's recipe by its share of the dry mass.

    >>> blended_recipe([[("kaolin", 50), ("quartz", 50)], [("kaolin", 100)]], (0.5, 0.5))
    [('kaolin', 75.0), ('quartz', 25.0)]
    """
    parts_of: dict[str, float] = {}
    for recipe, share in zip(recipes, shares, strict=True):
        total = sum(parts for _, parts in recipe)
        for material, parts in recipe:
            parts_of[material] = parts_of.get(material, 0.0) + 100 * share * parts / total
    return [(material, round(parts, 6)) for material, parts in parts_of.items() if parts > 1e-9]
