"""The names a lab holds, for whoever types one."""

from __future__ import annotations

from claybench.record.lab import Lab
from claybench.terms import TABLES
from claybench.terms.naming import Names


def names_held(lab: Lab, *tables: str) -> dict[str, Names]:
    """The codes of these tables by the table's name, with what they were called before."""
    with lab.reading() as record:
        return {name: record.names(TABLES[name].row) for name in tables}
