"""Measurement study (gauge R&R): how much of the scatter of readings is the caliper, the operator, and the pieces.

Pieces read more than once, by one operator or by several, in any number: variances by analysis of variance, negative
ones counting as 0. Written out, since scipy has no variance components and statsmodels is no part of the program.
What is made of a study is in `insight.pieces.repeatability`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.fact import from_memory
from claybench.facts.formula import Example, Param, formula
from claybench.later import np
from claybench.measure.distributions import f_tail, student_t

PieceReading = tuple[str, str, float]
"""Piece, operator, value."""
_KEEP = 0.05
"""Chance below which the interaction of operator and piece counts (AIAG's example judges at 0.05)."""
_CATEGORIES = 1.41
"""Distinct categories are 1.41 · piece / gauge (AIAG, Measurement Systems Analysis)."""


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """Variances of single readings, and how sure they are."""

    readings: int
    pieces: int
    operators: int
    mean: float
    repeatability: float
    """One operator reading one piece again: caliper and care."""
    operator: float | None
    """Between operators; None where there is one."""
    interaction: float
    """Operators that differ more on some pieces than on others; 0 where that is no more than chance."""
    piece: float
    """Between pieces: what is to be measured."""
    repeatability_df: float
    interaction_p: float | None
    """Chance of so much of it without cause; None where no operator read a piece twice."""

    @property
    def measurement(self) -> float:
        """Variance of measuring: everything but the pieces."""
        return self.repeatability + (self.operator or 0.0) + self.interaction

    @property
    def total(self) -> float:
        """Variance of single readings of single pieces."""
        return self.measurement + self.piece

    def share_pct(self, variance: float) -> float:
        """A variance as per cent of all; these add up to 100."""
        return 100 * variance / self.total if self.total else 0.0

    def sd_pct(self, variance: float) -> float:
        """Its standard deviation as per cent of the whole one; these do not add up."""
        return 100 * math.sqrt(variance / self.total) if self.total else 0.0

    @property
    def categories(self) -> float | None:
        """How many kinds of pieces single readings can tell apart; None where measuring shows no scatter."""
        return _CATEGORIES * math.sqrt(self.piece / self.measurement) if self.measurement else None

    @property
    def repeatability_error_pct(self) -> float:
        """Standard error of the standard deviation of repeats, per cent of it."""
        return 100 / math.sqrt(2 * self.repeatability_df)


def gauge_study(readings: Sequence[PieceReading]) -> GaugeStudy:
    """Variances of repeats, operators and pieces from any number of readings in any order.

    Raises
    ------
    OutOfRange
        Fewer than two pieces, or no piece read twice.

    >>> study = gauge_study([("a", "k", 1.0), ("a", "k", 3.0), ("b", "k", 5.0), ("b", "k", 7.0)])
    >>> study.repeatability, study.piece, study.operator
    (2.0, 7.0, None)
    """
    sums = _SumsOfSquares(readings)
    if sums.a < 2 or sums.n <= sums.a:
        raise OutOfRange(
            "Scatter of measuring shows only where two pieces or more are read at least twice.",
            "Read five to ten pieces, each of them twice, in another order the second time.",
        )
    if sums.b < 2:
        repeatability = sums.within_pieces / (sums.n - sums.a)
        (piece,) = sums.variances(repeatability, ("a",))
        return _result(sums, repeatability, None, 0.0, piece, sums.n - sums.a, None)
    spread, df = sums.about_additive()
    interaction_p = None
    own, own_df = sums.within_cells, sums.n - sums.s
    if own_df > 0 and df > own_df:
        square = own / own_df
        ratio = max(spread - own, 0.0) / (df - own_df)  # rounding may leave less than nothing
        interaction_p = f_tail(ratio / square, df - own_df, own_df) if square else (0.0 if ratio > 0 else 1.0)
        if interaction_p < _KEEP:
            piece, operator, interaction = sums.variances(square, ("a", "b", "ab"))
            return _result(sums, square, operator, interaction, piece, own_df, interaction_p)
    if df < 1:
        raise OutOfRange(
            "With so few readings repeats and hands cannot be told apart.", "Let each hand read each piece twice."
        )
    piece, operator = sums.variances(spread / df, ("a", "b"))
    return _result(sums, spread / df, operator, 0.0, piece, df, interaction_p)


@formula(
    "The smallest true difference of two bodies that shows, in a given share of tries",
    "D = (t of 0.975 + t of the power) · √(2 · (variance / n + operator)), t Student's, 2 · (n − 1) df",
    "1",
    variance=Param("variance", "1", "of single readings of bars that should be alike", least=0),
    count=Param("n", "1", "bars of each body", least=2, remedy="Take two bars or more of each body; five are usual."),
    operator_variance=Param(
        "operator", "1", "variance between operators, where each measures one body; else 0", least=0
    ),
    power=Param("power", "1", "share of tries in which it shows at 95 %", above=0, below=1),
    sources=from_memory(
        "Student's quantiles added up, as handbooks do; drawn at random it shows as often as it should"
    ),
    examples=Example(0.04, 5, gives=0.404, digits=3),
)
def detectable_difference(variance: float, count: int, operator_variance: float = 0.0, power: float = 0.8) -> float:
    df = 2 * (count - 1)
    return (student_t(0.975, df) + student_t(power, df)) * math.sqrt(2 * (variance / count + operator_variance))


def _result(
    sums: _SumsOfSquares,
    repeatability: float,
    operator: float | None,
    interaction: float,
    piece: float,
    df: float,
    interaction_p: float | None,
) -> GaugeStudy:
    return GaugeStudy(sums.n, sums.a, sums.b, sums.mean, repeatability, operator, interaction, piece, df, interaction_p)


class _SumsOfSquares:
    """Sums of squares of readings by piece (a), by operator (b) and by both, and how often each variance enters them.

    Henderson's method of 1953 (from memory): uncorrected sums are linear in the variances, whatever the numbers of
    readings; for equal numbers it is the usual analysis of variance.
    """

    def __init__(self, readings: Sequence[PieceReading]) -> None:
        if not all(math.isfinite(value) for _, _, value in readings):
            raise OutOfRange("A reading is no number.", "Leave out what was not measured.")
        self.readings = list(readings)
        self.n = len(self.readings)
        self.mean = math.fsum(value for _, _, value in self.readings) / self.n if self.n else 0.0
        groups: dict[str, dict[object, list[float]]] = {
            "a": defaultdict(list),
            "b": defaultdict(list),
            "ab": defaultdict(list),
        }
        for piece, operator, value in self.readings:
            off = value - self.mean  # about the mean, so that no digits are lost
            groups["a"][piece].append(off)
            groups["b"][operator].append(off)
            groups["ab"][piece, operator].append(off)
        self._groups = groups
        self.a, self.b, self.s = (len(groups[name]) for name in ("a", "b", "ab"))
        self._all = math.fsum((value - self.mean) ** 2 for _, _, value in self.readings)
        self._by = {
            name: math.fsum(math.fsum(group) ** 2 / len(group) for group in held.values())
            for name, held in groups.items()
        }

    @property
    def within_pieces(self) -> float:
        """Sum of squares of readings about their piece's mean."""
        return max(self._all - self._by["a"], 0.0)

    @property
    def within_cells(self) -> float:
        """Sum of squares of readings about the mean of one operator on one piece."""
        return max(self._all - self._by["ab"], 0.0)

    def about_additive(self) -> tuple[float, int]:
        """Sum of squares about the additive fit of piece and operator, and its degrees of freedom."""
        pieces, operators = list(self._groups["a"]), list(self._groups["b"])
        design = np.zeros((self.n, self.a + self.b))
        values = np.empty(self.n)
        for row, (piece, operator, value) in enumerate(self.readings):
            design[row, pieces.index(piece)] = design[row, self.a + operators.index(operator)] = 1.0
            values[row] = value - self.mean
        effects, _, rank, _ = np.linalg.lstsq(design, values, rcond=None)
        left = values - design @ effects
        return float(left @ left), self.n - int(rank)

    def variances(self, repeatability: float, names: Sequence[str]) -> list[float]:
        """Variances of pieces, operators and both, from their sums of squares less the part of repeatability."""
        left = np.array([[self._enters(of, into) - self._enters(of, "") for of in names] for into in names])
        counts = {"a": self.a, "b": self.b, "ab": self.s}
        right = np.array([self._by[into] - (counts[into] - 1) * repeatability for into in names])
        return [max(float(each), 0.0) for each in np.linalg.solve(left, right)]

    def _enters(self, of: str, into: str) -> float:
        """How often the variance of one level enters the sum of squares of another ("" for the mean)."""
        place = {"a": 0, "b": 1}
        shared: dict[object, dict[object, int]] = defaultdict(lambda: defaultdict(int))
        for piece, operator, _ in self.readings:
            both = (piece, operator)
            group = both if into == "ab" else both[place[into]] if into else ""
            member = both if of == "ab" else both[place[of]]
            shared[group][member] += 1
        return sum(sum(n * n for n in held.values()) / sum(held.values()) for held in shared.values())
