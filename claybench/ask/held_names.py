"""The names a lab holds, for whoever types one."""

from __future__ import annotations

from typing import Any

from claybench.quantity.shown import natural_key
from claybench.record.lab import Lab
from claybench.terms import TABLES
from claybench.terms.naming import Names


def names_held(lab: Lab, *tables: str) -> dict[str, Names]:
    """The codes of these tables by the table's name, with what they were called before."""
    with lab.reading() as record:
        return {name: record.names(TABLES[name].row) for name in tables}


def codes_held(lab: Lab, table: str) -> tuple[str, ...]:
    """Every code of one table, in the order in which people count."""
    with lab.reading() as record:
        return tuple(sorted(record.codes(TABLES[table].row), key=natural_key))


def row_named(lab: Lab, kind: type[Any], code: str) -> Any:
    """The row with this code, of the row type `kind`; `NotFound` where there is none."""
    with lab.reading() as record:
        return record.one(kind, code)
