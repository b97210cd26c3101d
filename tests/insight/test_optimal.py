"""Optimal sets against known optima and the general equivalence theorem."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from claybench.errors import BadInput
from claybench.insight.plan.design.first_sets import simplex_lattice
from claybench.insight.plan.design.optimal import Criterion, optimal_design, scheffe_terms
from claybench.insight.plan.design.region import Group, Region
from tests.insight.optimal_weights import optimal_weights

Array = NDArray[np.float64]
NAMES = ("ball clay", "fire clay", "feldspar", "flint", "talc")
WHOLE = Region.from_bounds(dict.fromkeys(NAMES[:3], (0, 100)))
FLARE = Region.from_bounds({"x1": (40, 60), "x2": (10, 50), "x3": (10, 50), "x4": (3, 8)})


def rows_of(points: Array) -> set[tuple[float, ...]]:
    return {tuple(round(part, 6) for part in row) for row in points.tolist()}


@pytest.mark.parametrize(
    ("criterion", "corner", "middle", "centre"), [("D", 1 / 6, 1 / 6, 0.0), ("I", 0.10016, 0.20155, 0.09485)]
)
def test_weights_are_the_known_optimum(criterion: Criterion, corner: float, middle: float, centre: float) -> None:
    # D: the {3, 2} lattice (Kiefer, Annals of Mathematical Statistics 1961, from memory); I: known weights for the
    # quadratic in three components (Goos, Jones and Syafitri, JASA 2016, from memory).
    found = optimal_weights(WHOLE, "quadratic", criterion)
    weight = {tuple(round(part, 2) for part in p): w for p, w in zip(found.points.tolist(), found.weights, strict=True)}
    assert [weight[p] for p in [(100, 0, 0), (0, 100, 0), (0, 0, 100)]] == pytest.approx([corner] * 3, rel=0.01)
    assert [weight[p] for p in [(50, 50, 0), (50, 0, 50), (0, 50, 50)]] == pytest.approx([middle] * 3, rel=0.01)
    assert weight[33.33, 33.33, 33.33] == pytest.approx(centre, rel=0.01, abs=1e-3)
    if criterion == "D":
        assert found.variance.max() == pytest.approx(6, rel=0.01)


@pytest.mark.parametrize("model", ["linear", "quadratic", "special_cubic"])
@pytest.mark.parametrize(
    "region", [FLARE, Region.from_bounds(dict.fromkeys(NAMES, (5, 45)), [Group(NAMES[:2], 30, 60)])]
)
def test_largest_variance_of_d_weights_is_the_number_of_terms(region: Region, model: str) -> None:
    # The general equivalence theorem (Kiefer and Wolfowitz 1960).
    found = optimal_weights(region, model, "D")
    terms = scheffe_terms(model, found.points / 100).shape[1]
    assert found.weights.sum() == pytest.approx(1)
    assert found.variance.max() == pytest.approx(terms, rel=0.01)


def test_six_bodies_of_three_materials_are_the_lattice() -> None:
    chosen = optimal_design(WHOLE, "quadratic", 6)
    assert rows_of(chosen) == rows_of(100 * simplex_lattice(3, 2))
    # With the corners made already, the three middles are what is missing.
    more = optimal_design(WHOLE, "quadratic", 3, existing=100 * np.eye(3))
    assert rows_of(more) == {(50, 50, 0), (50, 0, 50), (0, 50, 50)}


@pytest.mark.parametrize("criterion", ["D", "I"])
def test_exchange_reaches_most_of_what_weights_allow(criterion: Criterion) -> None:
    region, model, count = FLARE, "quadratic", 15
    ideal = optimal_weights(region, model, criterion)
    chosen = optimal_design(region, model, count, criterion)
    assert len(chosen) == count
    assert all(region.contains(row) for row in chosen.tolist())
    rows = scheffe_terms(model, ideal.points / 100)
    best = rows.T @ (ideal.weights[:, None] * rows)
    own = scheffe_terms(model, chosen / 100)
    known = own.T @ own / count
    if criterion == "D":
        share = math.exp((np.linalg.slogdet(known)[1] - np.linalg.slogdet(best)[1]) / len(best))
    else:
        even = scheffe_terms(model, region.sample(3000, 9) / 100)
        moments = even.T @ even / len(even)
        share = np.trace(np.linalg.solve(best, moments)) / np.trace(np.linalg.solve(known, moments))
    assert 0.9 < share < 1.0 + 1e-3


def test_too_few_bodies_or_too_narrow_a_region_are_refused() -> None:
    with pytest.raises(BadInput, match="10 terms"):
        optimal_design(FLARE, "quadratic", 8)
    with pytest.raises(BadInput, match="too narrow"):
        optimal_design(Region.from_bounds({"a": (40, 40), "b": (20, 40), "c": (0, 100)}), "quadratic", 8)
    with pytest.raises(BadInput, match="no mixture model"):
        optimal_design(FLARE, "quartic", 8)
