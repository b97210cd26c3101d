"""Rows held against what stands beside them: parts against their total or a hundred, stated percentages against the
readings they follow from, and whatever a form would ask about. A doubt is a fault until somebody says it is meant.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from claybench.acts.import_notes import doubts_on_rows
from claybench.errors import BadInput
from claybench.exchange.reading.cell_values import parse_cell_number
from claybench.exchange.reading.headings import fold_heading, split_heading
from claybench.exchange.reading.layout import Layout, sort_materials
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.material_columns import TOTALS, comes_to
from claybench.exchange.reading.row_marks import is_summary
from claybench.exchange.reading.row_parser import ParsedTable
from claybench.exchange.reading.value_sources import Sources, unit_hint
from claybench.exchange.rows_read import RowRead, key_of
from claybench.measure.properties.built_in import BUILT_IN
from claybench.measure.properties.declaration import Property
from claybench.quantity.shown import plain, show
from claybench.record.read import Reader
from claybench.terms import TABLE_OF, TABLES, Piece, Run, Slab
from claybench.terms.naming import fold_name, join_with_or
from claybench.terms.row_columns import RowColumns

_NEAR_HUNDRED, _NEARER_HUNDRED = (50.0, 150.0), (80.0, 120.0)
"""What parts come to that are meant as per cent: where most recipes of the table are, and where this one stands alone;
common practice, no source."""
_WEIGHED_SLACK = 0.03
"""Share by which masses may be off the dry mass beside them: moisture, and what stays in the scoop; common practice,
no source."""
_PERCENT_SLACK = 0.2
"""What a percentage may be off the readings it follows from, besides its own rounding; common practice, no source."""
_MOST_ADDED = 20.0
"""Parts over a hundred that are additions; common practice, no source."""
Doubt = tuple[int, str, str]
"""A row, the heading it is about, and what speaks against it."""


def row_doubts(
    record: Reader, parsed: ParsedTable, mapping: TableMapping, passed_rows: Layout, now: datetime
) -> list[Doubt]:
    """Everything that speaks against a row; `passed_rows` is the table with the rows that are passed over."""
    assert parsed.layout is not None and parsed.sources is not None
    return [
        *_sums(parsed, mapping, passed_rows),
        *_percentages(parsed, parsed.layout, parsed.sources, mapping),
        *_asked(record, parsed, now),
    ]


# -- parts ------------------------------------------------------------------------------------------


def _sums(parsed: ParsedTable, mapping: TableMapping, whole: Layout) -> Iterator[Doubt]:
    lines: dict[str, list[RowRead]] = defaultdict(list)
    name, value = ("batch_lines", "mass_g") if mapping.kind.name in ("batches", "weights") else ("body_lines", "parts")
    owner = TABLES[name].key[0]
    for row in parsed.rows.get(name, ()):
        lines[fold_name(row.values[owner])].append(row)
    if not lines:
        return
    sums = {code: sum(row.values[value] for row in rows) for code, rows in lines.items()}
    stated = _stated_totals(parsed, mapping, whole, lines)
    if name == "batch_lines":
        for row in parsed.rows.get("batches", ()):
            code, dry = fold_name(row.values["batch"]), row.values.get("dry_mass_g")
            if code in sums and dry and abs(sums[code] / dry - 1) > _WEIGHED_SLACK:
                yield (
                    row.line,
                    "",
                    f"Its materials come to {show(sums[code], 'g')}, and {show(dry, 'g')} of dry clay is said.",
                )
    weighed = any(source.unit != "1" for source in (parsed.sources.wide if parsed.sources else ()))
    hundreds = sum(comes_to(total, 100.0) for total in sums.values())
    mostly = len(sums) > 1 and hundreds >= 0.5 * len(sums)
    for code, total in sums.items():
        rows, said = lines[code], stated.get(code)
        if said is not None:
            wrong = not comes_to(total, said)
            text = f"Its parts come to {plain(total)}, and the total beside them says {plain(said)}."
        elif name == "batch_lines" or weighed:
            continue
        else:
            low, high = _NEAR_HUNDRED if mostly else _NEARER_HUNDRED
            wrong = low <= total <= high and not comes_to(total, 100.0) and not _has_additions(rows, value)
            text = f"Its parts come to {plain(total)}, not to 100."
        if wrong:
            yield from ((line, "", text) for line in dict.fromkeys(row.line for row in rows))


def _has_additions(rows: Sequence[RowRead], value: str) -> bool:
    """Whether the first materials make a hundred, and the rest is added to it."""
    total = 0.0
    for row in rows:
        total += row.values[value]
        if comes_to(total, 100.0):
            return bool(sum(each.values[value] for each in rows) - total <= _MOST_ADDED)
    return False


def _stated_totals(
    parsed: ParsedTable, mapping: TableMapping, whole: Layout, lines: Mapping[str, Sequence[RowRead]]
) -> dict[str, float]:
    """What a column or a row of totals says of each body or batch."""
    assert parsed.layout is not None and parsed.sources is not None
    out: dict[str, float] = {}
    owner_of = {row.line: code for code, rows in lines.items() for row in rows}
    column = sort_materials(parsed.layout, mapping, ()).total
    if column is None and mapping.kind.one_cell:
        folded = [fold_heading(split_heading(heading)[0]) for heading in parsed.layout.headings]
        column = next((n for n, name in enumerate(folded) if name in TOTALS), None)
    if column is not None:
        for line, cells in parsed.layout.rows:
            number = _number(cells[column], parsed.sources)
            if line in owner_of and number is not None:
                out[owner_of[line]] = number
    source = parsed.sources.plain.get("parts") or parsed.sources.plain.get("mass_g")
    if mapping.kind.table.code is not None or source is None or not source.columns:
        return out
    owner = ""
    for line, cells in whole.rows:
        if line in owner_of:
            owner = owner_of[line]
        elif line in parsed.passed and owner and any(is_summary(cell) for cell in cells):
            number = _number(cells[source.columns[0]], parsed.sources, source.unit, source.want)
            if number is not None:
                out[owner] = number
    return out


# -- percentages ------------------------------------------------------------------------------------


def _percentages(parsed: ParsedTable, layout: Layout, sources: Sources, mapping: TableMapping) -> Iterator[Doubt]:
    """Columns that go nowhere and are called as a property: what they say against the readings in the same row."""
    stated = {
        number: declared
        for number, heading in enumerate(layout.headings)
        if heading not in mapping.columns and (declared := _properties(heading, layout.units.get(number, "")))
    }
    if not stated:
        return
    readings: dict[int, dict[str, float]] = defaultdict(dict)
    for name in ("pieces", "fired"):
        for row in parsed.rows.get(name, ()):
            readings[row.line].update({key: each for key, each in row.values.items() if isinstance(each, int | float)})
    for line, cells in layout.rows:
        if line not in readings:
            continue
        worked_out = BUILT_IN.values_of(readings[line])
        for number, declared in stated.items():
            said = _number(cells[number], sources)
            values = [worked_out[each.name] for each in declared if each.name in worked_out]
            if said is None or not values:
                continue
            digits = len(cells[number].strip().rstrip("% ").replace(",", ".").partition(".")[2])
            if all(abs(said - value) > _PERCENT_SLACK + 0.5 * 10.0**-digits for value in values):
                by_readings = join_with_or(show(value, "%", digits=1) for value in values)
                yield line, layout.headings[number], f"It says {plain(said)}, and its readings make {by_readings}."


def _properties(heading: str, under: str) -> list[Property]:
    """The percentages of readings that a heading may be called as: `shrinkage` alone may be any of them."""
    name, unit = split_heading(heading)
    if (unit or under) not in ("", "%"):
        return []
    folded = fold_heading(name)
    found = []
    for declared in BUILT_IN.values():
        words = {fold_heading(word) for word in (declared.title, declared.short, *declared.aliases)}
        part = folded and set(folded.split()) <= set(fold_heading(declared.title).split())
        if declared.unit == "%" and declared.formulas and (folded in words or part):
            found.append(declared)
    return found


def _number(text: str, sources: Sources, unit: str = "1", want: str = "1") -> float | None:
    try:
        return parse_cell_number(text.strip().removesuffix("%").strip(), sources.decimal, unit, want)
    except BadInput:
        return None


# -- what a form would ask --------------------------------------------------------------------------


def _asked(record: Reader, parsed: ParsedTable, now: datetime) -> Iterator[Doubt]:
    """Unusual values and contradictions, each at its row; pieces and slabs of the lab stand beside what is said of them
    here."""
    lines: dict[str, list[int]] = {}
    rows: dict[str, list[Any]] = {}
    for name, read in parsed.rows.items():
        table = TABLES[name]
        there: dict[tuple[Any, ...], Any] = {}
        if any(column.required and column.name not in row.values for row in read for column in table.columns):
            held = record.rows(table.row)
            there = {key_of(table, {key: getattr(row, key) for key in table.key}): row for row in held}
        for row in read:
            own = there.get(key_of(table, row.values))
            values = {**({name: getattr(own, name) for name in table.names} if own is not None else {}), **row.values}
            if all(column.name in values for column in table.columns if column.required):
                rows.setdefault(name, []).append(table.row(**values))
                lines.setdefault(name, []).append(row.line)
    _beside_lab(record, rows)
    columns = {name: RowColumns.from_rows(TABLES[name], own) for name, own in rows.items()}
    for doubt in doubts_on_rows(columns, now):
        name, question = doubt.table, doubt.question
        if doubt.at >= len(lines.get(name, ())):
            continue  # a row of the lab
        column = TABLES[name][question.field] if question.field in TABLES[name].names else None
        hint = unit_hint(column, columns[name].column(column.name)[doubt.at]) if column is not None else ""
        yield lines[name][doubt.at], _heading(parsed, name, question.field), question.text + hint


def _beside_lab(record: Reader, rows: dict[str, list[Any]]) -> None:
    """Add the lab's pieces, slabs and layers of which something is told here, behind those listed."""
    for name, table, code in (("fired", Piece, "piece"), ("slab_log", Slab, "slab"), ("checks", Run, "run")):
        owners = TABLE_OF[table].name
        listed = {fold_name(getattr(row, code)) for row in rows.get(owners, ())}
        wanted = {fold_name(getattr(row, code)) for row in rows.get(name, ())} - listed
        if wanted:
            held = [row for row in record.rows(table) if fold_name(getattr(row, code)) in wanted]
            rows.setdefault(owners, []).extend(held)


def _heading(parsed: ParsedTable, table: str, column: str) -> str:
    assert parsed.sources is not None and parsed.layout is not None
    source = parsed.sources.plain.get(f"{table}.{column}") or parsed.sources.plain.get(column)
    return parsed.layout.headings[source.columns[0]] if source is not None and source.columns else column
