"""One consistent look at the record, clipped to a moment in one place.

Every question reads through here, so that "as the record stood then" means the same
everywhere: rows not yet known are left out, and values not yet known are blank.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Any, TypeVar

from claybench import clock
from claybench.insight.settings import Settings
from claybench.record import Lab, Reader
from claybench.terms import TABLE_OF, TABLES, Setting, Table

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Snapshot:
    """Rows of some tables at one moment, with the lab's zone and settings."""

    at: datetime
    zone: tzinfo
    settings: Settings
    last_act: int
    """Number of the newest act that was seen."""
    tables: dict[type[Any], list[Any]]

    def rows(self, kind: type[R]) -> list[R]:
        """Rows of one table."""
        return self.tables[kind]

    def by_code(self, kind: type[R]) -> dict[str, R]:
        """Rows of one table by their code."""
        code = TABLE_OF[kind].code
        assert code is not None
        return {getattr(row, code): row for row in self.tables[kind]}

    def moment(self, value: date) -> datetime:
        """The moment a date or time stands for."""
        return clock.moment(value, self.zone)


def take(
    lab: Lab,
    *kinds: type[Any],
    as_of: datetime | None = None,
    where: dict[type[Any], dict[str, Any]] | None = None,
) -> Snapshot:
    """Read whole tables, or the part of some that `where` filters, at one moment."""
    with lab.reading() as record:
        return take_from(record, *kinds, now=lab.now(), as_of=as_of, where=where)


def take_from(
    record: Reader,
    *kinds: type[Any],
    now: datetime,
    as_of: datetime | None = None,
    where: dict[type[Any], dict[str, Any]] | None = None,
) -> Snapshot:
    """The same inside a snapshot that is open already."""
    filters = where or {}
    settings = Settings.of(record.rows(Setting))
    zone = clock.zone(settings.text("zone"))
    tables = {kind: record.rows(kind, **filters.get(kind, {})) for kind in kinds}
    if as_of is not None:
        tables = _Clip(record, zone, as_of, tables).clipped()
    at = clock.in_zone(as_of or now, zone)
    return Snapshot(at, zone, settings, record.last_act(), tables)


class _Clip:
    """Leaves out what was not known yet, by what `terms` says of each column."""

    def __init__(
        self, record: Reader, zone: tzinfo, at: datetime, tables: dict[type[Any], list[Any]]
    ) -> None:
        self.record = record
        self.zone = zone
        self.at = at
        self.tables = tables
        self.known: dict[str, dict[str, datetime | None]] = {}

    def clipped(self) -> dict[type[Any], list[Any]]:
        return {kind: list(self._rows(TABLE_OF[kind], rows)) for kind, rows in self.tables.items()}

    def _rows(self, table: Table, rows: Iterable[Any]) -> Iterable[Any]:
        later = [column for column in table.columns if column.known]
        for row in rows:
            known = self._row_known(table, row)
            if known is not None and known > self.at:
                continue
            blanks = {
                column.name: None
                for column in later
                if getattr(row, column.name) is not None and self._is_later(getattr(row, column.known))
            }
            yield dataclasses.replace(row, **blanks) if blanks else row

    def _is_later(self, value: date | None) -> bool:
        return value is not None and clock.moment(value, self.zone) > self.at

    def _row_known(self, table: Table, row: Any) -> datetime | None:
        """When a row became known: its own time, else its parent's; None means always."""
        for name in table.known:
            value = getattr(row, name)
            if value is not None:
                return clock.moment(value, self.zone)
        for name in table.parent:
            code = getattr(row, name)
            if code is not None:
                return self._known_of(table[name].refers).get(code)
        return None

    def _known_of(self, table_name: str) -> dict[str, datetime | None]:
        found = self.known.get(table_name)
        if found is None:
            table = TABLES[table_name]
            found = self.known[table_name] = {}  # set first: a body may refer to bodies
            for row in self.record.rows(table.row):
                found[getattr(row, str(table.code))] = self._row_known(table, row)
        return found
