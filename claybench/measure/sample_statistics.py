"""A sample in figures: mean and deviation, the outlier test, the line through points.

Student's distribution is in `distributions`; bars within batches in `nested_variances`. No library that the program
stands on has Grubbs' test; the line is the standard library's, as scipy.stats costs over a second of loading.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from statistics import linear_regression

from claybench.errors import OutOfRange
from claybench.facts.fact import published
from claybench.facts.formula import Example, Param, formula
from claybench.measure.distributions import student_t


@dataclass(frozen=True, slots=True)
class SampleSummary:
    """Mean, spread and interval of one property of a body in one firing."""

    n: int
    """Pieces."""
    batches: int
    mean: float
    sd: float | None
    """Standard deviation of single pieces; None for one."""
    low: float | None
    high: float | None
    """95 % interval of the mean; None for one."""
    basis: str | None = None
    """What the interval rests on: `batches`, the body's own; `lab`, the scatter of the lab's batches, since it has one;
    `pieces` of its one batch, so that it holds no scatter from batch to batch; None where there is no interval."""


@dataclass(frozen=True, slots=True)
class FittedLine:
    """y = intercept + slope · x by least squares."""

    intercept: float
    slope: float
    sd: float | None
    """Standard deviation of the points about the line; None for two points."""
    points: int = field(default=0, repr=False)
    x_mean: float = field(default=0.0, repr=False)
    x_squares: float = field(default=0.0, repr=False)
    """Sum of squares of x about its mean."""

    def y_at(self, x: float) -> float:
        """y on the line."""
        return self.intercept + self.slope * x

    def weights_at(self, x: float, xs: Sequence[float]) -> list[float]:
        """By how much each point's y moves y on the line; they sum to 1. `xs` are those it was fitted to.

        >>> [round(each, 3) for each in fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0]).weights_at(2.0, [0.0, 1.0, 2.0])]
        [-0.167, 0.333, 0.833]
        """
        return [1 / self.points + (x - self.x_mean) * (each - self.x_mean) / self.x_squares for each in xs]

    def error_at(self, x: float) -> float | None:
        """Standard error of y on the line, points − 2 degrees of freedom; None for two points."""
        if self.sd is None:
            return None
        return self.sd * math.sqrt(1 / self.points + (x - self.x_mean) ** 2 / self.x_squares)


def mean_sd(values: Sequence[float]) -> tuple[float, float | None]:
    """Mean and standard deviation (n − 1); no deviation of one value.

    Written out, since `statistics.stdev` works in fractions, which takes twenty times as long.

    >>> mean_sd([1.0, 2.0, 3.0])
    (2.0, 1.0)
    """
    if not values or not all(map(math.isfinite, values)):
        raise OutOfRange("A mean needs values, all of them numbers.", "Leave out what was not measured.")
    mean = math.fsum(values) / len(values)
    if len(values) < 2:
        return mean, None
    return mean, math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))


_GRUBBS = published("NIST/SEMATECH e-Handbook of Statistical Methods, one-sided", "section 1.3.5.17")


@formula(
    "Distance from the mean, in standard deviations, that the farthest of so many values seldom passes",
    "G = (n − 1)/√n · √(t² / (n − 2 + t²)), t the 1 − chance/n quantile of Student's t, n − 2 df",
    "1",
    count=Param("n", "1", "values with the doubtful one", least=3, remedy="Measure three pieces or more."),
    chance=Param("chance", "1", "how often sound values pass it on that side, usually 0.05", above=0, below=1),
    sources=_GRUBBS,
    examples=Example(8, 0.05, gives=2.031652, digits=6, source=_GRUBBS),
)
def grubbs_critical(count: int, chance: float) -> float:
    t = student_t(1 - chance / count, count - 2)
    return (count - 1) / math.sqrt(count) * math.sqrt(t**2 / (count - 2 + t**2))


def fit_line(xs: Sequence[float], ys: Sequence[float]) -> FittedLine:
    """The line with the least squares of distances in y; two points or more, not all above each other.

    >>> fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0])
    FittedLine(intercept=1.0, slope=2.0, sd=0.0)
    """
    if len(xs) != len(ys):
        raise OutOfRange("Each point needs both its values.", "Leave out points with only one.")
    if not all(map(math.isfinite, (*xs, *ys))):
        raise OutOfRange("A line needs points, all of them numbers.", "Leave out what was not measured.")
    if len(set(xs)) < 2:
        raise OutOfRange("A line needs two points apart.", "Measure at another water content.")
    slope, intercept = linear_regression(xs, ys)
    off = math.fsum((y - intercept - slope * x) ** 2 for x, y in zip(xs, ys, strict=True))
    x_mean = math.fsum(xs) / len(xs)
    x_squares = math.fsum((x - x_mean) ** 2 for x in xs)
    sd = math.sqrt(off / (len(xs) - 2)) if len(xs) > 2 else None
    return FittedLine(intercept, slope, sd, len(xs), x_mean, x_squares)
