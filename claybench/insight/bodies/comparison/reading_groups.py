"""Readings of their own names, drawn together: breadth, depth and load of one break are one group of one piece."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from claybench.insight.record_values import subject_of
from claybench.later import Floats, Ints, np
from claybench.terms import Measurement

GroupKey = tuple[str, str, str | None, str]
"""Table and code of what was read, the firing, and what the readings share."""


@dataclass(frozen=True, slots=True, eq=False)
class ReadingGroups:
    """One entry for each group; readings that were not taken are NaN, those taken twice their mean."""

    batch: Ints
    """Place among the lab's batches."""
    subject: Ints
    """A number for each piece, batch or run: groups of one count once."""
    piece: Ints
    """Place of the piece; −1 for a batch or a run."""
    firing: Ints
    """Place among the firings; −1 before any."""
    columns: dict[str, Floats]


def group_readings(rows: Iterable[Measurement], names: Collection[str]) -> dict[GroupKey, dict[str, float]]:
    """Means of the readings of some names, by what was read, the firing, and what they share."""
    held: dict[GroupKey, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        if row.what not in names or row.value is None:
            continue
        held[(*subject_of(row), row.firing, row.together or "")][row.what].append(row.value)
    return {key: {name: math.fsum(values) / len(values) for name, values in own.items()} for key, own in held.items()}


def place_groups(
    groups: Mapping[GroupKey, Mapping[str, float]],
    *,
    piece_at: Mapping[str, int],
    batch_of_piece: Ints,
    batch_at: Mapping[str, int],
    batch_of_run: Mapping[str, str],
    firing_at: Mapping[str, int],
) -> ReadingGroups:
    """The groups among the columns of a lab; those of unknown pieces, batches, runs and firings are left out."""
    kept: list[tuple[int, int, int, int]] = []
    own: list[Mapping[str, float]] = []
    subjects: dict[tuple[str, str], int] = {}
    for (kind, code, firing, _), values in groups.items():
        piece = piece_at.get(code, -1) if kind == "piece" else -1
        known = {"batch": code, "run": batch_of_run.get(code)}.get(kind)
        batch = int(batch_of_piece[piece]) if piece >= 0 else batch_at.get(known or "", -1)
        if batch < 0 or (firing is not None and firing not in firing_at):
            continue
        subject = subjects.setdefault((kind, code), len(subjects))
        kept.append((batch, subject, piece, -1 if firing is None else firing_at[firing]))
        own.append(values)
    places = np.array(kept, dtype=np.int64).reshape(-1, 4)
    names = dict.fromkeys(name for values in own for name in values)
    return ReadingGroups(
        places[:, 0],
        places[:, 1],
        places[:, 2],
        places[:, 3],
        {name: np.array([values.get(name, math.nan) for values in own], dtype=float) for name in names},
    )
