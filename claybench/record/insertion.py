"""Putting rows into the database, whole columns at once; what may be written is decided in `act`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from itertools import pairwise

import sqlalchemy as sa

from claybench.errors import Refused
from claybench.terms import Table
from claybench.terms.naming import fold_name
from claybench.terms.row_columns import RowColumns

_PAGE = 20_000
"""Rows that are handed to the database at once."""
_INSERTS: dict[tuple[str, str, tuple[str, ...]], tuple[str, tuple[str, ...] | None]] = {}
"""Statements by driver, table and columns, with the order of their values where they have no names."""


def insert_columns(connection: sa.Connection, table: sa.Table, columns: Mapping[str, Iterable[object]]) -> None:
    """Insert the rows that whole columns make, all by one statement."""
    key = (connection.dialect.driver, table.name, tuple(columns))
    if key not in _INSERTS:
        made = table.insert().compile(dialect=connection.dialect, column_keys=list(columns))
        _INSERTS[key] = str(made), tuple(made.positiontup or ()) if made.positional else None
    statement, order = _INSERTS[key]
    if order is not None:
        connection.exec_driver_sql(statement, list(zip(*(columns[name] for name in order), strict=True)))
    else:
        rows = zip(*columns.values(), strict=True)
        connection.exec_driver_sql(statement, [dict(zip(columns, row, strict=True)) for row in rows])


def pages_of(rows: RowColumns, inner: str) -> Iterator[RowColumns]:
    """Rows in pages, in their order; none refers by its column `inner` to a row of its own page."""
    starts = [0]
    if inner:
        own = set[str]()
        for at, (code, above) in enumerate(zip(rows.column(str(rows.table.code)), rows.column(inner), strict=True)):
            if above is not None and fold_name(above) in own:
                starts.append(at)
                own.clear()
            own.add(fold_name(code))
    for start, end in pairwise([*starts, rows.count]):
        for first in range(start, end, _PAGE):
            yield rows.picked(range(first, min(first + _PAGE, end)))


@contextmanager
def one_at_a_moment(table: Table, at: datetime | None) -> Iterator[None]:
    """Say clearly that two rows cannot have the same time, where that is what tells them apart."""
    try:
        yield
    except sa.exc.IntegrityError as error:
        if at is None or "at" not in table.key or "unique" not in str(error.orig).lower():
            raise
        what = f"{'an' if table.noun[0] in 'aeiou' else 'a'} {table.noun}"
        raise Refused(
            f"There is {what} at {at:%H:%M:%S} already, and two cannot stand at the same moment.",
            "Correct the time, or correct the one that is there.",
        ) from error
