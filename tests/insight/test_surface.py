"""Fitted surfaces against published mixture experiments, exact arithmetic, and batches with several pieces."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from numpy.typing import NDArray
from scipy import stats

from claybench.errors import BadInput
from claybench.insight.plan.surfaces.expected_spread import ExpectedSpread
from claybench.insight.plan.surfaces.fitted_targets import prediction_chance, surface_chance
from claybench.insight.plan.surfaces.gaussian_process import fit_gaussian_process
from claybench.insight.plan.surfaces.mixture_polynomials import (
    PolynomialFit,
    choose_polynomial,
    fit_polynomial,
    least_squares,
    leave_one_out_error,
)
from claybench.insight.plan.surfaces.model_choice import choose_model, model_reason
from claybench.insight.plan.surfaces.observations import Observation, Prediction, average_by_batch
from claybench.measure.distributions import student_t
from tests.measure.test_statistics import NORRIS

Shares = tuple[float, ...]
Array = NDArray[np.float64]
A, B, C = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
AB, BC, AC = (0.5, 0.5, 0.0), (0.0, 0.5, 0.5), (0.5, 0.0, 0.5)
MIDDLE = (1 / 3, 1 / 3, 1 / 3)

# Elongation of yarn spun from three polymers (Cornell; NIST/SEMATECH e-Handbook 5.5.4).
YARN: dict[Shares, list[float]] = {
    A: [11.0, 12.4],
    AB: [15.0, 14.8, 16.1],
    B: [8.8, 10.0],
    BC: [10.0, 9.7, 11.8],
    C: [16.8, 16.0],
    AC: [17.7, 16.4, 16.6],
}
# Etch rate of mixtures of three acids (Myers and Montgomery, Response Surface Methodology).
ETCH: dict[Shares, list[float]] = {
    A: [540, 560],
    B: [330, 350],
    C: [295, 260],
    AB: [610],
    AC: [425],
    BC: [330],
    MIDDLE: [800, 850],
    (2 / 3, 1 / 6, 1 / 6): [710],
    (1 / 6, 2 / 3, 1 / 6): [640],
    (1 / 6, 1 / 6, 2 / 3): [460],
}


def each_alone(data: dict[Shares, list[float]]) -> list[Observation]:
    """Every value from a batch of its own."""
    return [
        Observation(shares, float(value), f"{row}-{turn}")
        for row, (shares, values) in enumerate(data.items())
        for turn, value in enumerate(values)
    ]


def confidence_interval(fit: PolynomialFit, shares: Shares, level: float) -> tuple[float, float]:
    """Interval of the surface itself (Student's t)."""
    mean, half = fit.mean([shares])[0], student_t(1 - (1 - level) / 2, fit.df) * fit.standard_error([shares])[0]
    return float(mean - half), float(mean + half)


def test_yarn() -> None:
    """NIST/SEMATECH e-Handbook 5.5.4, Cornell's yarn: coefficients, s, R²; the centroid's 95 % by Student's t."""
    found = fit_polynomial(each_alone(YARN), "quadratic")
    assert found.coefficients == pytest.approx([11.7, 9.4, 16.4, 19.0, 11.4, -9.6], abs=1e-9)
    assert math.sqrt(found.between_variance + found.within_variance) == pytest.approx(0.853750, abs=1e-6)
    assert found.df == 9
    assert found.r2 == pytest.approx(0.951356, abs=1e-6)
    assert found.mean([MIDDLE])[0] == pytest.approx(14.8111, abs=5e-5)
    assert found.standard_error([MIDDLE])[0] == pytest.approx(0.396832, abs=1e-6)
    low, high = confidence_interval(found, MIDDLE, 0.95)
    assert (low, high) == pytest.approx((13.9134, 15.7088), abs=5e-5)


def test_highest_point_of_the_yarn() -> None:
    """On the edge of first and third polymer 11.7 x + 16.4 (1 − x) + 11.4 x (1 − x) is highest, 17.3844, at .29386."""
    found = fit_polynomial(each_alone(YARN), "quadratic")
    first = np.linspace(0, 1, 100_001)
    edge = found.mean(np.column_stack([first, 0 * first, 1 - first]))
    assert first[edge.argmax()] == pytest.approx(0.29386, abs=1e-5)
    assert edge.max() == pytest.approx(17.3844, abs=5e-5)


def test_etch_rate() -> None:
    """Myers and Montgomery, Response Surface Methodology: seven coefficients of the special cubic, R² .98366."""
    found = fit_polynomial(each_alone(ETCH), "special_cubic")
    expected = [550.200, 344.723, 268.295, 689.537, -9.034, 58.108, 9243.333]
    assert found.coefficients == pytest.approx(expected, abs=6e-4)
    assert found.r2 == pytest.approx(0.98366, abs=5e-6)


def test_etch_rate_chooses_its_special_cubic() -> None:
    """The middle is far above what any quadratic reaches: leaving bodies out finds that, too."""
    chosen = choose_polynomial(each_alone(ETCH))
    assert chosen.fit.model == "special_cubic"
    assert chosen.leave_one_out_errors["special_cubic"] < chosen.leave_one_out_errors["quadratic"]


def test_straight_line_of_norris() -> None:
    """NIST StRD Norris is no mixture; read as blends of 0 and 1000 its certified line and s stand to ten digits."""
    numbers = [float(each) for each in NORRIS.split()]
    pairs = zip(numbers[0::2], numbers[1::2], strict=True)
    found = fit_polynomial(
        [Observation((1 - x / 1000, x / 1000), y, str(row)) for row, (y, x) in enumerate(pairs)], "linear"
    )
    at_0, at_1000 = found.coefficients
    assert at_0 == pytest.approx(-0.262323073774029, rel=1e-9)
    assert (at_1000 - at_0) / 1000 == pytest.approx(1.00211681802045, rel=1e-10)
    assert math.sqrt(found.between_variance + found.within_variance) == pytest.approx(0.884796396144373, rel=1e-10)


def test_longley_against_exact_fractions() -> None:
    """A notoriously ill-conditioned table (Longley, from statsmodels) against elimination in exact fractions."""
    from statsmodels.datasets import longley

    data = longley.load_pandas()
    terms = np.column_stack([np.ones(len(data.exog)), data.exog.to_numpy(float)])
    values = data.endog.to_numpy(float)
    rows = [[Fraction(float(cell)) for cell in row] for row in terms]
    size = range(len(rows[0]))
    left = [[sum((row[i] * row[j] for row in rows), Fraction()) for j in size] for i in size]
    right = [sum((row[i] * Fraction(float(y)) for row, y in zip(rows, values, strict=True)), Fraction()) for i in size]
    found, inverse = least_squares(terms, values)
    assert found == pytest.approx([float(value) for value in solve_exactly(left, right)], rel=1e-8)
    one = solve_exactly(left, [Fraction(int(i == 1)) for i in size])
    assert inverse[1, 1] == pytest.approx(float(one[1]), rel=1e-6)


def solve_exactly(left: list[list[Fraction]], right: list[Fraction]) -> list[Fraction]:
    """Gauss–Jordan elimination without rounding."""
    rows = [[*row, value] for row, value in zip(left, right, strict=True)]
    for i in range(len(rows)):
        pivot = next(k for k in range(i, len(rows)) if rows[k][i])
        rows[i], rows[pivot] = rows[pivot], rows[i]
        rows[i] = [cell / rows[i][i] for cell in rows[i]]
        for k in range(len(rows)):
            if k != i:
                rows[k] = [a - rows[k][i] * b for a, b in zip(rows[k], rows[i], strict=True)]
    return [row[-1] for row in rows]


def nested_lattice(seed: int, *, pieces: tuple[int, ...], between: float, within: float) -> list[Observation]:
    """A quadratic over the {3,2} lattice and centroid, two batches each; pieces share their batch's own error."""
    draw = np.random.default_rng(seed)
    found: list[Observation] = []
    sizes = itertools.cycle(pieces)
    for row, x in enumerate([A, B, C, AB, AC, BC, MIDDLE] * 2):
        middle = 10 * x[0] + 12 * x[1] + 15 * x[2] + 8 * x[0] * x[1] + draw.normal(0, between)
        found += [Observation(x, middle + draw.normal(0, within), str(row)) for _ in range(next(sizes))]
    return found


def test_pieces_of_one_batch_are_not_several_batches() -> None:
    """The 90 % interval holds the true centroid in 90 of 100 made-up labs; pieces taken for batches do not."""
    true = 10 / 3 + 12 / 3 + 15 / 3 + 8 / 9
    held = fooled = 0
    labs = 150
    for seed in range(labs):
        data = nested_lattice(seed, pieces=(5, 2, 8), between=0.4, within=0.2)
        low, high = confidence_interval(fit_polynomial(data, "quadratic"), MIDDLE, 0.9)
        held += bool(low <= true <= high)
        alone = [Observation(one.shares, one.value, str(row)) for row, one in enumerate(data)]
        low, high = confidence_interval(fit_polynomial(alone, "quadratic"), MIDDLE, 0.9)
        fooled += bool(low <= true <= high)
    # Three standard errors of a share of 0.9 in 150 are 0.073.
    assert held / labs == pytest.approx(0.9, abs=0.073)
    assert fooled / labs < 0.75


def test_scatter_of_batches_and_pieces_is_told_apart() -> None:
    """Means over many made-up labs come back to the variances put in."""
    fits = [
        fit_polynomial(nested_lattice(seed, pieces=(4, 3, 6), between=0.5, within=0.3), "quadratic")
        for seed in range(150)
    ]
    assert np.mean([one.between_variance for one in fits]) == pytest.approx(0.25, rel=0.12)
    assert np.mean([one.within_variance for one in fits]) == pytest.approx(0.09, rel=0.06)


def test_equal_batches_are_ordinary_least_squares_on_their_means() -> None:
    data = nested_lattice(3, pieces=(4,), between=0.3, within=0.2)
    means = average_by_batch(data)
    rows = zip(means.shares.tolist(), means.means.tolist(), strict=True)
    alone = [Observation(tuple(row), value, str(i)) for i, (row, value) in enumerate(rows)]
    whole, by_means = fit_polynomial(data, "quadratic"), fit_polynomial(alone, "quadratic")
    assert whole.coefficients == pytest.approx(by_means.coefficients)
    assert np.diag(whole.covariance) == pytest.approx(np.diag(by_means.covariance))
    assert whole.batch_sd([MIDDLE]) == pytest.approx(by_means.batch_sd([MIDDLE]))


@pytest.mark.parametrize(
    ("bodies", "model"),
    [
        ([A, A], "constant"),
        ([A, B, C], "constant"),
        ([A, B, C, MIDDLE, (0.6, 0.2, 0.2)], "linear"),
        ([A, B, C, AB, AC, MIDDLE], "linear"),
    ],
)
def test_falls_back_with_few_bodies_and_says_so(bodies: list[Shares], model: str) -> None:
    known = [Observation(x, 10 * x[0] + 14 * x[1] + 20 * x[2], str(i)) for i, x in enumerate(bodies)]
    chosen = choose_polynomial(known)
    assert chosen.fit.model == model
    assert "special_cubic" not in chosen.leave_one_out_errors


@pytest.mark.parametrize(
    "known",
    [
        [],
        [Observation(A, 1.0, "A")],
        [Observation((0.5, 0.6, 0.0), 1.0, "A"), Observation(B, 1.0, "B")],
        [Observation((1.5, -0.5, 0.0), 1.0, "A"), Observation(B, 1.0, "B")],
        [Observation(A, float("nan"), "A"), Observation(B, 1.0, "B")],
        [Observation(A, 1.0, "A"), Observation(B, 1.0, "A")],
    ],
)
def test_refuses_what_cannot_be_fitted(known: list[Observation]) -> None:
    with pytest.raises(BadInput) as refused:
        choose_polynomial(known)
    assert refused.value.remedy


def test_a_model_that_the_bodies_cannot_tell_apart_is_refused() -> None:
    same = [Observation(AB, 1.0 + i / 10, str(i)) for i in range(5)]
    with pytest.raises(BadInput):
        fit_polynomial([*same, Observation((0.5, 0.5, 0.0), 1.0, "last")], "linear")
    assert leave_one_out_error(average_by_batch(same), "constant") is None
    with pytest.raises(BadInput, match="no model"):
        fit_polynomial(same, "cubic")


coefficients = st.lists(st.floats(-20, 20), min_size=7, max_size=7)


@settings(max_examples=30, deadline=None)
@given(coefficients, st.floats(-5, 5), st.floats(0.1, 10))
def test_fit_follows_shift_and_scale(b: list[float], shift: float, scale: float) -> None:
    """In another unit the surface is the same surface, and values without error come back exactly."""
    lattice = [*ETCH, (0.25, 0.25, 0.5), (0.5, 0.25, 0.25)]
    known = [Observation(x, surface(b, x), str(i)) for i, x in enumerate(lattice)]
    moved = [Observation(one.shares, shift + scale * one.value, one.batch) for one in known]
    at = [(0.2, 0.3, 0.5), (0.7, 0.1, 0.2)]
    found = fit_polynomial(known, "special_cubic")
    assert found.coefficients == pytest.approx(b, abs=1e-8)
    assert fit_polynomial(moved, "special_cubic").mean(at) == pytest.approx(shift + scale * found.mean(at), abs=1e-7)


def surface(b: list[float], x: Shares) -> float:
    """A special cubic of three materials."""
    pairs = [x[0] * x[1], x[0] * x[2], x[1] * x[2]]
    return float(np.dot(b, [*x, *pairs, x[0] * x[1] * x[2]]))


def made_up(seed: int) -> tuple[list[Observation], Callable[[Array], Array], Array]:
    """Twelve bodies of a random special cubic, three pieces each, and forty recipes to foretell."""
    draw = np.random.default_rng(seed)
    b = np.concatenate([draw.normal(0, 2, 3), draw.normal(0, 4, 3), draw.normal(0, 8, 1)])
    made, asked = draw.dirichlet([1, 1, 1], 12), draw.dirichlet([1, 1, 1], 40)
    known: list[Observation] = []
    for row, x in enumerate(made.tolist()):
        middle = surface(list(b), tuple(x)) + draw.normal(0, 0.15)
        known += [Observation(tuple(x), middle + draw.normal(0, 0.15), str(row)) for _ in range(3)]
    return known, lambda rows: np.array([surface(list(b), tuple(row)) for row in rows.tolist()]), asked


def test_smooth_interval_holds_new_batches() -> None:
    """90 % intervals for the mean of a new batch, on surfaces that the model does not know: 85 to 95 of 100."""
    held: list[float] = []
    for seed in range(40):
        known, true, asked = made_up(seed)
        outlook = fit_gaussian_process(known, [0, 0, 0], [1, 1, 1]).predict(asked)
        new = true(asked) + np.random.default_rng(seed + 500).normal(0, 0.15 * np.sqrt(4 / 3), len(asked))
        held.append(float((np.abs(new - outlook.mean) <= student_t(0.95, outlook.df) * outlook.batch_sd).mean()))
    assert 0.85 <= np.mean(held) <= 0.95


def test_draws_are_what_the_outlook_says() -> None:
    known, _, asked = made_up(3)
    for found in (fit_gaussian_process(known, [0, 0, 0], [1, 1, 1]), fit_polynomial(known, "quadratic")):
        outlook, draws = found.predict(asked), found.sample_means(asked, 20_000, seed=1)
        assert draws.mean(axis=0) == pytest.approx(outlook.mean, abs=0.06 * float(outlook.mean_sd.max()))
        # Half of Student's t lies within its own quartiles.
        inside = np.abs(draws - outlook.mean) <= student_t(0.75, outlook.df) * outlook.mean_sd
        assert inside.mean() == pytest.approx(0.5, abs=0.05)


def test_leaving_a_body_out_by_formula_is_leaving_it_out() -> None:
    """The shortcut through the inverse against a surface with one member of the grid, fitted without the body."""
    known, _, _ = made_up(5)
    whole = fit_gaussian_process(known, [0, 0, 0], [1, 1, 1])
    member = max(whole.members, key=lambda one: one.weight)
    alone = replace(whole, members=(replace(member, weight=1.0),))
    root = np.linalg.inv(member.inverse_cholesky)
    covariance = root @ root.T
    offset = covariance @ member.dual_weights
    misses = []
    for row in range(len(offset)):
        rest = [other for other in range(len(offset)) if other != row]
        misses.append(
            offset[row] - covariance[row, rest] @ np.linalg.solve(covariance[np.ix_(rest, rest)], offset[rest])
        )
    assert alone.leave_one_out_error() == pytest.approx(float(np.sqrt(np.mean(np.square(misses)))), rel=1e-6)


def test_smooth_follows_what_no_polynomial_does() -> None:
    """A property that levels off at nought, as absorption does on vitrifying, is left to the smooth surface."""
    draw = np.random.default_rng(1)
    made = draw.dirichlet([1, 1, 1], 30)
    known = [
        Observation(tuple(x), 12 / (1 + np.exp(14 * (x[0] - 0.45))), str(row)) for row, x in enumerate(made.tolist())
    ]
    model = choose_model(average_by_batch(known), [0, 0, 0], [1, 1, 1])
    assert model.name == "smooth"
    text = model_reason("absorption_pct", model)
    assert re.match(
        r"Gaussian process: typically 0\.\d+ % off on a body it has not seen \(leave-one-out error\);", text
    )
    assert re.search(r"; constant \S+ %, linear \S+ %, quadratic \S+ %, special cubic \S+ %\.$", text)
    straight = [Observation(one.shares, 3 + 8 * one.shares[0] + draw.normal(0, 0.3), one.batch) for one in known]
    assert choose_polynomial(straight).fit.model == "linear"


def test_what_follows_from_the_parts_is_said_to() -> None:
    """A price is no measurement; one that differs by a hair from its parts is, and all alike says nothing."""
    rows = np.random.default_rng(4).dirichlet((1, 1, 1), 20)
    prices = rows @ np.array([0.4, 0.7, 1.1])

    def exact(values: Array) -> bool:
        known = [
            Observation(tuple(row), float(value), f"b{n}")
            for n, (row, value) in enumerate(zip(rows, values, strict=True))
        ]
        return choose_model(average_by_batch(known), [0, 0, 0], [1, 1, 1]).exact

    assert exact(prices)
    assert not exact(prices * (1 + 1e-5 * np.arange(20)))
    assert not exact(np.zeros(20))


@pytest.mark.parametrize("bodies", [1, 2, 3])
def test_few_bodies_are_said_to_be_few(bodies: int) -> None:
    known = [Observation(x, 10.0 + i, str(i)) for i, x in enumerate([A, B, MIDDLE][:bodies])]
    model = choose_model(average_by_batch(known), [0, 0, 0], [1, 1, 1], expected=ExpectedSpread(1.0))
    text = model_reason("absorption_pct", model)
    assert ("little more than the level" in text) if bodies < 3 else ("too few" in text)
    outlook = model.surface.predict(np.array([C]))
    assert outlook.mean_sd[0] > 0.5
    with pytest.raises(BadInput):
        fit_gaussian_process([], [0, 0, 0], [1, 1, 1])


def test_the_outlook_is_that_of_its_members_together() -> None:
    """Mean and spread of a mixture, and its chance as the weighted one (the law of total variance)."""
    dice = np.random.default_rng(4)
    rows = dice.dirichlet(np.ones(3), 8)
    heights = rows @ np.array([3.0, 1.0, 2.0]) + dice.normal(0, 0.1, 8)
    known = [
        Observation(tuple(x), float(y), str(n)) for n, (x, y) in enumerate(zip(rows.tolist(), heights, strict=True))
    ]
    surface = fit_gaussian_process(known, [0, 0, 0], [1, 1, 1])
    parts, whole = surface.predict_each(rows), surface.predict(rows)
    weights = np.array([weight for weight, _ in parts])
    means = np.array([one.mean for _, one in parts])
    spreads = np.array([one.mean_sd**2 for _, one in parts])
    assert weights.sum() == pytest.approx(1) and len(parts) > 1
    assert whole.mean == pytest.approx(weights @ means)
    assert whole.mean_sd**2 == pytest.approx(weights @ (spreads + means**2) - (weights @ means) ** 2)
    each = [prediction_chance(one, (1.5, 2.5)) for _, one in parts]
    assert surface_chance(surface, rows, (1.5, 2.5)) == pytest.approx(weights @ np.array(each))


def test_the_chance_is_students() -> None:
    """scipy.stats.t for a surface known by nine degrees of freedom, judged by three batches."""
    prediction = Prediction(np.array([10.0, 12.0]), np.array([0.3, 0.5]), np.array([0.6, 0.5]), 9.0)
    sd = np.sqrt(np.array([0.3**2 + (0.6**2 - 0.3**2) / 3, 0.5**2]))
    expected = stats.t.cdf((11 - prediction.mean) / sd, 9) - stats.t.cdf((9.5 - prediction.mean) / sd, 9)
    assert prediction_chance(prediction, (9.5, 11.0)) == pytest.approx(expected)
    assert prediction_chance(prediction, (None, None)) == pytest.approx([1, 1])
