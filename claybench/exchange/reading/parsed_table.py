"""Rows of a file as they will be taken, and what is wrong with them in the file's own words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from claybench.errors import Fault
from claybench.exchange.folder_read import Folder
from claybench.exchange.reading.layout import Layout
from claybench.exchange.reading.value_sources import Source, Sources


@dataclass(slots=True)
class ParsedTable(Folder):
    """Rows of a file as they will be taken; faults name the file's own rows and headings."""

    layout: Layout | None = None
    sources: Sources | None = None
    notes: list[str] = field(default_factory=list)
    """What was found out or left out."""

    def fault(self, table: str, line: int, column: str, reason: str) -> None:
        """Note something wrong where it stands in the file."""
        heading, typed = column, ""
        source = self._source(table, column)
        if source is not None and self.layout is not None and source.columns:
            heading = ", ".join(self.layout.headings[number] for number in source.columns)
            cells = next((cells for number, cells in self._near(line)), None)
            typed = source.cell_text(cells) if cells is not None else ""
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
