"""How far bodies lie from one of them: Welch on batch means, the lab's scatter, all intervals together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import UTC, datetime

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.power import TTestIndPower

from claybench.errors import OutOfRange
from claybench.insight.bodies.comparison.body_means import BodyMeans, BodyResult, body_results, pool_bodies
from claybench.insight.bodies.comparison.differences import BodyDifference, differences_from
from claybench.insight.bodies.comparison.property_columns import columns_of
from claybench.measure.distributions import student_t, student_t_each
from claybench.measure.pooled_scatter import minimum_detectable_difference, sidak
from claybench.terms import Batch, Piece

MIXED = datetime(2026, 3, 12, 9, tzinfo=UTC)
NAME = "drying_shrinkage_pct"
# Sleep data (Student 1908), as in R.
SLEEP_A = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
SLEEP_B = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]


def lab(shrunk: Mapping[str, list[list[float]]], how: str = "oven") -> BodyMeans:
    """Bodies by name; each batch a list of drying shrinkages."""
    batches, pieces = [], []
    for body, own in shrunk.items():
        for number, values in enumerate(own):
            batches.append(Batch(batch=f"{body}-{number}", body=body, mixed_at=MIXED))
            for value in values:
                pieces.append(
                    Piece(
                        piece=f"P{len(pieces)}",
                        batch=f"{body}-{number}",
                        plastic_mm=100.0,
                        dry_mm=100.0 - value,
                        dry_how=how,
                    )
                )
    return pool_bodies(columns_of(pieces, [], batches))


def found(held: BodyMeans, against: str) -> dict[str, BodyDifference]:
    """The difference of each body before firing."""
    every = differences_from(held.bodies, held, against)
    results: list[BodyResult] = body_results(held.bodies, held, {})
    return {result.body: one for result in results for one in every.of_result(result) if one.name == NAME}


def single(values: list[float]) -> list[list[float]]:
    return [[value] for value in values]


def test_the_sleep_data() -> None:
    """Sleep data, Welch: t −1.8608, df 17.776, 95 % −3.3655 to .2055, taken for two bodies of ten batches each."""
    (one,) = found(lab({"A": single(SLEEP_A), "B": single(SLEEP_B)}), "B").values()
    assert one.mean == pytest.approx(-1.58)
    assert (one.low, one.high) == (pytest.approx(-3.3655, abs=5e-5), pytest.approx(0.2055, abs=5e-5))
    assert one.df == pytest.approx(17.776, abs=5e-4)
    assert (one.basis, one.compared, one.direction, one.words()) == ("batches", 1, None, "not told apart")


def test_bars_do_not_count_as_batches() -> None:
    """scipy.stats.ttest_ind (Welch) on the batch means, however many bars a batch has."""
    a = [[4.0, 4.2], [4.9, 5.1, 5.0], [4.4]]
    b = [[5.6, 5.7], [6.1, 6.5], [6.3, 6.1, 6.2], [5.8, 6.0]]
    one = found(lab({"A": a, "B": b}), "A")["B"]
    theirs = stats.ttest_ind([np.mean(each) for each in b], [np.mean(each) for each in a], equal_var=False)
    interval = theirs.confidence_interval(0.95)
    assert (one.low, one.high) == (pytest.approx(interval.low, rel=1e-7), pytest.approx(interval.high, rel=1e-7))
    assert one.df == pytest.approx(theirs.df)
    assert (one.direction, one.words(), one.batches, one.against_batches) == ("more", "more", 4, 3)


def test_several_bodies_at_once_by_statsmodels() -> None:
    """Holding all intervals together is multipletests(method="sidak") of statsmodels: an interval leaves out 0 where
    the adjusted p is below .05, and at the adjusted level the p of scipy's Welch test is met."""
    chance = np.random.default_rng(5)
    shrunk = {f"B{n}": single((5 + 0.35 * n + chance.normal(0, 0.4, 5)).tolist()) for n in range(6)}
    every = found(lab(shrunk), "B0")
    tests = {
        body: stats.ttest_ind(np.ravel(own), np.ravel(shrunk["B0"]), equal_var=False)
        for body, own in shrunk.items()
        if body != "B0"
    }
    told, adjusted, *_ = multipletests([test.pvalue for test in tests.values()], alpha=0.05, method="sidak")
    assert any(told) and not all(told)
    for (body, test), apart, p in zip(tests.items(), told, adjusted, strict=True):
        one = every[body]
        assert one.compared == 5
        assert (one.low is not None and one.high is not None and (one.low > 0 or one.high < 0)) == apart
        interval = test.confidence_interval(sidak(0.95, 5))
        assert (one.low, one.high) == (pytest.approx(interval.low, rel=1e-6), pytest.approx(interval.high, rel=1e-6))
        assert 1 - (1 - test.pvalue) ** 5 == pytest.approx(p)


