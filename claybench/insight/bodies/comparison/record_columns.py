"""Columns and groups of readings from the rows of a record at one moment."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from claybench.insight.bodies.comparison.property_columns import Columns, columns_of
from claybench.insight.bodies.comparison.reading_groups import GroupKey, group_readings
from claybench.insight.record_rows import RecordRows
from claybench.measure.properties.readings import names_read
from claybench.terms import Batch, Fired, Measurement, Piece, Run

PieceGroups = dict[tuple[str, str | None], dict[str, dict[str, float]]]
"""Readings of their own names by piece and firing, then by what they share."""


def reading_groups(records: RecordRows) -> dict[GroupKey, dict[str, float]]:
    """Readings of their own names, those that belong together in one; none where no reading was read."""
    return group_readings(records.rows_read(Measurement), names_read(records.properties))


def groups_by_piece(records: RecordRows) -> PieceGroups:
    """Readings of their own names of every piece."""
    found: PieceGroups = defaultdict(dict)
    for (kind, code, firing, together), values in reading_groups(records).items():
        if kind == "piece":
            found[code, firing][together] = values
    return found


def record_columns(records: RecordRows, fired: Sequence[Fired] | None = None) -> Columns:
    """All readings of pieces as columns; of some fired rows only, where they are given."""
    groups = reading_groups(records)
    if fired is not None:
        firings = {row.firing for row in fired}
        groups = {key: own for key, own in groups.items() if key[2] is None or key[2] in firings}
    rows = records.rows(Fired) if fired is None else fired
    runs = {run.run: run.batch for run in records.rows_read(Run)}
    return columns_of(records.rows(Piece), rows, records.rows(Batch), groups, runs)
