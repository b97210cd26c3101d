"""Readings as columns: what comparing needs of all pieces of a lab, and the properties that follow from them.

One piece's formulas are in `measure`; here the same arithmetic is done for all pieces at once, and a test holds the
two together.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from claybench.insight.bodies.comparison.results import BY_DRYING, BY_SOAKING, DRYINGS, SOAKINGS
from claybench.insight.unusable_rows import limits_of
from claybench.measure.piece import LEAST, MOST, PieceMeasures, PieceRaw, measures
from claybench.terms import TABLE_OF, Batch, Fired, Piece

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Whole = NDArray[np.int64]

PIECE_READINGS = ("plastic_mm", "plastic_g", "dry_mm", "dry_g")
FIRED_READINGS = ("fired_mm", "fired_g", "soaked_g", "suspended_g")


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """All pieces of a lab, and what each firing did to them; readings that were not taken are NaN."""

    batches: tuple[str, ...]
    bodies: tuple[str, ...]
    """Body of each batch."""
    firings: tuple[str, ...]
    batch: Whole
    """Of each piece, its place in `batches`."""
    dried: Whole
    """Of each piece, its place in `DRYINGS`; their number where nobody wrote it."""
    piece: dict[str, Array]
    of: Whole
    """Of each fired row, the place of its piece."""
    firing: Whole
    """Of each fired row, its place in `firings`."""
    soaked: Whole
    """Of each fired row, its place in `SOAKINGS`; their number where nobody wrote it."""
    fired: dict[str, Array]


def raw_of(piece: Piece, fired: Fired | None = None) -> PieceRaw:
    """The readings of one piece, before or after one firing."""
    return PieceRaw(
        plastic_mm=piece.plastic_mm,
        plastic_g=piece.plastic_g,
        dry_mm=piece.dry_mm,
        dry_g=piece.dry_g,
        dry_how=piece.dry_how,
        fired_mm=fired.fired_mm if fired else None,
        fired_g=fired.fired_g if fired else None,
        soaked_g=fired.soaked_g if fired else None,
        suspended_g=fired.suspended_g if fired else None,
    )


def measures_of(piece: Piece, fired: Fired | None = None) -> PieceMeasures:
    """All properties of one piece whose inputs are there."""
    return measures(raw_of(piece, fired))


def columns_of(pieces: Iterable[Piece], fired: Iterable[Fired], batches: Iterable[Batch]) -> Columns:
    """Columns from rows; pieces of unknown batches and firings of unknown pieces are left out."""
    body_of = {batch.batch: batch.body for batch in batches}
    batch_at = {code: place for place, code in enumerate(body_of)}
    kept = [piece for piece in pieces if piece.batch in batch_at]
    piece_at = {piece.piece: place for place, piece in enumerate(kept)}
    rows = [row for row in fired if row.piece in piece_at]
    firing_at = {code: place for place, code in enumerate(dict.fromkeys(row.firing for row in rows))}
    return from_lists(
        batches=list(body_of),
        bodies=list(body_of.values()),
        firings=list(firing_at),
        batch=[batch_at[piece.batch] for piece in kept],
        dried=[piece.dry_how for piece in kept],
        piece={name: [getattr(piece, name) for piece in kept] for name in PIECE_READINGS},
        of=[piece_at[row.piece] for row in rows],
        firing=[firing_at[row.firing] for row in rows],
        soaked=[row.soak_method for row in rows],
        fired={name: [getattr(row, name) for row in rows] for name in FIRED_READINGS},
    )


def from_lists(
    *,
    batches: Sequence[str],
    bodies: Sequence[str],
    firings: Sequence[str],
    batch: Sequence[int] | Whole,
    dried: Sequence[str | None],
    piece: dict[str, Sequence[float | None]],
    of: Sequence[int] | Whole,
    firing: Sequence[int] | Whole,
    soaked: Sequence[str | None],
    fired: dict[str, Sequence[float | None]],
) -> Columns:
    """Columns from plain lists, as a database hands them over."""
    import numpy as np

    return Columns(
        batches=tuple(batches),
        bodies=tuple(bodies),
        firings=tuple(firings),
        batch=np.array(batch, dtype=np.int64),
        dried=_places(dried, DRYINGS),
        piece={name: np.array(column, dtype=float) for name, column in piece.items()},
        of=np.array(of, dtype=np.int64),
        firing=np.array(firing, dtype=np.int64),
        soaked=_places(soaked, SOAKINGS),
        fired={name: np.array(column, dtype=float) for name, column in fired.items()},
    )


def is_possible(columns: Columns) -> bool:
    """Whether every reading is one that can be; else rows tell which are not.

    >>> is_possible(columns_of([], [], []))
    True
    """
    for kind, held in ((Piece, columns.piece), (Fired, columns.fired)):
        for name, values in held.items():
            low, high = limits_of(TABLE_OF[kind][name])
            if ((values < low) | (values > high)).any():
                return False
    return True


def places(ids: Sequence[int], wanted: Sequence[int]) -> Whole:
    """Where each wanted id stands among ids in rising order; every one of them is there.

    >>> places([2, 5, 9], [9, 2]).tolist()
    [2, 0]
    """
    import numpy as np

    return np.searchsorted(np.array(ids, dtype=np.int64), np.array(wanted, dtype=np.int64))


def _places(words: Sequence[str | None], known: tuple[str, ...]) -> Whole:
    import numpy as np

    at = defaultdict[str | None, int](lambda: len(known), {word: place for place, word in enumerate(known)})
    return np.array(list(map(at.__getitem__, words)), dtype=np.int64)


def property_values(name: str, columns: Columns, *, fired: bool) -> tuple[Array, Whole]:
    """One property of every piece, or of every fired row: its values (NaN where an input is missing or impossible)
    and the way it was taken.

    Raises
    ------
    KeyError
        Not a property.
    """
    import numpy as np

    rows = columns.of if fired else slice(None)
    reading: dict[str, Any] = {key: _usable(column)[rows] for key, column in columns.piece.items()}
    if fired:
        reading |= {key: _usable(column) for key, column in columns.fired.items()}
    with np.errstate(invalid="ignore", divide="ignore"):
        found = _FORMULAS[name](reading)
    if name in BY_DRYING:
        kind = columns.dried[rows]
    elif name in BY_SOAKING:
        kind = columns.soaked
    else:
        kind = np.zeros(len(found), dtype=np.int64)
    return found, kind


def _usable(column: Array) -> Array:
    import numpy as np

    return np.where((column >= LEAST) & (column <= MOST), column, math.nan)


def _shrinkage(before: str, after: str) -> Any:
    def shrunk(r: dict[str, Array]) -> Array:
        found: Array = (100 * (r[before] - r[after]) / r[before]).round(12)
        return found

    return shrunk


def _outer(r: dict[str, Array]) -> Array:
    import numpy as np

    return np.where(r["suspended_g"] < r["soaked_g"], r["soaked_g"] - r["suspended_g"], math.nan)


_FORMULAS: dict[str, Any] = {
    "drying_shrinkage_pct": _shrinkage("plastic_mm", "dry_mm"),
    "firing_shrinkage_pct": _shrinkage("dry_mm", "fired_mm"),
    "total_shrinkage_pct": _shrinkage("plastic_mm", "fired_mm"),
    "absorption_pct": lambda r: 100 * (r["soaked_g"] - r["fired_g"]) / r["fired_g"],
    "porosity_pct": lambda r: 100 * (r["soaked_g"] - r["fired_g"]) / _outer(r),
    "bulk_density": lambda r: r["fired_g"] / _outer(r),
    "loi_pct": lambda r: 100 * (r["dry_g"] - r["fired_g"]) / r["dry_g"],
    "workable_water_pct": lambda r: 100 * (r["plastic_g"] - r["dry_g"]) / r["dry_g"],
}