def test_all_hold_together() -> None:
    """Drawn at random (seeded): of six bodies that are all the same, a difference is told in about one lab of twenty,
    by their own batches and by the lab's scatter; without adjusting it would be one of five."""
    chance = np.random.default_rng(8)
    rounds, own, by_lab = 120, 0, 0
    for _ in range(rounds):
        shrunk = {f"B{n}": (chance.normal(5, 0.3, (5, 1)) + chance.normal(0, 0.2, (5, 2))).tolist() for n in range(6)}
        every = found(lab(shrunk), "B0").values()
        own += any(one.low is not None and one.high is not None and one.low * one.high > 0 for one in every)
        by_lab += any(one.direction_by_lab for one in every)
    assert 1 <= own <= 13
    assert 1 <= by_lab <= 13


def test_one_batch_takes_the_scatter_of_the_lab() -> None:
    """A batch of two bars against six batches of two. If it scatters as they do: by hand, a pooled standard error with
    five degrees of freedom (scipy.stats.t). One body alone does not tell whether another does, so the interval is
    wider; twelve bodies that scatter alike do, and it comes to that."""
    control = [[4.0 + level, 4.1 + level] for level in (-0.5, 0.4, 0.2, -0.3, 0.5, -0.3)]
    shrunk = {"A": control, "B": [[5.1, 5.2]]}
    one = found(lab(shrunk), "A")["B"]
    means = [np.mean(each) for each in control]
    error = np.std(means, ddof=1) * math.sqrt(1 + 1 / 6)
    alike = stats.t.ppf(0.975, 5) * error
    assert one.mean == pytest.approx(5.15 - np.mean(means))
    assert (one.basis, one.df) == ("lab", pytest.approx(5))
    assert one.low is not None and one.high is not None
    assert 1.3 * alike < (one.high - one.low) / 2 < 6 * alike
    assert (one.words(), one.scatter_words()) == ("not told apart", "6 batches of 1 body")
    assert found(lab({"A": control[:1], "B": [[4.9, 5.0]]}), "A")["B"].words() == "more, these batches"
    order = np.random.default_rng(1)
    more = {f"C{n}": [[x + n, y + n] for x, y in order.permutation(control)] for n in range(12)}
    held = lab(shrunk | more)
    many = next(
        one
        for result in body_results(["B"], held, {})
        for one in differences_from(["A", "B"], held, "A").of_result(result)
        if one.name == NAME
    )
    assert many.compared == 1 and many.scatter_words() == "78 batches of 13 bodies"
    assert many.lab_high is not None and many.lab_low is not None
    half = stats.t.ppf(0.975, 65) * error
    assert (many.lab_high - many.lab_low) / 2 == pytest.approx(half, rel=0.06)
    assert many.words() == "more, by the lab's scatter"


def test_two_batches_tell_by_the_lab_what_they_cannot_alone() -> None:
    shrunk = {f"C{n}": [[5.0 + n, 5.02 + n], [5.1 + n, 5.08 + n], [4.9 + n, 4.92 + n]] for n in range(4)}
    one = found(lab(shrunk | {"A": [[4.0], [4.1]], "B": [[4.6], [4.75]]}), "A")["B"]
    assert one.low is not None and one.low < 0 < one.mean
    assert one.lab_low is not None and one.lab_low > 0
    assert one.words() == "more, by the lab's scatter"


