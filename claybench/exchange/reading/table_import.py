"""Taking a file into a lab: what it would do, and doing it in one act."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import tzinfo

from claybench import clock
from claybench.exchange.folder_in import ImportReport, check_in, take_in
from claybench.exchange.reading.mapping import TableMapping
from claybench.exchange.reading.parsed_table import ParsedTable
from claybench.exchange.reading.raw_table import RawTable
from claybench.exchange.reading.table_parsing import parse_rows
from claybench.record.lab import Lab


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
