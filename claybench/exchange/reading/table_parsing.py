"""Someone's rows as rows of the record: checked as a lab folder's are, faults in the file's own words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import tzinfo

from claybench.errors import BadInput, Fault
from claybench.exchange.reading.layout import lay_out
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.parsed_table import ParsedTable
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.row_parser import RowParser
from claybench.exchange.reading.value_sources import sources_of
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
