"""Readings of their own names, drawn together: breadth, depth and load of one break are one group of one piece."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from claybench.insight.bodies.comparison.reading_steps import numbered_days, stated_step
from claybench.insight.record_values import subject_of
from claybench.insight.told_values import averaged_value, range_width
from claybench.later import Floats, Ints, np
from claybench.measure.daily_steps import digit_steps
from claybench.terms import Instrument, Measurement

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
    steps: dict[str, Floats] = field(default_factory=dict)
    """To which step each was taken; 0 where nothing tells."""


def group_readings(rows: Iterable[Measurement], names: Collection[str]) -> dict[GroupKey, dict[str, float]]:
    """Means of the readings of some names, by what was read, the firing, and what they share."""
    held: dict[GroupKey, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        if row.what not in names or (value := averaged_value(row)) is None:
            continue
        held[(*subject_of(row), row.firing, row.together or "")][row.what].append(value)
    return {key: {name: math.fsum(values) / len(values) for name, values in own.items()} for key, own in held.items()}


def group_steps(
    rows: Iterable[Measurement], names: Collection[str], instruments: Iterable[Instrument]
) -> dict[GroupKey, dict[str, float]]:
    """To which step the readings that `group_readings` draws together were taken; the coarsest, where there are two.

    A range is as coarse as it is wide.
    """
    read: dict[str, list[Measurement]] = defaultdict(list)
    for row in rows:
        if row.what in names and averaged_value(row) is not None:
            read[row.what].append(row)
    known = {each.instrument: each for each in instruments}
    steps: dict[GroupKey, dict[str, float]] = defaultdict(dict)
    for name, own in read.items():
        values = np.array([math.nan if range_width(row) else row.value for row in own], dtype=float)
        by_digits = digit_steps(values, numbered_days([row.at for row in own]), "")
        for row, seen in zip(own, by_digits.tolist(), strict=True):
            stated = stated_step(row, known)
            held = steps[(*subject_of(row), row.firing, row.together or "")]
            held[name] = max(held.get(name, 0.0), range_width(row), seen if stated is None else stated)
    return steps


def place_groups(
    groups: Mapping[GroupKey, Mapping[str, float]],
    steps: Mapping[GroupKey, Mapping[str, float]],
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
    fine: list[Mapping[str, float]] = []
    subjects: dict[tuple[str, str], int] = {}
    for key, values in groups.items():
        kind, code, firing, _ = key
        piece = piece_at.get(code, -1) if kind == "piece" else -1
        known = {"batch": code, "run": batch_of_run.get(code)}.get(kind)
        batch = int(batch_of_piece[piece]) if piece >= 0 else batch_at.get(known or "", -1)
        if batch < 0 or (firing is not None and firing not in firing_at):
            continue
        subject = subjects.setdefault((kind, code), len(subjects))
        kept.append((batch, subject, piece, -1 if firing is None else firing_at[firing]))
        own.append(values)
        fine.append(steps.get(key, {}))
    places = np.array(kept, dtype=np.int64).reshape(-1, 4)
    names = dict.fromkeys(name for values in own for name in values)
    return ReadingGroups(
        places[:, 0],
        places[:, 1],
        places[:, 2],
        places[:, 3],
        {name: np.array([values.get(name, math.nan) for values in own], dtype=float) for name in names},
        {name: np.array([each.get(name, 0.0) for each in fine], dtype=float) for name in names},
    )
