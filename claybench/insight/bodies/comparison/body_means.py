"""Bodies side by side: every cell's mean with its interval, and the scatter of the lab's batches behind them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from claybench.insight.bodies.comparison.property_columns import Columns
from claybench.insight.bodies.comparison.results import BEFORE_FIRING, PROPERTIES, BodyResult, Measured, RelativeTime
from claybench.insight.bodies.comparison.value_cells import Cells, cells_of, way
from claybench.measure.distributions import student_t_each
from claybench.measure.scatter import Scatter, scatter_from
from claybench.measure.summary import Summary

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

BASES = ("batches", "lab", "pieces", None)


@dataclass(frozen=True, slots=True, eq=False)
class Intervals:
    """95 % intervals of one property's cells: half widths (NaN where there is none), and places in `BASES`."""

    half: Array
    basis: Whole


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """All bodies of a lab, drawn together once; whatever is asked of them is taken from here."""

    columns: Columns
    bodies: tuple[str, ...]
    """Every body that has a batch."""
    body: Whole
    """Of each batch, its place in `bodies`."""
    cells: dict[str, Cells]
    """By property."""
    intervals: dict[str, Intervals]
    scatter: dict[tuple[str, str | None], Scatter]
    """Of the lab's batches, by property and the way it was taken; only where a body has two batches in one firing."""
    usual: dict[str, str | None]
    """How the lab usually takes each property: the way of most pieces."""

    def measured(self, body: int, firing: int) -> list[Measured]:
        """Every property of one body in one firing (−1: before any), each way it was taken."""
        return [
            self._one(cells, at)
            for cells in self.cells.values()
            for at in cells.of(body, firing, len(self.columns.firings))
        ]

    def _one(self, cells: Cells, at: int) -> Measured:
        lead, end = int(cells.first[at]), int(cells.first[at + 1])
        start, found = cells.start, self.intervals[cells.name]
        mean, half, sd = float(cells.mean[at]), float(found.half[at]), float(cells.sd[at])
        sure = not math.isnan(half)
        return Measured(
            name=cells.name,
            kind=cells.word(at),
            summary=Summary(
                n=int(cells.n[at]),
                batches=int(cells.k[at]),
                mean=mean,
                sd=None if math.isnan(sd) else sd,
                low=mean - half if sure else None,
                high=mean + half if sure else None,
                basis=BASES[int(found.basis[at])],
            ),
            numbers=cells.values[start[lead] : start[end]],
            starts=start[lead:end] - start[lead],
            batches=tuple(self.columns.batches[place] for place in cells.batch[lead:end].tolist()),
        )


def sides(columns: Columns) -> Sides:
    """Draw a lab together."""
    import numpy as np

    place = {body: at for at, body in enumerate(dict.fromkeys(columns.bodies))}
    body = np.array([place[code] for code in columns.bodies], dtype=np.int64)
    cells, intervals = {}, {}
    scatter: dict[tuple[str, str | None], Scatter] = {}
    usual: dict[str, str | None] = {}
    for name in PROPERTIES:
        found = cells[name] = cells_of(name, columns, body, before=name in BEFORE_FIRING)
        counts = np.bincount(found.kind, weights=found.n)
        usual[name] = way(name, int(counts.argmax()) if len(counts) else 0)
        for kind in np.flatnonzero(counts).tolist():
            held = scatter_of(found, found.kind == kind)
            if held is not None:
                scatter[name, way(name, kind)] = held
        intervals[name] = _intervals(found, scatter)
    return Sides(columns, tuple(place), body, cells, intervals, scatter, usual)


def scatter_of(cells: Cells, wanted: NDArray[np.bool_]) -> Scatter | None:
    """Scatter of batches within their body and firing, pooled over cells.

    A batch's bars of a second firing tell its departure from its body once more rather than anew, so that the degrees
    of freedom are those of the different batches.
    """
    import numpy as np

    if cells.name in BEFORE_FIRING:  # bars that were fired later are the same bars: once is enough
        wanted = wanted & (cells.firing < 0)
    n, k = cells.n[wanted], cells.k[wanted]
    several = wanted & (cells.k > 1)
    batches = np.unique(cells.batch[np.repeat(several, cells.k)])
    own = len(batches) - len(np.unique(cells.body[several]))
    return scatter_from(
        between=float(cells.between[wanted].sum()),
        batches=float((k - 1).sum()),
        batch_df=float(min(own, (k - 1).sum())),
        within=float(cells.within[wanted].sum()),
        piece_df=float((n - k).sum()),
        weight=float((n - cells.squares[wanted] / n).sum()),
    )


def _intervals(cells: Cells, scatter: dict[tuple[str, str | None], Scatter]) -> Intervals:
    """As `summarise` gives them, and by the lab's scatter of batches where there is one batch only."""
    import numpy as np

    error = np.where(cells.k > 1, np.sqrt(cells.spread / cells.k), cells.sd / np.sqrt(cells.n))
    df = np.where(cells.k > 1, cells.k, cells.n) - 1.0
    basis = np.where(cells.k > 1, 0, np.where(cells.n > 1, 2, 3))
    for (name, kind), pooled in scatter.items():
        if name != cells.name:
            continue
        alone = (cells.k == 1) & (cells.kind == cells.number(kind))
        by_lab, lab_df = pooled.error(np.ones(int(alone.sum())), cells.share[alone])
        error[alone], df[alone], basis[alone] = by_lab, lab_df, 1
    df[basis == 3] = math.nan
    found, back = np.unique(df, return_inverse=True)
    return Intervals(student_t_each(0.975, found)[back] * error, basis)


def compare(bodies: Sequence[str], held: Sides, relative: dict[str, RelativeTime]) -> list[BodyResult]:
    """Results per body and firing, bodies in the order given, firings by name.

    A body stands there before any firing, and in each firing a piece of it was in, measured or not.
    """
    import numpy as np

    columns, count = held.columns, len(held.columns.firings)
    place = {body: at for at, body in enumerate(held.bodies)}
    pairs = np.unique(held.body[columns.batch[columns.of]] * count + columns.firing).tolist() if count else []
    fired: dict[int, list[int]] = {}
    for pair in pairs:
        fired.setdefault(pair // count, []).append(pair % count)
    names = columns.firings
    return [
        BodyResult(body, names[firing] if firing >= 0 else None, relative.get(body), held, place.get(body, -2), firing)
        for body in bodies
        for firing in (-1, *sorted(fired.get(place.get(body, -2), ()), key=names.__getitem__))
    ]