def test_a_body_made_twice_against_one_made_often_has_one_degree_of_freedom() -> None:
    """Welch's degrees of freedom would be those of the control where two batches happen to lie close, and its interval
    a false one; the smaller number holds for certain (Mickey and Brown 1966)."""
    control = single([5.1, 4.8, 5.3, 4.9, 5.0, 5.2, 4.7, 5.05])
    one = found(lab({"A": control, "B": [[5.60], [5.61]]}), "A")["B"]
    error = math.sqrt(np.var([5.60, 5.61], ddof=1) / 2 + np.var(np.ravel(control), ddof=1) / 8)
    assert one.df == 1
    assert one.high == pytest.approx(one.mean + stats.t.ppf(0.975, 1) * error)
    assert one.low is not None and one.low < 0 < one.mean - stats.t.ppf(0.975, 7) * error


def test_bodies_dried_in_other_ways_stand_beside_nothing() -> None:
    air = lab({"A": single([4.0, 4.1])}, "air").columns
    held = lab({"A": single([4.0, 4.1]), "B": single([5.0, 5.1])})
    assert set(found(held, "A")) == {"B"}
    assert air.dried.tolist() == [1, 1]
    batches = [Batch(batch=code, body=code[0], mixed_at=MIXED) for code in ("A1", "A2", "B1", "B2")]
    pieces = [
        Piece(
            piece=code, batch=code, plastic_mm=100.0, dry_mm=95.0 + n / 9, dry_how="air" if code[0] == "A" else "oven"
        )
        for n, code in enumerate(("A1", "A2", "B1", "B2"))
    ]
    assert found(pool_bodies(columns_of(pieces, [], batches)), "A") == {}


@pytest.mark.parametrize("share", [0.1, 0.8, 0.975, 0.99987])
def test_many_quantiles_at_once_are_those_of_one_at_a_time(share: float) -> None:
    degrees = [1.0, 1.2, 17.776, 1e6, math.nan]
    found = student_t_each(share, np.array(degrees))
    assert found[:-1].tolist() == [student_t(share, df) for df in degrees[:-1]] and math.isnan(found[-1])


@pytest.mark.parametrize("each", [4, 8, 20])
def test_what_could_be_told_is_the_power_of_a_t_test(each: int) -> None:
    """statsmodels, TTestIndPower for 80 %: the sum of two quantiles is the handbooks' short cut, and lies within 3 % of
    it for four batches a side, and closer for more."""
    error = math.sqrt(2 / each)
    theirs = TTestIndPower().solve_power(nobs1=each, alpha=0.05, power=0.8)
    own = minimum_detectable_difference(np.array([error]), np.array([2.0 * each - 2]), 0.95)[0]
    assert own == pytest.approx(theirs, rel=0.03)


def test_two_more_batches_tell_less() -> None:
    held = lab({"A": single(SLEEP_A), "B": single(SLEEP_B[:3])})
    one = found(held, "A")["B"]
    assert one.minimum_detectable is not None and one.minimum_detectable_more is not None
    assert one.minimum_detectable_more < one.minimum_detectable
    error, _ = held.scatter[NAME, "oven"].pooled.standard_errors(np.array([1 / 5 + 1 / 10]), np.array([1 / 5 + 1 / 10]))
    pooled = (9 * np.var(SLEEP_A, ddof=1) + 2 * np.var(SLEEP_B[:3], ddof=1)) / 11
    assert error[0] == pytest.approx(math.sqrt(pooled * (1 / 5 + 1 / 10)))


@pytest.mark.parametrize(
    "call", [lambda: sidak(0.95, 0), lambda: sidak(95, 2), lambda: student_t_each(0.975, np.array([0.0]))]
)
def test_what_is_no_level_is_refused(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.remedy
