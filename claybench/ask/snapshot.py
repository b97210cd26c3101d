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
from claybench.ask.properties import property_set
from claybench.errors import NotFound
from claybench.insight.settings import Settings
from claybench.insight.unusable_rows import FaultyRow, separate_faulty_rows
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.property_set import PropertySet
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import TABLE_OF, TABLES, Setting, Table
from claybench.terms.naming import Names

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
    """Rows that can be used, by their type."""
    properties: PropertySet = BUILT_IN
    """The lab's, those it has declared among them; they count always."""
    faulty: tuple[FaultyRow, ...] = ()
    """What cannot be used of these tables and of the settings."""

    def rows(self, kind: type[R]) -> list[R]:
        """Rows of one table."""
        return self.tables[kind]

    def rows_read(self, kind: type[R]) -> list[R]:
        """Rows of one table; none where it was not read."""
        return self.tables.get(kind, [])

    def by_code(self, kind: type[R]) -> dict[str, R]:
        """Rows of one table by their code."""
        code = TABLE_OF[kind].code
        assert code is not None
        return {getattr(row, code): row for row in self.tables[kind]}

    def find_row(self, kind: type[R], code: str) -> R | None:
        """The row with this code, upper and lower case being the same; None where there is none."""
        name, wanted = str(TABLE_OF[kind].code), code.casefold()
        return next((row for row in self.tables[kind] if getattr(row, name).casefold() == wanted), None)

    def row_named(self, kind: type[R], code: str) -> R:
        """The row with this code; `NotFound` where there is none."""
        row = self.find_row(kind, code)
        if row is None:
            raise self.missing(kind, code)
        return row

    def row_then(self, lab: Lab, kind: type[R], code: str) -> R:
        """The row with this code; `NotFound` where the lab has none, or had none yet at the moment."""
        row = self.find_row(kind, code)
        if row is None:
            raise self.not_then(lab, kind, code)
        return row

    def not_then(self, lab: Lab, kind: type[Any], code: str) -> NotFound:
        """Why there is no row of this code at the moment; raises where the lab never had one."""
        with lab.reading() as record:
            record.one(kind, code)
        said = f"There was no {TABLE_OF[kind].noun} '{code}' at that time."
        return self.missing(kind, code, NotFound(said, "Ask for a later moment."))

    def moment(self, value: date) -> datetime:
        """The moment a date or time stands for."""
        return clock.as_moment(value, self.zone)

    def since(self, value: date | None) -> datetime:
        """The moment of a date, for putting rows in order; what has none comes first."""
        return clock.UNREADABLE if value is None else self.moment(value)

    def missing(self, kind: type[Any], code: str, otherwise: NotFound | None = None) -> NotFound:
        """Why no row of this code can be used; `otherwise`, or codes near to it, where none is there."""
        table = TABLE_OF[kind]
        for each in self.faulty:
            if each.left_out and type(each.row) is kind and each.code.casefold() == code.casefold():
                return LeftOut(each)
        return otherwise or unknown_code(table.noun, code, (getattr(row, str(table.code)) for row in self.tables[kind]))


class LeftOut(NotFound):
    """A row that is there and cannot be used as it stands."""

    def __init__(self, fault: FaultyRow) -> None:
        super().__init__(f"The {fault.named} cannot be used: {fault.reason}.", "Correct it in the book (key !).")
        self.fault = fault


def unknown_code(noun: str, code: str, known: Iterable[str]) -> NotFound:
    """That a code is not among those of the moment that is asked about, with what is near to it."""
    codes = tuple(known)
    near = Names(noun, codes).close(code) or codes[-5:]
    remedy = f"There is {', '.join(near)}." if near else "There is none yet."
    return NotFound(f"There is no {noun} '{code}'.", remedy)


def take_snapshot(
    lab: Lab,
    *kinds: type[Any],
    as_of: datetime | None = None,
    where: dict[type[Any], dict[str, Any]] | None = None,
) -> Snapshot:
    """Read whole tables, or the part of some that `where` filters, at one moment."""
    with lab.reading() as record:
        return snapshot_from(record, *kinds, now=lab.now(), as_of=as_of, where=where)


