"""The scatter of a lab's batches, drawn together over bodies that need not scatter alike, and errors by it."""

from __future__ import annotations

from dataclasses import dataclass

from claybench.insight.bodies.comparison.value_cells import Cells
from claybench.later import Bools, Floats, Ints, np
from claybench.measure.pooled_scatter import PooledScatter, pool_scatter
from claybench.measure.shared_rounding import shared_share
from claybench.measure.unequal_scatter import UnequalScatter, VarianceTerms, weigh_scatter

_LEAST_EXPECTED = 1e-12
"""Least mean square expected of a body, over the pooled one."""


@dataclass(frozen=True, slots=True, eq=False)
class LabScatter:
    """Scatter of the batches of one property taken one way."""

    pooled: PooledScatter
    unequal: UnequalScatter
    row_of_body: Ints
    """For each body of the lab its row in `unequal`; -1 for one without two batches in a firing."""
    batches: int
    """Batches that it rests on."""

    @property
    def bodies(self) -> int:
        """Bodies that it rests on: those with two batches or more in one firing."""
        return int((self.row_of_body >= 0).sum())

    def mean_errors(self, cells: Cells, at: Ints) -> VarianceTerms:
        """Errors of the means of some cells."""
        error, df = self.pooled.standard_errors(1 / cells.k[at], cells.share[at] / cells.k[at])
        nobody = np.full(len(at), -1)
        rows = self.row_of_body[cells.body[at]]
        return VarianceTerms(error**2, rows, np.zeros(len(at)), nobody, df, cells.shared[at])

    def difference_errors(self, cells: Cells, one: Ints, two: Ints, *, more: int = 0) -> VarianceTerms:
        """Errors of differences between the means of cells, with so many more batches of the first."""
        k, against = cells.k[one] + more, cells.k[two]
        first, second = cells.share[one] / k, cells.share[two] / against
        error_one, _ = self.pooled.standard_errors(1 / k, first)
        error_two, _ = self.pooled.standard_errors(1 / against, second)
        _, df = self.pooled.standard_errors(1 / k + 1 / against, first + second)
        rows = self.row_of_body
        known = cells.shared[one] + cells.shared[two]
        return VarianceTerms(error_one**2, rows[cells.body[one]], error_two**2, rows[cells.body[two]], df, known)

    def ordinary_errors(self, batches: Ints, bars: float, rounding: float) -> VarianceTerms:
        """Errors of differences between two bodies of so many batches each that were never made before.

        Each batch has so many bars; `rounding` is the variance that the steps leave in one bar's value.
        """
        error, _ = self.pooled.standard_errors(1 / batches, 1 / (batches * bars))
        _, df = self.pooled.standard_errors(2 / batches, 2 / (batches * bars))
        nobody, seen = np.full(len(batches), -1), self.pooled.between + self.pooled.within
        share = float(shared_share(np.array([seen / rounding]))[0]) if rounding else 0.0
        return VarianceTerms(error**2, nobody, error**2, nobody, df, np.full(len(batches), 2 * share * rounding))


def lab_scatter(cells: Cells, wanted: Bools, bodies: int) -> LabScatter | None:
    """Scatter of batches within their body and firing over some cells of a lab with so many bodies.

    A batch's bars of a second firing tell its departure from its body once more rather than anew, so that the degrees
    of freedom are those of the different batches. No scatter is taken to be less than the rounding of one reading,
    which would hide it. None where no body has two batches, or nothing differs and no step is known.
    """
    if cells.declared.before_firing:  # bars that were fired later are the same bars: once is enough
        wanted = wanted & (cells.firing < 0)
    n, k = cells.n[wanted], cells.k[wanted]
    several = wanted & (cells.k > 1)
    of_body = np.column_stack([np.repeat(cells.body, cells.k), cells.batch])
    pairs = np.unique(of_body[np.repeat(several, cells.k)], axis=0)
    own = np.bincount(pairs[:, 0], minlength=bodies) if len(pairs) else np.zeros(bodies, dtype=np.int64)
    beyond_first = _by_body(cells, several, (cells.k - 1).astype(float), bodies)
    df = np.minimum(np.maximum(own - 1.0, 0.0), beyond_first)
    least_seen = float((cells.rounding[wanted] * n).sum() / max(n.sum(), 1))
    pooled = pool_scatter(
        between=float(cells.between[wanted].sum()),
        batches=float((k - 1).sum()),
        batch_df=float(df.sum()),
        within=float(cells.within[wanted].sum()),
        piece_df=float((n - k).sum()),
        weight=float((n - cells.squares[wanted] / n).sum()),
        least=least_seen,
    )
    if pooled is None:
        return None
    repeated = np.flatnonzero(df > 0)
    squares = _by_body(cells, several, cells.between, bodies)[repeated] / beyond_first[repeated]
    squares = np.maximum(squares, least_seen)
    sizes = _by_body(cells, several, cells.n - cells.squares / cells.n, bodies)[repeated] / beyond_first[repeated]
    expected = sizes / pooled.size * pooled.batch_square + (1 - sizes / pooled.size) * pooled.piece_square
    least = max(pooled.batch_square, _LEAST_EXPECTED * pooled.piece_square)
    ratios = squares / np.maximum(expected, _LEAST_EXPECTED * least)
    rows = np.full(bodies, -1)
    rows[repeated] = np.arange(len(repeated))
    return LabScatter(pooled, weigh_scatter(ratios, df[repeated]), rows, len(pairs))


def _by_body(cells: Cells, wanted: Bools, values: Floats, bodies: int) -> Floats:
    sums: Floats = np.bincount(cells.body[wanted], weights=values[wanted], minlength=bodies).astype(float)
    return sums
