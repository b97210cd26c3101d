"""Taking a file into a lab: what it would do, and doing it in one act."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import tzinfo

from claybench import clock
from claybench.errors import BadInput, Fault
from claybench.exchange.folder_in import ImportReport, check_in, take_in
from claybench.exchange.reading.layout import lay_out
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_parser import ParsedTable, RowParser
from claybench.exchange.reading.value_sources import sources_of
from claybench.record.lab import Lab
from claybench.record.read import Reader


def parse_rows(
    record: Reader, raw: RawTable, mapping: TableMapping, zone: tzinfo, *, stop: Callable[[], bool] = lambda: False
) -> ParsedTable:
    """Every row, with every fault of form; whether the lab takes them is checked by the import itself."""
    layout = lay_out(raw, mapping)
    parsed = ParsedTable(
        raw.path, layout=layout, here="the file", to_change="say that rows which are there already are changed"
    )
    try:
        parsed.sources = sources_of(layout, mapping, zone)
    except BadInput as error:
        parsed.faults.append(Fault(raw.path.name, layout.heading_row, error.field, str(error)))
        return parsed
    for number in layout.long:
        parsed.faults.append(
            Fault(
                raw.path.name,
                number,
                "",
                f"This row has more cells than the {len(layout.headings)} headings. "
                "Look for a delimiter inside a text or a number, or give every column a heading.",
            )
        )
    _note(parsed, raw, mapping)
    RowParser(record, parsed, mapping).run(stop)
    return parsed


def _note(parsed: ParsedTable, raw: RawTable, mapping: TableMapping) -> None:
    layout, sources = parsed.layout, parsed.sources
    assert layout is not None and sources is not None
    if layout.short:
        some = "1 row has" if layout.short == 1 else f"{layout.short} rows have"
        parsed.notes.append(f"{some} fewer cells than headings; what is missing is taken as empty.")
    out = [heading for heading in layout.headings if heading not in mapping.columns]
    if out:
        parsed.notes.append(f"Left out: {', '.join(out)}.")
    if not mapping.encoding and raw.encoding == "cp1252":
        parsed.notes.append("Taken as cp1252 (Windows, western): look whether é, ö and ° are right.")
    if not mapping.dates and sources.dates:
        parsed.notes.append(f"Dates: {sources.dates}, as one of them cannot be otherwise.")
    if not mapping.decimal and sources.decimal:
        parsed.notes.append(f"Decimal mark: the {sources.decimal}, as the numbers say.")


@dataclass(frozen=True, slots=True)
class TablePreview:
    """A file as it will be understood, and what taking it in would do."""

    understood: ParsedTable
    report: ImportReport

    @property
    def notes(self) -> list[str]:
        """What was found out or left out, and what to look at."""
        return [*self.understood.notes, *self.report.notes]


def preview_table(
    lab: Lab, raw: RawTable, mapping: TableMapping, *, update: bool = False, stop: Callable[[], bool] = lambda: False
) -> TablePreview:
    """Every row as it will be understood, and every fault; nothing is written."""
    zone: tzinfo = lab.zone
    with lab.reading() as record:
        parsed = parse_rows(record, raw, mapping, zone, stop=stop)
        return TablePreview(parsed, check_in(record, parsed, update=update, now=clock.in_zone(lab.now(), zone)))


def import_table(
    lab: Lab, raw: RawTable, mapping: TableMapping, *, update: bool = False, who: str | None = None
) -> ImportReport:
    """The whole file in one act; `FaultyFolder` lists every fault, and then nothing was written."""
    with lab.reading() as record:
        parsed = parse_rows(record, raw, mapping, lab.zone)
    return take_in(lab, parsed, f"Read in {raw.path.name}", update=update, who=who)
