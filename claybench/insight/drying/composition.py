"""What is known of a slip before its first run: whether it is deflocculated, and what its body is made of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from claybench.insight.drying.resistance_priors import DEFLOCCULATED_SD, DEFLOCCULATED_SHIFT, SHARE_SD
from claybench.later import Floats, np

_LEAST_SPREAD = 0.005
"""Standard deviation of a share below which nothing can be learnt of its material."""
_MOST_MATERIALS = 12
"""Materials that are told apart, those whose shares differ most."""


@dataclass(frozen=True, slots=True)
class Composition:
    """One slip."""

    deflocculated: bool = False
    shares: Mapping[str, float] = field(default_factory=dict)
    """Share of each material in the dry body, 0 to 1, less its mean in the body's family."""


NOTHING_KNOWN = Composition()
"""A plain slip of which no recipe is known."""


@dataclass(frozen=True, slots=True)
class Covariates:
    """The effects that compositions have on u = ln 1/R², in a fixed order: deflocculation, then materials by name."""

    materials: tuple[str, ...] = ()

    @classmethod
    def from_compositions(cls, compositions: Iterable[Composition]) -> Covariates:
        """Those that compositions differ in."""
        squares: dict[str, float] = {}
        every = list(compositions)
        for each in every:
            for material, share in each.shares.items():
                squares[material] = squares.get(material, 0.0) + share**2
        least = _LEAST_SPREAD**2 * len(every)
        telling = sorted((name for name, total in squares.items() if total > least), key=lambda name: -squares[name])
        return cls(tuple(sorted(telling[:_MOST_MATERIALS])))

    @property
    def offset(self) -> Floats:
        """Prior means of the effects."""
        return np.array([DEFLOCCULATED_SHIFT, *(0.0 for _ in self.materials)])

    @property
    def prior_sd(self) -> Floats:
        """Prior standard deviations of the effects."""
        return np.array([DEFLOCCULATED_SD, *(SHARE_SD for _ in self.materials)])

    def row(self, composition: Composition) -> Floats:
        """A composition as one row of the design, shape (effects,)."""
        shares = [composition.shares.get(material, 0.0) for material in self.materials]
        return np.array([float(composition.deflocculated), *shares])

    def design(self, compositions: Sequence[Composition]) -> Floats:
        """Compositions as rows, shape (compositions, effects)."""
        return np.array([self.row(each) for each in compositions]).reshape(len(compositions), 1 + len(self.materials))


def centred_shares(
    parts: Mapping[str, Mapping[str, float]], families: Mapping[str, str | None]
) -> dict[str, dict[str, float]]:
    """Share of each material in each body, less its mean over the bodies of its family.

    Parameters
    ----------
    parts : parts of each material, by body; in any unit that is the same within a body.
    families : the family of each body.
    """
    shares = {
        body: {name: part / sum(recipe.values()) for name, part in recipe.items()}
        for body, recipe in parts.items()
        if sum(recipe.values()) > 0
    }
    of_family: dict[str | None, list[dict[str, float]]] = {}
    for body, own in shares.items():
        of_family.setdefault(families.get(body), []).append(own)
    means = {
        family: {
            name: sum(own.get(name, 0.0) for own in bodies) / len(bodies)
            for name in sorted({name for own in bodies for name in own})
        }
        for family, bodies in of_family.items()
    }
    centred = {}
    for body, own in shares.items():
        centre = means[families.get(body)]
        gaps = {name: own.get(name, 0.0) - mean for name, mean in centre.items()}
        centred[body] = {name: gap for name, gap in gaps.items() if abs(gap) > 1e-9}
    return centred
