"""Taking a file into a lab: what it would do, and doing it in one act."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo

from claybench import clock
from claybench.errors import BadInput, Fault
from claybench.exchange.folder_in import ImportReport, check_in, take_in
from claybench.exchange.reading.layout import Layout, lay_out, with_materials
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.near_names import near_names
from claybench.exchange.reading.open_questions import folded_names, open_questions
from claybench.exchange.reading.questions import UNIT, TableQuestion
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_checks import row_doubts
from claybench.exchange.reading.row_marks import fill_dittos, rows_passed_over
from claybench.exchange.reading.row_parser import ParsedTable, RowParser
from claybench.exchange.reading.value_sources import sources_of
from claybench.record.lab import Lab
from claybench.record.read import Reader
from claybench.terms import TABLES, Material
from claybench.terms.naming import fold_name

_MOST_NOTES = 30
"""Rows passed over that are named one by one."""
_LISTED = ("families", "materials", "bodies", "lots")
"""Tables of which everything new is named before anything is written."""


def parse_rows(
    record: Reader,
    raw: RawTable,
    mapping: TableMapping,
    zone: tzinfo,
    now: datetime,
    *,
    stop: Callable[[], bool] = lambda: False,
) -> ParsedTable:
    """Every row, with every fault and every doubt; whether the lab takes them is checked by the import itself."""
    whole = lay_out(raw, mapping)
    held = folded_names([*record.names(Material)])
    mapping = with_materials(whole, mapping, held)
    parsed = ParsedTable(
        raw.path,
        layout=whole,
        mapping=mapping,
        here="the file",
        to_change="say that rows which are there already are changed",
    )
    try:
        parsed.sources = sources_of(whole, mapping, zone)
    except BadInput as error:
        parsed.faults.append(Fault(raw.path.name, whole.heading_row, error.field, str(error)))
        return parsed
    _pass_over(parsed, whole, mapping)
    for number in whole.long:
        if number not in parsed.passed:
            reason = (
                f"This row has more cells than the {len(whole.headings)} headings. "
                "Look for a delimiter inside a text or a number, or give every column a heading."
            )
            parsed.faults.append(Fault(raw.path.name, number, "", reason))
    rows = [row for row in _laid_out(parsed).rows if row[0] not in parsed.passed]
    parsed.questions += open_questions(whole, rows, mapping, parsed.sources, held)
    RowParser(record, parsed, mapping).run(stop)
    parsed.questions += near_names(record, parsed, mapping)
    _wait(parsed)
    _note(parsed, raw, mapping)
    if not mapping.anyway:
        for line, column, text in row_doubts(record, parsed, mapping, whole, now):
            parsed.doubt(line, column, text)
    return parsed


def _laid_out(parsed: ParsedTable) -> Layout:
    assert parsed.layout is not None
    return parsed.layout


def _pass_over(parsed: ParsedTable, whole: Layout, mapping: TableMapping) -> None:
    """Mark the rows that are none, and put what stands above in the place of ditto marks."""
    assert parsed.sources is not None
    own = [source for source in parsed.sources.plain.values() if source.target.column.kind == "code" and source.columns]
    table = mapping.kind.table
    own.sort(key=lambda source: source.target.name not in (table.code, *table.key))
    numbers = [
        number
        for source in (*parsed.sources.plain.values(), *parsed.sources.wide)
        if source.target.column.kind in ("number", "whole")
        for number in source.columns
    ]
    parsed.passed = rows_passed_over(whole.rows, [source.columns[0] for source in own], numbers, table.noun)
    parsed.passed |= dict.fromkeys(mapping.skip, "It was said to be left out.")
    rows, lost = fill_dittos(whole.rows, parsed.passed)
    parsed.layout = replace(whole, rows=rows)
    for (line, number), mark in lost.items():
        if line not in parsed.passed:
            reason = f"{mark} means what stands above, and nothing stands there. Write it out."
            parsed.faults.append(Fault(parsed.path.name, line, whole.headings[number], reason, mark))


def _wait(parsed: ParsedTable) -> None:
    """Rows whose meaning waits for an answer are not taken before it."""
    for question in parsed.questions:
        for line in question.lines:
            parsed.faults.append(Fault(parsed.path.name, line, question.column, question.text))


def _note(parsed: ParsedTable, raw: RawTable, mapping: TableMapping) -> None:
    layout, sources = parsed.layout, parsed.sources
    assert layout is not None and sources is not None
    if layout.short:
        some = "1 row has" if layout.short == 1 else f"{layout.short} rows have"
        parsed.notes.append(f"{some} fewer cells than headings; what is missing is taken as empty.")
    out = [heading for heading in layout.headings if heading not in mapping.columns]
    if out:
        parsed.notes.append(f"Left out: {', '.join(out)}.")
    for line, reason in sorted(parsed.passed.items())[:_MOST_NOTES]:
        if line not in mapping.skip:
            parsed.notes.append(f"Row {line} is passed over. {reason}")
    for name, spellings in parsed.as_one.items():
        parsed.notes.append(f"Taken as one: {', '.join([name, *sorted(spellings)])}.")
    unsigned = [
        f"{layout.headings[number]} in {source.unit}"
        for source in (*sources.plain.values(), *sources.wide)
        if source.unsigned
        for number in source.columns
    ]
    if unsigned and not any(each.name == UNIT for question in parsed.questions for each in question.answers):
        parsed.notes.append(f"No unit is written: taken as {', '.join(unsigned)}.")
    if not mapping.encoding and raw.encoding == "cp1252":
        parsed.notes.append("Taken as cp1252 (Windows, western): look whether é, ö and ° are right.")
    if not mapping.dates and sources.dates:
        parsed.notes.append(f"Dates: {sources.dates}, as one of them cannot be otherwise.")
    if not mapping.decimal and sources.decimal:
        parsed.notes.append(f"Decimal mark: the {sources.decimal}, as the numbers say.")


def new_names(record: Reader, parsed: ParsedTable) -> dict[str, list[str]]:
    """What the lab has not got yet and the rows bring, by table: what is listed, and what is merely named."""
    out: dict[str, list[str]] = {}
    for name in _LISTED:
        held = {fold_name(code) for code in record.codes(TABLES[name].row)}
        found: dict[str, str] = {}
        for table in TABLES.values():
            columns = [each.name for each in table.columns if each.refers == name]
            columns += [str(table.code)] if table.name == name else []
            for row in parsed.rows.get(table.name, ()):
                for code in filter(None, (row.values.get(column) for column in columns)):
                    if fold_name(code) not in held:
                        found.setdefault(fold_name(code), code)
        if found:
            out[name] = list(found.values())
    return out


@dataclass(frozen=True, slots=True)
class TablePreview:
    """A file as it will be understood, and what taking it in would do."""

    understood: ParsedTable
    report: ImportReport
    new: dict[str, list[str]]
    """Names that it would bring, by table."""

    @property
    def questions(self) -> list[TableQuestion]:
        """What can be read two ways."""
        return self.understood.questions

    @property
    def notes(self) -> list[str]:
        """What is asked, what was found out or left out, what is new, and what to look at."""
        asked = [question.sentence() for question in self.questions]
        return [*asked, *self.understood.notes, *self.new_text(), *self.report.notes]

    def new_text(self) -> list[str]:
        """What is new, a line for each table."""
        return [f"New {TABLES[name].name}: {', '.join(names)}." for name, names in self.new.items()]


def preview_table(
    lab: Lab, raw: RawTable, mapping: TableMapping, *, update: bool = False, stop: Callable[[], bool] = lambda: False
) -> TablePreview:
    """Every row as it will be understood, and every fault; nothing is written."""
    with lab.reading() as record:
        return preview_rows(
            record, raw, mapping, lab.zone, clock.in_zone(lab.now(), lab.zone), update=update, stop=stop
        )


def preview_rows(
    record: Reader,
    raw: RawTable,
    mapping: TableMapping,
    zone: tzinfo,
    now: datetime,
    *,
    update: bool = False,
    stop: Callable[[], bool] = lambda: False,
) -> TablePreview:
    """What `preview_table` says, of a lab that is being read already."""
    parsed = parse_rows(record, raw, mapping, zone, now, stop=stop)
    return TablePreview(parsed, check_in(record, parsed, update=update, now=now), new_names(record, parsed))


def import_table(
    lab: Lab,
    raw: RawTable,
    mapping: TableMapping,
    *,
    update: bool = False,
    who: str | None = None,
    before: Callable[[list[str]], None] = lambda notes: None,
) -> ImportReport:
    """The whole file in one act; `FaultyFolder` lists every fault, and then nothing was written.

    `before` is told what is asked, what was left out and what is new, before anything is written.
    """
    with lab.reading() as record:
        parsed = parse_rows(record, raw, mapping, lab.zone, clock.in_zone(lab.now(), lab.zone))
        before(TablePreview(parsed, ImportReport(), new_names(record, parsed)).notes)
    return take_in(lab, parsed, f"Read in {raw.path.name}", update=update, who=who)
