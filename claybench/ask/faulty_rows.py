"""Which rows of a lab cannot be used, and why: everything else is answered without them."""

from __future__ import annotations

from datetime import datetime

from claybench.ask.snapshot import take_snapshot
from claybench.insight.unusable_rows import FaultyRow
from claybench.record.lab import Lab
from claybench.terms import TABLES, Setting


def faulty_rows(lab: Lab, *, as_of: datetime | None = None) -> list[FaultyRow]:
    """Every row or setting that cannot be used as it stands, table by table; what is left out with one not."""
    kinds = [table.row for table in TABLES.values() if table.row is not Setting]
    return correctable_rows(take_snapshot(lab, *kinds, as_of=as_of).faulty)


def correctable_rows(faulty: tuple[FaultyRow, ...]) -> list[FaultyRow]:
    """Those that are to be corrected: not what is only left out with another."""
    return [each for each in faulty if each.own]
