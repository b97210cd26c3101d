"""Taking a lab folder into a lab: all of it in one act, or nothing with every fault listed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from claybench import clock
from claybench.acts.any_row import row_values
from claybench.acts.import_notes import notes_on_layers, notes_on_rows
from claybench.errors import BadInput, Fault, FaultyFolder
from claybench.exchange.cells import format_value
from claybench.exchange.folder_read import Folder, read_folder
from claybench.exchange.garbage import old_values_left_alone
from claybench.exchange.rows_read import Folds, RowRead, RowsRead, key_of, keys_of
from claybench.quantity.setting import check_setting
from claybench.record.act import Writer
from claybench.record.allowed_readings import DECLARING, Declarations, rows_to_hold
from claybench.record.codec import check_value
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import SETTINGS, TABLES, Column, Lot, Table
from claybench.terms.naming import ASKED_ABOUT, fold_name, near_name_notes
from claybench.terms.row_columns import RowColumns

_NAMED = ("families", "materials", "lots")
"""Tables whose rows are made when they are named but not listed."""


@dataclass(slots=True)
class ImportReport:
    """How many rows of each table were added, changed, or there already."""

    added: dict[str, int] = field(default_factory=dict)
    changed: dict[str, int] = field(default_factory=dict)
    unchanged: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    """What to look at, though it was taken: names near to others."""

    def summary(self) -> str:
        """The report in one line."""
        parts = []
        for word, counts in (("added", self.added), ("changed", self.changed), ("as before", self.unchanged)):
            total = sum(counts.values())
            if total:
                parts.append(f"{total} {word}")
        return ", ".join(parts) or "nothing to import"


def import_folder(lab: Lab, path: str | Path, *, update: bool = False, who: str | None = None) -> ImportReport:
    """Import a lab folder; `FaultyFolder` lists every fault, and then nothing was written."""
    with old_values_left_alone():
        folder = read_folder(path)
        return take_in(lab, folder, f"Imported {folder.path.name}", update=update, who=who)


def take_in(lab: Lab, folder: Folder, label: str, *, update: bool, who: str | None = None) -> ImportReport:
    """Rows already read into a lab in one act; `FaultyFolder` lists every fault, and then nothing was written."""
    zone = lab.zone
    with lab.acting(label, who=who) as act:
        taken = _Import(act, folder, update, clock.in_zone(lab.now(), zone))
        report = taken.write(act)
    report.notes += notes_on_layers(lab, taken.new_codes("runs"))
    return report


def check_in(record: Reader, folder: Folder, *, update: bool, now: datetime) -> ImportReport:
    """What taking the rows in would do; every fault is noted in the folder, nothing is written."""
    return _Import(record, folder, update, now).report


@dataclass(frozen=True, slots=True)
class _Plan:
    """What becomes of one table."""

    named: list[Any]
    """Rows that are made because others name them."""
    new: RowColumns
    """Rows to add, in the order to add them."""
    changes: list[tuple[Any, dict[str, Any]]]
    """Changes by key."""

    def added(self) -> RowColumns:
        """All rows that are added."""
        if not self.named:
            return self.new
        return RowColumns.from_rows(self.new.table, [*self.named, *self.new.rows()])


class _Import:
    """One import against the record as it stands: checked at once, written if wanted."""

    def __init__(self, record: Reader, folder: Folder, update: bool, now: datetime) -> None:
        self.now = now
        self.record = record
        self.folder = folder
        self.update = update
        self.report = ImportReport()
        self.listed: dict[str, set[str]] = {}
        self.held: dict[str, set[str]] = {}
        self.there: dict[str, dict[tuple[Any, ...], Any]] = {}
        self.plans: dict[str, _Plan] = {}
        self.folds = Folds()
        self._check()

    def _check(self) -> None:
        for name, table in TABLES.items():
            if table.code is not None:
                listed = [*self._folded(self._rows(table), table.code), *self._folded(self._partial(table), table.code)]
                self.listed[name] = {code for code in listed if code is not None}
                self.held[name] = {fold_name(code) for code in self.record.codes(table.row)}
        fresh = not any(self._is_held(table) for name, table in TABLES.items() if name != "settings")
        self._check_settings()
        self._check_declared()
        made = self._name_missing()
        for name, table in TABLES.items():
            plan = self.plans[name] = self._plan(table, made.get(name, []), fresh)
            self._note_names(table, plan)
            if added := len(plan.named) + plan.new.count:
                self.report.added[name] = added
            if plan.changes:
                self.report.changed[name] = len(plan.changes)
        for name in self.folder.partial:
            self._check_references(self._partial(TABLES[name]))
        self._check_parents()
        self.folder.faults.sort(key=_place)
        if not self.folder.faults:
            added_rows = {name: plan.added() for name, plan in self.plans.items()}
            self.report.notes += notes_on_rows(added_rows, self.now)

    def new_codes(self, name: str) -> list[str]:
        """Codes of the rows that were added to a table."""
        return list(self.plans[name].new.column(str(TABLES[name].code)))

    def write(self, act: Writer) -> ImportReport:
        """Everything, or nothing where there is a fault."""
        if self.folder.faults:
            raise FaultyFolder(self.folder.faults)
        for name, plan in self.plans.items():
            act.add_many(plan.named)
            act.add_columns(plan.new)
            for key, values in plan.changes:
                act.change(TABLES[name].row, key, values)
        return self.report

    def _rows(self, table: Table) -> RowsRead:
        return self.folder.rows.get(table.name) or RowsRead(table)

    def _partial(self, table: Table) -> RowsRead:
        return RowsRead.from_rows(table, self.folder.partial.get(table.name, ()))

    def _folded(self, rows: RowsRead, column: str) -> list[str | None]:
        return self.folds.of(rows.columns.get(column, ()))

    def _is_held(self, table: Table) -> bool:
        """Whether the lab has any row of a table."""
        return self.record.count(table.row) > 0

    def _plan(self, table: Table, named: list[Any], fresh: bool) -> _Plan:
        rows = self._rows(table)
        self._check_references(rows)
        there = self._there(table) if rows else {}
        new: Sequence[int] = range(len(rows))
        changes: list[tuple[Any, dict[str, Any]]] = []
        if there:
            held = [there.get(key) for key in keys_of(rows, self.folds)]
            new = [at for at, current in enumerate(held) if current is None]
            changes = self._changes(rows, held, self.update or (table.name == "settings" and fresh))
        self._check_retired(rows, new)
        if table.name == "bodies":
            new = self._parents_first(rows, new)
        return _Plan(named, rows.as_columns().picked(new), changes)

    def _changes(self, rows: RowsRead, held: list[Any], allowed: bool) -> list[tuple[Any, dict[str, Any]]]:
        """What the folder changes in rows that the lab has already; a fault where it may not."""
        table = rows.table
        changes = []
        for at, current in enumerate(held):
            if current is None:
                continue
            row = rows[at]
            different = self._different(table, row, current)
            if not different:
                self.report.unchanged[table.name] = self.report.unchanged.get(table.name, 0) + 1
            elif allowed:
                key = tuple(getattr(current, name) for name in table.key)
                changes.append((key[0] if table.code else key, different))
            else:
                name = next(iter(different))
                there = format_value(getattr(current, name)) or "nothing"
                wanted = format_value(different[name]) or "nothing"
                reason = f"the lab has {there} here, the file {wanted}; {self.folder.to_change}"
                self.folder.fault(table.name, row.line, name, reason)
        return changes

    def _check_retired(self, rows: RowsRead, new: Sequence[int]) -> None:
        """Refuse codes that were used before."""
        table = rows.table
        retired = {fold_name(code) for code in self.record.retired(table.row)} if table.code and rows else set()
        if not table.code or not retired:
            return
        for at in new:
            code = rows.columns[table.code][at]
            if fold_name(code) in retired:
                reason = f"'{code}' was used before; codes are never given out again"
                self.folder.fault(table.name, rows.lines[at], table.code, reason)

    def _there(self, table: Table) -> dict[tuple[Any, ...], Any]:
        """The lab's rows of one table by their keys."""
        if table.name not in self.there:
            rows = self.record.rows(table.row) if self._is_held(table) else []
            self.there[table.name] = {key_of(table, row_values(row)): row for row in rows}
        return self.there[table.name]

    def _different(self, table: Table, row: RowRead, current: Any) -> dict[str, Any]:
        out = {}
        for name, value in row.values.items():
            held = getattr(current, name)
            if name in table.key or value == held:
                continue
            if (
                table[name].kind == "code"
                and value is not None
                and held is not None
                and fold_name(value) == fold_name(held)
            ):
                continue
            out[name] = value
        return out

    def _check_references(self, rows: RowsRead) -> None:
        for column in rows.table.references():
            if column.refers in _NAMED:
                continue
            noun = TABLES[column.refers].noun
            for at in self._unknown(rows, column, self.listed[column.refers] | self.held[column.refers]):
                code = rows.columns[column.name][at]
                reason = f"there is no {noun} '{code}' in {self.folder.here} or in the lab"
                self.folder.fault(rows.table.name, rows.lines[at], column.name, reason)

    def _unknown(self, rows: RowsRead, column: Column, known: set[str]) -> list[int]:
        """Places of rows that name something which is not known."""
        codes = rows.columns.get(column.name, ())
        named = list({code for code in codes if code is not None})
        unknown = {code for code, folded in zip(named, self.folds.of(named), strict=True) if folded not in known}
        return [at for at, code in enumerate(codes) if code in unknown] if unknown else []

    def _name_missing(self) -> dict[str, list[Any]]:
        """Rows for families, materials and lots that are named but listed nowhere."""
        made: dict[str, dict[str, Any]] = {name: {} for name in _NAMED}
        retired = {name: {fold_name(code) for code in self.record.retired(TABLES[name].row)} for name in _NAMED}
        for table in TABLES.values():
            rows = self._rows(table)
            places = [
                (at, place, column)
                for place, column in enumerate(table.references())
                if column.refers in _NAMED
                for at in self._unknown(rows, column, self.listed[column.refers] | self.held[column.refers])
            ]
            for at, _, column in sorted(places, key=lambda each: each[:2]):
                code, target = rows.columns[column.name][at], column.refers
                folded = fold_name(code)
                if folded in made[target]:
                    continue
                if folded in retired[target]:
                    reason = f"'{code}' was used before; codes are never given out again"
                    self.folder.fault(table.name, rows.lines[at], column.name, reason)
                    continue
                made[target][folded] = self._named(table, rows[at], column.name, target, code)
        return {name: [row for row in rows.values() if row is not None] for name, rows in made.items()}

    def _note_names(self, table: Table, plan: _Plan) -> None:
        """New names that are near to one of the lab's; those that are merely named, to one that is listed as well."""
        if table.name not in ASKED_ABOUT or not (plan.named or plan.new.count):
            return
        code, names = str(table.code), self.record.names(table.row)
        own = plan.new.column(code)
        self.report.notes += near_name_notes(own, names, among=False)
        self.report.notes += near_name_notes((getattr(row, code) for row in plan.named), names.and_also(own))

    def _named(self, table: Table, row: RowRead, column: str, target: str, code: str) -> Any:
        if target != "lots":
            return TABLES[target].row(**{str(TABLES[target].code): code})
        material = row.values.get("material")
        if material is None:
            self.folder.fault(table.name, row.line, column, f"lot '{code}' is not listed, and no material is named")
            return None
        return Lot(lot=code, material=material)

    def _check_settings(self) -> None:
        """Settings as they are kept: `30 kg` is a bag of 30000 g. The format of an older folder is not the lab's."""
        rows = self._rows(TABLES["settings"])
        rows.keep([at for at, name in enumerate(rows.columns.get("name", ())) if name != "format"])
        for at, row in enumerate(rows):
            name, value = row.values["name"], row.values["value"]
            if name not in SETTINGS:
                continue
            try:
                rows.change(at, {"value": check_value(TABLES["settings"]["value"], check_setting(name, value))})
            except BadInput as error:
                self.folder.fault("settings", row.line, "value", str(error))

    def _check_declared(self) -> None:
        """Hold readings, targets and declarations to what the lab and the folder declare together."""
        if not any(self._rows(TABLES[name]) for name in DECLARING):
            return
        declared = self._declared()
        for name in DECLARING:
            table = TABLES[name]
            rows = self._rows(table)
            for at in rows_to_hold(rows.as_columns(), declared):
                row = rows[at]
                row.values.update(declared.respelt(table, row.values))
                rows.change(at, row.values)
                there = self._there(table).get(key_of(table, row.values))
                values = row.values if there is None else row_values(there) | row.values
                for column, reason in declared.faults(table, values.get):
                    self.folder.fault(name, row.line, column, reason)
        lines: dict[tuple[str, str], tuple[str, int]] = {}
        for row in self._rows(TABLES["property_inputs"]):
            lines[fold_name(row.values["property"]), fold_name(row.values["input"])] = ("property_inputs", row.line)
            lines.setdefault((fold_name(row.values["property"]), ""), ("property_inputs", row.line))
        for row in self._rows(TABLES["properties"]):
            lines[fold_name(row.values["property"]), ""] = ("properties", row.line)
        for code in sorted({code for code, _ in lines} & declared.properties.keys()):
            for name, column, reason in declared.declaration_faults(code):
                file, line = lines.get((code, fold_name(name))) or lines[code, ""]
                self.folder.fault(file, line, column if name or file == "properties" else "", reason)

    def _declared(self) -> Declarations:
        """What the lab will have declared once the folder is in: its rows, with those of the folder over them."""
        merged: list[list[Any]] = []
        for name in ("properties", "property_inputs", "property_words"):
            table = TABLES[name]
            held = dict(self._there(table))
            for row in self._rows(table):
                key = key_of(table, row.values)
                there = held.get(key)
                held[key] = table.row(**row.values) if there is None else replace(there, **row.values)
            merged.append(list(held.values()))
        declared = Declarations.from_rows(*merged)
        for name, column in (("properties", "property"), ("property_inputs", "input")):
            # a declaration with a fault of its own is no reason to find fault with its readings
            faulty = [row.values[column] for row in self.folder.partial.get(name, ()) if row.values.get(column)]
            declared.known = declared.known | {fold_name(each): each for each in faulty}
        return declared

    def _check_parents(self) -> None:
        parents = {
            fold_name(row.values["body"]): (row, fold_name(row.values["parent"]))
            for row in self._rows(TABLES["bodies"])
            if row.values.get("parent")
        }
        for start in parents:
            at, steps = start, 0
            while at in parents and steps <= len(parents):
                at, steps = parents[at][1], steps + 1
            if steps > len(parents):
                row = parents[start][0]
                reason = f"{row.values['body']} comes from itself by way of its parents"
                self.folder.fault("bodies", row.line, "parent", reason)

    def _parents_first(self, rows: RowsRead, new: Sequence[int]) -> list[int]:
        own, parents = self._folded(rows, "body"), self._folded(rows, "parent") or [None] * len(rows)
        waiting = {own[at]: at for at in new}
        out: list[int] = []
        while waiting:
            ready = [code for code, at in waiting.items() if parents[at] is None or parents[at] not in waiting]
            # A circle is a fault already; its rows are never written.
            out += [waiting.pop(code) for code in ready or list(waiting)]
        return out


def _place(fault: Fault) -> tuple[int, int, str]:
    order = list(TABLES)
    name = fault.file.removesuffix(".csv")
    return (order.index(name) if name in order else -1, fault.line, fault.column)
