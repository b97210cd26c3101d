"""Reading someone's own table in: any CSV, each column said where it goes, all of it or nothing."""

from claybench.exchange.reading.headings import split_heading
from claybench.exchange.reading.kinds import KINDS, RECIPE, Kind, kind_of
from claybench.exchange.reading.layout import Layout, lay_out, suggest_columns, suggest_map
from claybench.exchange.reading.mapping import ColumnTo, TableMap, check_target, read_map, write_map
from claybench.exchange.reading.raw import DELIMITERS, Raw, read_file
from claybench.exchange.reading.rows import Stopped
from claybench.exchange.reading.sources import sources_of
from claybench.exchange.reading.take import Preview, preview, take
from claybench.exchange.reading.understood import Understood

__all__ = [
    "DELIMITERS",
    "KINDS",
    "RECIPE",
    "ColumnTo",
    "Kind",
    "Layout",
    "Preview",
    "Raw",
    "Stopped",
    "TableMap",
    "Understood",
    "check_target",
    "kind_of",
    "lay_out",
    "preview",
    "read_file",
    "read_map",
    "sources_of",
    "split_heading",
    "suggest_columns",
    "suggest_map",
    "take",
    "write_map",
]
