"""Measurement study: how much of the scatter of readings is the caliper, the hand, and the pieces themselves.

Pieces read more than once, by one hand or by several, in any number: variances by analysis of variance, negative
ones counting as 0. What is made of a study is in `insight.repeats`.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from claybench.errors import OutOfRange
from claybench.facts.formula import Example, Param, formula
from claybench.later import np
from claybench.measure.distributions import f_tail, student_t

Reading = tuple[str, str, float]
"""Piece, hand, value."""
_KEEP = 0.05
"""Chance below which it counts that hands differ from piece to piece (AIAG's example judges at 0.05)."""
_CATEGORIES = 1.41
"""Distinct categories are 1.41 · piece / gauge (AIAG, Measurement Systems Analysis)."""


@dataclass(frozen=True, slots=True)
class Gauge:
    """Variances of single readings, and how sure they are."""

    readings: int
    pieces: int
    hands: int
    mean: float
    repeat: float
    """One hand reading one piece again: caliper and care."""
    hand: float | None
    """Between hands; None where there is one."""
    together: float
    """Hands that differ more on some pieces than on others; 0 where that is no more than chance."""
    piece: float
    """Between pieces: what is to be measured."""
    repeat_df: float
    together_p: float | None
    """Chance of so much of it without cause; None where no hand read a piece twice."""

    @property
    def gauge(self) -> float:
        """Variance of measuring: everything but the pieces."""
        return self.repeat + (self.hand or 0.0) + self.together

    @property
    def total(self) -> float:
        """Variance of single readings of single pieces."""
        return self.gauge + self.piece

    def share_pct(self, variance: float) -> float:
        """A variance as per cent of all; these add up to 100."""
        return 100 * variance / self.total if self.total else 0.0

    def sd_pct(self, variance: float) -> float:
        """Its standard deviation as per cent of the whole one; these do not add up."""
        return 100 * math.sqrt(variance / self.total) if self.total else 0.0

    @property
    def categories(self) -> float | None:
        """How many kinds of pieces single readings can tell apart; None where measuring shows no scatter."""
        return _CATEGORIES * math.sqrt(self.piece / self.gauge) if self.gauge else None

    @property
    def repeat_doubt_pct(self) -> float:
        """About how far off the standard deviation of repeats may be, of itself: one standard error."""
        return 100 / math.sqrt(2 * self.repeat_df)


def gauge_study(readings: Sequence[Reading]) -> Gauge:
    """Variances of repeats, hands and pieces from any number of readings in any order.

    Raises
    ------
    OutOfRange
        Fewer than two pieces, or no piece read twice.

    >>> found = gauge_study([("a", "k", 1.0), ("a", "k", 3.0), ("b", "k", 5.0), ("b", "k", 7.0)])
    >>> found.repeat, found.piece, found.hand
    (2.0, 7.0, None)
    """
    sums = _Sums(readings)
    if sums.a < 2 or sums.n <= sums.a:
        raise OutOfRange(
            "Scatter of measuring shows only where two pieces or more are read at least twice.",
            "Read five to ten pieces, each of them twice, in another order the second time.",
        )
    if sums.b < 2:
        repeat = sums.within_pieces / (sums.n - sums.a)
        (piece,) = sums.variances(repeat, ("a",))
        return _result(sums, repeat, None, 0.0, piece, sums.n - sums.a, None)
    spread, df = sums.about_additive()
    together_p = None
    own, own_df = sums.within_cells, sums.n - sums.s
    if own_df > 0 and df > own_df:
        square = own / own_df
        ratio = max(spread - own, 0.0) / (df - own_df)  # rounding may leave less than nothing
        together_p = f_tail(ratio / square, df - own_df, own_df) if square else (0.0 if ratio > 0 else 1.0)
        if together_p < _KEEP:
            piece, hand, together = sums.variances(square, ("a", "b", "ab"))
            return _result(sums, square, hand, together, piece, own_df, together_p)
    if df < 1:
        raise OutOfRange(
            "With so few readings repeats and hands cannot be told apart.", "Let each hand read each piece twice."
        )
    piece, hand = sums.variances(spread / df, ("a", "b"))
    return _result(sums, spread / df, hand, 0.0, piece, df, together_p)


@formula(
    "The smallest true difference of two bodies that shows, in a given share of tries",
    "D = (t of 0.975 + t of the power) · √(2 · (variance / n + hand)), t Student's, 2 · (n − 1) df",
    "1",
    variance=Param("variance", "1", "of single readings of bars that should be alike", least=0),
    count=Param("n", "1", "bars of each body", least=2, remedy="Take two bars or more of each body; five are usual."),
    other_hand=Param("hand", "1", "variance between operators, where each measures one body; else 0", least=0),
    power=Param("power", "1", "share of tries in which it shows at 95 %", above=0, below=1),
    sources="Student's quantiles added up, as handbooks do; drawn at random it shows as often as it should",
    examples=Example(0.04, 5, gives=0.404, digits=3),
)
def telling(variance: float, count: int, other_hand: float = 0.0, power: float = 0.8) -> float:
    df = 2 * (count - 1)
    return (student_t(0.975, df) + student_t(power, df)) * math.sqrt(2 * (variance / count + other_hand))


def _result(
    sums: _Sums, repeat: float, hand: float | None, together: float, piece: float, df: float, together_p: float | None
) -> Gauge:
    return Gauge(sums.n, sums.a, sums.b, sums.mean, repeat, hand, together, piece, df, together_p)


class _Sums:
    """Sums of squares of readings by piece (a), by hand (b) and by both, and how often each variance enters them.

    Henderson's method of 1953 (from memory): uncorrected sums are linear in the variances, whatever the numbers of
    readings; for equal numbers it is the usual analysis of variance.
    """

    def __init__(self, readings: Sequence[Reading]) -> None:
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
        for piece, hand, value in self.readings:
            off = value - self.mean  # about the mean, so that no digits are lost
            groups["a"][piece].append(off)
            groups["b"][hand].append(off)
            groups["ab"][piece, hand].append(off)
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
        """The same about the mean of one hand on one piece."""
        return max(self._all - self._by["ab"], 0.0)

    def about_additive(self) -> tuple[float, int]:
        """Sum of squares about piece plus hand, and its degrees of freedom."""
        pieces, hands = list(self._groups["a"]), list(self._groups["b"])
        design = np.zeros((self.n, self.a + self.b))
        values = np.empty(self.n)
        for row, (piece, hand, value) in enumerate(self.readings):
            design[row, pieces.index(piece)] = design[row, self.a + hands.index(hand)] = 1.0
            values[row] = value - self.mean
        found, _, rank, _ = np.linalg.lstsq(design, values, rcond=None)
        left = values - design @ found
        return float(left @ left), self.n - int(rank)

    def variances(self, repeat: float, names: Sequence[str]) -> list[float]:
        """Variances of pieces, hands and both, from their sums less what repeats put into them."""
        left = np.array([[self._enters(of, into) - self._enters(of, "") for of in names] for into in names])
        counts = {"a": self.a, "b": self.b, "ab": self.s}
        right = np.array([self._by[into] - (counts[into] - 1) * repeat for into in names])
        return [max(float(each), 0.0) for each in np.linalg.solve(left, right)]

    def _enters(self, of: str, into: str) -> float:
        """How often the variance of one level enters the sum of squares of another ("" for the mean)."""
        place = {"a": 0, "b": 1}
        shared: dict[object, dict[object, int]] = defaultdict(lambda: defaultdict(int))
        for piece, hand, _ in self.readings:
            both = (piece, hand)
            group = both if into == "ab" else both[place[into]] if into else ""
            member = both if of == "ab" else both[place[of]]
            shared[group][member] += 1
        return sum(sum(n * n for n in held.values()) / sum(held.values()) for held in shared.values())
