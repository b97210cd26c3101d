"""Row after row of a file turned into rows of the record."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from claybench.errors import BadInput, Fault
from claybench.exchange.folder_read import Folder, row_values
from claybench.exchange.reading.layout import Layout
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.material_columns import plain_number
from claybench.exchange.reading.questions import TableQuestion
from claybench.exchange.reading.row_kinds import RECIPE
from claybench.exchange.reading.value_sources import Carried, Given, Source, Sources, unit_hint
from claybench.exchange.rows_read import RowRead, RowsRead, key_of
from claybench.mix.recipe_line import read_recipe
from claybench.record.codec import check_value
from claybench.record.read import Reader
from claybench.terms import TABLES, Column, Material, Table
from claybench.terms.naming import MADE_WHEN_NAMED, Names, fold_name, join_with_or, spelling_key


@dataclass(slots=True)
class ParsedTable(Folder):
    """Rows of a file as they will be taken; faults name the file's own rows and headings."""

    layout: Layout | None = None
    sources: Sources | None = None
    notes: list[str] = field(default_factory=list)
    """What was found out or left out."""
    mapping: TableMapping | None = None
    """As it was settled for this lab."""
    passed: dict[int, str] = field(default_factory=dict)
    """Rows that are passed over, each with why."""
    tied: dict[int, set[int]] = field(default_factory=dict)
    """Rows that say other things of one thing: where one is wrong, nothing tells which."""
    owners: dict[int, str] = field(default_factory=dict)
    """The folded name of the body or batch that a row is one line of."""
    questions: list[TableQuestion] = field(default_factory=list)
    """What can be read two ways, and nobody said yet."""
    spelt: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    """Rows by each name that is new, by table."""
    as_one: dict[str, set[str]] = field(default_factory=dict)
    """Other spellings that were taken for a name."""

    doubts: int = 0
    """How many of the faults are doubts, which somebody may say are meant."""

    def doubt(self, line: int, heading: str, reason: str) -> None:
        """Note what speaks against a row that could be taken."""
        assert self.layout is not None
        number = self.layout.headings.index(heading) if heading in self.layout.headings else None
        cells = next((cells for at, cells in self._near(line)), None)
        typed = cells[number] if cells is not None and number is not None else ""
        self.faults.append(Fault(self.path.name, line, heading, reason, typed))
        self.doubts += 1

    def fault(self, table: str, line: int, column: str, reason: str) -> None:
        """Note something wrong where it stands in the file."""
        heading, typed = column, ""
        source = self._source(table, column)
        if source is not None and self.layout is not None and source.columns:
            heading = ", ".join(self.layout.headings[number] for number in source.columns)
            cells = next((cells for number, cells in self._near(line)), None)
            typed = source.cell_text(cells) if cells is not None else ""
            if source.unsigned:
                reason += unit_hint(source.target.column, plain_number(typed))
        elif source is not None and source.constant is not None:
            heading, typed = f"{column} of every row", str(source.constant)
        self.faults.append(Fault(self.path.name, line, heading, reason, typed))

    def _source(self, table: str, column: str) -> Source | None:
        if self.sources is None:
            return None
        plain = self.sources.plain
        return plain.get(f"{table}.{column}") or plain.get(column)

    def _near(self, line: int) -> Iterator[tuple[int, tuple[str, ...]]]:
        """The row of that number; rows are in order, so it is not far from that place."""
        assert self.layout is not None
        rows = self.layout.rows
        low, high = 0, len(rows)
        while low < high:
            middle = (low + high) // 2
            if rows[middle][0] < line:
                low = middle + 1
            else:
                high = middle
        if low < len(rows) and rows[low][0] == line:
            yield rows[low]


_LOOK_EVERY = 200
"""Rows between looks whether anybody still wants the answer."""


class Stopped(Exception):
    """Nobody wants the answer any more."""


def _is_own(text: str) -> bool:
    """Whether a row says it itself."""
    return bool(text.strip()) and not isinstance(text, Given | Carried)


