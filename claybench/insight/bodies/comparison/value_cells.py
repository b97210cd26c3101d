"""All values of one property drawn together: pieces into batches, batches into cells of one body, firing and way.

Everything is arrays, so that a lab of a hundred thousand pieces takes no longer than reading it. Grouped by numpy and
not by pandas, which costs over half a second of loading before the first comparison is seen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from claybench.insight.bodies.comparison.property_values import PropertyValues
from claybench.later import Floats, Ints, np
from claybench.measure.properties.declaration import MOST_WAYS, Property
from claybench.measure.shared_rounding import shared_share

_NOISE = 1e-9
"""Values that differ by no more than so much of themselves are equal: what is left is the noise of arithmetic."""


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """One property; a cell is a body in one firing (or before any), taken one way. One entry a cell."""

    declared: Property
    body: Ints
    firing: Ints
    """Place among the firings; −1 before any."""
    kind: Ints
    n: Ints
    """Pieces."""
    k: Ints
    """Batches."""
    mean: Floats
    """Mean of the batch means."""
    sd: Floats
    """Standard deviation of single pieces; NaN for one."""
    spread: Floats
    """Variance of the batch means about their mean (k − 1), at least what rounding bar by bar leaves; NaN for one."""
    share: Floats
    """Mean of 1/pieces over the batches: how much of the pieces' variance a batch mean still has."""
    between: Floats
    """Sum of squares of the batch means about the cell's mean of all pieces, each as often as it has pieces."""
    within: Floats
    """Sum of squares of pieces about the mean of their batch."""
    squares: Floats
    """Sum of the batches' squared numbers of pieces."""
    first: Ints
    """Where the cell's batches begin; one entry more than cells."""
    batch: Ints
    """For each batch of each cell its place among the lab's batches."""
    start: Ints
    """For each batch of each cell where its pieces begin in `values`; one entry more than batches."""
    values: Floats
    """All pieces, cell after cell, batch after batch."""
    rounding: Floats
    """Variance that the steps of the readings leave in one piece's value, the mean of the pieces."""
    shared: Floats
    """How much of that all pieces of the cell have in common, so that their mean still has it."""

    key: Ints
    """For each cell the number it is sorted by."""

    def word(self, at: int) -> str | None:
        """The way a cell was taken."""
        return self.declared.way_word(int(self.kind[at]))

    def tail(self, firings: int) -> Ints:
        """For each cell one number for its firing and way, whatever the body."""
        tail: Ints = self.key % _key(1, -1, firings)
        return tail

    def range_of(self, body: int, firing: int, firings: int) -> range:
        """The cells of one body in one firing (−1: before any), of so many firings in all."""
        return cell_range(self.key, body, firing, firings)


def cell_range(keys: Ints, body: int, firing: int, firings: int) -> range:
    """Where the cells of one body in one firing stand among the keys of some cells."""
    low = _key(body, firing, firings)
    return range(*keys.searchsorted([low, low + MOST_WAYS]).tolist())


def _key(body: Any, firing: Any, firings: int) -> Any:
    """One number for each body and firing, room left for the ways between them."""
    return (body * (firings + 1) + firing + 1) * MOST_WAYS


def grouped_cells(declared: Property, found: PropertyValues, body: Ints, firings: int) -> Cells:
    """All values of one property drawn together.

    Parameters
    ----------
    declared : the property
    found : its values
    body : of each batch of the lab, the number of its body; −1 leaves it out
    firings : how many the lab has
    """
    keep = body[found.batch] >= 0
    values, batch, firing, kind = found.values[keep], found.batch[keep], found.firing[keep], found.kind[keep]
    own = body[batch]
    return _grouped(declared, values, found.rounding[keep], _key(own, firing, firings) + kind, own, firing, kind, batch)


def _grouped(
    declared: Property,
    values: Floats,
    rounding: Floats,
    cell_key: Ints,
    body: Ints,
    firing: Ints,
    kind: Ints,
    batch: Ints,
) -> Cells:
    # one number for each cell, and one for each batch in it: sorting these sorts everything
    batch_key = cell_key * (int(batch.max(initial=0)) + 1) + batch
    order = np.argsort(batch_key, kind="stable")
    values, cell_key, batch_key = values[order], cell_key[order], batch_key[order]
    start = _edges(batch_key)
    pieces = np.diff(start)
    of_batch = cell_key[start[:-1]]
    first = _edges(of_batch)
    lead = order[start[:-1][first[:-1]]]
    k, n = np.diff(first), np.diff(start[first])

    means = _sums(values, start) / pieces
    aside = values - np.repeat(means, pieces)
    means += _sums(aside, start) / pieces  # the first mean's rounding taken out again
    within_batch = _sums((values - np.repeat(means, pieces)) ** 2, start)
    mean = _sums(means, first) / k
    noise = (_NOISE * np.maximum(np.abs(mean), 10.0**-declared.digits)) ** 2
    grand = _sums(means * pieces, first) / n
    within = _without_noise(_sums(within_batch, first), noise * n)
    between = _without_noise(_sums(pieces * (means - np.repeat(grand, k)) ** 2, first), noise * n)
    left = _sums(rounding[order], start[first]) / n
    with np.errstate(invalid="ignore", divide="ignore"):
        about = _without_noise(_sums((means - np.repeat(mean, k)) ** 2, first), noise * k)
        share = _sums(1.0 / pieces, first) / k
        sd = np.where(n > 1, np.sqrt((within + between) / (n - 1)), math.nan)
        shared = np.where(left > 0, left * shared_share(sd**2 / left), 0.0)
        # batches that happen to come to one number still hold what is rounded bar by bar
        spread = np.where(k > 1, np.maximum(about / (k - 1), share * (left - shared)), math.nan)
    return Cells(
        declared=declared,
        body=body[lead],
        firing=firing[lead],
        kind=kind[lead],
        n=n,
        k=k,
        mean=mean,
        sd=sd,
        spread=spread,
        share=share,
        between=between,
        within=within,
        squares=_sums(pieces.astype(float) ** 2, first),
        first=first,
        batch=batch[order[start[:-1]]],
        start=start,
        values=values,
        rounding=left,
        shared=shared,
        key=of_batch[first[:-1]],
    )


def _without_noise(squares: Floats, noise: Floats) -> Floats:
    """Sums of squares, nothing where they are no more than the last digits of arithmetic."""
    return np.where(squares > noise, squares, 0.0)


def _edges(keys: Ints) -> Ints:
    """Where each run of equal keys begins, and the end."""
    if not len(keys):
        return np.zeros(1, dtype=np.int64)
    return np.concatenate([[0], np.flatnonzero(np.diff(keys)) + 1, [len(keys)]]).astype(np.int64)


def _sums(values: Floats, edges: Ints) -> Floats:
    if len(edges) < 2:
        return np.zeros(0)
    return np.add.reduceat(np.asarray(values, dtype=float), edges[:-1])
