"""All values of one property drawn together: pieces into batches, batches into cells of one body, firing and way.

Everything is arrays, so that a lab of a hundred thousand pieces takes no longer than reading it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from claybench.insight.bodies.comparison.property_columns import Columns, property_values
from claybench.insight.bodies.comparison.results import BY_DRYING, BY_SOAKING, DRYINGS, NOT_NOTED, SOAKINGS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

_WAYS = max(len(DRYINGS), len(SOAKINGS)) + 1


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """One property; a cell is a body in one firing (or before any), taken one way. One entry a cell."""

    name: str
    body: Whole
    firing: Whole
    """Place among the firings; −1 before any."""
    kind: Whole
    n: Whole
    """Pieces."""
    k: Whole
    """Batches."""
    mean: Array
    """Of the batch means."""
    sd: Array
    """Of single pieces; NaN for one."""
    spread: Array
    """Variance of the batch means about their mean (k − 1); NaN for one batch."""
    share: Array
    """Mean of 1/pieces over the batches: how much of the pieces' variance a batch mean still has."""
    between: Array
    """Sum of squares of the batch means about the cell's mean of all pieces, each as often as it has pieces."""
    within: Array
    """Sum of squares of pieces about the mean of their batch."""
    squares: Array
    """Sum of the batches' squared numbers of pieces."""
    first: Whole
    """Where the cell's batches begin; one entry more than cells."""
    batch: Whole
    """Of each batch of each cell, its place among the lab's batches."""
    start: Whole
    """Of each batch of each cell, where its pieces begin in `values`; one entry more than batches."""
    values: Array
    """All pieces, cell after cell, batch after batch."""

    key: Whole
    """Of each cell, the number it is sorted by."""

    def word(self, at: int) -> str | None:
        """The way a cell was taken."""
        return way(self.name, int(self.kind[at]))

    def number(self, word: str | None) -> int:
        """The number of a way."""
        known = _ways(self.name)
        return 0 if word is None else known.index(word) if word in known else len(known)

    def tail(self, firings: int) -> Whole:
        """Of each cell, one number for its firing and way, whatever the body."""
        tail: Whole = self.key % _key(1, -1, firings)
        return tail

    def of(self, body: int, firing: int, firings: int) -> range:
        """The cells of one body in one firing (−1: before any), of so many firings in all."""
        return among(self.key, body, firing, firings)


def way(name: str, kind: int) -> str | None:
    """The way of a number; None where a property is taken one way only.

    >>> way("absorption_pct", 1), way("loi_pct", 2), way("total_shrinkage_pct", 0)
    ('vacuum', 'not noted', None)
    """
    known = _ways(name)
    if not known:
        return None
    return known[kind] if kind < len(known) else NOT_NOTED


def _ways(name: str) -> tuple[str, ...]:
    return DRYINGS if name in BY_DRYING else SOAKINGS if name in BY_SOAKING else ()


def among(keys: Whole, body: int, firing: int, firings: int) -> range:
    """Where the cells of one body in one firing stand among the keys of some cells."""
    low = _key(body, firing, firings)
    return range(*keys.searchsorted([low, low + _WAYS]).tolist())


def _key(body: Any, firing: Any, firings: int) -> Any:
    """One number for each body and firing, room left for the ways between them."""
    return (body * (firings + 1) + firing + 1) * _WAYS


def cells_of(name: str, columns: Columns, body: Whole, *, before: bool) -> Cells:
    """Draw one property together.

    Parameters
    ----------
    name : a property
    columns : the lab's readings
    body : of each batch of the lab, the number of its body; −1 leaves it out
    before : whether unfired pieces have it, too
    """
    import numpy as np

    found, kind = property_values(name, columns, fired=True)
    batch, firing = columns.batch[columns.of], columns.firing
    if before:
        dry, dry_kind = property_values(name, columns, fired=False)
        found, kind = np.concatenate([dry, found]), np.concatenate([dry_kind, kind])
        batch = np.concatenate([columns.batch, batch])
        firing = np.concatenate([np.full(len(dry), -1, dtype=np.int64), firing])
    keep = ~np.isnan(found)
    keep &= body[batch] >= 0
    key = _key(body[batch], firing, len(columns.firings)) + kind
    return _grouped(name, found[keep], key[keep], body[batch[keep]], firing[keep], kind[keep], batch[keep])


def _grouped(name: str, values: Array, cell_key: Whole, body: Whole, firing: Whole, kind: Whole, batch: Whole) -> Cells:
    import numpy as np

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
    grand = _sums(means * pieces, first) / n
    within = _sums(within_batch, first)
    between = _sums(pieces * (means - np.repeat(grand, k)) ** 2, first)
    with np.errstate(invalid="ignore", divide="ignore"):
        spread = np.where(k > 1, _sums((means - np.repeat(mean, k)) ** 2, first) / (k - 1), math.nan)
        sd = np.where(n > 1, np.sqrt((within + between) / (n - 1)), math.nan)
    return Cells(
        name=name,
        body=body[lead],
        firing=firing[lead],
        kind=kind[lead],
        n=n,
        k=k,
        mean=mean,
        sd=sd,
        spread=spread,
        share=_sums(1.0 / pieces, first) / k,
        between=between,
        within=within,
        squares=_sums(pieces.astype(float) ** 2, first),
        first=first,
        batch=batch[order[start[:-1]]],
        start=start,
        values=values,
        key=of_batch[first[:-1]],
    )


def _edges(keys: Whole) -> Whole:
    """Where each run of equal keys begins, and the end."""
    import numpy as np

    if not len(keys):
        return np.zeros(1, dtype=np.int64)
    return np.concatenate([[0], np.flatnonzero(np.diff(keys)) + 1, [len(keys)]]).astype(np.int64)


def _sums(values: Array, edges: Whole) -> Array:
    import numpy as np

    if len(edges) < 2:
        return np.zeros(0)
    return np.add.reduceat(np.asarray(values, dtype=float), edges[:-1])