class RowParser:
    """Turns row after row into rows of the record."""

    def __init__(self, record: Reader, parsed: ParsedTable, mapping: TableMapping) -> None:
        assert parsed.layout is not None and parsed.sources is not None
        self.record, self.parsed, self.mapping = record, parsed, mapping
        self.layout, self.sources, self.kind = parsed.layout, parsed.sources, mapping.kind
        self.seen: dict[str, dict[tuple[Any, ...], RowRead]] = {name: {} for name in TABLES}
        self.filled: dict[str, list[tuple[Column, str, Source]]] = {}
        self.lines: dict[tuple[Any, ...], int] = {}
        self.above: dict[str, str] = {}
        self.above_cells: dict[int, str] = {}
        self.held: dict[tuple[Any, ...], Any] = {}
        self.positions: dict[str, int] = {}
        self.materials = record.names(Material)
        self.held_names: dict[str, Names] = {name: record.names(TABLES[name].row) for name in MADE_WHEN_NAMED}
        self.first_spelt: dict[tuple[str, object], str] = {
            (name, spelling_key(held)): held for name, names in self.held_names.items() for held in names
        }
        self.said_names = {fold_name(typed): name for typed, name in mapping.names.items()}

    def run(self, stop: Callable[[], bool]) -> None:
        if not self._has_key():
            return
        self.held = self._there()
        for count, (line, cells) in enumerate(self.layout.rows):
            if count % _LOOK_EVERY == 0 and stop():
                raise Stopped
            if line not in self.parsed.passed:
                self._row(line, cells)
        if self.mapping.name_new:
            self._name_new()
        for name, rows in self.seen.items():
            if rows:
                self.parsed.rows[name] = RowsRead.from_rows(TABLES[name], list(rows.values()))
        if not self.parsed.rows and not self.parsed.faults:
            file, at = self.parsed.path.name, self.layout.heading_row
            self.parsed.faults.append(
                Fault(file, at, "", "No row under the headings says anything in the columns chosen.")
            )

    def _has_key(self) -> bool:
        """What every row needs is in the mapping, or stands in the lab for rows it has already."""
        table = self.kind.table
        needed = [name for name in table.key if table[name].required and name != "position"]
        lacking = [name for name in needed if name not in self.sources.plain]
        for name in lacking:
            reason = f"No column goes to {name} ({table[name].label}). Choose one, or give it for every row."
            self.parsed.faults.append(Fault(self.parsed.path.name, self.layout.heading_row, name, reason))
        return not lacking

    def _there(self) -> dict[tuple[Any, ...], Any]:
        """Rows of the lab, where the file lacks what a new row would need."""
        table = self.kind.table
        if all(column.name in self.sources.plain for column in table.columns if column.required):
            return {}
        return {
            key_of(table, {name: getattr(row, name) for name in table.key}): row for row in self.record.rows(table.row)
        }

    def _row(self, line: int, cells: tuple[str, ...]) -> None:
        texts = self._texts(cells)
        wide = [(source, source.cell_text(cells)) for source in self.sources.wide]
        own = [text for text in texts.values() if text.strip() and not isinstance(text, Given)]
        if not own and not any(text.strip() for _, text in wide):
            return
        if lacking := self._lacks_datum(texts):
            self.parsed.passed[line] = lacking
            return
        if self.kind.table.key[-1] == "position":
            self.parsed.owners[line] = fold_name(texts.get(self.kind.table.key[0], ""))
        primary = self._make(self.kind.table, line, texts)
        if primary is None:  # look for every fault all the same
            for name in self.kind.tables[1:]:
                self._further(TABLES[name], line, texts)
            held = self.parsed.partial.get(self.kind.table.name, ())
            if held and held[-1].line == line and all(name in held[-1].values for name in self.kind.table.key):
                self._only_once(line, held[-1].values, False)
            return
        self._keep(self.kind.table, line, primary)
        further = [self._further(TABLES[name], line, texts) for name in self.kind.tables[1:]]
        self._only_once(line, primary, any(further))
        if wide:
            self._spread(line, primary, wide)
        if texts.get(RECIPE, "").strip():
            self._unfold(line, primary, texts[RECIPE])

    def _lacks_datum(self, texts: dict[str, str]) -> str:
        """Why a row says nothing that was measured, whatever holds for every row; empty where it does."""
        table, names = self.kind.table, self.kind.datum
        always = [self.sources.plain[name] for name in self.kind.always if name in self.sources.plain]
        own_key = self.kind.named_alone and all(_is_own(texts.get(name, "")) for name in table.key)
        if any(source.columns for source in always) or own_key or any(_is_own(texts.get(name, "")) for name in names):
            return ""
        labels = join_with_or(table[name].label for name in names[:3]) if names else ""
        return f"No {labels} stands here: nothing was measured, and nothing is made of it." if names else ""

    def _only_once(self, line: int, values: dict[str, Any], more: bool) -> None:
        """A row that stands there twice, unless it says something more, such as another firing."""
        table = self.kind.table
        before = self.lines.setdefault(key_of(table, values), line)
        if before != line and not more:
            reason = f"The same {table.noun} stands in row {before} already. Take one of the two out."
            self.parsed.fault(table.name, line, table.key[0], reason)

    def _texts(self, cells: tuple[str, ...]) -> dict[str, str]:
        texts: dict[str, str] = {}
        for name, source in self.sources.plain.items():
            text = source.cell_text(self._carried(source, cells) if len(source.columns) > 1 else cells)
            if self.sources.says_nothing(source.target.column, text):
                text = ""
            if source.fill_down and len(source.columns) == 1:
                text = text if text.strip() else Carried(self.above.get(name, ""))
                self.above[name] = str(text)
            texts[name] = text
        return texts

    def _carried(self, source: Source, cells: tuple[str, ...]) -> tuple[str, ...]:
        """The cells of a row, those that mean what stands above filled: a day that is written once for many times."""
        filled = list(cells)
        for number in source.columns:
            to = self.mapping.columns.get(self.layout.headings[number])
            if to is not None and to.fill_down:
                filled[number] = filled[number] if filled[number].strip() else self.above_cells.get(number, "")
                self.above_cells[number] = filled[number]
        return tuple(filled)

    def _make(self, table: Table, line: int, texts: dict[str, str]) -> dict[str, Any] | None:
        """Values of a row of one table; what is empty is left as it is in the lab."""
        filled = self.filled.get(table.name) or self.filled.setdefault(table.name, self._filled(table))
        cells = {
            column.name: texts.get(name, "")
            for column, name, _ in filled
            if column.required or texts.get(name, "").strip()
        }
        self._fill_in(table, cells)
        sources = {column.name: source for column, _, source in filled}

        def read(column: Column, text: str) -> Any:
            return self.sources.read(sources[column.name], column, text)

        values = row_values(self.parsed, table, line, cells, read)
        if values is None:
            return None
        made = {name: value for name, value in values.items() if value is not None}
        for column in table.references():
            if column.refers in MADE_WHEN_NAMED and column.name in made:
                made[column.name] = self._settle_name(column.refers, made[column.name], line)
        if table.name in MADE_WHEN_NAMED:
            code = str(table.code)
            made[code] = self.said_names.get(fold_name(made[code]), made[code])
        return made

    def _settle_name(self, table: str, typed: str, line: int) -> str:
        """A name as the lab or the first row writes it, where only blanks, hyphens or capitals differ."""
        name = " ".join(typed.split())
        name = self.said_names.get(fold_name(name), name)
        names = self.held_names[table]
        if held := names.spelt(name):
            return held
        if fold_name(typed) in self.said_names:
            return name
        first = self.first_spelt.setdefault((table, spelling_key(name)), name)
        if fold_name(first) != fold_name(name):
            self.parsed.as_one.setdefault(first, set()).add(name)
        if not names.spelt(first):
            self.parsed.spelt.setdefault(table, {}).setdefault(first, []).append(line)
        return first

    def _filled(self, table: Table) -> list[tuple[Column, str, Source]]:
        """The columns of a table that this file may fill, each with the name of its text and what fills it.

        A plain name is the row's own table's; codes and keys are shared with the tables that come with it.
        """
        targets, out = self.kind.targets(), []
        for column in table.columns:
            own = f"{table.name}.{column.name}"
            name = own if own in targets else column.name
            target = targets.get(name)
            shared = column.kind == "code" or column.name in table.key
            if target is not None and (target.table == table.name or shared):
                out.append((column, name, self.sources.plain.get(name, Source(target))))
        return out

    def _fill_in(self, table: Table, cells: dict[str, str]) -> None:
        """Position by counting; what a row of the lab has already and this file does not say."""
        if table.name == "body_lines" and not cells.get("position", "").strip():
            cells["position"] = Given(self._next_position(cells.get("body", "")))
        if table.name == "batch_lines" and not cells.get("position", "").strip():
            cells["position"] = Given(self._next_position(cells.get("batch", "")))
        if table is not self.kind.table or not self.held or table.code is None:
            return
        held = self.held.get((fold_name(cells.get(table.code, "")),))
        for column in table.columns:
            if held is not None and column.required and not cells.get(column.name, "").strip():
                del cells[column.name]

    def _next_position(self, owner: str) -> str:
        self.positions[fold_name(owner)] = self.positions.get(fold_name(owner), 0) + 1
        return str(self.positions[fold_name(owner)])

    def _further(self, table: Table, line: int, texts: dict[str, str]) -> bool:
        """A row of a table that comes with the row's own, where the file says anything of it; True where it is new."""
        given = [
            name
            for name, source in self.sources.plain.items()
            if source.target.table == table.name and _is_own(texts[name]) and name not in table.key
        ]
        # what holds for every row, or stands above, is no word on this one: a bar was not fired for that
        apart = [name for name in table.key if name not in self.kind.table.key or name == table.code]
        named = all(texts.get(name, "").strip() for name in table.key) and (
            table.name in self.kind.makes or all(_is_own(texts[name]) for name in apart)
        )
        wanted = bool(given) or (named and (table.code is None or table.name in self.kind.makes))
        if not wanted:
            return False
        values = self._make(table, line, texts)
        return values is not None and self._keep(table, line, values)

    def _keep(self, table: Table, line: int, values: dict[str, Any]) -> bool:
        """Note a row; one with the same key has to agree with it. True where it is the first."""
        key = key_of(table, values)
        before = self.seen[table.name].get(key)
        if before is None:
            self.seen[table.name][key] = RowRead(line, values)
            return True
        for name, value in values.items():
            held = before.values.get(name, value)
            if held != value and not (table[name].kind == "code" and fold_name(str(held)) == fold_name(str(value))):
                self.parsed.fault(table.name, line, name, f"Row {before.line} says {held} of the same {table.noun}.")
                self.parsed.tied.setdefault(line, set()).add(before.line)
        before.values.update({name: value for name, value in values.items() if name not in before.values})
        return False

    def _spread(self, line: int, primary: dict[str, Any], wide: list[tuple[Source, str]]) -> None:
        """A row for each material that has a column of its own; nothing and zero are no line."""
        assert self.kind.wide is not None
        name, named, value = self.kind.wide
        table, owner = TABLES[name], str(self.kind.table.code)
        for source, text in wide:
            if not text.strip():
                continue
            heading = self.layout.headings[source.columns[0]]
            try:
                amount = self.sources.read(source, table[value], text)
            except BadInput as error:
                self.parsed.faults.append(Fault(self.parsed.path.name, line, heading, str(error), text))
                continue
            if amount:
                place = int(self._next_position(primary[owner]))
                made = {owner: primary[owner], "position": place, named: source.name, value: amount}
                self._line(table, line, heading, made, text)

    def _unfold(self, line: int, primary: dict[str, Any], text: str) -> None:
        """A row for each material of a recipe that stands in one cell."""
        source = self.sources.plain[RECIPE]
        heading = self.layout.headings[source.columns[0]] if source.columns else RECIPE
        try:
            lines = read_recipe(text, self.materials)
        except BadInput as error:
            self.parsed.faults.append(Fault(self.parsed.path.name, line, heading, str(error), text))
            return
        for material, parts in lines:
            place = int(self._next_position(primary["body"]))
            made = {"body": primary["body"], "position": place, "material": material, "parts": parts}
            self._line(TABLES["body_lines"], line, heading, made, text)

    def _line(self, table: Table, line: int, heading: str, made: dict[str, Any], text: str) -> None:
        """One line of a recipe or of what was weighed, checked as any other row."""
        try:
            checked = {name: check_value(table[name], value) for name, value in made.items()}
        except BadInput as error:
            self.parsed.faults.append(Fault(self.parsed.path.name, line, heading, str(error), text))
            return
        checked["material"] = self._settle_name("materials", checked["material"], line)
        self._keep(table, line, checked)

    def _name_new(self) -> None:
        """Bodies and firings that are named, and neither listed nor in the lab, with their code alone."""
        for name in ("bodies", "firings"):
            code = str(TABLES[name].code)
            there = {fold_name(held) for held in self.record.codes(TABLES[name].row)}
            for table in TABLES.values():
                for column in table.references():
                    if column.refers != name:
                        continue
                    for row in list(self.seen[table.name].values()):
                        held = row.values.get(column.name)
                        if held is not None and fold_name(held) not in there:
                            self.seen[name].setdefault((fold_name(held),), RowRead(row.line, {code: held}))
