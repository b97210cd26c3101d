"""What was done: the newest entry and act, and what one act changed, in words and with the values before and after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from itertools import islice
from typing import Any

from claybench.ask.snapshot import take_snapshot
from claybench.quantity.shown import show
from claybench.record.history import ActEntry, ChangedRow, act_by_number, changed_rows, corrected_rows, list_acts
from claybench.record.lab import Lab
from claybench.terms import TABLES, Check, Column, Run, SlabEvent

_SHOWN = 500
"""Rows shown of one act: reading a lab folder in is one act of many thousands."""
Corrections = dict[tuple[object, ...], ChangedRow]
"""By the key of a row that was corrected: what it said before."""
_KINDS = {"brought_back": "brought back"}


@dataclass(frozen=True, slots=True)
class ActPage:
    """One act and what it changed."""

    entry: ActEntry
    rows: tuple[ChangedRow, ...]
    more: bool
    """Whether it touched more rows than these."""
    zone: tzinfo

    def lines(self) -> list[str]:
        """One line for each row, with what stood there before and what stands there since."""
        said = [row_words(row, self.zone) for row in self.rows] or ["Nothing of it is left in the record."]
        return [*said, "… and more."] if self.more else said


def act_page(lab: Lab, act_id: int) -> ActPage:
    """One act by its number, and what it changed."""
    with lab.reading() as record:
        entry = act_by_number(record, act_id)
        rows = tuple(islice(changed_rows(record, act_id), _SHOWN + 1))
    return ActPage(entry, rows[:_SHOWN], len(rows) > _SHOWN, lab.zone)


def newest_acts(lab: Lab, limit: int = 1000) -> list[ActEntry]:
    """The newest acts of every bench, newest first."""
    with lab.reading() as record:
        return list_acts(record, limit=limit)


def corrections(lab: Lab, /, *kinds: type[Any], **owner: str) -> Corrections:
    """Rows of some tables that were corrected since they were entered, by their key; `owner` such as `run="R1"`."""
    with lab.reading() as record:
        return {key: row for kind in kinds for key, row in corrected_rows(record, kind, **owner).items()}


def row_words(row: ChangedRow, zone: tzinfo) -> str:
    """One row that an act touched, in words."""
    table = TABLES[row.table]
    named = zip(table.key, row.key, strict=True)
    key = " ".join(value_words(table[name], value, zone) for name, value in named if value is not None)
    parts = []
    for column, before, after in row.values:
        if row.kind == "changed":
            old, new = (value_words(column, value, zone) for value in (before, after))
            parts.append(f"{column.label} {old} → {new}")
        elif column.name not in table.key:
            held = before if row.kind == "deleted" else after
            parts.append(f"{column.label} {value_words(column, held, zone)}")
    head = f"{_KINDS.get(row.kind, row.kind)} {table.noun} {key}"
    return f"{head}: {', '.join(parts)}" if parts else head


def value_words(column: Column, value: Any, zone: tzinfo) -> str:
    """A value of the record as people read it."""
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        local = value.astimezone(zone)
        return f"{local.day} {local:%b %Y %H:%M}"
    if isinstance(value, date):
        return f"{value.day} {value:%b %Y}"
    if column.kind in ("number", "whole"):
        return show(float(value), column.unit)
    return str(value).replace("_", " ") if column.kind == "word" else str(value)


def newest_entry(lab: Lab) -> datetime | None:
    """The newest touch, pour, lift or slab event; None in an empty lab."""
    snapshot = take_snapshot(lab, Run, Check, SlabEvent)
    moments = [check.at for check in snapshot.rows(Check)]
    moments += [event.at for event in snapshot.rows(SlabEvent)]
    moments += [run.ended_at or run.started_at for run in snapshot.rows(Run)]
    return max(moments, default=None)


def newest_act_number(lab: Lab) -> int:
    """Number of the newest act; 0 in a lab in which nothing was done."""
    with lab.reading() as record:
        return record.last_act()


def newest_act(lab: Lab) -> str:
    """What the newest act is called; empty where nothing was done."""
    with lab.reading() as record:
        newest = list_acts(record, limit=1)
    return newest[0].label if newest else ""
