"""Blends of two or three bodies: which mixtures a line or a triangle asks for, and how to weigh them.

They are weighed as slips by volume, or as dry masses; designs with bounds belong to `insight`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import BadInput
from claybench.mix.check import positive, whole


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
    whole(steps, 1, 50, "steps")
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
    positive(dry_g, "dry_g", "g")
    if any(share < 0 for share in shares) or abs(sum(shares) - 1) > 1e-6:
        raise BadInput(
            f"The shares add up to {sum(shares):g}, not 1.",
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
    litres = [positive(each, "dry_per_litre_g", "g/L") for each in dry_per_litre_g]
    return Blend(tuple(shares), masses, tuple(1000 * mass / per for mass, per in zip(masses, litres, strict=True)))