def snapshot_from(
    record: Reader,
    *kinds: type[Any],
    now: datetime,
    as_of: datetime | None = None,
    where: dict[type[Any], dict[str, Any]] | None = None,
) -> Snapshot:
    """A snapshot inside a transaction that is open already."""
    filters = where or {}
    said = record.rows(Setting)
    settings = Settings.from_rows(said)
    zone = clock.parse_zone(settings.text_of("zone"))
    faulty = [FaultyRow(row, "value", why, True) for row in said if (why := settings.faulty.get(row.name))]
    tables, faulty_rows = separate_faulty_rows({kind: record.rows(kind, **filters.get(kind, {})) for kind in kinds})
    if as_of is not None:
        _refuse_later_filters(filters)
        tables = _Clip(record, zone, as_of, tables).clipped()
    at = clock.in_zone(as_of or now, zone)
    return Snapshot(at, zone, settings, record.last_act(), tables, property_set(record), (*faulty, *faulty_rows))


def _refuse_later_filters(filters: dict[type[Any], dict[str, Any]]) -> None:
    # a filter sees the row as it is now, so a value that came later would answer for the past
    for kind, columns in filters.items():
        for name in columns:
            assert not TABLE_OF[kind][name].known, f"filter {name} after clipping, not before"


class _Clip:
    """Leaves out what was not known yet, by what `terms` says of each column.

    What a known row refers to is known with it, whatever its own date says: a slab that
    was weighed was there, even if the day of its casting was written down wrongly.
    """

    def __init__(self, record: Reader, zone: tzinfo, at: datetime, tables: dict[type[Any], list[Any]]) -> None:
        self.record = record
        self.zone = zone
        self.at = at
        self.tables = tables
        self.known: dict[str, dict[str, datetime | None]] = {}

    def clipped(self) -> dict[type[Any], list[Any]]:
        """The tables as they stood."""
        needed: dict[str, set[str]] = {}
        out: dict[type[Any], list[Any]] = {}
        # what refers comes before what it refers to, so that one pass is enough
        for table in reversed(TABLES.values()):
            if table.row in self.tables:
                out[table.row] = list(self._rows(table, self.tables[table.row], needed))
        return {kind: out[kind] for kind in self.tables}

    def _rows(self, table: Table, rows: Iterable[Any], needed: dict[str, set[str]]) -> Iterable[Any]:
        later = [column for column in table.columns if column.known]
        referred = needed.get(table.name, set())
        kept = []
        for row in reversed(list(rows)):
            known = self._row_known(table, row)
            if known is not None and known > self.at and getattr(row, str(table.code), None) not in referred:
                continue
            kept.append(row)
            for column in table.references():
                code = getattr(row, column.name)
                if code is not None:
                    needed.setdefault(column.refers, set()).add(code)
        for row in reversed(kept):
            blanks = {
                column.name: None
                for column in later
                if getattr(row, column.name) is not None and self._is_later(getattr(row, column.known))
            }
            yield dataclasses.replace(row, **blanks) if blanks else row

    def _is_later(self, value: date | None) -> bool:
        return value is not None and clock.as_moment(value, self.zone) > self.at

    def _row_known(self, table: Table, row: Any) -> datetime | None:
        """When a row became known: its own time, else its parent's; None means always."""
        for name in table.known:
            value = getattr(row, name)
            if value is not None:
                return clock.as_moment(value, self.zone)
        for name in table.parent:
            code = getattr(row, name)
            known = None if code is None else self._known_of(table[name].refers).get(code)
            if known is not None:
                return known
        return None

    def _known_of(self, table_name: str) -> dict[str, datetime | None]:
        known_at = self.known.get(table_name)
        if known_at is None:
            table = TABLES[table_name]
            known_at = self.known[table_name] = {}  # set first: a body may refer to bodies
            for row in self.record.rows(table.row):
                known_at[getattr(row, str(table.code))] = self._row_known(table, row)
        return known_at


def faulty_rows(lab: Lab, *, as_of: datetime | None = None) -> list[FaultyRow]:
    """Every row or setting that cannot be used as it stands, table by table; what is left out with one not."""
    kinds = [table.row for table in TABLES.values() if table.row is not Setting]
    return correctable_rows(take_snapshot(lab, *kinds, as_of=as_of).faulty)


def correctable_rows(faulty: tuple[FaultyRow, ...]) -> list[FaultyRow]:
    """Those that are to be corrected: not what is only left out with another."""
    return [each for each in faulty if each.own]
