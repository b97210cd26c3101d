"""The terms of Scheffé's mixture polynomials, for designs and for fits; which terms the data bear is decided there."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from claybench.errors import BadInput
from claybench.later import Floats, np

TERMS = {"linear": 1, "quadratic": 2, "special_cubic": 3}
"""Each model, and how many materials its largest products take."""


def term_products(model: str, materials: int) -> tuple[tuple[int, ...], ...]:
    """The materials that each term multiplies: first single ones, then pairs, then triples.

    >>> term_products("quadratic", 3)
    ((0,), (1,), (2,), (0, 1), (0, 2), (1, 2))
    """
    if model not in TERMS:
        raise BadInput(f"There is no mixture model {model!r}.", f"Choose one of {', '.join(TERMS)}.", field="model")
    return tuple(term for size in range(1, TERMS[model] + 1) for term in combinations(range(materials), size))


def scheffe_terms(model: str, shares: Floats | Sequence[Sequence[float]]) -> Floats:
    """One row a recipe, one column a term.

    >>> scheffe_terms("special_cubic", [(0.5, 0.3, 0.2)]).round(3).tolist()
    [[0.5, 0.3, 0.2, 0.15, 0.1, 0.06, 0.03]]
    """
    rows = np.atleast_2d(np.asarray(shares, dtype=np.float64))
    return np.column_stack([rows[:, list(term)].prod(axis=1) for term in term_products(model, rows.shape[1])])
