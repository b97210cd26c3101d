"""Taking a lab folder into a lab: all of it in one act, or nothing with every fault listed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from claybench import clock
from claybench.acts.any_row import row_values
from claybench.acts.import_notes import notes_on_layers, notes_on_rows
from claybench.errors import BadInput, Fault, FaultyFolder
from claybench.exchange.cells import format_value
from claybench.exchange.folder_read import Folder, RowRead, key_of, read_folder
from claybench.quantity.setting import check_setting
from claybench.record.act import Writer
from claybench.record.allowed_readings import DECLARING, Declarations
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import SETTINGS, TABLES, Lot, Table
from claybench.terms.naming import ASKED_ABOUT, fold_name, near_name_notes

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


Planned = tuple[list[Any], list[tuple[Any, dict[str, Any]]]]
"""New rows in the order to add them, and changes by key."""


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
        self.plans: list[tuple[Table, Planned]] = []
        self._check()

    def _check(self) -> None:
        for name, table in TABLES.items():
            if table.code is not None:
                rows = [*self._rows(table), *self.folder.partial.get(name, ())]
                self.listed[name] = {fold_name(row.values[table.code]) for row in rows if table.code in row.values}
                self.held[name] = {fold_name(code) for code in self.record.codes(table.row)}
        fresh = not any(self.record.count(table.row) for name, table in TABLES.items() if name != "settings")
        self._check_settings()
        self._check_declared()
        made = self._name_missing()
        for table in TABLES.values():
            new, changes = self._plan(table, fresh)
            rows = [*made.get(table.name, []), *new]
            self.plans.append((table, (rows, changes)))
            self._note_names(table, made.get(table.name, []), new)
            if rows:
                self.report.added[table.name] = len(rows)
            if changes:
                self.report.changed[table.name] = len(changes)
        for name, partial in self.folder.partial.items():
            for row in partial:
                self._check_references(TABLES[name], row)
        self._check_parents()
        self.folder.faults.sort(key=_place)
        if not self.folder.faults:
            added = {table.name: rows for table, (rows, _) in self.plans if rows}
            self.report.notes += notes_on_rows(added, self.now)

    def new_codes(self, name: str) -> list[str]:
        """Codes of the rows that were added to a table."""
        rows = next((rows for table, (rows, _) in self.plans if table.name == name), [])
        return [getattr(row, str(TABLES[name].code)) for row in rows]

    def write(self, act: Writer) -> ImportReport:
        """Everything, or nothing where there is a fault."""
        if self.folder.faults:
            raise FaultyFolder(self.folder.faults)
        for table, (rows, changes) in self.plans:
            act.add_many(rows)
            for key, values in changes:
                act.change(table.row, key, values)
        return self.report

    def _rows(self, table: Table) -> list[RowRead]:
        return self.folder.rows.get(table.name, [])

    def _plan(self, table: Table, fresh: bool) -> Planned:
        there = self._there(table) if self._rows(table) else {}
        retired = {fold_name(code) for code in self.record.retired(table.row)} if table.code else set()
        new: list[RowRead] = []
        changes: list[tuple[Any, dict[str, Any]]] = []
        for row in self._rows(table):
            self._check_references(table, row)
            current = there.get(key_of(table, row.values))
            if current is None:
                if table.code and fold_name(row.values[table.code]) in retired:
                    reason = f"'{row.values[table.code]}' was used before; codes are never given out again"
                    self.folder.fault(table.name, row.line, table.code, reason)
                new.append(row)
                continue
            different = self._different(table, row, current)
            if not different:
                self.report.unchanged[table.name] = self.report.unchanged.get(table.name, 0) + 1
            elif self.update or (table.name == "settings" and fresh):
                key = tuple(getattr(current, name) for name in table.key)
                changes.append((key[0] if table.code else key, different))
            else:
                name = next(iter(different))
                held = format_value(getattr(current, name)) or "nothing"
                wanted = format_value(different[name]) or "nothing"
                reason = f"the lab has {held} here, the file {wanted}; {self.folder.to_change}"
                self.folder.fault(table.name, row.line, name, reason)
        ordered = self._parents_first(new) if table.name == "bodies" else new
        return [table.row(**row.values) for row in ordered], changes

    def _there(self, table: Table) -> dict[tuple[Any, ...], Any]:
        """The lab's rows of one table by their keys."""
        if table.name not in self.there:
            rows = self.record.rows(table.row)
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

    def _check_references(self, table: Table, row: RowRead) -> None:
        for column in table.references():
            code = row.values.get(column.name)
            if code is None or column.refers in _NAMED:
                continue
            if fold_name(code) not in self.listed[column.refers] and fold_name(code) not in self.held[column.refers]:
                noun = TABLES[column.refers].noun
                reason = f"there is no {noun} '{code}' in {self.folder.here} or in the lab"
                self.folder.fault(table.name, row.line, column.name, reason)

    def _name_missing(self) -> dict[str, list[Any]]:
        """Rows for families, materials and lots that are named but listed nowhere."""
        made: dict[str, dict[str, Any]] = {name: {} for name in _NAMED}
        retired = {name: {fold_name(code) for code in self.record.retired(TABLES[name].row)} for name in _NAMED}
        for table in TABLES.values():
            columns = [column for column in table.references() if column.refers in _NAMED]
            for row in self._rows(table) if columns else ():
                for column in columns:
                    code = row.values.get(column.name)
                    if code is None:
                        continue
                    target, folded = column.refers, fold_name(code)
                    if folded in self.listed[target] or folded in self.held[target] or folded in made[target]:
                        continue
                    if folded in retired[target]:
                        reason = f"'{code}' was used before; codes are never given out again"
                        self.folder.fault(table.name, row.line, column.name, reason)
                        continue
                    made[target][folded] = self._named(table, row, column.name, target, code)
        return {name: [row for row in rows.values() if row is not None] for name, rows in made.items()}

    def _note_names(self, table: Table, named: list[Any], listed: list[Any]) -> None:
        """New names that are near to one of the lab's; those that are merely named, to one that is listed as well."""
        if table.name not in ASKED_ABOUT or not (named or listed):
            return
        code, names = str(table.code), self.record.names(table.row)
        own = [getattr(row, code) for row in listed]
        self.report.notes += near_name_notes(own, names, among=False)
        self.report.notes += near_name_notes((getattr(row, code) for row in named), names.and_also(own))

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
        rows[:] = [row for row in rows if row.values["name"] != "format"]
        for row in rows:
            name, value = row.values["name"], row.values["value"]
            if name not in SETTINGS:
                continue
            try:
                row.values["value"] = check_setting(name, value)
            except BadInput as error:
                self.folder.fault("settings", row.line, "value", str(error))

    def _check_declared(self) -> None:
        """Hold readings, targets and declarations to what the lab and the folder declare together."""
        if not any(self._rows(TABLES[name]) for name in DECLARING):
            return
        declared = self._declared()
        for name in DECLARING:
            table = TABLES[name]
            for row in self._rows(table):
                row.values.update(declared.respelt(table, row.values))
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

    @staticmethod
    def _parents_first(rows: Iterable[RowRead]) -> list[RowRead]:
        waiting = {fold_name(row.values["body"]): row for row in rows}
        out: list[RowRead] = []
        while waiting:
            ready = [
                key
                for key, row in waiting.items()
                if not row.values.get("parent") or fold_name(row.values["parent"]) not in waiting
            ]
            # A circle is a fault already; its rows are never written.
            for key in ready or list(waiting):
                out.append(waiting.pop(key))
        return out


def _place(fault: Fault) -> tuple[int, int, str]:
    order = list(TABLES)
    name = fault.file.removesuffix(".csv")
    return (order.index(name) if name in order else -1, fault.line, fault.column)
